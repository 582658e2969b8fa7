//! Which facts of an entry can be put right, and how each is read and shown.

use crate::commands::keep::amend_rows::{
    add_missing, check_fits, check_limits, divide_again, move_along, signed, total,
};
use crate::commands::keep::amend_tables::{EVERY, Field, Reads, fields_of};
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::domain::book::journey::Distance;
use crate::domain::days::day::{DayAhead, WrittenDay, long};
use crate::domain::refusal::Refusal;
use crate::domain::refusal::amend_reading::Pair;
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::domain::value::count::Keys;
use crate::domain::value::hours::Hours;
use crate::domain::value::mark::Mark;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::{Miles, ModelYear};
use crate::domain::value::value_error::ValueError;
use crate::domain::value::vin::Vin;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{PaidBy, Via};
use crate::error::Error;
use crate::store::{EntryRow, Reader, Recording, Stored, StoredRow};
use chrono::NaiveDate;

/// What was put right.
pub struct Amendment {
    /// The value before, in words.
    pub was: String,
    /// The value now, in words.
    pub now: String,
    /// The car a cost was moved to.
    pub moved_to: Option<StockNo>,
}

/// What a fact is called by people, and the name it has here.
const ALSO_CALLED: &[(&str, &str)] = &[
    ("date", "on"),
    ("day", "on"),
    ("seller", "from"),
    ("buyer", "to"),
    ("name", "to"),
    ("name", "from"),
    ("name", "by"),
    ("mileage", "miles"),
    ("cost", "amount"),
    ("price", "amount"),
    ("amount", "price"),
    ("mot", "mot-until"),
];

/// The facts of the entry most likely meant.
fn near_fields(field: &str, names: &[&str]) -> Vec<String> {
    let called = ALSO_CALLED.iter().filter(|(called, name)| *called == field && names.contains(name));
    let called: Vec<String> = called.map(|(_, name)| (*name).to_owned()).collect();
    if called.is_empty() { lookup::near_words(field, names.iter().copied()) } else { called }
}

/// Puts `field` of the entry right, and whatever has to move with it.
pub fn amend(
    recording: &Recording<'_>,
    entry: &EntryRow,
    field: &str,
    value: &str,
    context: &Context,
) -> Result<Amendment, Error> {
    let mut rows = recording.read().rows_added(entry.entry)?;
    let fields = fields_of(entry, &rows);
    let names = names_of(fields, &rows);
    let not_amendable = || Refusal::NotAmendable {
        field: field.to_owned(),
        command: entry.command.clone(),
        known: EVERY.iter().any(|fields| fields.iter().any(|(name, ..)| *name == field)),
        near: near_fields(field, &names),
        accepted: match fields {
            [] => "nothing that can be: undo it and record it again".to_owned(),
            _ => names.join(", "),
        },
    };
    let (_, table, column, reads, optional) =
        fields.iter().find(|(name, ..)| *name == field).ok_or_else(not_amendable)?;
    if *table == "vehicle" {
        // The vehicle may have been in the book before this entry.
        let vehicle_no = rows.iter().find(|row| row.table == "car").and_then(|row| row.number("vehicle_no"));
        rows.retain(|row| row.table != "vehicle");
        rows.extend(vehicle_no.map(|number| recording.read().row("vehicle", number)).transpose()?.flatten());
    }
    let (stored, now) = read(*reads, *optional, value, recording, context)?;
    let meant: Vec<&StoredRow> = rows.iter().filter(|row| row.table == *table).collect();
    let Some(first) = meant.first() else {
        add_missing(recording, &rows, field, &stored).and_then(|added| added.ok_or_else(|| not_amendable().into()))?;
        return Ok(Amendment { was: "not known".into(), now, moved_to: None });
    };
    check_limits(&meant, column, &stored, &recording.read().rates())?;
    check_fits(recording, first, column, &stored)?;
    let was = show(*reads, &total(&meant, column));
    let moved_to = moved_car(*reads, &meant, &stored)?;
    if meant.len() > 1 && matches!(*column, "amount" | "usual_price" | "vat") && *table == "line" {
        divide_again(recording, &meant, column, &stored)?;
    } else {
        for row in &meant {
            recording.amend_row(row, column, &signed(row, column, &stored))?;
        }
    }
    move_along(recording, &rows, first, column, &stored)?;
    Ok(Amendment { was, now, moved_to })
}

/// Whether the entry has that fact, and the value could be one of it.
pub fn could_be(
    recording: &Recording<'_>,
    entry: &EntryRow,
    (field, value): &Pair,
    context: &Context,
) -> Result<bool, Error> {
    let rows = recording.read().rows_added(entry.entry)?;
    let found = fields_of(entry, &rows).iter().find(|(name, ..)| name == field);
    match found.map(|(_, _, _, reads, optional)| read(*reads, *optional, value, recording, context)) {
        None | Some(Err(Error::Refused(_))) => Ok(false),
        Some(read) => read.map(|_| true),
    }
}

/// Tables a missing fact can be added to.
const ADDABLE: &[&str] = &["reading", "mot_certificate", "mark", "vehicle"];

/// The fields this very entry has: those whose rows are there, or can be added.
fn names_of(fields: &[Field], rows: &[StoredRow]) -> Vec<&'static str> {
    let there = |table: &str| ADDABLE.contains(&table) || rows.iter().any(|row| row.table == table);
    let kept = rows.iter().any(|row| row.table == "disposal" && row.get("how") == Stored::Text("kept".into()));
    let gone = rows.iter().any(|row| row.table == "disposal") && !kept;
    let names = fields
        .iter()
        .filter(|(name, table, ..)| there(table) && !(gone && *name == "value") && !(kept && *name == "certificate"));
    names.map(|(name, ..)| *name).collect()
}

/// The facts of an entry that can be put right; none when there is no such entry.
pub fn names_for(reader: Reader<'_>, entry: EntryNo) -> Result<Vec<&'static str>, Error> {
    let rows = reader.rows_added(entry)?;
    Ok(reader.entry(entry)?.map_or_else(Vec::new, |entry| names_of(fields_of(&entry, &rows), &rows)))
}

/// The typed value as it is stored and as it is said.
fn read(
    reads: Reads,
    optional: bool,
    typed: &str,
    recording: &Recording<'_>,
    context: &Context,
) -> Result<(Stored, String), Error> {
    if optional && typed.trim().eq_ignore_ascii_case("none") {
        return Ok((Stored::Nothing, "not known".to_owned()));
    }
    let stored = match reads {
        Reads::Amount => Stored::Number(typed.parse::<Pence>()?.get()),
        Reads::SomeAmount => Stored::Number(Pence::parse_positive(typed)?.get()),
        Reads::Day => Stored::Text(typed.parse::<WrittenDay>()?.resolve_past(context.today)?.to_string()),
        Reads::DayAhead => Stored::Text(typed.parse::<DayAhead>()?.resolve(context.today)?.to_string()),
        Reads::Text => Stored::Text(typed.parse::<Wording>()?.to_string()),
        Reads::Mark => Stored::Text(typed.parse::<Mark>()?.as_str().to_owned()),
        Reads::Vin => Stored::Text(typed.parse::<Vin>()?.as_str().to_owned()),
        Reads::Year => Stored::Number(typed.parse::<ModelYear>()?.0.into()),
        Reads::Miles => Stored::Number(typed.parse::<Miles>()?.0.into()),
        Reads::Keys => Stored::Number(typed.parse::<Keys>()?.get().into()),
        Reads::Via => Stored::Text(typed.parse::<Via>()?.word().to_owned()),
        Reads::Paid => Stored::Text(typed.parse::<PaidBy>()?.pocket().word().to_owned()),
        Reads::YesNo => Stored::Number(yes_no(typed)?.into()),
        Reads::Hours => Stored::Number(typed.parse::<Hours>()?.minutes().into()),
        Reads::Distance => Stored::Number(typed.parse::<Distance>()?.tenths()),
        Reads::Heading(direction) => Stored::Text(lookup::heading(recording.read(), typed, direction)?),
        Reads::Car => Stored::Number(lookup::stock_no(recording.read(), &typed.parse::<CarRef>()?)?.get().into()),
    };
    let shown = show(reads, &stored);
    Ok((stored, shown))
}

fn yes_no(typed: &str) -> Result<bool, ValueError> {
    match typed.trim().to_lowercase().as_str() {
        "yes" => Ok(true),
        "no" => Ok(false),
        _ => Err(ValueError::new("answer", typed, "write yes or no")),
    }
}

fn show(reads: Reads, stored: &Stored) -> String {
    match (reads, stored) {
        (_, Stored::Nothing) => "not known".to_owned(),
        (Reads::Amount | Reads::SomeAmount, Stored::Number(pence)) => Pence::new(*pence).abs().to_string(),
        (Reads::Hours, Stored::Number(minutes)) => {
            Hours::from_minutes(u32::try_from(*minutes).unwrap_or_default()).to_string()
        }
        (Reads::Distance, Stored::Number(tenths)) => Distance::from_tenths(*tenths).to_string(),
        (Reads::YesNo, Stored::Number(yes)) => if *yes == 1 { "yes" } else { "no" }.to_owned(),
        (Reads::Car, Stored::Number(stock_no)) => format!("car {stock_no}"),
        (_, Stored::Number(number)) => number.to_string(),
        (Reads::Day | Reads::DayAhead, Stored::Text(day)) => {
            day.parse::<NaiveDate>().map_or_else(|_| day.clone(), long)
        }
        (Reads::Mark, Stored::Text(mark)) => {
            format!("mark:{mark}").parse::<Mark>().map_or_else(|_| mark.clone(), |mark| mark.to_string())
        }
        (_, Stored::Text(text)) => text.clone(),
    }
}

/// Moving a cost to another car only makes sense for one that is on a single car.
fn moved_car(reads: Reads, rows: &[&StoredRow], stored: &Stored) -> Result<Option<StockNo>, Error> {
    if reads != Reads::Car {
        return Ok(None);
    }
    if rows.len() > 1 {
        return Err(Refusal::AtOdds {
            what: "moving to one car",
            with: "a shared or split cost: undo it and record it again",
        }
        .into());
    }
    match stored {
        Stored::Number(stock_no) => Ok(u32::try_from(*stock_no).ok().map(StockNo::new)),
        _ => Ok(None),
    }
}

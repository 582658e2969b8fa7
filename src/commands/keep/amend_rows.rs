//! What has to move with a fact put right: a purchase paid in full stays paid in full, everything an
//! entry dated stays dated together, a shared cost is shared afresh.

use crate::domain::book::dealing::{check_vat, share_equally};
use crate::domain::days::day::{LAST_DAY, long};
use crate::domain::law::rate_table::Rates;
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;
use crate::error::Error;
use crate::store::{Recording, Stored, StoredRow};
use chrono::NaiveDate;

/// What the new value must not exceed, or fall below: the parts of a price, VAT in an amount, the
/// lowest price under the asking price.
pub fn check_limits(rows: &[&StoredRow], column: &str, stored: &Stored, rates: &Rates) -> Result<(), Error> {
    let (Some(first), Stored::Number(new)) = (rows.first(), stored) else { return Ok(()) };
    let sum = |column: &str| Pence::new(rows.iter().filter_map(|row| row.number(column)).sum());
    let new = Pence::new(*new);
    match (first.table.as_str(), column) {
        ("car", "purchase_price") => {
            if sum("finance") > new {
                return Err(Refusal::FinanceTooBig { finance: sum("finance"), price: new }.into());
            }
            check_vat(sum("vat"), new, day(first, "bought_on"), rates)?;
        }
        ("line", "amount") => check_vat(sum("vat"), new, day(first, "dated"), rates)?,
        ("line", "vat") => check_vat(new, sum("amount"), day(first, "dated"), rates)?,
        ("disposal", "value") if first.get("how") != Stored::Text("kept".into()) => {
            let with = "a car not kept for your own use";
            return Err(Refusal::AtOdds { what: "a value", with }.into());
        }
        ("asking_price", "amount") if sum("lowest") > new => {
            return Err(Refusal::LowestAboveAsking { lowest: sum("lowest"), asking: new }.into());
        }
        ("asking_price", "lowest") if new > sum("amount") => {
            return Err(Refusal::LowestAboveAsking { lowest: new, asking: sum("amount") }.into());
        }
        _ => {}
    }
    Ok(())
}

/// What else a new value must fit: an offer after the purchase, a day agreed after the deposit, a
/// certificate only for a car that was scrapped or broken.
pub fn check_fits(recording: &Recording<'_>, row: &StoredRow, column: &str, stored: &Stored) -> Result<(), Error> {
    let Stored::Text(value) = stored else { return Ok(()) };
    match (row.table.as_str(), column) {
        ("offer", "dated") => {
            let car = row.number("stock_no").map(|number| recording.read().row("car", number)).transpose()?.flatten();
            let (given, bought) =
                (value.parse().unwrap_or(LAST_DAY), car.map_or(LAST_DAY, |car| day(&car, "bought_on")));
            if given < bought {
                let car = format!("car {}", row.number("stock_no").unwrap_or_default());
                return Err(Refusal::BeforePurchase { car, given, bought }.into());
            }
        }
        ("deposit_hold", "hold_until") => {
            let (until, from) = (value.parse().unwrap_or(LAST_DAY), day(row, "dated"));
            if until < from {
                let verdict = format!("is before the deposit, on {}", long(from));
                return Err(ValueError::at_odds("hold-until", long(until), verdict).into());
            }
        }
        ("disposal", "certificate") if !matches!(row.get("how"), Stored::Text(how) if how == "scrapped" || how == "broken") =>
        {
            let with = "a car that was not scrapped or broken";
            return Err(Refusal::AtOdds { what: "a certificate", with }.into());
        }
        _ => {}
    }
    Ok(())
}

fn day(row: &StoredRow, column: &str) -> NaiveDate {
    match row.get(column) {
        Stored::Text(day) => day.parse().unwrap_or(LAST_DAY),
        _ => LAST_DAY,
    }
}

/// The value of the whole entry: amounts of its parts added, else what the first row says.
pub fn total(rows: &[&StoredRow], column: &str) -> Stored {
    let numbers: Vec<i64> = rows.iter().filter_map(|row| row.number(column)).collect();
    match (column, rows.first()) {
        ("amount" | "usual_price" | "vat", Some(row)) if row.table == "line" && !numbers.is_empty() => {
            Stored::Number(numbers.iter().sum())
        }
        (_, Some(row)) => row.get(column),
        (_, None) => Stored::Nothing,
    }
}

/// A movement keeps its direction when its amount is put right.
pub fn signed(row: &StoredRow, column: &str, value: &Stored) -> Stored {
    match value {
        Stored::Number(amount) if row.table == "movement" && column == "amount" && row.number("amount") < Some(0) => {
            Stored::Number(-amount)
        }
        other => other.clone(),
    }
}

/// Shares an amount, usual price or VAT over the lines of a shared cost afresh.
pub fn divide_again(
    recording: &Recording<'_>,
    lines: &[&StoredRow],
    column: &str,
    stored: &Stored,
) -> Result<(), Error> {
    let equally = lines.iter().all(|line| line.get("shared") == Stored::Text("equally".into()));
    let cars: Vec<StockNo> = lines
        .iter()
        .filter_map(|line| line.number("stock_no"))
        .filter_map(|n| u32::try_from(n).ok())
        .map(StockNo::new)
        .collect();
    if !equally || cars.len() != lines.len() {
        return Err(Refusal::AtOdds { what: "one amount", with: "a split cost: undo it and record it again" }.into());
    }
    let sum = |column: &str| Pence::new(lines.iter().filter_map(|line| line.number(column)).sum());
    let new = |name: &str| match stored {
        Stored::Number(pence) if column == name => Pence::new(*pence),
        _ => sum(name),
    };
    let usual = (column == "usual_price" && *stored != Stored::Nothing).then(|| new("usual_price"));
    for part in share_equally(&cars, new("amount"), usual, new("vat"))? {
        let Some(line) = lines.iter().find(|line| line.number("stock_no") == part.stock_no.map(|n| n.get().into()))
        else {
            continue;
        };
        if column == "usual_price" {
            let value = part.usual_price.map_or(Stored::Nothing, |usual| Stored::Number(usual.get()));
            recording.amend_row(line, "usual_price", &value)?;
        } else {
            recording.amend_row(line, "vat", &Stored::Number(0))?;
            recording.amend_row(line, "amount", &Stored::Number(part.amount.get()))?;
            recording.amend_row(line, "vat", &Stored::Number(part.vat.get()))?;
        }
    }
    Ok(())
}

/// What moves with the fact: days recorded together, names, money paid in full, the mark the
/// stock book keeps.
pub fn move_along(
    recording: &Recording<'_>,
    rows: &[StoredRow],
    main: &StoredRow,
    column: &str,
    stored: &Stored,
) -> Result<(), Error> {
    match (main.table.as_str(), column) {
        ("car", "bought_on") | ("sale", "sold_on") | ("disposal" | "movement", "dated") => {
            for row in rows.iter().filter(|row| row.row != main.row || row.table != main.table) {
                if row.get("dated") != Stored::Nothing {
                    recording.amend_row(row, "dated", stored)?;
                } else if row.table == "car" {
                    recording.amend_row(row, "bought_on", stored)?;
                }
            }
        }
        ("car", "seller") | ("sale", "buyer") => {
            for row in rows.iter().filter(|row| row.table == "movement") {
                recording.amend_row(row, "party", stored)?;
            }
            for row in rows.iter().filter(|row| row.table == "car" && main.table == "sale") {
                recording.amend_row(row, "seller", stored)?;
            }
        }
        ("car", "purchase_price") => {
            // What was paid under the hammer takes the whole of a change; the fee stays as charged.
            if let (Some(auction), Stored::Number(price)) =
                (rows.iter().find(|row| row.table == "auction_purchase"), stored)
            {
                let hammer = *price - auction.number("buyers_fee").unwrap_or_default();
                if hammer < 0 {
                    let fee = Pence::new(auction.number("buyers_fee").unwrap_or_default());
                    let verdict = format!("is less than the buyer's fee of {fee} that is part of it");
                    return Err(ValueError::at_odds("price", Pence::new(*price).to_string(), verdict).into());
                }
                recording.amend_row(auction, "hammer_price", &Stored::Number(hammer))?;
            }
            let due = |price: i64| main.number("finance").unwrap_or_default() - price;
            follow_payment(recording, rows, due(main.number(column).unwrap_or_default()), stored, due)?;
        }
        ("sale", "selling_price") => {
            let sum = |table: &str, column: &str| -> i64 {
                rows.iter().filter(|row| row.table == table).filter_map(|row| row.number(column)).sum()
            };
            let credits = sum("part_exchange", "allowance") - sum("car", "finance");
            let counted = credits + sum("deposit_end", "amount");
            let due = |price: i64| price - counted;
            follow_payment(recording, rows, due(main.number(column).unwrap_or_default()), stored, due)?;
        }
        ("mark", "mark") => {
            for row in rows.iter().filter(|row| row.table == "car") {
                recording.amend_row(row, "mark_at_purchase", stored)?;
            }
        }
        _ => {}
    }
    Ok(())
}

/// Money that was all that was due on the day follows the price; part payments stay as they were.
fn follow_payment(
    recording: &Recording<'_>,
    rows: &[StoredRow],
    due_before: i64,
    price: &Stored,
    due: impl Fn(i64) -> i64,
) -> Result<(), Error> {
    let Stored::Number(price) = price else { return Ok(()) };
    for row in rows.iter().filter(|row| row.table == "movement" && row.number("amount") == Some(due_before)) {
        match due(*price) {
            0 => recording.remove_row(row)?,
            amount => recording.amend_row(row, "amount", &Stored::Number(amount))?,
        }
    }
    Ok(())
}

/// Adds a reading, certificate or mark that was not given when the entry was recorded. None when
/// the field is not one that can be added.
pub fn add_missing(
    recording: &Recording<'_>,
    rows: &[StoredRow],
    field: &str,
    stored: &Stored,
) -> Result<Option<()>, Error> {
    let Some(entry_car) = rows.iter().find(|row| row.table == "car" || row.table == "sale") else { return Ok(None) };
    let text = |column: &str| match entry_car.get(column) {
        Stored::Text(day) => day.parse::<NaiveDate>().ok(),
        _ => None,
    };
    let vehicle_no = match entry_car.number("vehicle_no") {
        Some(number) => Some(number),
        None => entry_car
            .number("stock_no")
            .map(|stock_no| recording.read().row("car", stock_no))
            .transpose()?
            .flatten()
            .and_then(|car| car.number("vehicle_no")),
    };
    let (Some(vehicle_no), Some(on)) = (vehicle_no, text("bought_on").or_else(|| text("sold_on"))) else {
        return Ok(None);
    };
    match (field, stored) {
        ("miles", Stored::Number(miles)) => {
            let taken_at = if entry_car.table == "sale" { "sale" } else { "purchase" };
            recording.add_reading(vehicle_no, on, u32::try_from(*miles).unwrap_or_default(), taken_at)?;
        }
        ("mot-until", Stored::Text(until)) => {
            let Ok(until) = until.parse() else { return Ok(None) };
            recording.add_mot_certificate(vehicle_no, on, until)?;
        }
        ("mark", Stored::Text(_)) if entry_car.get("mark_at_purchase") != Stored::Nothing => {
            let with = "a vehicle the book knew before: `runabout mark CAR NEWMARK` gives it another";
            return Err(Refusal::AtOdds { what: "another mark", with }.into());
        }
        ("mark", Stored::Text(mark)) => {
            recording.add_mark(vehicle_no, &format!("mark:{mark}").parse()?, on)?;
            recording.amend_row(entry_car, "mark_at_purchase", stored)?;
        }
        _ => return Ok(None),
    }
    Ok(Some(()))
}

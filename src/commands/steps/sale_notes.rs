//! What is said after a sale: what it made, what to beware of, the buyer's rights, what is to do.

use crate::commands::steps::context::settings_of;
use crate::commands::steps::lookup;
use crate::commands::steps::pre_sale_list::list_of;
use crate::commands::steps::roadworthy_note::roadworthy_notes;
use crate::domain::book::car_checks::ItemStanding;
use crate::domain::book::facts::{Car, Sale};
use crate::domain::book::stay::Joins;
use crate::domain::days::day::{LAST_DAY, long};
use crate::domain::figures::car_figures::{car_figures, lines_outside};
use crate::domain::law::buyer_rights::{cancellation_ends, presumption_ends, rejection_ends};
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::error::Error;
use crate::report::phrase;
use crate::store::Reader;
use chrono::NaiveDate;

/// Everything to say after the sale of a car.
pub fn notes(reader: Reader<'_>, stock_no: StockNo, on: NaiveDate) -> Result<Vec<String>, Error> {
    let car = lookup::whole_car(reader, stock_no)?;
    let registration = settings_of(reader)?.registration;
    let figures = car_figures(&car, on, &registration);
    let mut notes = Vec::new();
    if let Some(sold) = &figures.sold {
        let measure = match (sold.return_pct, sold.multiple) {
            (Some(percent), Some(multiple)) => {
                format!(": {percent} % on the {} it stood in at, {multiple} times", figures.stands_in)
            }
            _ => String::new(),
        };
        let days = figures.days_in_stock.unwrap_or_default();
        let word = if sold.profit.is_negative() { "lost" } else { "made" };
        notes.push(format!("{word} {} in {}{measure}", sold.profit.abs(), phrase::days(days)));
    }
    let later: Pence =
        car_figures(&car, LAST_DAY, &registration).sold.map(|sold| sold.after_sale_costs).unwrap_or_default();
    if !later.is_zero() {
        let first = lines_outside(&car, Joins::AfterSale, LAST_DAY)
            .find(|line| line.on > on)
            .map(|line| format!("; if it was before, `runabout amend {} on DAY`", line.entry));
        notes.push(format!(
            "{later} dated after {} is now an after-sale cost and no part of what it stood in at{}",
            long(on),
            first.unwrap_or_default()
        ));
    }
    notes.extend(cautions(reader, &car, on)?);
    notes.push("still to do: tell DVLA who has it now, and give the buyer the new keeper's slip; the buyer must tax it before driving".into());
    if let Some(sale) = car.sale().filter(|sale| !sale.to_trade) {
        notes.push(buyers_rights(sale));
    }
    Ok(notes)
}

/// How much of the pre-sale list is still open.
fn checks_open(list: &[ItemStanding], stock_no: StockNo) -> Option<String> {
    let how_many = match list.iter().filter(|standing| standing.is_open()).count() {
        0 => return None,
        1 => format!("1 of the {} checks before sale is not marked done", list.len()),
        all if all == list.len() => format!("none of the {all} checks before sale is marked done"),
        some => format!("{some} of the {} checks before sale are not marked done", list.len()),
    };
    Some(format!("{how_many}: `runabout car {stock_no}` lists them"))
}

/// What a buyer from the public may do, and until when.
fn buyers_rights(sale: &Sale) -> String {
    let delivered = sale.delivered_on.unwrap_or(sale.on);
    let mut rights = format!(
        "sold to the public: a faulty car can be rejected until {}, and a fault that shows until {} counts as there from the start",
        long(rejection_ends(sale.on, sale.delivered_on)),
        long(presumption_ends(delivered))
    );
    if sale.distance {
        rights += &format!(
            "; sold at a distance, it can be cancelled without reason until {}",
            long(cancellation_ends(delivered))
        );
    }
    rights + " (Consumer Rights Act 2015)"
}

/// What a seller should know before the car goes: the MOT, defects outstanding, checks not done.
fn cautions(reader: Reader<'_>, car: &Car, on: NaiveDate) -> Result<Vec<String>, Error> {
    let settings = settings_of(reader)?;
    let mot = reader.showing(&[car.stock_no], on)?.remove(&car.stock_no).unwrap_or_default().mot;
    let mut cautions = Vec::new();
    if let (Some(left), Some(minimum)) = (mot.days_left(on), settings.minimum_mot_days)
        && (0..minimum).contains(&left)
    {
        cautions.push(format!("{} of MOT left, less than the {minimum} you want a car sold with", phrase::days(left)));
    }
    let held_against_it = roadworthy_notes(reader, car, on)?;
    if !held_against_it.is_empty() {
        cautions.extend(held_against_it);
        cautions.push("the sale is recorded; `runabout undo` takes it back".into());
    }
    cautions.extend(checks_open(&list_of(reader, car, on)?, car.stock_no));
    Ok(cautions)
}

/// That why a car came back is not for the trader alone, said where it is typed.
pub fn who_reads_the_reason(entry: EntryNo, car: StockNo) -> String {
    format!(
        "the buyer reads why it came back on the credit note, and the stock book shows it: `runabout amend {entry} \
         reason TEXT` changes it; what is for yourself goes in `runabout note {car} TEXT`"
    )
}

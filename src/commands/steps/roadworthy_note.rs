//! The caution where a car that may not be roadworthy is sold or offered.

use crate::commands::steps::context::settings_of;
use crate::domain::book::facts::Car;
use crate::domain::book::roadworthy::{Concern, OFFENCE, concerns};
use crate::error::Error;
use crate::store::Reader;
use chrono::NaiveDate;

/// What is held against the car on `on`, a line each, and what the law says of it; nothing when nothing is.
pub fn roadworthy_notes(reader: Reader<'_>, car: &Car, on: NaiveDate) -> Result<Vec<String>, Error> {
    let mot = reader.showing(&[car.stock_no], on)?.remove(&car.stock_no).unwrap_or_default().mot;
    let held = concerns(&mot, &car.vehicle, settings_of(reader)?.region, on);
    let mut notes: Vec<String> = held.iter().map(Concern::to_string).collect();
    if !notes.is_empty() {
        notes.push(OFFENCE.to_owned());
    }
    Ok(notes)
}

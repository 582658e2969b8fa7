//! The note when a recording leaves a pocket with less than nothing by the book: something was not written down.

use crate::commands::steps::context::Context;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::Pocket;
use crate::error::Error;
use crate::store::Reader;
use chrono::NaiveDate;

/// The pockets of the float, and what each is called.
const FLOAT: [(Pocket, &str); 2] = [(Pocket::Cash, "cash in hand"), (Pocket::Bank, "the bank account")];

/// What is in the pockets of the float today.
pub fn held(reader: Reader<'_>, context: &Context) -> Result<[Pence; 2], Error> {
    let standings = reader.standings()?;
    let to = context.today.min(context.standing_to);
    let mut held = reader.recorded_in(FLOAT.map(|(pocket, _)| pocket), context.today)?;
    for (amount, (pocket, _)) in held.iter_mut().zip(FLOAT) {
        let paid = standings.iter().filter(|standing| standing.pocket == pocket);
        let gone: Pence = paid.flat_map(|standing| standing.falling(NaiveDate::MIN, to)).map(|due| due.amount).sum();
        *amount -= gone;
    }
    Ok(held)
}

/// What is said of each pocket that has less than before, and less than nothing.
pub fn overdrawn(before: [Pence; 2], after: [Pence; 2]) -> impl Iterator<Item = String> {
    let pockets = before.into_iter().zip(after).zip(FLOAT);
    pockets.filter(|((before, after), _)| after.is_negative() && after < before).map(|((_, after), (_, name))| {
        format!("{name} is now {after} by the book; money put in is recorded with `runabout pay-in`")
    })
}

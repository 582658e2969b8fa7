//! `undo`: an entry taken back, when what remains still obeys the order of events.

use crate::cli::undo::UndoArgs;
use crate::commands::Context;
use crate::commands::recording::{Said, check_cars, check_parties, record};
use crate::domain::book::breach::Breach;
use crate::domain::book::order::check_standings;
use crate::domain::refusal::Refusal;
use crate::domain::refusal::forget_refusal::ForgetRefusal;
use crate::domain::value::numbers::EntryNo;
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::store::{Book, EntryRow, Reader, UndoError};

pub fn run(args: &UndoArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    record(book, context, "undo", args.trying.dry_run, |recording| {
        let reader = recording.read();
        let this = recording.entry();
        let latest = || -> Result<Option<EntryNo>, Error> { Ok(reader.latest_standing_entry(this)?) };
        let target = match args.entry {
            Some(entry) => entry.0.into(),
            None => latest()?.ok_or(Refusal::NothingToUndo)?,
        };
        let row = standing_entry(reader, target, this)?;
        if row.command == "forget" {
            return Err(Refusal::from(ForgetRefusal::ForGood { entry: target }).into());
        }
        let parties = reader.parties_of_entry(target)?;
        recording.take_back_entry(target).map_err(|error| match error {
            UndoError::Book(error) => Error::Book(error),
            UndoError::InTheWay(by) => in_the_way(reader, target, by),
            UndoError::NothingLeft => Refusal::from(ForgetRefusal::NothingLeft { entry: target }).into(),
        })?;
        let cars = reader.cars_of_entry(target)?;
        let standings = check_standings(&reader.standings()?);
        for checked in [check_cars(reader, &cars)?, check_parties(reader, &parties)?, standings] {
            checked.map_err(|breach| blocked(reader, target, breach))?;
        }
        let said = if row.undoes.is_some() { "brought back" } else { "took back" };
        let what = match row.undoes {
            Some(undone) => reader
                .entry(undone)?
                .map_or_else(String::new, |undone| format!("entry {}, which said: {}", undone.entry, undone.summary)),
            None => format!("entry {target}, which said: {}", row.summary),
        };
        Ok(Said::new(format!("{said} {what}"), cars))
    })
}

/// The entry, if it is there and still stands.
pub fn standing_entry(reader: Reader<'_>, target: EntryNo, this: EntryNo) -> Result<EntryRow, Error> {
    let row = reader.entry(target)?.filter(|row| row.entry != this).ok_or(Refusal::EntryUnknown { entry: target })?;
    match row.undone_by {
        Some(by) => Err(Refusal::UndoneAlready { entry: target, by }.into()),
        None => Ok(row),
    }
}

/// A breach of the order of events, told as the entry that stands in the way.
pub fn blocked(reader: Reader<'_>, target: EntryNo, breach: Breach) -> Error {
    if breach.entry == target { breach.why.into() } else { in_the_way(reader, target, breach.entry) }
}

fn in_the_way(reader: Reader<'_>, entry: EntryNo, by: EntryNo) -> Error {
    match reader.entry(by) {
        Ok(row) => {
            let summary = row.map(|row| row.summary).unwrap_or_default();
            Refusal::InTheWay { entry, by, summary }.into()
        }
        Err(error) => error.into(),
    }
}

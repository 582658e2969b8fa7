//! `undo`: an entry taken back, when what remains still obeys the order of events.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup::standing_entry;
use crate::commands::steps::recording::{ReadBack, check_cars, check_parties, record};
use crate::domain::book::breach::Breach;
use crate::domain::book::order::check_standings;
use crate::domain::refusal::Refusal;
use crate::domain::refusal::forget_refusal::ForgetRefusal;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::target::Whole;
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, Reader, UndoError};
use clap::Args;

/// Take back an entry. Alone it takes back the latest that still stands, so saying it again steps
/// further back; naming an undo brings back what it took away.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout undo\n  runabout undo 12")]
pub struct UndoArgs {
    /// The entry's number [the latest that stands]
    #[arg(value_name = "N")]
    pub entry: Option<Whole>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl Records for UndoArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        Ok(record(book, context, "undo", self.trying.dry_run, |recording| {
            let reader = recording.read();
            let this = recording.entry();
            let latest = || -> Result<Option<EntryNo>, Error> { Ok(reader.latest_standing_entry(this)?) };
            let target = match self.entry {
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
                Some(undone) => reader.entry(undone)?.map_or_else(String::new, |undone| {
                    format!("entry {}, which said: {}", undone.entry, undone.summary)
                }),
                None => format!("entry {target}, which said: {}", row.summary),
            };
            Ok(ReadBack::new(format!("{said} {what}"), cars))
        })?
        .into())
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

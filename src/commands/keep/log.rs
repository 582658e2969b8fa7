//! `log`.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::count::Count;
use crate::error::Error;
use crate::report::Report;
use crate::report::keep::log::{LogEntry, LogReport};
use crate::store::Reader;
use clap::Args;

/// What was recorded, newest first; with a car, its whole history in plain words.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout log\n  runabout log KX42 RTO")]
pub struct LogArgs {
    /// One car's history
    #[arg(value_name = "CAR")]
    pub car: Option<CarRef>,
    /// How many entries [20; all for a car]
    #[arg(long, value_name = "N")]
    pub last: Option<Count<1, 1_000_000>>,
}

/// Entries shown when not said; a car's history is shown whole.
const ENTRIES: u32 = 20;

impl Looks for LogArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        let car = self.car.as_ref().map(|car| lookup::car(reader, car)).transpose()?;
        let count = self.last.map_or(if car.is_some() { u32::MAX } else { ENTRIES }, Count::get);
        let entries = reader
            .entries(car.as_ref().map(|car| car.stock_no), count)?
            .into_iter()
            .map(|row| LogEntry {
                entry: row.entry,
                recorded_at: row.recorded_at,
                command: row.command,
                typed: row.typed,
                summary: row.summary,
                undoes: row.undoes,
                undone_by: row.undone_by,
            })
            .collect();
        Ok(LogReport::new(context.today, car.map(|car| car.label()), entries).into())
    }
}

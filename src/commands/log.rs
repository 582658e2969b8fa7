//! `log`.

use crate::cli::log::LogArgs;
use crate::commands::{Context, lookup};
use crate::domain::value::count::Count;
use crate::error::Error;
use crate::report::keep::log::{LogEntry, LogReport};
use crate::store::Reader;

/// Entries shown when not said; a car's history is shown whole.
const ENTRIES: u32 = 20;

pub fn run(args: &LogArgs, reader: Reader<'_>, context: &Context) -> Result<LogReport, Error> {
    let car = args.car.as_ref().map(|car| lookup::car(reader, car)).transpose()?;
    let count = args.last.map_or(if car.is_some() { u32::MAX } else { ENTRIES }, Count::get);
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
    Ok(LogReport::new(context.today, car.map(|car| car.label()), entries))
}

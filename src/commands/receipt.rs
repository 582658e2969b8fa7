//! `receipt`: a photo or PDF of a bill, kept with what it is the bill of.

use crate::cli::receipt::ReceiptArgs;
use crate::commands::Context;
use crate::commands::recording::{Said, record};
use crate::commands::undo::standing_entry;
use crate::domain::value::numbers::EntryNo;
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::store::{Book, Recording};
use std::path::PathBuf;

pub fn run(args: &ReceiptArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    record(book, context, "receipt", args.trying.dry_run, |recording| {
        let entry = EntryNo::from(args.entry.0);
        let row = standing_entry(recording.read(), entry, recording.entry())?;
        let name = recording.keep_receipt(entry, &args.file)?;
        let cars = recording.read().cars_of_entry(entry)?;
        Ok(Said::new(format!("kept {name} with entry {entry}: {}", row.summary), cars))
    })
}

/// Keeps the receipts given while recording something, with that very entry.
pub fn keep_all(recording: &Recording<'_>, files: &[PathBuf]) -> Result<Option<String>, Error> {
    let names = files
        .iter()
        .map(|file| Ok(recording.keep_receipt(recording.entry(), file)?))
        .collect::<Result<Vec<_>, Error>>()?;
    Ok((!names.is_empty()).then(|| format!("kept {}", names.join(", "))))
}

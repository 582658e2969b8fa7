//! `receipt`: a photo or PDF of a bill, kept with what it is the bill of.

use crate::cli::Trying;
use crate::commands::Context;
use crate::commands::steps::lookup::standing_entry;
use crate::commands::steps::recording::{Said, record};
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::target::Whole;
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::store::Book;
use clap::Args;
use std::path::PathBuf;

/// Keep a photo or PDF of a bill with what it is the bill of.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout receipt 12 mot-slip.jpg\n  runabout receipt 12 invoice.pdf --dry-run\n\n\
The file is copied beside the book. jpg, png, webp, heic, gif, tiff and pdf are kept."
)]
pub struct ReceiptArgs {
    /// The entry it belongs to, from the read-back or `runabout log`
    #[arg(value_name = "ENTRY")]
    pub entry: Whole,
    /// The photo or PDF
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

pub fn run(args: &ReceiptArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    record(book, context, "receipt", args.trying.dry_run, |recording| {
        let entry = EntryNo::from(args.entry.0);
        let row = standing_entry(recording.read(), entry, recording.entry())?;
        let name = recording.keep_receipt(entry, &args.file)?;
        let cars = recording.read().cars_of_entry(entry)?;
        Ok(Said::new(format!("kept {name} with entry {entry}: {}", row.summary), cars))
    })
}

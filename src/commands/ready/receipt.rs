//! `receipt`: a photo or PDF of a bill, kept with what it is the bill of.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup::standing_entry;
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::target::Whole;
use crate::error::Error;
use crate::report::Report;
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

impl Records for ReceiptArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        Ok(record(book, context, "receipt", self.trying.dry_run, |recording| {
            let entry = EntryNo::from(self.entry.0);
            let row = standing_entry(recording.read(), entry, recording.entry())?;
            let name = recording.keep_receipt(entry, &self.file)?;
            let cars = recording.read().cars_of_entry(entry)?;
            Ok(ReadBack::new(format!("kept {name} with entry {entry}: {}", row.summary), cars))
        })?
        .into())
    }
}

//! `receipt`.

use crate::cli::Trying;
use crate::domain::value::target::Whole;
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

//! `close`.

use crate::cli::Trying;
use crate::domain::days::month::WrittenMonth;
use crate::domain::value::value_error::ValueError;
use clap::Args;

/// Close a month: its figures are kept, and nothing up to its last day changes any more.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout close last\n  runabout close --reopen oct 2026\n\n\
Names, addresses, notes, mileage and receipts can still be put right. What is found late is dated\n\
the day it is found, or the month is opened again.")]
pub struct CloseArgs {
    /// The month: oct, oct 2026, 2026-10 or last
    #[arg(value_name = "MONTH", num_args = 0..=2, required_unless_present = "reopen")]
    pub month: Vec<String>,
    /// Open a closed month again, and every one after it
    #[arg(long, value_name = "MONTH", conflicts_with = "month")]
    pub reopen: Option<WrittenMonth>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl CloseArgs {
    /// The words typed as one month.
    pub fn written(&self) -> Result<WrittenMonth, ValueError> {
        self.month.join(" ").parse()
    }
}

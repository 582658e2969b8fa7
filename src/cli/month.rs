//! `month`.

use crate::domain::days::month::WrittenMonth;
use clap::Args;
use std::path::PathBuf;

/// What a month made, car by car and overhead by overhead, proved against the cash.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout month\n  runabout month oct --format csv --part overheads\n  runabout month oct --page --out month.html"
)]
pub struct MonthArgs {
    /// The month: oct, oct 2026, 2026-10, this or last [this]
    #[arg(value_name = "MONTH", num_args = 0..=2)]
    pub month: Vec<String>,
    /// Only one list: `cars-sold`, `cars-bought`, `overheads` or `bridge` [cars-sold]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
    /// Write it as one page with pictures, to print or send
    #[arg(long, conflicts_with = "part")]
    pub page: bool,
    /// Where to write the page [standard output, or a file named by the month on a terminal]
    #[arg(long, value_name = "FILE", requires = "page")]
    pub out: Option<PathBuf>,
    /// Write over a file that is there, though Runabout did not make it; never over a book or a receipt
    #[arg(long, requires = "page")]
    pub replace: bool,
}

impl MonthArgs {
    /// The words typed as one month.
    pub fn written(&self) -> Option<Result<WrittenMonth, crate::domain::value::value_error::ValueError>> {
        (!self.month.is_empty()).then(|| self.month.join(" ").parse())
    }
}

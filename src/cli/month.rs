//! `month`.

use crate::domain::month::WrittenMonth;
use clap::Args;

/// What a month made, car by car and overhead by overhead, proved against the cash.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout month\n  runabout month oct --format csv --part overheads")]
pub struct MonthArgs {
    /// The month: oct, oct 2026, 2026-10, this or last [this]
    #[arg(value_name = "MONTH", num_args = 0..=2)]
    pub month: Vec<String>,
    /// With CSV: which list, `cars-sold`, `cars-bought`, `overheads` or `bridge` [cars-sold]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
}

impl MonthArgs {
    /// The words typed as one month.
    pub fn written(&self) -> Option<Result<WrittenMonth, crate::domain::value_error::ValueError>> {
        (!self.month.is_empty()).then(|| self.month.join(" ").parse())
    }
}

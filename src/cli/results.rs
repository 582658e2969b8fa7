//! `results`.

use crate::domain::days::month::WrittenMonth;
use clap::Args;

/// Month by month: cars, profit, returns, cash tied up.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout results\n  runabout results --from 2026-01 --to jun")]
pub struct ResultsArgs {
    /// First month [eleven months before the last]
    #[arg(long, value_name = "MONTH")]
    pub from: Option<WrittenMonth>,
    /// Last month [this]
    #[arg(long, value_name = "MONTH")]
    pub to: Option<WrittenMonth>,
    /// Only one list [months]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
}

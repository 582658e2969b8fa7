//! `calendar`.

use crate::cli::Replacing;
use clap::Args;
use std::path::PathBuf;

/// Write what `due` lists as a calendar file (iCalendar) a phone can take in.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout calendar --out dates.ics\n  runabout calendar --within 365 --out dates.ics"
)]
pub struct CalendarArgs {
    /// How many days ahead
    #[arg(long, value_name = "DAYS", default_value_t = 365, value_parser = clap::value_parser!(i64).range(0..=3650))]
    pub within: i64,
    /// Where to write it [standard output, or runabout.ics on a terminal]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub replacing: Replacing,
}

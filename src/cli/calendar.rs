//! `calendar`.

use crate::cli::Replacing;
use crate::domain::value::count::DaysAhead;
use clap::Args;
use std::path::PathBuf;

/// Write what `due` lists as a calendar file (iCalendar) a phone can take in.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout calendar --out dates.ics\n  runabout calendar --within 365 --out dates.ics"
)]
pub struct CalendarArgs {
    /// How many days ahead, up to 3650
    #[arg(long, value_name = "DAYS", default_value = "365")]
    pub within: DaysAhead,
    /// Where to write it [standard output, or runabout.ics on a terminal]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub replacing: Replacing,
}

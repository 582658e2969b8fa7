//! `paper`.

use crate::cli::Trying;
use crate::domain::days::day::DayAhead;
use crate::domain::value::count::DaysAhead;
use crate::domain::value::wording::Wording;
use clap::{Args, Subcommand};

/// Dated documents of the business: trade insurance, trade licence, fire check.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout paper add \"trade insurance\" --until 2027-03-14\n  runabout paper list")]
pub struct PaperArgs {
    /// What to do; they are listed when nothing is said.
    #[command(subcommand)]
    pub action: Option<PaperAction>,
}

/// What to do with a paper.
#[derive(Debug, Subcommand)]
pub enum PaperAction {
    /// Add one
    #[command(
        after_help = "Examples:\n  runabout paper add \"trade insurance\" --until 2027-03-14\n  runabout paper add \"trade licence\" --until 31/12/2026 --remind 21"
    )]
    Add {
        /// What you call it
        #[arg(value_name = "NAME")]
        name: Wording,
        /// Its last day, with its year
        #[arg(long, value_name = "DATE")]
        until: DayAhead,
        /// Days ahead to be reminded, up to 3650 [the setting remind-days]
        #[arg(long, value_name = "DAYS")]
        remind: Option<DaysAhead>,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// Give one its next last day
    #[command(
        after_help = "Examples:\n  runabout paper renew \"trade insurance\" --until 2028-03-14\n  runabout paper renew \"TRADE INSURANCE\" --until 14/3/2029"
    )]
    Renew {
        /// Which
        #[arg(value_name = "NAME")]
        name: Wording,
        /// Its new last day, with its year
        #[arg(long, value_name = "DATE")]
        until: DayAhead,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// Take one off the list
    #[command(
        after_help = "Examples:\n  runabout paper remove \"trade insurance\"\n  runabout paper remove \"trade insurance\" --dry-run"
    )]
    Remove {
        /// Which
        #[arg(value_name = "NAME")]
        name: Wording,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// List them
    #[command(after_help = "Examples:\n  runabout paper list\n  runabout paper list --format csv")]
    List,
}

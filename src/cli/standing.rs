//! `standing`.

use crate::cli::Trying;
use crate::domain::days::day::DayAhead;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Every, PaidBy};
use clap::{Args, Subcommand};

/// Overheads that come round by themselves.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout standing add \"yard rent\" 115 --every month --from 1/9/2025\n  runabout standing list"
)]
pub struct StandingArgs {
    /// What to do; they are listed when nothing is said.
    #[command(subcommand)]
    pub action: Option<StandingAction>,
}

/// What to do with a standing cost.
#[derive(Debug, Subcommand)]
pub enum StandingAction {
    /// Set one up
    #[command(
        after_help = "Examples:\n  runabout standing add \"yard rent\" 115 --every month --from 1/9/2025\n  runabout standing add \"trade insurance\" 585 --every year --from 14/3/2026"
    )]
    Add {
        /// What you call it
        #[arg(value_name = "NAME")]
        name: Wording,
        /// What each time costs
        #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
        amount: Pence,
        /// How often: week, month, quarter or year
        #[arg(long, value_name = "INTERVAL")]
        every: Every,
        /// The first day it falls due [today]
        #[arg(long, value_name = "DATE")]
        from: Option<DayAhead>,
        /// The last day it can fall due
        #[arg(long, value_name = "DATE")]
        until: Option<DayAhead>,
        /// Its heading [the name, when that is a heading; else other]
        #[arg(long, value_name = "HEADING")]
        heading: Option<String>,
        /// How it is paid: cash, bank, card or own
        #[arg(long, value_name = "HOW")]
        paid: Option<PaidBy>,
        /// VAT in each
        #[arg(long, value_name = "AMOUNT")]
        vat: Option<Pence>,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// List them
    #[command(after_help = "Examples:\n  runabout standing list\n  runabout standing list --format json")]
    List,
    /// Stop one; the day named is the last it can fall due
    #[command(
        after_help = "Examples:\n  runabout standing stop \"yard rent\"\n  runabout standing stop \"yard rent\" --on 31/10/2026"
    )]
    Stop {
        /// Which
        #[arg(value_name = "NAME")]
        name: Wording,
        /// The last day [today]
        #[arg(long, value_name = "DATE")]
        on: Option<DayAhead>,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// Change what one costs from a day on
    #[command(
        after_help = "Examples:\n  runabout standing change \"yard rent\" 128 --from 1/10/2026\n  runabout standing change \"yard rent\" 122 --from today"
    )]
    Change {
        /// Which
        #[arg(value_name = "NAME")]
        name: Wording,
        /// What it costs from then
        #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
        amount: Pence,
        /// From when
        #[arg(long, value_name = "DATE")]
        from: DayAhead,
        /// VAT in each
        #[arg(long, value_name = "AMOUNT")]
        vat: Option<Pence>,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// Let one due day off
    #[command(
        after_help = "Examples:\n  runabout standing skip \"yard rent\" --on 1/10/2026\n  runabout standing skip \"yard rent\" --on 1/1/2027"
    )]
    Skip {
        /// Which
        #[arg(value_name = "NAME")]
        name: Wording,
        /// The due day
        #[arg(long, value_name = "DATE")]
        on: DayAhead,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
}

//! `programme`.

use crate::cli::Trying;
use crate::domain::days::month::WrittenMonth;
use crate::domain::value::count::CarsAMonth;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::Multiple;
use clap::{Args, Subcommand};

/// How "one car a month" goes: slots, budget, multiple; and the next slot.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout programme\n  runabout programme --format json")]
pub struct ProgrammeArgs {
    /// What to do; the score is shown when nothing is said.
    #[command(subcommand)]
    pub action: Option<ProgrammeAction>,
    /// Only one list: `months` or `slots` [months]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
}

/// What to do with the programme.
#[derive(Debug, Subcommand)]
pub enum ProgrammeAction {
    /// Set how many cars a month, for how much, to make what of them
    #[command(after_help = "Examples:\n  runabout programme set --cars 1 --budget 680 --multiple 2\n  \
runabout programme set --budget 725 --from dec 2026\n\nWhat is not said stays as it was.")]
    Set {
        /// Cars a month, 1 to 31
        #[arg(long, value_name = "N")]
        cars: Option<CarsAMonth>,
        /// The purchase price of one
        #[arg(long, value_name = "AMOUNT", value_parser = Pence::parse_positive)]
        budget: Option<Pence>,
        /// What each is to sell for, as times what it stands in at: 2 is doubled
        #[arg(long, value_name = "X")]
        multiple: Option<Multiple>,
        /// From which month on [this]
        #[arg(long, value_name = "MONTH")]
        from: Option<WrittenMonth>,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
}

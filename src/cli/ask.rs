//! `ask`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use clap::Args;

/// Set what a car is advertised at.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout ask 1 1,185\n  runabout ask 1 1,185 --lowest 1,060\n\n\
On a terminal it asks for what is left out.")]
pub struct AskArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The price advertised
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// The lowest you would still take
    #[arg(long, value_name = "AMOUNT")]
    pub lowest: Option<Pence>,
    /// The day it was set [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

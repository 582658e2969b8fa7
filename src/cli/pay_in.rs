//! `pay-in`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::PaidBy;
use clap::Args;

/// Put the owner's money, or a loan, into the float.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout pay-in 1,850\n  runabout pay-in 420 --loan \"Aunt Wyn\" --paid cash\n\n\
On a terminal it asks for what is left out.")]
pub struct PayInArgs {
    /// How much
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// Into cash or bank
    #[arg(long, value_name = "HOW")]
    pub paid: Option<PaidBy>,
    /// It is a loan from NAME
    #[arg(long, value_name = "NAME")]
    pub loan: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

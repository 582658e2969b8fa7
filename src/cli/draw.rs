//! `draw`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::PaidBy;
use clap::Args;

/// Take the owner's money out of the float, or pay back a loan.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout draw 230\n  runabout draw 85 --loan \"Aunt Wyn\" --paid cash\n\n\
On a terminal it asks for what is left out.")]
pub struct DrawArgs {
    /// How much
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// From cash or bank
    #[arg(long, value_name = "HOW")]
    pub paid: Option<PaidBy>,
    /// It pays back a loan from NAME
    #[arg(long, value_name = "NAME")]
    pub loan: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

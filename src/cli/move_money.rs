//! `move`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::PaidBy;
use clap::Args;

/// Move money between cash in hand and the bank.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout move 640 cash bank\n  runabout move 135 bank cash --on yesterday\n\n\
On a terminal it asks for what is left out.")]
pub struct MoveArgs {
    /// How much
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// From: cash or bank
    #[arg(value_name = "FROM")]
    pub from: PaidBy,
    /// To: bank or cash
    #[arg(value_name = "TO")]
    pub to: PaidBy,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

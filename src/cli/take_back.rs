//! `take-back`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::PaidBy;
use clap::Args;

/// Take a sold car back from its buyer: the sale is reversed, the car is stock again.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout take-back 4 --reason \"gearbox failed\"\n  \
runabout take-back 4 --refund 865 --on yesterday --paid bank\n\n\
Without --refund all the money received goes back. What you keep is other income of the month.\n\n\
What the buyer is not to read goes in `runabout note 4 TEXT`.\n\n\
On a terminal it asks for what is left out.")]
pub struct TakeBackArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The day it came back [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// What goes back to the buyer [all the money received]
    #[arg(long, value_name = "AMOUNT")]
    pub refund: Option<Pence>,
    /// How it is paid: cash, bank, card or own
    #[arg(long, value_name = "HOW", conflicts_with = "unpaid")]
    pub paid: Option<PaidBy>,
    /// The refund is agreed but not paid yet
    #[arg(long)]
    pub unpaid: bool,
    /// Give back the car taken in, or its allowance in money once it is gone
    #[arg(long)]
    pub return_part_exchange: bool,
    /// Why it came back, as the buyer reads it on the credit note; the stock book shows it too
    #[arg(long, value_name = "TEXT")]
    pub reason: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

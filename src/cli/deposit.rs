//! `deposit`.

use crate::cli::Trying;
use crate::domain::days::day::{DayAhead, WrittenDay};
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::PaidBy;
use clap::{ArgGroup, Args};

/// Take a deposit on a car, give it back or keep it.
#[derive(Debug, Args)]
#[command(
    group = ArgGroup::new("what").required(true).multiple(false),
    after_help = "Examples:\n  runabout deposit 1 75 --by \"D Farrow\" --hold-until 5/12/2026\n  \
runabout deposit KX42 RTO 120 --paid cash\n\n\
A deposit counts towards the price when the car is sold. `deposit 1 --give-back` hands it back,\n\
`deposit 1 --keep` makes it yours: say so to a buyer before you take it, and keep no more than he cost you.\n\n\
On a terminal it asks for what is left out."
)]
pub struct DepositArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// How much is taken
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive, group = "what")]
    pub amount: Option<Pence>,
    /// Give it back, all or part of it
    #[arg(long, value_name = "AMOUNT", num_args = 0..=1, value_parser = Pence::parse_positive, group = "what")]
    pub give_back: Option<Option<Pence>>,
    /// Keep it: the buyer did not come back
    #[arg(long, group = "what", conflicts_with_all = ["by", "paid", "hold_until"])]
    pub keep: bool,
    /// Who paid it
    #[arg(long, value_name = "NAME", conflicts_with = "give_back")]
    pub by: Option<Wording>,
    /// Until when the car is kept for it
    #[arg(long, value_name = "DATE", conflicts_with = "give_back")]
    pub hold_until: Option<DayAhead>,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// How it was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW")]
    pub paid: Option<PaidBy>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

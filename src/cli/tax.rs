//! `tax`.

use crate::cli::Trying;
use crate::domain::days::day::{DayAhead, WrittenDay};
use crate::domain::law::vehicle_tax::TaxMonths;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::PaidBy;
use clap::{ArgGroup, Args};

/// Record vehicle tax taken out, a SORN, or neither.
#[derive(Debug, Args)]
#[command(
    group = ArgGroup::new("what").required(true).multiple(false),
    after_help = "Examples:\n  runabout tax 1 --months 6 --rate 195\n  runabout tax KX42 RTO --sorn\n\n\
Tax never passes with a car. It runs from the first of the month it starts in. With --rate or\n\
--paid-amount the money is booked as a cost on the car.\n\n\
On a terminal it asks for what is left out."
)]
pub struct TaxArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// Taxed for 6 or 12 months
    #[arg(long, value_name = "6|12", group = "what")]
    pub months: Option<TaxMonths>,
    /// Declared off the road
    #[arg(long, group = "what")]
    pub sorn: bool,
    /// Neither taxed nor declared off the road
    #[arg(long, group = "what")]
    pub none: bool,
    /// The day the tax starts, with its year if it lies ahead [the day it was done]
    #[arg(long, value_name = "DATE", requires = "months")]
    pub from: Option<DayAhead>,
    /// The yearly rate, from which six months and a refund are worked out
    #[arg(long, value_name = "AMOUNT", requires = "months")]
    pub rate: Option<Pence>,
    /// What was paid [worked out from the rate]
    #[arg(long, value_name = "AMOUNT", requires = "months")]
    pub paid_amount: Option<Pence>,
    /// How it was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW", requires = "months")]
    pub paid: Option<PaidBy>,
    /// The day it was done [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

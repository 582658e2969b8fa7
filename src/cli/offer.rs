//! `offer`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use clap::Args;

/// Record an offer, and see what taking it would make.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout offer 1 985\n  runabout offer KX42 RTO 1,025 --by \"D Farrow\" --dry-run\n\n\
On a terminal it asks for what is left out."
)]
pub struct OfferArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// What was offered
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// Who offered it
    #[arg(long, value_name = "NAME")]
    pub by: Option<Wording>,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

//! `journey`.

use crate::cli::Trying;
use crate::domain::book::journey::Distance;
use crate::domain::days::day::WrittenDay;
use clap::Args;

/// Log business miles in your own vehicle, for the flat rate. Not for cars in stock, nor for a vehicle
/// whose cost or fuel you claim.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout journey 42 \"to the auction and back\"\n  runabout journey 12.5 collecting parts --on mon\n\n\
On a terminal it asks for what is left out."
)]
pub struct JourneyArgs {
    /// How far, in miles: 12, 12.5 or 1,200
    #[arg(value_name = "MILES")]
    pub miles: Distance,
    /// What for
    #[arg(value_name = "PURPOSE", num_args = 1.., required = true)]
    pub purpose: Vec<String>,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

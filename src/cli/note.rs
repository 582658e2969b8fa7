//! `note`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::car_ref::CarRef;
use clap::Args;

/// Write a note on a car.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout note 1 \"rear arch will want welding before the test\"\n  runabout note KX42 RTO V5C arrived --on mon\n\n\
On a terminal it asks for what is left out."
)]
pub struct NoteArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The note, for yourself: no buyer's paper shows it
    #[arg(value_name = "TEXT", num_args = 1.., required = true)]
    pub text: Vec<String>,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

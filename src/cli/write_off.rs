//! `write-off`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use clap::Args;

/// Give up money a buyer owes and will never pay.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout write-off 4 65\n  runabout write-off UT48 KEM 112.40 --on 21/11\n\n\
On a terminal it asks for what is left out.")]
pub struct WriteOffArgs {
    /// The car he still owes for
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// How much will not come
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

//! `log`.

use crate::domain::value::car_ref::CarRef;
use crate::domain::value::count::Count;
use clap::Args;

/// What was recorded, newest first; with a car, its whole history in plain words.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout log\n  runabout log KX42 RTO")]
pub struct LogArgs {
    /// One car's history
    #[arg(value_name = "CAR")]
    pub car: Option<CarRef>,
    /// How many entries [20; all for a car]
    #[arg(long, value_name = "N")]
    pub last: Option<Count<1, 1_000_000>>,
}

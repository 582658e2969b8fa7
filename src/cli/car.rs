//! `car`.

use crate::domain::value::car_ref::CarRef;
use clap::Args;

/// Everything about one car, line by line.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout car 1\n  runabout car KX42 RTO --format csv")]
pub struct CarArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// Only one list: `lines` or `own-hours` [lines]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
}

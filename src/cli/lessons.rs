//! `lessons`.

use crate::domain::figures::lessons::By;
use clap::Args;

/// What has paid: your sold cars by make, fuel, source, age, mileage, price, spend or fault.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout lessons\n  runabout lessons --by age")]
pub struct LessonsArgs {
    /// make, fuel, source, age, mileage, price, heading or fault [make]
    #[arg(long, value_name = "WHAT", default_value = "make", hide_default_value = true)]
    pub by: By,
}

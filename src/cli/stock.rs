//! `stock`.

use clap::Args;

/// The cars on the yard: days, what each stands you in at, what lapses soon.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout stock\n  runabout stock --as-of 31/10 --format csv")]
pub struct StockArgs {}

//! `cash`.

use clap::Args;

/// Cash in hand, bank, what is owed and what is tied up.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout cash\n  runabout cash --as-of 31/10 --format json")]
pub struct CashArgs {}

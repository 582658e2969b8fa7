//! `verify`.

use clap::Args;

/// Check the file and every value in it, its history against its rows, every month's proof against the cash,
/// closed months and receipts.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout verify\n  runabout verify --format json\n\n\
Nothing is changed. It exits 3 when something is found.")]
pub struct VerifyArgs {}

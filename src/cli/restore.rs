//! `restore`.

use clap::Args;
use std::path::PathBuf;

/// Put a copy in the place of the book; what was there is kept beside it.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout restore stick.book\n  runabout restore stick.book --format json")]
pub struct RestoreArgs {
    /// The copy, made by `backup`
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
}

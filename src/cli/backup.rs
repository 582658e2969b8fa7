//! `backup`.

use clap::Args;
use std::path::PathBuf;

/// Copy the book, with its receipts, and read the copy through.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout backup\n  runabout backup stick.book\n\n\
Without FILE the copy goes to the folder of backups beside the book, dated, and the oldest of those beyond\n\
the setting backup-keep goes. A copy that lacks a receipt says so in a file beside it, .incomplete.txt. Keep one somewhere else too: a stick, another machine.")]
pub struct BackupArgs {
    /// Where the copy goes [beside the book, dated]
    #[arg(value_name = "FILE")]
    pub file: Option<PathBuf>,
    /// Write over a file that is there, though Runabout did not make it; never over a book or a receipt
    #[arg(long, requires = "file")]
    pub replace: bool,
}

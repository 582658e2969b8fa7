//! `manual`.

use clap::Args;
use std::path::PathBuf;

/// Print the manual, or write all its pages to a folder.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout manual\n  runabout manual standing add\n  runabout manual --dir man1\n\n\
A page is roff, as `man` reads it: runabout manual | man -l -\n\
With --dir there is a page for the whole and one for each command, named as `man` looks for them."
)]
pub struct ManualArgs {
    /// The command to explain [the whole]
    #[arg(value_name = "COMMAND", conflicts_with = "dir")]
    pub command: Vec<String>,
    /// Write every page to this folder, which is made when it is not there
    #[arg(long, value_name = "DIR")]
    pub dir: Option<PathBuf>,
    /// Write over a file that is there, though Runabout did not make it; never over a book or a receipt
    #[arg(long, requires = "dir")]
    pub replace: bool,
}

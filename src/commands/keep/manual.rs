//! `manual`.

use clap::Args;
use std::path::PathBuf;

/// The word that stands for the licences where a command is asked for.
pub const LICENCE: &str = "licence";

/// Print the manual, or write all its pages to a folder.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout manual\n  runabout manual standing add\n  runabout manual --dir man1\n  \
runabout manual licence\n\n\
A page is roff, as `man` reads it: runabout manual | man -l -\n\
With --dir there is a page for the whole and one for each command, named as `man` looks for them. \
`manual licence` prints the two licences, of which you may choose one."
)]
pub struct ManualArgs {
    /// The command to explain, or licence [the whole]
    #[arg(value_name = "COMMAND", conflicts_with = "dir")]
    pub command: Vec<String>,
    /// Write every page to this folder, which is made when it is not there
    #[arg(long, value_name = "DIR")]
    pub dir: Option<PathBuf>,
    /// Write over a file that is there, though Runabout did not make it; never over a book or a receipt
    #[arg(long, requires = "dir")]
    pub replace: bool,
}

impl ManualArgs {
    /// `licence`, as it is spelt on either side of the sea.
    pub fn asks_for_the_licences(&self) -> bool {
        matches!(self.command.as_slice(), [word] if word == LICENCE || word == "license")
    }
}

//! `undo`.

use crate::cli::Trying;
use crate::domain::value::target::Whole;
use clap::Args;

/// Take back an entry. Alone it takes back the latest that still stands, so saying it again steps
/// further back; naming an undo brings back what it took away.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout undo\n  runabout undo 12")]
pub struct UndoArgs {
    /// The entry's number [the latest that stands]
    #[arg(value_name = "N")]
    pub entry: Option<Whole>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

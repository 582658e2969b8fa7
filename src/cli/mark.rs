//! `mark`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::mark::Mark;
use clap::Args;

/// Give a car a mark, or change it. The old one is still found, and the stock book keeps it.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout mark 3 JU48HVD\n  runabout mark 3 \"UT48 KEM\" --on 3/11\n\n\
On a terminal it asks for what is left out.")]
pub struct MarkArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The mark it has now
    #[arg(value_name = "NEWMARK")]
    pub mark: Mark,
    /// Since when [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

//! `done`.

use crate::cli::Trying;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::target::Whole;
use clap::Args;

/// Mark items of `due` as dealt with: a notice sent, a refund come.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout done 161\n  runabout done 161 162 --on yesterday")]
pub struct DoneArgs {
    /// The item's number, as `due` shows it; several at once
    #[arg(value_name = "ITEM-NUMBER", required = true)]
    pub items: Vec<Whole>,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

//! `due`.

use crate::domain::due::due_item::DueKind;
use crate::domain::value::count::DaysAhead;
use clap::Args;

/// Everything dated, soonest first: MOT, tax, notices, papers, money owed, standing costs.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout due\n  runabout due --within 90 --kind mot\n  runabout due --check\n\n\
--check is for a scheduler: it prints nothing and exits 0 when nothing presses, else lists it and exits 3.")]
pub struct DueArgs {
    /// How many days ahead, up to 3650
    #[arg(long, value_name = "DAYS", default_value = "30")]
    pub within: DaysAhead,
    /// Only one kind: mot, tax, paper, balance and so on
    #[arg(long, value_name = "KIND")]
    pub kind: Option<DueKind>,
    /// Only what is overdue or inside its own lead time; exit 3 if anything is
    #[arg(long)]
    pub check: bool,
}

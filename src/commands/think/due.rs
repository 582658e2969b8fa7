//! `due`: everything dated.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::Context;
use crate::commands::steps::due_items::every_item;
use crate::domain::due::due_item::DueKind;
use crate::domain::value::count::DaysAhead;
use crate::error::Error;
use crate::report::Report;
use crate::report::yard::due::DueReport;
use crate::store::Reader;
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

/// Kinds that never count for `--check` unless named.
const QUIET: &[DueKind] = &[DueKind::Slot, DueKind::Standing, DueKind::StockAge];

impl Looks for DueArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        let mut items = every_item(reader, context)?;
        items.retain(|item| self.kind.is_none_or(|kind| item.kind == kind));
        let found = if self.check {
            items.retain(|item| {
                if self.kind.is_some() && QUIET.contains(&item.kind) {
                    item.days_left <= Some(self.within.days())
                } else {
                    item.presses()
                }
            });
            !items.is_empty()
        } else {
            items.retain(|item| item.days_left.is_none_or(|left| left <= self.within.days()));
            false
        };
        Ok(DueReport::new(context.today, items, self.check, found).into())
    }
}

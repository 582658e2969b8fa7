//! `done`: items of `due` marked as dealt with.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::due_items::every_item;
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::refusal::Refusal;
use crate::domain::value::target::Whole;
use crate::error::Error;
use crate::report::Report;
use crate::store::Book;
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

impl Records for DoneArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        Ok(record(book, context, "done", self.trying.dry_run, |recording| {
            let listed = every_item(recording.read(), context)?;
            let mut told = Vec::new();
            let mut cars = Vec::new();
            for number in self.items.iter().map(|item| i64::from(item.0)) {
                let item = listed.iter().find(|item| item.number == number).ok_or(Refusal::NotDue { number })?;
                if !item.until_done {
                    return Err(
                        Refusal::NotDoneByWord { number, kind: item.kind.word(), action: item.action.clone() }.into()
                    );
                }
                recording.add_dealt_with(number, on)?;
                told.push(format!("{} of {}", item.kind, item.subject));
                cars.extend(item.stock_no);
            }
            cars.sort_unstable();
            cars.dedup();
            Ok(ReadBack::new(format!("dealt with {} on {}", told.join(", "), long(on)), cars))
        })?
        .into())
    }
}

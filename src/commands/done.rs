//! `done`: items of `due` marked as dealt with.

use crate::cli::done::DoneArgs;
use crate::commands::Context;
use crate::commands::due::every_item;
use crate::commands::recording::{Said, record};
use crate::domain::days::day::long;
use crate::domain::refusal::Refusal;
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::store::Book;

pub fn run(args: &DoneArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    record(book, context, "done", args.trying.dry_run, |recording| {
        let listed = every_item(recording.read(), context)?;
        let mut told = Vec::new();
        let mut cars = Vec::new();
        for number in args.items.iter().map(|item| i64::from(item.0)) {
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
        Ok(Said::new(format!("dealt with {} on {}", told.join(", "), long(on)), cars))
    })
}

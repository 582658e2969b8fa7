//! `write-off`: money a buyer owes that will never come.

use crate::cli::write_off::WriteOffArgs;
use crate::commands::recording::{Said, record, to_whom};
use crate::commands::{Context, lookup};
use crate::domain::book::claims::owed_by_buyer;
use crate::domain::days::day::{LAST_DAY, long};
use crate::domain::refusal::Refusal;
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::store::Book;

pub fn run(args: &WriteOffArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    record(book, context, "write-off", args.trying.dry_run, |recording| {
        let (car, sale) = lookup::car_sold(recording.read(), &args.car)?;
        let owed = owed_by_buyer(&car, LAST_DAY);
        if args.amount > owed {
            let who = format!("by the buyer of {}", car.label());
            return Err(Refusal::MoreThanOwed { given: args.amount, owed, who }.into());
        }
        recording.add_write_off(car.stock_no, on, args.amount)?;
        let left = owed - args.amount;
        let by = to_whom("by", sale.buyer.as_deref());
        let summary =
            format!("wrote off {} owed{by} for {} on {}; {left} left to come", args.amount, car.label(), long(on));
        let mut said = Said::new(summary, [car.stock_no]);
        said.notes
            .push("it stands beside the month's profit and in its proof against the cash, not in the profit".into());
        Ok(said)
    })
}

//! `write-off`: money a buyer owes that will never come.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::question::{Ask, DAY, SOLD_CAR, needed};
use crate::commands::steps::recording::{ReadBack, record, to_whom};
use crate::domain::book::claims::owed_by_buyer;
use crate::domain::days::day::{LAST_DAY, WrittenDay, long};
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::error::Error;
use crate::report::Report;
use crate::store::Book;
use clap::Args;

/// Give up money a buyer owes and will never pay.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout write-off 4 65\n  runabout write-off UT48 KEM 112.40 --on 21/11\n\n\
On a terminal it asks for what is left out.")]
pub struct WriteOffArgs {
    /// The car they still owe for
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// How much will not come
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl WriteOffArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[SOLD_CAR, needed("amount", "How much will not come"), DAY];
}

impl Records for WriteOffArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        Ok(record(book, context, "write-off", self.trying.dry_run, |recording| {
            let (car, sale) = lookup::car_sold(recording.read(), &self.car)?;
            let owed = owed_by_buyer(&car, LAST_DAY);
            if self.amount > owed {
                let who = format!("by the buyer of {}", car.label());
                return Err(Refusal::MoreThanOwed { given: self.amount, owed, who }.into());
            }
            recording.add_write_off(car.stock_no, on, self.amount)?;
            let left = owed - self.amount;
            let by = to_whom("by", sale.buyer.as_deref());
            let summary =
                format!("wrote off {} owed{by} for {} on {}; {left} left to come", self.amount, car.label(), long(on));
            let mut said = ReadBack::new(summary, [car.stock_no]);
            said.notes.push(
                "it stands beside the month's profit and in its proof against the cash, not in the profit".into(),
            );
            Ok(said)
        })?
        .into())
    }
}

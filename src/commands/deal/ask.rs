//! `ask`: what a car is advertised at.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::lookup;
use crate::commands::steps::question::{Ask, CAR, needed, optional};
use crate::commands::steps::recording::{ReadBack, record};
use crate::commands::steps::roadworthy_note::roadworthy_notes;
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::figures::car_figures::stands_in;
use crate::domain::figures::stock_ratios::multiple;
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::error::Error;
use crate::report::Report;
use crate::store::Book;
use clap::Args;

/// Set what a car is advertised at.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout ask 1 1,185\n  runabout ask 1 1,185 --lowest 1,060\n\n\
On a terminal it asks for what is left out.")]
pub struct AskArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The price advertised
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// The lowest you would still take
    #[arg(long, value_name = "AMOUNT")]
    pub lowest: Option<Pence>,
    /// The day it was set [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl AskArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] =
        &[CAR, needed("amount", "Asking price"), optional("lowest", "Lowest you would take")];
}

impl Records for AskArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        Ok(record(book, context, "ask", self.trying.dry_run, |recording| {
            let reader = recording.read();
            let car = lookup::car_in_stock(reader, &self.car, on)?;
            if let Some(lowest) = self.lowest.filter(|lowest| *lowest > self.amount) {
                return Err(Refusal::LowestAboveAsking { lowest, asking: self.amount }.into());
            }
            recording.add_asking_price(car.stock_no, on, self.amount, self.lowest)?;
            let lowest = self.lowest.map(|lowest| format!(", lowest {lowest}")).unwrap_or_default();
            let mut said = ReadBack::new(
                format!("asking {} for {} from {}{lowest}", self.amount, car.label(), long(on)),
                [car.stock_no],
            );
            let stands_in = stands_in(&car, context.today, &settings_of(reader)?.registration);
            if let Some(multiple) = multiple(self.amount, stands_in) {
                said.notes.push(format!("that is {multiple} times what it stands in at"));
            }
            said.notes.extend(roadworthy_notes(reader, &car, on)?);
            Ok(said)
        })?
        .into())
    }
}

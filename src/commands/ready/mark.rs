//! `mark`: a mark given or changed.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::question::{ANY_CAR, Ask, DAY, needed};
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::days::mark_period::newer_than;
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::mark::Mark;
use crate::error::Error;
use crate::report::Report;
use crate::store::Book;
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

impl MarkArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[ANY_CAR, needed("mark", "Its mark now"), DAY.words("Since which day")];
}

impl Records for MarkArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        Ok(record(book, context, "mark", self.trying.dry_run, |recording| {
            let reader = recording.read();
            let car = lookup::car(reader, &self.car)?;
            if on < car.bought_on {
                return Err(Refusal::BeforePurchase { car: car.label(), given: on, bought: car.bought_on }.into());
            }
            let carrier = reader.vehicle_by_mark(&self.mark)?;
            if let Some(stock_no) = carrier.and_then(|found| found.in_stock_as) {
                let carrier = lookup::whole_car(reader, stock_no)?.label();
                return Err(Refusal::MarkCarried { mark: self.mark.to_string(), car: carrier }.into());
            }
            recording.add_mark(car.vehicle.vehicle_no, &self.mark, on)?;
            let mut said =
                ReadBack::new(format!("{} carries {} from {}", car.label(), self.mark, long(on)), [car.stock_no]);
            if car.vehicle.first_registered.is_some_and(|registered| newer_than(&self.mark, registered)) {
                said.notes.push(format!(
                    "{} was first issued after this car was registered: a mark may not make a car look newer",
                    self.mark
                ));
            }
            Ok(said)
        })?
        .into())
    }
}

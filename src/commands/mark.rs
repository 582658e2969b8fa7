//! `mark`: a mark given or changed.

use crate::cli::mark::MarkArgs;
use crate::commands::recording::{Said, record};
use crate::commands::{Context, lookup};
use crate::domain::days::day::long;
use crate::domain::days::mark_period::newer_than;
use crate::domain::refusal::Refusal;
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::store::Book;

pub fn run(args: &MarkArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    record(book, context, "mark", args.trying.dry_run, |recording| {
        let reader = recording.read();
        let car = lookup::car(reader, &args.car)?;
        if on < car.bought_on {
            return Err(Refusal::BeforePurchase { car: car.label(), given: on, bought: car.bought_on }.into());
        }
        let carrier = reader.vehicle_by_mark(&args.mark)?;
        if let Some(stock_no) = carrier.and_then(|found| found.in_stock_as) {
            let carrier = lookup::whole_car(reader, stock_no)?.label();
            return Err(Refusal::MarkCarried { mark: args.mark.to_string(), car: carrier }.into());
        }
        recording.add_mark(car.vehicle.vehicle_no, &args.mark, on)?;
        let mut said = Said::new(format!("{} carries {} from {}", car.label(), args.mark, long(on)), [car.stock_no]);
        if car.vehicle.first_registered.is_some_and(|registered| newer_than(&args.mark, registered)) {
            said.notes.push(format!(
                "{} was first issued after this car was registered: a mark may not make a car look newer",
                args.mark
            ));
        }
        Ok(said)
    })
}

//! `hours`: own time on a car.

use crate::cli::hours::HoursArgs;
use crate::commands::recording::{Said, record};
use crate::commands::{Context, lookup};
use crate::domain::days::day::long;
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::store::Book;

pub fn run(args: &HoursArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    record(book, context, "hours", args.trying.dry_run, |recording| {
        let car = lookup::car(recording.read(), &args.car)?;
        let note = args.note.as_ref().map(AsRef::as_ref);
        recording.add_own_hours(car.stock_no, on, args.hours.minutes(), note)?;
        Ok(Said::new(format!("{} of your own on {} on {}", args.hours, car.label(), long(on)), [car.stock_no]))
    })
}

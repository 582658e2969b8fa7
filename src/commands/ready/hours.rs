//! `hours`: own time on a car.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::question::{ANY_CAR, Ask, DAY, needed, optional};
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::hours::Hours;
use crate::domain::value::wording::Wording;
use crate::error::Error;
use crate::report::Report;
use crate::store::Book;
use clap::Args;

/// Log your own hours on a car. They are never a cost; they give profit per hour.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout hours 1 2.5\n  runabout hours KX42 RTO 1h30 --note \"front brakes\"\n\n\
On a terminal it asks for what is left out.")]
pub struct HoursArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// How long: 2, 2.5, 2h30 or 2:30
    #[arg(value_name = "HOURS")]
    pub hours: Hours,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// What you did, for yourself
    #[arg(long, value_name = "TEXT")]
    pub note: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl HoursArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] =
        &[ANY_CAR, needed("hours", "How long (2, 1h30)"), optional("note", "What you did"), DAY];
}

impl Records for HoursArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        Ok(record(book, context, "hours", self.trying.dry_run, |recording| {
            let car = lookup::car(recording.read(), &self.car)?;
            let note = self.note.as_ref().map(AsRef::as_ref);
            recording.add_own_hours(car.stock_no, on, self.hours.minutes(), note)?;
            Ok(ReadBack::new(format!("{} of your own on {} on {}", self.hours, car.label(), long(on)), [car.stock_no]))
        })?
        .into())
    }
}

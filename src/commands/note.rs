//! `note`: a note on a car.

use crate::cli::note::NoteArgs;
use crate::commands::recording::{Said, record};
use crate::commands::{Context, lookup};
use crate::domain::day::long;
use crate::error::Error;
use crate::report::recorded::Recorded;
use crate::store::Book;

pub fn run(args: &NoteArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    record(book, context, "note", args.trying.dry_run, |recording| {
        let car = lookup::car(recording.read(), &args.car)?;
        recording.add_note(car.stock_no, on, args.text.as_str())?;
        Ok(Said::new(format!("note on {} of {}: {}", car.label(), long(on), args.text), [car.stock_no]))
    })
}

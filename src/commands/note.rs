//! `note`: a note on a car.

use crate::cli::note::NoteArgs;
use crate::commands::recording::{Said, record};
use crate::commands::{Context, lookup};
use crate::domain::days::day::long;
use crate::domain::value::wording::Wording;
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::store::Book;

pub fn run(args: &NoteArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    let text: Wording = args.text.join(" ").parse()?;
    record(book, context, "note", args.trying.dry_run, |recording| {
        let car = lookup::car(recording.read(), &args.car)?;
        recording.add_note(car.stock_no, on, text.as_str())?;
        Ok(Said::new(format!("note on {} of {}: {text}", car.label(), long(on)), [car.stock_no]))
    })
}

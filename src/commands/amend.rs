//! `amend`: a fact of an entry put right. The old value stays in the history, and what the entry
//! recorded must still obey the order of events.

use crate::cli::amend::AmendArgs;
use crate::commands::Context;
use crate::commands::amend_fields::{Amendment, amend};
use crate::commands::recording::{Said, check_cars, check_parties, record};
use crate::commands::undo::{blocked, standing_entry};
use crate::domain::facts::EntryNo;
use crate::domain::refusal::Refusal;
use crate::error::Error;
use crate::report::recorded::Recorded;
use crate::store::Book;

pub fn run(args: &AmendArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    record(book, context, "amend", args.trying.dry_run, |recording| {
        let reader = recording.read();
        let entry = EntryNo::from(args.entry.0);
        let row = standing_entry(reader, entry, recording.entry())?;
        let field = args.field.trim().trim_start_matches("--").to_lowercase();
        let mut cars = reader.cars_of_entry(entry)?;
        let Amendment { was, now, moved_to } = amend(recording, &row, &field, &args.value.join(" "), context)?;
        if let Some(moved_to) = moved_to.filter(|moved_to| !cars.contains(moved_to)) {
            cars.push(moved_to);
        }
        let parties = [reader.parties_of_entry(entry)?, reader.parties_of_entry(recording.entry())?].concat();
        for checked in [check_cars(reader, &cars)?, check_parties(reader, &parties)?] {
            checked.map_err(|breach| blocked(reader, entry, breach))?;
        }
        if was == now {
            return Err(Refusal::NothingChanges { field, value: now }.into());
        }
        Ok(Said::new(format!("entry {entry}: {field} is now {now}, was {was}"), cars))
    })
}

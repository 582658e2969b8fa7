//! `amend`: facts of an entry put right. The old values stay in the history, and what the entry
//! recorded must still obey the order of events.

use crate::cli::Trying;
use crate::commands::keep::amend_fields::{Amendment, amend, could_be, names_for};
use crate::commands::keep::undo::blocked;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup::standing_entry;
use crate::commands::steps::recording::{ReadBack, check_cars, check_parties, record};
use crate::commands::steps::sale_notes::who_reads_the_reason;
use crate::domain::refusal::Refusal;
use crate::domain::refusal::amend_reading::{Pair, TwoReadings, apart, named_twice};
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::target::Whole;
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, EntryRow, Recording};
use clap::Args;

/// Put right a fact of an entry, or several at once.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout amend 12 amount 38.60\n  runabout amend 3 make Tamsin model Pike --pairs\n\n\
Purchases have price, on, from, make, model, year, colour, fuel, miles, vin, first-registered,\n\
mot-until, keys, via, mark, purchase-invoice. Costs and receipts have amount, on, heading, to, usual,\n\
vat, paid, note, car. Sales have price, on, to, address, miles, paid, to-trade, delivered, distance,\n\
and the make, model, year, colour, fuel and vin of a car taken in.\n\
`none` takes an optional fact away.\n\n\
Several facts are put right together or not at all. Where a name could be part of a value, it is asked which is \
meant: --pairs says that it begins another fact, quotes that it does not (amend 3 make \"Tamsin model Pike\")."
)]
pub struct AmendArgs {
    /// The entry's number, as the read-back or `log` shows it
    #[arg(value_name = "ENTRY")]
    pub entry: Whole,
    /// Which fact
    #[arg(value_name = "FIELD")]
    pub field: String,
    /// What it should be; FIELD VALUE can follow, more than once
    #[arg(value_name = "VALUE", num_args = 1.., required = true)]
    pub value: Vec<String>,
    /// Take each name of a fact as the beginning of another
    #[arg(long)]
    pub pairs: bool,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl Records for AmendArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        Ok(record(book, context, "amend", self.trying.dry_run, |recording| {
            let reader = recording.read();
            let entry = EntryNo::from(self.entry.0);
            let row = standing_entry(reader, entry, recording.entry())?;
            let pairs = facts_meant(self, recording, &row, context)?;
            let mut cars = reader.cars_of_entry(entry)?;
            let mut changed = Vec::new();
            for (field, value) in &pairs {
                let Amendment { was, now, moved_to } = amend(recording, &row, field, value, context)?;
                if let Some(moved_to) = moved_to.filter(|moved_to| !cars.contains(moved_to)) {
                    cars.push(moved_to);
                }
                changed.push((field, was, now));
            }
            let parties = [reader.parties_of_entry(entry)?, reader.parties_of_entry(recording.entry())?].concat();
            for checked in [check_cars(reader, &cars)?, check_parties(reader, &parties)?] {
                checked.map_err(|breach| blocked(reader, entry, breach))?;
            }
            if let Some((field, _, now)) = changed.first().filter(|_| changed.iter().all(|(_, was, now)| was == now)) {
                return Err(Refusal::NothingChanges { field: (*field).clone(), value: now.clone() }.into());
            }
            let words = changed.iter().map(|(field, was, now)| {
                if was == now {
                    format!("{field} is {now} as before")
                } else {
                    format!("{field} is now {now}, was {was}")
                }
            });
            let words: Vec<String> = words.collect();
            let reason = row.command == "take-back" && changed.iter().any(|(field, ..)| *field == "reason");
            let read_by = cars.first().filter(|_| reason).map(|car| who_reads_the_reason(entry, *car));
            let mut said = ReadBack::new(format!("entry {entry}: {}", words.join("; ")), cars);
            said.notes.extend(read_by);
            Ok(said)
        })?
        .into())
    }
}

/// The facts to put right, each with its value. Words that can be read as one fact and as several are read as
/// neither.
fn facts_meant(
    args: &AmendArgs,
    recording: &Recording<'_>,
    row: &EntryRow,
    context: &Context,
) -> Result<Vec<Pair>, Error> {
    let field = args.field.trim().trim_start_matches("--").to_lowercase();
    let whole = (field.clone(), args.value.join(" "));
    let Some(several) = apart(&field, &args.value, &names_for(recording.read(), row.entry)?) else {
        return Ok(vec![whole]);
    };
    let could = |pair: &Pair| could_be(recording, row, pair, context);
    if args.pairs || !could(&whole)? {
        // What can be neither is told as what its first fact makes it look like.
        let as_several = args.pairs || several.first().map(could).transpose()?.unwrap_or_default();
        return match named_twice(&several).filter(|_| as_several) {
            Some(twice) => Err(Refusal::NamedTwice { what: twice.to_owned() }.into()),
            None => Ok(if as_several { several } else { vec![whole] }),
        };
    }
    for pair in several.iter().filter(|(_, value)| !value.is_empty()) {
        if !could(pair)? {
            return Ok(vec![whole]);
        }
    }
    Err(Refusal::TwoReadings(TwoReadings { entry: row.entry, whole, apart: several }).into())
}

//! `journey`: business miles in the owner's own vehicle.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::question::{Ask, DAY, needed};
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::book::journey::Distance;
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::days::tax_year::TaxYear;
use crate::domain::law::rates::income_tax::MileageRate;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, Reader};
use chrono::NaiveDate;
use clap::Args;

/// Log business miles in your own vehicle, for the flat rate. Not for cars in stock, nor for a vehicle
/// whose cost or fuel you claim.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout journey 42 \"to the auction and back\"\n  runabout journey 12.5 collecting parts --on mon\n\n\
On a terminal it asks for what is left out."
)]
pub struct JourneyArgs {
    /// How far, in miles: 12, 12.5 or 1,200
    #[arg(value_name = "MILES")]
    pub miles: Distance,
    /// What for
    #[arg(value_name = "PURPOSE", num_args = 1.., required = true)]
    pub purpose: Vec<String>,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl JourneyArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[needed("miles", "How many miles"), needed("purpose", "What for"), DAY];
}

impl Records for JourneyArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        // `journey 12 miles to the auction`: the unit is said already.
        let words = self.purpose.iter().map(String::as_str).enumerate();
        let words = words.filter(|(n, word)| *n > 0 || !matches!(*word, "miles" | "mile"));
        let purpose: Wording = words.map(|(_, word)| word).collect::<Vec<_>>().join(" ").parse()?;
        Ok(record(book, context, "journey", self.trying.dry_run, |recording| {
            recording.add_journey(on, self.miles, purpose.as_str())?;
            let mut said = ReadBack::new(format!("{} on {}: {purpose}", self.miles, long(on)), []);
            said.notes.extend(so_far(recording.read(), on)?);
            Ok(said)
        })?
        .into())
    }
}

/// What the tax year of `on` has come to with this journey.
fn so_far(reader: Reader<'_>, on: NaiveDate) -> Result<Option<String>, Error> {
    let year = TaxYear::containing(on);
    let Some(rate) = MileageRate::on_day(&reader.rates(), year.first_day()) else { return Ok(None) };
    let journeys = reader.journeys(year.first_day(), year.last_day())?;
    let distance: Distance = journeys.iter().map(|journey| journey.distance).sum();
    let amount: Pence = distance.at_flat_rate(&rate);
    Ok(Some(format!("{distance} in {year} now: {amount} at the flat rate")))
}

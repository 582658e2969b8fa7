//! `note`: a note on a car.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::question::{ANY_CAR, Ask, needed};
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::wording::Wording;
use crate::error::Error;
use crate::report::Report;
use crate::store::Book;
use clap::Args;

/// Write a note on a car.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout note 1 \"rear arch will want welding before the test\"\n  runabout note KX42 RTO V5C arrived --on mon\n\n\
On a terminal it asks for what is left out."
)]
pub struct NoteArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The note, for yourself: no buyer's paper shows it
    #[arg(value_name = "TEXT", num_args = 1.., required = true)]
    pub text: Vec<String>,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl NoteArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[ANY_CAR, needed("text", "Note")];
}

impl Records for NoteArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        let text: Wording = self.text.join(" ").parse()?;
        Ok(record(book, context, "note", self.trying.dry_run, |recording| {
            let car = lookup::car(recording.read(), &self.car)?;
            recording.add_note(car.stock_no, on, text.as_str())?;
            Ok(ReadBack::new(format!("note on {} of {}: {text}", car.label(), long(on)), [car.stock_no]))
        })?
        .into())
    }
}

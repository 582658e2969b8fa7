//! `check`: how an item of the pre-sale list stands.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::question::{ANY_CAR, Ask, DAY, Takes, needed, optional};
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::checklist::{CheckState, ITEMS, Item, item};
use crate::domain::value::wording::Wording;
use crate::error::Error;
use crate::report::Report;
use crate::store::Book;
use clap::Args;

/// Say how an item of the pre-sale list stands: identity, finance, recall and the rest.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout check 1 identity done\n  runabout check 1 recall not-needed --note \"none outstanding, DVSA site\"\n\n\
`runabout car 1` shows the whole list, and a sale says how much of it is open. An MOT pass does the item mot by \
itself.\n\nNo buyer's paper shows the note. The invoice says that the mileage was checked, and when.\n\n\
On a terminal it asks for what is left out."
)]
pub struct CheckArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// The item
    #[arg(value_name = "ITEM")]
    pub item: String,
    /// done, not-needed or not-done
    #[arg(value_name = "STATE")]
    pub state: CheckState,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// A note, for yourself
    #[arg(long, value_name = "TEXT")]
    pub note: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl CheckArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[
        ANY_CAR,
        needed("item", "Which item (? lists them)").takes(Takes::Item),
        needed("state", "Done, not-needed or not-done"),
        optional("note", "Note"),
        DAY,
    ];
}

impl Records for CheckArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        let found = item_meant(&self.item)?;
        Ok(record(book, context, "check", self.trying.dry_run, |recording| {
            let car = lookup::car(recording.read(), &self.car)?;
            let note = self.note.as_ref().map(AsRef::as_ref);
            recording.add_car_check(car.stock_no, on, found.word, self.state, note)?;
            let note = note.map(|note| format!(": {note}")).unwrap_or_default();
            Ok(ReadBack::new(
                format!("{} of {} is {} on {}{note}", found.word, car.label(), self.state.in_words(), long(on)),
                [car.stock_no],
            ))
        })?
        .into())
    }
}

/// The item of the pre-sale list meant.
pub fn item_meant(typed: &str) -> Result<&'static Item, Error> {
    let words = || ITEMS.iter().map(|item| item.word);
    Ok(item(typed).ok_or_else(|| Refusal::WordUnknown {
        what: "item on the pre-sale list",
        given: typed.to_owned(),
        near: lookup::near_words(typed, words()),
        known: words().collect::<Vec<_>>().join(", "),
    })?)
}

//! `offer`: an offer kept, and what taking it would make, against asking and lowest price.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::lookup;
use crate::commands::steps::question::{Ask, CAR, DAY, needed, optional};
use crate::commands::steps::recording::{ReadBack, record, to_whom};
use crate::commands::steps::roadworthy_note::roadworthy_notes;
use crate::domain::book::facts::Showing;
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::figures::offers::{WouldMake, would_make};
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::error::Error;
use crate::report::{Report, phrase};
use crate::store::Book;
use clap::Args;

/// Record an offer, and see what taking it would make.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout offer 1 985\n  runabout offer KX42 RTO 1,025 --by \"D Farrow\" --dry-run\n\n\
On a terminal it asks for what is left out."
)]
pub struct OfferArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// What was offered
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// Who offered it
    #[arg(long, value_name = "NAME")]
    pub by: Option<Wording>,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl OfferArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] =
        &[CAR, needed("amount", "How much was offered"), optional("by", "Offered by (name)"), DAY];
}

impl Records for OfferArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        Ok(record(book, context, "offer", self.trying.dry_run, |recording| {
            let reader = recording.read();
            let car = lookup::car_in_stock(reader, &self.car, on)?;
            let by = self.by.as_ref().map(AsRef::as_ref);
            recording.add_offer(car.stock_no, on, self.amount, by)?;
            let makes = would_make(&car, self.amount, on, &settings_of(reader)?.registration);
            let showing = reader.showing(&[car.stock_no], on)?.remove(&car.stock_no).unwrap_or_default();
            let offered = format!("{} offered for {}{} on {}", self.amount, car.label(), to_whom("by", by), long(on));
            let mut said = ReadBack::new(format!("{offered}, {}", making(&makes)), [car.stock_no]);
            said.notes.extend(against(self.amount, &showing));
            said.notes.extend(roadworthy_notes(reader, &car, on)?);
            Ok(said)
        })?
        .into())
    }
}

/// `making £145.15 (31.00 %, 1.31 times) in 12 days`.
fn making(makes: &WouldMake) -> String {
    let word = if makes.profit.is_negative() { "losing" } else { "making" };
    let measures = match (makes.return_pct, makes.multiple) {
        (Some(percent), Some(multiple)) => format!(" ({percent} %, {multiple} times)"),
        _ => String::new(),
    };
    format!("{word} {}{measures} in {}", makes.profit.abs(), phrase::days(makes.days))
}

/// How the offer stands to what is asked and the lowest that would be taken.
fn against(offer: Pence, showing: &Showing) -> Option<String> {
    let apart = |price: Option<Pence>, name: &str| {
        price.map(|price| match offer - price {
            gap if gap.is_zero() => format!("just your {name} price of {price}"),
            gap if gap.is_negative() => format!("{} under your {name} price of {price}", gap.abs()),
            gap => format!("{gap} over your {name} price of {price}"),
        })
    };
    let said: Vec<String> =
        [apart(showing.asking_price, "asking"), apart(showing.lowest_price, "lowest")].into_iter().flatten().collect();
    (!said.is_empty()).then(|| said.join(", "))
}

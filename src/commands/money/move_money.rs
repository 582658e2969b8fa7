//! `move`: between cash in hand and the bank.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::question::{Ask, DAY, needed};
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::refusal::Refusal;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{PaidBy, Pocket, Purpose};
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, NewMovement};
use clap::Args;

/// Move money between cash in hand and the bank.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout move 640 cash bank\n  runabout move 135 bank cash --on yesterday\n\n\
On a terminal it asks for what is left out.")]
pub struct MoveArgs {
    /// How much
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// From: cash or bank
    #[arg(value_name = "FROM")]
    pub from: PaidBy,
    /// To: bank or cash
    #[arg(value_name = "TO")]
    pub to: PaidBy,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl MoveArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] =
        &[needed("amount", "How much"), needed("from", "From cash or bank"), needed("to", "To bank or cash"), DAY];
}

impl Records for MoveArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        let (from, to) = (self.from.pocket(), self.to.pocket());
        if from == Pocket::Own || to == Pocket::Own {
            let accepted = "cash or bank; `pay-in` and `draw` move your own money";
            return Err(Refusal::PocketNotForThis { pocket: "own", accepted }.into());
        }
        if from == to {
            return Err(Refusal::DoesNotGoWith { what: to.word(), with: "itself: move between cash and bank" }.into());
        }
        Ok(record(book, context, "move", self.trying.dry_run, |recording| {
            for (pocket, amount) in [(from, -self.amount), (to, self.amount)] {
                recording.add_movement(&NewMovement {
                    on,
                    pocket,
                    amount,
                    purpose: Purpose::Transfer,
                    stock_no: None,
                    party: None,
                    note: None,
                })?;
            }
            Ok(ReadBack::new(format!("moved {} from {} to {} on {}", self.amount, from, to, long(on)), []))
        })?
        .into())
    }
}

//! `move`: between cash in hand and the bank.

use crate::cli::Trying;
use crate::commands::Context;
use crate::commands::steps::recording::{Said, record};
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::refusal::Refusal;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{PaidBy, Pocket, Purpose};
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
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

pub fn run(args: &MoveArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    let (from, to) = (args.from.pocket(), args.to.pocket());
    if from == Pocket::Own || to == Pocket::Own {
        let accepted = "cash or bank; `pay-in` and `draw` move your own money";
        return Err(Refusal::PocketNotForThis { pocket: "own", accepted }.into());
    }
    if from == to {
        return Err(Refusal::DoesNotGoWith { what: to.word(), with: "itself: move between cash and bank" }.into());
    }
    record(book, context, "move", args.trying.dry_run, |recording| {
        for (pocket, amount) in [(from, -args.amount), (to, args.amount)] {
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
        Ok(Said::new(format!("moved {} from {} to {} on {}", args.amount, from, to, long(on)), []))
    })
}

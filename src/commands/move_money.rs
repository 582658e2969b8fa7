//! `move`: between cash in hand and the bank.

use crate::cli::move_money::MoveArgs;
use crate::commands::Context;
use crate::commands::recording::{Said, record};
use crate::domain::days::day::long;
use crate::domain::refusal::Refusal;
use crate::domain::value::words::{Pocket, Purpose};
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::store::{Book, NewMovement};

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

//! `move`: between cash in hand and the bank.

use crate::cli::move_money::MoveArgs;
use crate::commands::Context;
use crate::commands::recording::{Said, record};
use crate::domain::day::long;
use crate::domain::refusal::Refusal;
use crate::domain::words::{Pocket, Purpose};
use crate::error::Error;
use crate::report::recorded::Recorded;
use crate::store::{Book, NewMovement};

pub fn run(args: &MoveArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    for pocket in [args.from, args.to] {
        if pocket == Pocket::Own {
            return Err(Refusal::PocketNotForThis {
                pocket: "own",
                accepted: "cash or bank; `pay-in` and `draw` move your own money",
            }
            .into());
        }
    }
    if args.from == args.to {
        return Err(Refusal::DoesNotGoWith { what: args.to.word(), with: "itself: move between cash and bank" }.into());
    }
    record(book, context, "move", args.trying.dry_run, |recording| {
        for (pocket, amount) in [(args.from, -args.amount), (args.to, args.amount)] {
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
        Ok(Said::new(format!("moved {} from {} to {} on {}", args.amount, args.from, args.to, long(on)), []))
    })
}

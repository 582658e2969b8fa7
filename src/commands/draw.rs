//! `draw`: the owner's money out of the float, or a loan paid back.

use crate::cli::draw::DrawArgs;
use crate::commands::Context;
use crate::commands::pay_in::move_owner_money;
use crate::commands::recording::{Said, paid_words, record};
use crate::domain::days::day::long;
use crate::domain::refusal::Refusal;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::Purpose;
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::store::Book;

pub fn run(args: &DrawArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    record(book, context, "draw", args.trying.dry_run, |recording| {
        let Some(lender) = &args.loan else {
            let pocket = move_owner_money(recording, -args.amount, on, args.paid, None)?;
            return Ok(Said::new(format!("drew {} on {}, {}", args.amount, long(on), paid_words(pocket)), []));
        };
        let owed: Pence = recording
            .read()
            .movements_with(Purpose::Loan, lender.as_str())?
            .iter()
            .map(|movement| movement.amount)
            .sum();
        if args.amount > owed {
            return Err(Refusal::MoreThanOwed { given: args.amount, owed, who: format!("to {lender}") }.into());
        }
        let pocket = move_owner_money(recording, -args.amount, on, args.paid, Some(lender))?;
        let left = owed - args.amount;
        Ok(Said::new(
            format!(
                "paid back {} to {lender} on {}, {}; {left} left to pay back",
                args.amount,
                long(on),
                paid_words(pocket)
            ),
            [],
        ))
    })
}

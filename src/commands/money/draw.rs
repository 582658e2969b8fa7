//! `draw`: the owner's money out of the float, or a loan paid back.

use crate::cli::Trying;
use crate::commands::money::pay_in::move_owner_money;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::question::{Ask, DAY, PAID, needed};
use crate::commands::steps::recording::{ReadBack, paid_words, record};
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::refusal::Refusal;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{PaidBy, Purpose};
use crate::error::Error;
use crate::report::Report;
use crate::report::keep::recorded::Recorded;
use crate::store::Book;
use clap::Args;

/// Take the owner's money out of the float, or pay back a loan.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout draw 230\n  runabout draw 85 --loan \"Aunt Wyn\" --paid cash\n\n\
On a terminal it asks for what is left out.")]
pub struct DrawArgs {
    /// How much
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// From cash or bank
    #[arg(long, value_name = "HOW")]
    pub paid: Option<PaidBy>,
    /// It pays back a loan from NAME
    #[arg(long, value_name = "NAME")]
    pub loan: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl DrawArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[needed("amount", "How much"), PAID.words("From cash or bank"), DAY];
}

impl Records for DrawArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        Ok(run(self, book, context)?.into())
    }
}

fn run(args: &DrawArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    record(book, context, "draw", args.trying.dry_run, |recording| {
        let Some(lender) = &args.loan else {
            let pocket = move_owner_money(recording, -args.amount, on, args.paid, None)?;
            return Ok(ReadBack::new(format!("drew {} on {}, {}", args.amount, long(on), paid_words(pocket)), []));
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
        Ok(ReadBack::new(
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

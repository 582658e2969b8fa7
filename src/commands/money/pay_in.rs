//! `pay-in`: the owner's money, or a loan, into the float.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::question::{Ask, DAY, Enter, PAID, needed, optional};
use crate::commands::steps::recording::{ReadBack, paid_words, pocket, record};
use crate::domain::days::day::{WrittenDay, long};
use crate::domain::refusal::Refusal;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{PaidBy, Pocket, Purpose};
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, NewMovement, Recording};
use chrono::NaiveDate;
use clap::Args;

/// Put the owner's money, or a loan, into the float.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout pay-in 1,850\n  runabout pay-in 420 --loan \"Aunt Wyn\" --paid cash\n\n\
On a terminal it asks for what is left out.")]
pub struct PayInArgs {
    /// How much
    #[arg(value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub amount: Pence,
    /// The day [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// Into cash or bank
    #[arg(long, value_name = "HOW")]
    pub paid: Option<PaidBy>,
    /// It is a loan from NAME
    #[arg(long, value_name = "NAME")]
    pub loan: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl PayInArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[
        needed("amount", "How much"),
        PAID.words("Into cash or bank"),
        optional("loan", "Lent by (name)").enter(Enter::Leaves("nobody, it is yours")),
        DAY,
    ];
}

impl Records for PayInArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        Ok(record(book, context, "pay-in", self.trying.dry_run, |recording| {
            let pocket = move_owner_money(recording, self.amount, on, self.paid, self.loan.as_ref())?;
            let summary = match &self.loan {
                Some(lender) => {
                    format!("borrowed {} from {lender} on {}, {}", self.amount, long(on), paid_words(pocket))
                }
                None => format!("paid in {} on {}, {}", self.amount, long(on), paid_words(pocket)),
            };
            Ok(ReadBack::new(summary, []))
        })?
        .into())
    }
}

/// Writes the owner's or a lender's money, into the float positive. The owner's own pocket is not
/// a place in the float, so it will not do.
pub fn move_owner_money(
    recording: &Recording<'_>,
    amount: Pence,
    on: NaiveDate,
    paid: Option<PaidBy>,
    lender: Option<&Wording>,
) -> Result<Pocket, Error> {
    let pocket = pocket(recording.read(), paid)?;
    if pocket == Pocket::Own {
        return Err(Refusal::PocketNotForThis { pocket: "own", accepted: "cash or bank" }.into());
    }
    recording.add_movement(&NewMovement {
        on,
        pocket,
        amount,
        purpose: if lender.is_some() { Purpose::Loan } else { Purpose::Owner },
        stock_no: None,
        party: lender.map(ToString::to_string),
        note: None,
    })?;
    Ok(pocket)
}

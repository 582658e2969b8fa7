//! `cash`.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::{Context, settings_of};
use crate::error::Error;
use crate::report::Report;
use crate::report::money::cash::CashReport;
use crate::store::Reader;
use clap::Args;

/// Cash in hand, bank, what is owed and what is tied up.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout cash\n  runabout cash --as-of 31/10 --format json")]
pub struct CashArgs {}

impl Looks for CashArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        Ok(run(reader, context)?.into())
    }
}

/// What `cash` shows; the morning screen has it too.
pub fn run(reader: Reader<'_>, context: &Context) -> Result<CashReport, Error> {
    let registration = settings_of(reader)?.registration;
    let facts = reader.facts(context.today, context.today, context.standing_to, registration)?;
    let balances = facts.balances(context.today);
    let lenders = if balances.loans.is_zero() { Vec::new() } else { reader.lenders(context.today)? };
    Ok(CashReport::new(context.today, &balances, lenders))
}

//! `tax-year`: the figures of a tax year, and the days it sets.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::tax_reckoning::reckoned;
use crate::domain::days::tax_year::TaxYear;
use crate::domain::law::rate_table::{Rates, VAT_STANDARD_RATE};
use crate::domain::law::rates::income_tax;
use crate::error::Error;
use crate::report::Report;
use crate::report::tax::tax_year::TaxYearReport;
use crate::store::Reader;
use clap::Args;

/// A tax year's figures for the return, on the cash basis and by traditional accounting, and why they
/// differ. A record, not tax advice. Equipment to keep goes under a heading of its own, made by
/// `settings set heading:plant capital`: it is no expense, but told by name.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout tax-year\n  runabout tax-year 2025-26 --format csv --part cash-expenses")]
pub struct TaxYearArgs {
    /// The tax year, 6 April to 5 April: 2026-27 [this]
    #[arg(value_name = "YEAR")]
    pub year: Option<TaxYear>,
    /// Only one list: `boxes`, `identity`, `cash-income`, `cash-expenses`, `traditional-income`,
    /// `traditional-expenses`, `stock`, `journeys` or another [boxes]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
}

impl Looks for TaxYearArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        let year = self.year.unwrap_or(TaxYear::containing(context.today));
        let registered = settings_of(reader)?.registration.from.is_some_and(|from| from <= year.last_day());
        let own_rates = own_used(year, registered, &context.rates);
        Ok(reckoned(year, reader, context, |figures| {
            TaxYearReport::new(context.today, figures, registered, own_rates)
        })?
        .into())
    }

    fn part(&self) -> Option<&str> {
        self.part.as_deref()
    }
}

/// The trader's own figures the year is reckoned with: those of its first day, and any rate of VAT.
fn own_used(year: TaxYear, registered: bool, rates: &Rates) -> Vec<String> {
    let (first, last) = (year.first_day(), year.last_day());
    let vat = if registered { rates.own_used(&VAT_STANDARD_RATE, first, last) } else { Vec::new() };
    vat.into_iter().chain(income_tax::TABLES.iter().flat_map(|table| rates.own_used(*table, first, first))).collect()
}

//! `tax-year`.

use crate::domain::days::tax_year::TaxYear;
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

//! `export`.

use crate::domain::tax_year::TaxYear;
use clap::Args;
use std::path::PathBuf;

/// Write everything an accountant asks for to a new folder: CSV files, pages to print, a list of contents.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout export year-end --year 2026-27\n  runabout export papers --year 2025-26\n\n\
The folder holds names and addresses: send it as you would hand over the book."
)]
pub struct ExportArgs {
    /// The new folder
    #[arg(value_name = "DIR")]
    pub folder: PathBuf,
    /// The tax year, 6 April to 5 April: 2026-27
    #[arg(long, value_name = "YEAR")]
    pub year: TaxYear,
}

//! `export`.

use crate::domain::days::tax_year::TaxYear;
use clap::Args;
use std::path::PathBuf;

/// Write the whole book to a new folder in open formats, or what an accountant asks for of a tax year.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout export whole-book\n  runabout export year-end --year 2026-27\n\n\
The whole book is a CSV file for each table, its history among them, and the receipts; `import` reads it \
back. A tax year is lists as CSV, pages to print and a list of contents.\n\n\
The folder holds names and addresses: send it as you would hand over the book.")]
pub struct ExportArgs {
    /// The new folder
    #[arg(value_name = "DIR")]
    pub folder: PathBuf,
    /// What an accountant asks for of a tax year, 6 April to 5 April: 2026-27 [the whole book]
    #[arg(long, value_name = "YEAR")]
    pub year: Option<TaxYear>,
    /// Put it in the place of an earlier export; never of a folder with anything else in it
    #[arg(long)]
    pub replace: bool,
    /// The whole book, though the folder is named for a year
    #[arg(long, conflicts_with = "year")]
    pub whole: bool,
}

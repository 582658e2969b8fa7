//! `import`: cars or money from a spreadsheet, all rows or none.
//!
//! `domain/book/import_sheet.rs` reads the rows and gathers every bad one before anything is recorded.
//! `domain/book/imported.rs` meets them with what stands from earlier imports, a day at a time
//! (`store/facts/imported.rs`), each standing row once; a row is known by what it says, its car by the vehicle. An
//! import that takes nothing in keeps no entry. `.cargo/config.toml` keeps a statement's journal in memory for it.

use crate::cli::Trying;
use crate::commands::keep::import_cars::cars;
use crate::commands::keep::import_money::money;
use crate::commands::keep::import_rows::bad_rows;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::recording::record;
use crate::domain::book::import_sheet::{Layout, Rows};
use crate::error::Error;
use crate::report::Report;
use crate::store::Book;
use clap::Args;
use std::path::PathBuf;

/// Take in cars or money from a spreadsheet, or a whole book that was exported.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout import cars.csv --dry-run\n  runabout import money.csv --kind money\n\n\
cars: mark, bought_on, purchase_price and any of from, via, make, model, year, colour, fuel, miles, vin,\n\
mot_until, paid, sold_on, selling_price, to, note. money: on, amount, heading and any of car, direction\n\
(cost or receipt), party, note, paid, vat, usual. Days are day before month. All rows or none.\n\n\
Rows that stand from an earlier import are passed over and counted, so the same file can be taken in again with \
new rows in it; a row that is there twice counts twice. An undone import's rows go in again.\n\n\
A folder written by `export` fills a book that is not there yet.")]
pub struct ImportArgs {
    /// The CSV file with a header line, or the folder of an export
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// What its rows are: cars or money [by its header]
    #[arg(long, value_name = "KIND")]
    pub kind: Option<Rows>,
    /// Leave out columns that are not known
    #[arg(long)]
    pub ignore_unknown: bool,
    /// Take in once more the rows that stand from an earlier import
    #[arg(long)]
    pub again: bool,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl ImportArgs {
    /// Whether a folder, a whole book, is taken in.
    pub(crate) fn is_apart(&self) -> bool {
        self.file.is_dir()
    }
}

impl Records for ImportArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let sheet = context.sheet()?;
        let layout =
            Layout::from_header(&sheet.header, self.kind, self.ignore_unknown).map_err(|bad| bad_rows(vec![bad]))?;
        Ok(record(book, context, "import", self.trying.dry_run, |recording| match layout.rows() {
            Rows::Cars => cars(recording, &layout, sheet, self.again, context),
            Rows::Money => money(recording, &layout, sheet, self.again, context),
        })?
        .into())
    }
}

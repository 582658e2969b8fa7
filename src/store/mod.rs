//! The book on disk: one SQLite file. The only room that holds SQL. It stores and finds facts; it
//! decides nothing, prints nothing and never ends the process.

mod backup;
mod cars;
mod closed_months;
mod completing;
mod dates;
mod deals;
mod entries;
mod facts;
mod files;
mod forget;
mod forgotten_receipts;
mod history;
mod imported;
mod ledger;
mod lines;
mod new_book;
mod opening;
mod opening_sums;
mod programme;
mod receipt_copies;
mod receipt_files;
mod receipts;
mod replay;
mod restore;
mod schema;
mod settings;
mod shape;
mod soundness;
mod standing;
mod tax_year;
mod turnover;
mod undo;
mod undone_numbers;
mod undone_papers;
mod values;
mod whole_book;

pub use crate::domain::book::closing::Value as Stored;
pub use backup::{BackupRow, dated_backup, dated_backups, lacking_beside, remove_backup};
pub use cars::{NewCar, NewVehicle, VehicleFound};
pub use closed_months::RowChange;
pub use completing::{CarLike, Place, open_to_complete};
pub use deals::{NewDisposal, NewSale};
pub use entries::{EntryRow, Recording};
pub use files::{FileError, Inside, MayGo, NewFile, Over, holds_only, may_write, new_folder, write};
pub use forget::{Mention, NamedFact};
pub use history::{Change, StoredRow};
pub use lines::{NewLine, NewMovement};
pub use new_book::NewBook;
pub use opening::{BookError, look_for, open_blank, open_to_read, open_to_record};
pub use receipt_copies::{CopiedReceipts, Lacking, NamedReceipt, copy_receipts};
pub use receipt_files::{Form, ReceiptError, ReceiptFault, check as check_receipt, folder_of as receipts_folder};
pub use receipts::{KeepError, ReceiptRow};
pub use restore::{Restored, restore};
pub use settings::HeadingRow;
pub use soundness::{Fault, naming_the_row};
pub use undo::UndoError;
pub use whole_book::{Filling, FillingError, TableShape};

use crate::domain::law::rate_table::Rates;
use rusqlite::Connection;
use std::path::{Path, PathBuf};

/// An open book.
#[derive(Debug)]
pub struct Book {
    connection: Connection,
    /// The file itself: a link to it is followed.
    path: PathBuf,
    rates: Rates,
}

/// Reads facts from a book, inside whatever transaction is open.
#[derive(Clone, Copy, Debug)]
pub struct Reader<'c> {
    connection: &'c Connection,
    path: &'c Path,
    rates: Rates,
}

impl<'c> Reader<'c> {
    /// Of a connection to the file at `path`, where no statutory figure is asked for.
    fn of(connection: &'c Connection, path: &'c Path) -> Self {
        Self { connection, path, rates: Rates::default() }
    }

    /// Where the book lies.
    pub fn path(&self) -> &'c Path {
        self.path
    }
}

impl Book {
    /// For looking.
    pub fn read(&self) -> Reader<'_> {
        Reader { connection: &self.connection, path: &self.path, rates: self.rates }
    }

    /// To be read with these statutory figures, instead of those the program came with alone.
    #[must_use]
    pub fn with_rates(self, rates: Rates) -> Self {
        Self { rates, ..self }
    }
}

impl Reader<'_> {
    /// The statutory figures the book is read with.
    pub fn rates(&self) -> Rates {
        self.rates
    }
}

//! A book that is open, and what reads it.

use crate::domain::law::rate_table::Rates;
use rusqlite::Connection;
use std::mem::ManuallyDrop;
use std::path::{Path, PathBuf};

/// `RUNA` in ASCII: says a SQLite file is one of ours.
pub(crate) const APPLICATION_ID: i64 = 0x5255_4E41;

/// An open book.
#[derive(Debug)]
pub struct Book {
    pub(in crate::store) connection: Connection,
    /// The file itself: a link to it is followed.
    pub(in crate::store) path: PathBuf,
    pub(in crate::store) rates: Rates,
}

/// Reads facts from a book, inside whatever transaction is open.
#[derive(Clone, Copy, Debug)]
pub struct Reader<'c> {
    pub(in crate::store) connection: &'c Connection,
    pub(in crate::store) path: &'c Path,
    pub(in crate::store) rates: Rates,
}

impl<'c> Reader<'c> {
    /// Of a connection to the file at `path`, where no statutory figure is asked for.
    pub(in crate::store) fn on(connection: &'c Connection, path: &'c Path) -> Self {
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

    /// Lets go of the file where the process ends next. Nothing stays locked or unwritten; the memory goes with the
    /// process, for SQLite takes a tenth of a whole run to give back what it made of the schema piece by piece.
    pub fn leave(self) {
        if self.connection.is_autocommit() || self.connection.execute_batch("COMMIT").is_ok() {
            let _ = ManuallyDrop::new(self);
        }
    }
}

impl Reader<'_> {
    /// The statutory figures the book is read with.
    pub fn rates(&self) -> Rates {
        self.rates
    }
}

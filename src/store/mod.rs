//! The book on disk: one SQLite file. The only room that holds SQL. It stores and finds facts; it
//! decides nothing, prints nothing and never ends the process.

mod cars;
mod dates;
mod deals;
mod entries;
mod facts;
mod history;
mod lines;
mod opening;
mod schema;
mod settings;
mod standing;
mod undo;
mod values;

pub use cars::{NewCar, NewVehicle, VehicleFound};
pub use deals::NewSale;
pub use entries::{EntryRow, Recording};
pub use history::{Change, Stored, StoredRow};
pub use lines::{NewLine, NewMovement};
pub use opening::{BookError, open_to_read, open_to_record};
pub use settings::HeadingRow;
pub use undo::UndoError;

use rusqlite::Connection;

/// An open book.
#[derive(Debug)]
pub struct Book {
    connection: Connection,
}

/// Reads facts from a book, inside whatever transaction is open.
#[derive(Clone, Copy, Debug)]
pub struct Reader<'c> {
    connection: &'c Connection,
}

impl Book {
    /// For looking.
    pub fn read(&self) -> Reader<'_> {
        Reader { connection: &self.connection }
    }
}

//! What is wrong with a row of the book, in words.

use std::fmt;
use thiserror::Error;

/// What is wrong with one row, or with a table as a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The table.
    pub table: String,
    /// The row's number in it, where it can be known.
    pub row: Option<i64>,
    /// What is wrong, in words.
    pub what: String,
}

impl Fault {
    pub(crate) fn new(table: &str, row: impl Into<Option<i64>>, what: impl Into<String>) -> Self {
        Self { table: table.to_owned(), row: row.into(), what: what.into() }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.row {
            // What is kept of an entry goes by its number.
            Some(entry) if matches!(self.table.as_str(), "entry" | "entry_car") => {
                write!(f, "entry {entry}: {}", self.what)
            }
            Some(row) => write!(f, "row {row} of {}: {}", self.table, self.what),
            None => write!(f, "{}: {}", self.table, self.what),
        }
    }
}

/// What is wrong with a copy kept earlier.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ReceiptFault {
    /// It is not there.
    #[error("the file is missing")]
    Missing,
    /// It is not what was kept.
    #[error("the file has been changed since it was kept")]
    Changed,
    /// It cannot be read; what the system said.
    #[error("the file cannot be read: {0}")]
    Unreadable(String),
}

//! Why the book cannot be used, in words.

use crate::store::fault::ReceiptFault;
use crate::store::files::FileError;
use rusqlite::ErrorCode;
use std::io;
use std::path::PathBuf;
use thiserror::Error;

/// Why the book cannot be used.
#[derive(Debug, Error)]
pub enum BookError {
    /// There is no file there.
    #[error("there is no book at '{}'", path.display())]
    NotThere {
        /// Where it was looked for.
        path: PathBuf,
    },
    /// The file is something else.
    #[error("'{}' is not a Runabout book; it was left as it is", path.display())]
    NotABook {
        /// The file.
        path: PathBuf,
    },
    /// The file was written by a later version of the program.
    #[error("this book is of version {found}; this program knows versions up to {known}, so it was left as it is")]
    Newer {
        /// The version found.
        found: i64,
        /// The newest version known.
        known: i64,
    },
    /// It is of a version from before the first that this program opens.
    #[error(
        "{holds} of version {found}, from an early version of Runabout; this program opens books of version {oldest} and later, so it was left as it is"
    )]
    Early {
        /// What is of that version, as the sentence begins.
        holds: &'static str,
        /// The version found.
        found: i64,
        /// The earliest version that is opened.
        oldest: i64,
    },
    /// SQLite finds the file damaged.
    #[error("the book is damaged: {0}")]
    Damaged(String),
    /// Its tables, views, triggers or indexes are not the ones this program makes.
    #[error("something other than this program changed how the book is made: {0}")]
    Altered(String),
    /// Another program is writing.
    #[error("the book is being written by another program and did not come free in five seconds")]
    Locked,
    /// The file or its folder cannot be written.
    #[error("the book or its folder cannot be written to")]
    ReadOnly,
    /// No room left.
    #[error("the disk is full")]
    Full,
    /// The disk gave an error, and may do so again.
    #[error("the disk failed while the book was read or written")]
    Disk(#[source] rusqlite::Error),
    /// The folder cannot be made, or the file not opened or written.
    #[error("'{}' cannot be opened or written", path.display())]
    CannotOpen {
        /// The path.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: io::Error,
    },
    /// A setting that keeps the book safe did not take.
    #[error("the book could not be opened safely: {0} did not take effect")]
    Unsafe(&'static str),
    /// What is in the file cannot be read or written as it should: a rule of a table broken, a sum too large, a
    /// row that is not there.
    #[error("the book cannot be read or written as it is: {0}")]
    Unreadable(String),
    /// A call that no file can make wrong, made wrongly.
    #[error("the book could not be read or written")]
    Sqlite(#[source] rusqlite::Error),
    /// A file beside the book, or a copy of it, was not written.
    #[error(transparent)]
    File(#[from] FileError),
    /// What was to be put in the book's place is the book.
    #[error("'{}' is the book itself", path.display())]
    IsTheBook {
        /// The file.
        path: PathBuf,
    },
    /// A receipt that has to be copied cannot be read.
    #[error("the receipt {receipt} could not be copied: {fault}")]
    ReceiptUnreadable {
        /// What it is called, and of which entry it is.
        receipt: String,
        /// Why.
        fault: ReceiptFault,
    },
    /// An export of another version of the book.
    #[error("the folder holds a book of version {found}; this program reads version {known}")]
    OtherVersion {
        /// The version found.
        found: String,
        /// The version known.
        known: i64,
    },
    /// A stored value this program cannot have written.
    #[error("the book holds a value this program does not understand: {0}")]
    Foreign(String),
}

impl From<rusqlite::Error> for BookError {
    fn from(error: rusqlite::Error) -> Self {
        use rusqlite::Error as E;
        match error.sqlite_error_code() {
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Locked,
            Some(ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => Self::ReadOnly,
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::SystemIoFailure) => Self::Disk(error),
            Some(ErrorCode::DatabaseCorrupt | ErrorCode::NotADatabase) => Self::Damaged(error.to_string()),
            Some(ErrorCode::ApiMisuse | ErrorCode::OperationInterrupted) => Self::Sqlite(error),
            Some(_) => Self::Unreadable(error.to_string()),
            None => match error {
                // A table or column a statement names is not there.
                E::SqlInputError { msg, .. } => Self::Unreadable(msg),
                E::FromSqlConversionFailure(_, _, why) => Self::Foreign(why.to_string()),
                E::IntegralValueOutOfRange(_, number) => Self::Foreign(number.to_string()),
                E::InvalidColumnType(_, column, found) => Self::Foreign(format!("{column} of the kind {found}")),
                E::Utf8Error(..) => Self::Foreign("text that cannot be read".to_owned()),
                E::QueryReturnedNoRows => Self::Unreadable("a row that others belong to is not there".to_owned()),
                error => Self::Sqlite(error),
            },
        }
    }
}

//! Everything that can go wrong, as kinds: what is said, what hint is given, which exit code.

use crate::domain::own_rates::OwnRateError;
use crate::domain::refusal::Refusal;
use crate::domain::value_error::ValueError;
use crate::store::{BookError, KeepError, ReceiptError};
use std::io::ErrorKind;
use std::path::PathBuf;
use thiserror::Error;

/// A command that did not do what was asked.
#[derive(Debug, Error)]
pub enum Error {
    /// The trade's rules or the facts in the book do not allow it.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The book cannot be used.
    #[error(transparent)]
    Book(#[from] BookError),
    /// A receipt was not kept.
    #[error(transparent)]
    Receipt(#[from] ReceiptError),
    /// No place for the book could be worked out.
    #[error("no folder for the book could be found on this system")]
    NoFolder,
    /// A demo was asked to open where there is a file already.
    #[error("there is a file at '{}' already; the demo only opens in a fresh book", .0.display())]
    DemoBookExists(PathBuf),
    /// A file could not be written.
    #[error("'{}' could not be written", path.display())]
    CannotWrite {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: std::io::Error,
    },
    /// A file could not be read.
    #[error("'{}' could not be read", path.display())]
    CannotRead {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: std::io::Error,
    },
    /// What was named has no end that can be relied on: a folder, a device, a pipe.
    #[error("'{}' is not a file", .0.display())]
    NotAFile(PathBuf),
    /// A file is longer than anything it is read for could be.
    #[error("'{}' is too large: the most is {} MiB", path.display(), most / (1024 * 1024))]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// The most, in bytes.
        most: u64,
    },
    /// A file named is not there.
    #[error("there is no file '{}'", path.display())]
    NoSuchFile {
        /// The file.
        path: PathBuf,
        /// What to do about it: the name of one spelt alike, or where to get one.
        hint: Option<String>,
    },
    /// A file does not say what it should.
    #[error("'{}' is not a scale of fees", path.display())]
    NotFees {
        /// The file.
        path: PathBuf,
        /// What is wrong in it.
        #[source]
        source: ValueError,
    },
    /// A file of the trader's own rates has a line that will not do.
    #[error("'{}' is not a file of rates", path.display())]
    NotRates {
        /// The file.
        path: PathBuf,
        /// What is wrong in it, and where.
        #[source]
        source: OwnRateError,
    },
    /// A name is forgotten, but the file still is as it was in its unused parts.
    #[error(
        "entry {entry} is in the book and no row holds the name any more, but the file could not be made anew: a trace may be left in it"
    )]
    NotRebuilt {
        /// The entry.
        entry: i64,
        /// What was in the way.
        #[source]
        source: BookError,
    },
    /// `RUNABOUT_TODAY` is not a day.
    #[error("RUNABOUT_TODAY: {0}")]
    Today(String),
    /// The entry is kept, but saying so failed.
    #[error("entry {entry} is in the book, but the answer could not be written")]
    OutputAfterRecording {
        /// The entry.
        entry: i64,
        /// What the system said.
        #[source]
        source: std::io::Error,
    },
    /// The answer could not be written.
    #[error("the answer could not be written")]
    Output(#[source] std::io::Error),
    /// Something only a fault of the program can cause.
    #[error("{0}")]
    Ours(String),
}

impl From<KeepError> for Error {
    fn from(error: KeepError) -> Self {
        match error {
            KeepError::File(error) => Self::Receipt(error),
            KeepError::KeptAlready(name) => Self::Refused(Refusal::NothingChanges {
                field: "the receipt".into(),
                value: format!("{name}, kept with it"),
            }),
            KeepError::Book(error) => Self::Book(error),
        }
    }
}

impl From<ValueError> for Error {
    fn from(error: ValueError) -> Self {
        Self::Refused(error.into())
    }
}

impl Error {
    /// The exit code: 1 cannot be carried out, 2 the line cannot be read, 4 the book cannot be used, 70 our
    /// fault. Which layer found a mistake makes no difference: what clap would have refused is 2 here too.
    pub fn exit_code(&self) -> u8 {
        match self {
            Self::Today(_) => 2,
            Self::Refused(refusal) if refusal.is_of_the_line() => 2,
            Self::Refused(_)
            | Self::NoFolder
            | Self::DemoBookExists(_)
            | Self::Output(_)
            | Self::OutputAfterRecording { .. }
            | Self::CannotWrite { .. }
            | Self::CannotRead { .. }
            | Self::NotAFile(_)
            | Self::TooLarge { .. }
            | Self::NoSuchFile { .. }
            | Self::NotFees { .. }
            | Self::NotRates { .. }
            | Self::NotRebuilt { .. }
            | Self::Book(BookError::InTheWay { .. })
            | Self::Receipt(_) => 1,
            Self::Book(BookError::Sqlite(_)) | Self::Ours(_) => 70,
            Self::Book(_) => 4,
        }
    }

    /// What to type next.
    pub fn hint(&self) -> Option<String> {
        Some(match self {
            Self::Refused(refusal) => return refusal.hint(),
            Self::Book(BookError::NotThere { .. }) => {
                "`runabout buy MARK PRICE` starts a book; `runabout demo` shows one already filled".into()
            }
            Self::Book(BookError::NotABook { .. }) => "name another file with --book FILE".into(),
            Self::Book(BookError::Newer { .. }) => "use the newer program this book was last opened with".into(),
            Self::Book(BookError::Damaged(_)) => {
                "keep the file as it is; `runabout restore FILE` puts a copy in its place, and keeps it".into()
            }
            Self::Book(BookError::InTheWay { .. }) => "name one that is not there yet; nothing is written over".into(),
            Self::Book(BookError::OtherVersion { .. }) => {
                "the program that wrote the folder, or one as old, reads it back".into()
            }
            Self::Book(BookError::Locked) => "try again in a moment".into(),
            Self::Book(BookError::CannotOpen { source, .. }) if source.kind() == ErrorKind::StorageFull => {
                "make room and try again".into()
            }
            Self::Book(BookError::Disk(_)) => {
                "see with `runabout log` whether it is recorded before doing it again, and copy the book to another disk"
                    .into()
            }
            Self::Book(BookError::ReadOnly | BookError::CannotOpen { .. }) => {
                "check who owns the file and its folder, and that the disk is not read-only".into()
            }
            Self::Book(BookError::Full) => "make room and try again".into(),
            Self::NoFolder => "name the book with --book FILE".into(),
            Self::DemoBookExists(_) => "leave --book out, or name a file that is not there yet".into(),
            Self::Book(_) | Self::Ours(_) => "please report this, with the command as you typed it".into(),
            Self::NotFees { .. } => "a band a line: 0=90, then 200=115, then 1,000=5%+60".into(),
            Self::NotRates { .. } => {
                "a figure a line: vat-standard-rate 2027-04-01 20; `runabout rates` names them all".into()
            }
            Self::NotRebuilt { .. } => "make room, then give the same command again: it makes the file anew".into(),
            Self::NoSuchFile { hint, .. } => return hint.clone(),
            Self::CannotWrite { .. } => "name another file with --out FILE".into(),
            Self::OutputAfterRecording { .. } => "do not record it again; `runabout log` shows it".into(),
            Self::NotAFile(_) => "write what it holds to a file first, and name that".into(),
            Self::TooLarge { .. } => "is it the file that was meant? A long one can be taken in in parts".into(),
            Self::Output(_) | Self::Today(_) | Self::Receipt(_) | Self::CannotRead { .. } => return None,
        })
    }
}

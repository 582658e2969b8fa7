//! Everything that can go wrong, as kinds: what is said, what hint is given, which exit code.

use crate::domain::law::own_rates::OwnRateError;
use crate::domain::refusal::Refusal;
use crate::domain::value::value_error::ValueError;
use crate::store::{BookError, FileError, KeepError, ReceiptError};
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
    /// A file was not written for somebody.
    #[error(transparent)]
    File(#[from] FileError),
    /// The copy is made, and the book does not know.
    #[error(
        "the book is copied to '{}' and the copy was read through, but the book could not be told: `due` reminds of it as before",
        copy.display()
    )]
    CopyNotNoted {
        /// The copy.
        copy: PathBuf,
        /// Why.
        #[source]
        source: BookError,
    },
    /// The book is written out, and some receipts are not with it.
    #[error("the book is written to '{}', but not every receipt of it: {}", copy.display(), first_of(lacking))]
    CopyIncomplete {
        /// The copy, or the folder.
        copy: PathBuf,
        /// Each receipt, and why it is not with it.
        lacking: Vec<String>,
        /// Whether one of them is there and cannot be read.
        unreadable: bool,
    },
    /// A receipt was not kept.
    #[error(transparent)]
    Receipt(#[from] ReceiptError),
    /// No place for the book could be worked out.
    #[error("no folder for the book could be found on this system")]
    NoFolder,
    /// A demo was asked to open where there is a file already.
    #[error("there is a file at '{}' already; the demo only opens in a fresh book", .0.display())]
    DemoBookExists(PathBuf),
    /// A file could not be read.
    #[error("'{}' could not be read", path.display())]
    CannotRead {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: std::io::Error,
    },
    /// A folder with a whole book in it has a row that will not do.
    #[error("'{}'{}: {why}", path.display(), line.map(|line| format!(", line {line}")).unwrap_or_default())]
    BadExport {
        /// The table's file.
        path: PathBuf,
        /// The line in it, where it is known.
        line: Option<u64>,
        /// What is wrong.
        why: String,
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
    /// A name is forgotten, but a receipt that goes with it is still there.
    #[error(
        "entry {entry} is in the book and no row holds the name any more, but the receipt '{}' could not be removed", path.display()
    )]
    NotRemoved {
        /// The entry.
        entry: i64,
        /// The receipt.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: std::io::Error,
    },
    /// `RUNABOUT_TODAY` is not a day.
    #[error("RUNABOUT_TODAY: {0}")]
    Today(String),
    /// The answer could not be written.
    #[error("the answer could not be written")]
    Output(#[source] std::io::Error),
    /// Something only a fault of the program can cause.
    #[error("{0}")]
    Ours(String),
}

/// As many receipts as are told in one line.
const MOST_TOLD: usize = 5;

/// The first few, and how many more there are.
fn first_of(lacking: &[String]) -> String {
    let told = lacking.iter().take(MOST_TOLD).map(String::as_str).collect::<Vec<_>>().join("; ");
    match lacking.len().saturating_sub(MOST_TOLD) {
        0 => told,
        more => format!("{told}; and {more} more"),
    }
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
            | Self::CannotRead { .. }
            | Self::NotAFile(_)
            | Self::TooLarge { .. }
            | Self::NoSuchFile { .. }
            | Self::BadExport { .. }
            | Self::NotFees { .. }
            | Self::NotRates { .. }
            | Self::NotRebuilt { .. }
            | Self::NotRemoved { .. }
            | Self::File(_)
            | Self::CopyIncomplete { unreadable: false, .. }
            | Self::Book(BookError::IsTheBook { .. })
            | Self::Receipt(_) => 1,
            Self::Book(BookError::File(error)) if !error.is_of_the_system() => 1,
            Self::Book(BookError::Sqlite(_)) | Self::Ours(_) => 70,
            Self::Book(_) | Self::CopyNotNoted { .. } | Self::CopyIncomplete { .. } => 4,
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
            Self::Book(BookError::Early { .. }) => "keep it as it is; the program that made it still opens it".into(),
            Self::Book(BookError::Foreign(_) | BookError::Unreadable(_)) => {
                "keep the file as it is; `runabout verify` names what is wrong, `runabout restore FILE` puts a copy in its place, and keeps it"
                    .into()
            }
            Self::Book(BookError::Damaged(_)) => {
                "keep the file as it is; `runabout restore FILE` puts a copy in its place, and keeps it".into()
            }
            Self::Book(BookError::Altered(_)) => {
                "keep the file as it is; take out what was added, or `runabout restore FILE` puts a copy in its place, and keeps it"
                    .into()
            }
            Self::File(error) | Self::Book(BookError::File(error)) => return error.hint(),
            Self::Book(BookError::IsTheBook { .. }) => {
                "name a copy of it, as `runabout backup` makes them: they are beside the book, in a folder of backups".into()
            }
            Self::Book(BookError::ReceiptUnreadable { .. }) => {
                "nothing was changed: check who owns the receipts of the copy, then try again".into()
            }
            Self::CopyIncomplete { unreadable: true, .. } => {
                "check who owns the receipts beside the book, then copy it again".into()
            }
            Self::CopyIncomplete { .. } => "an older copy may have them; `runabout verify` lists what is missing".into(),
            Self::CopyNotNoted { .. } => "check who owns the book, and that the disk is not read-only or full".into(),
            Self::Book(BookError::OtherVersion { .. }) => {
                "the program that wrote the folder, or one as old, reads it back".into()
            }
            Self::Book(BookError::Locked) => "try again in a moment".into(),
            Self::Book(BookError::CannotOpen { source, .. }) if source.kind() == ErrorKind::StorageFull => {
                "make room and try again".into()
            }
            Self::Book(BookError::CannotOpen { source, .. }) if source.kind() == ErrorKind::InvalidFilename => {
                "give it a shorter name".into()
            }
            Self::Book(BookError::Disk(_)) => {
                "see with `runabout log` whether it is recorded before doing it again, and copy the book to another disk"
                    .into()
            }
            Self::Book(BookError::ReadOnly | BookError::CannotOpen { .. }) => {
                "check who owns the file and its folder, and that the disk is not read-only".into()
            }
            Self::Book(BookError::Full) => "nothing was recorded: make room and try again".into(),
            Self::NoFolder => "name the book with --book FILE".into(),
            Self::DemoBookExists(_) => "leave --book out, or name a file that is not there yet".into(),
            Self::Book(_) | Self::Ours(_) => "please report this, with the command as you typed it".into(),
            Self::NotFees { .. } => "a band a line: 0=90, then 200=115, then 1,000=5%+60".into(),
            Self::NotRates { .. } => {
                "a figure a line: vat-standard-rate 2027-04-01 20; `runabout rates` names them all".into()
            }
            Self::BadExport { .. } => "read in an export as it was written: its history has to lead to its rows".into(),
            Self::NotRebuilt { .. } => "make room, then give the same command again: it makes the file anew".into(),
            Self::NotRemoved { .. } => {
                "check who owns its folder, then give the same command again: it removes what is left".into()
            }
            Self::NoSuchFile { hint, .. } => return hint.clone(),
            Self::NotAFile(_) => "write what it holds to a file first, and name that".into(),
            Self::TooLarge { .. } => "is it the file that was meant? A long one can be taken in in parts".into(),
            Self::Output(_) | Self::Today(_) | Self::Receipt(_) | Self::CannotRead { .. } => return None,
        })
    }
}

//! Why a file was not written, in words.

use crate::domain::value::made::Made;
use std::io;
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Why a file was not written; unless it says otherwise, everything is as it was.
#[derive(Debug, Error)]
pub enum FileError {
    /// A file is there that the program did not make as one of that kind.
    #[error("there is a file at '{}' already{}", path.display(), not_made_as(*made))]
    NotOurs {
        /// The file.
        path: PathBuf,
        /// What was to be written, where such a thing is known again.
        made: Option<Made>,
    },
    /// Something is there, and what was to be put there takes no other's place.
    #[error("there is {} at '{}' already", if *is_folder { "a folder" } else { "a file" }, path.display())]
    InTheWay {
        /// What is there.
        path: PathBuf,
        /// Whether it is a folder.
        is_folder: bool,
    },
    /// A book, or a copy of one.
    #[error("there is a file at '{}' already, and it is a book: a book is never written over", .0.display())]
    IsBook(PathBuf),
    /// A receipt kept with a book.
    #[error("there is a file at '{}' already, and it is a receipt of the book: a receipt is never written over", .0.display())]
    IsReceipt(PathBuf),
    /// A name that belongs to a book in use.
    #[error("'{}' is a name that the book needs for itself", .0.display())]
    IsJournal(PathBuf),
    /// A link to nothing.
    #[error("'{}' is a link to a file that is not there", .0.display())]
    LinkToNothing(PathBuf),
    /// A folder that holds something an export does not make.
    #[error("the folder '{}' is not an export as Runabout wrote it: '{}' is in it", folder.display(), holds.display())]
    NotOurFolder {
        /// The folder.
        folder: PathBuf,
        /// What is in it.
        holds: PathBuf,
    },
    /// What was to be written needs a file, not a device or a pipe.
    #[error("'{}' is no file: a copy needs one", .0.display())]
    NotAFile(PathBuf),
    /// The system said no.
    #[error("'{}' could not be written", path.display())]
    Failed {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: io::Error,
    },
    /// It has its name, but it is not certain that the name would outlast a power cut.
    #[error("'{}' is written and whole, but the disk did not confirm its name: look whether it is there after the next start", path.display())]
    NotConfirmed {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: io::Error,
    },
}

fn not_made_as(made: Option<Made>) -> String {
    made.map(|made| format!(", and it is not {} that Runabout made", made.noun())).unwrap_or_default()
}

impl FileError {
    pub(super) fn failed(path: &Path) -> impl Fn(io::Error) -> Self + '_ {
        |source| Self::Failed { path: path.to_owned(), source }
    }

    /// The same of what was to be made, where the failure names what it was made as.
    #[must_use]
    pub fn told_as(self, told: &Path) -> Self {
        match self {
            Self::Failed { source, .. } => Self::Failed { path: told.to_owned(), source },
            other => other,
        }
    }

    /// Whether it is the system that failed, and not what stands there that forbids it.
    pub fn is_of_the_system(&self) -> bool {
        matches!(self, Self::Failed { .. } | Self::NotConfirmed { .. })
    }

    /// What to type next.
    pub fn hint(&self) -> Option<String> {
        Some(match self {
            Self::NotOurs { .. } => "name another file, or write over this one with --replace".into(),
            Self::InTheWay { .. } => "name one that is not there yet; nothing is written over".into(),
            Self::IsBook(_) | Self::IsReceipt(_) | Self::IsJournal(_) | Self::NotAFile(_) => {
                "name one that is not there yet".into()
            }
            Self::LinkToNothing(_) => "take the link away, or name the file itself".into(),
            Self::NotOurFolder { .. } => "name a folder that is not there yet".into(),
            Self::Failed { source, .. } => match source.kind() {
                io::ErrorKind::StorageFull => "make room and try again".into(),
                io::ErrorKind::NotFound => "the folder it goes in has to be there: make it, or name another".into(),
                io::ErrorKind::InvalidFilename => "give it a shorter name".into(),
                _ => "check who owns the folder and that the disk is not read-only, or name another place".into(),
            },
            Self::NotConfirmed { .. } => return None,
        })
    }
}

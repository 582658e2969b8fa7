//! What a command does with the book: it records in it, or it only looks.

use crate::commands::steps::context::Context;
use crate::commands::steps::numbers::explained;
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, Reader};

/// A command that records.
pub trait Records {
    /// Records, and gives the read-back.
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error>;
}

/// A command that looks. It is handed nothing it could write with.
pub trait Looks {
    /// Looks, and gives what it found.
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error>;

    /// The list that CSV was asked for by name.
    fn part(&self) -> Option<&str> {
        None
    }
}

/// What a command line does with an open book.
#[derive(Clone, Copy)]
pub enum Act<'c> {
    /// It records, or with `dry_run` only tries to.
    Records {
        /// The command.
        command: &'c dyn Records,
        /// Keep nothing.
        dry_run: bool,
    },
    /// It looks.
    Looks(&'c dyn Looks),
}

impl<'c> Act<'c> {
    /// Carries it out on the book.
    pub fn carry_out(self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let done = match self {
            Self::Records { command, .. } => command.record(book, context),
            Self::Looks(command) => command.look(book.read(), context),
        };
        done.map_err(|error| explained(error, book.read(), context))
    }

    /// The list that CSV was asked for by name.
    pub fn part(self) -> Option<&'c str> {
        match self {
            Self::Records { .. } => None,
            Self::Looks(command) => command.part(),
        }
    }
}

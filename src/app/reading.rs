//! Whether a word alone is a car of the book: asked before a line is read, where two words of it could be the
//! halves of a mark or a car and something else.

use crate::app::context::book_path;
use crate::cli::{self, Everywhere};
use crate::commands::{Cli, GRAMMAR};
use crate::domain::value::car_ref::CarRef;
use crate::env::Env;
use crate::store::{Book, open_to_complete};
use std::cell::OnceCell;
use std::ffi::OsString;
use std::path::PathBuf;

/// The cars of the book that a line is about; it is only opened when something is asked.
pub(super) struct CarsKnown {
    path: Option<PathBuf>,
    book: OnceCell<Option<Book>>,
}

impl CarsKnown {
    /// Those of the book named in these words, or else of the usual one.
    pub(super) fn named_in(words: &[OsString], env: &Env) -> Self {
        let everywhere = Everywhere { book: book_named(words), ..Everywhere::default() };
        Self { path: book_path(&everywhere, env).ok(), book: OnceCell::new() }
    }

    /// Whether the word alone is one. A book that cannot be read has none; the command itself will say why.
    pub(super) fn has(&self, word: &str) -> bool {
        let book = self.book.get_or_init(|| match self.path.as_deref().map(open_to_complete) {
            Some(Ok(book)) => Some(book),
            Some(Err(_)) | None => None,
        });
        let (Some(book), Ok(car)) = (book, word.parse::<CarRef>()) else { return false };
        matches!(book.read().find_car(&car), Ok(Some(_)))
    }
}

/// What follows `--book`, in either of its two forms.
fn book_named(words: &[OsString]) -> Option<PathBuf> {
    let at = words.iter().position(|word| word == "--book");
    let apart = at.and_then(|at| words.get(at + 1)).map(PathBuf::from);
    apart.or_else(|| words.iter().find_map(|word| word.to_str()?.strip_prefix("--book=").map(PathBuf::from)))
}

/// Reads words as a command line, beside the book it is about.
pub(super) fn read_words(words: Vec<OsString>, env: &Env) -> Result<Cli, clap::Error> {
    let cars = CarsKnown::named_in(&words, env);
    cli::read(&GRAMMAR, words, env.width, &|word| cars.has(word))
}

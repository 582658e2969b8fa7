//! The line as a whole: what goes with every command, reading, help, hints and errors of the line. It knows no
//! command; it is handed the grammar.
//!
//! `cli/help.rs` arranges what clap is given: `--help` and `help` list the commands by group, `-h` names them on
//! one screen, and a command line that asks for no help is given the bare command, because arranging takes longer
//! than most commands. Paragraphs of `after_help` are made one line and folded by clap; lines set in (examples,
//! lists) stay as they are and must fit 80 columns. What is said of the program as a whole (values, files,
//! variables, exit codes, cautions) is in `cli/reference.rs`, once, for the help and for `app/manual.rs`, whose
//! pages are otherwise clap's; `mandoc -T lint` must find nothing, not even of style.
//!
//! A word spelt wrong: clap offers commands, options and its own closed sets; `app/usage.rs` the words of ours;
//! `steps::lookup::near_words` headings, settings, names, parts and fields; `lookup` cars; `app/named_file.rs`
//! files.

#![allow(clippy::doc_markdown, reason = "the help is shown as it stands here")]
#![allow(rustdoc::broken_intra_doc_links, reason = "[today] in the help is a default, not a link")]

pub mod argument_hints;
pub mod grammar;
mod help;
pub mod meant;
pub mod parse_errors;
pub mod reference;
pub mod unfinished;
mod word_joining;
pub mod words;

pub use crate::cli::grammar::{Grammar, Group, Row};
pub use crate::cli::help::{Detail, command, examples};
pub use crate::cli::word_joining::{join_words, typed_command};

use crate::cli::help::{detail_asked, options_before_help};
use crate::domain::days::day::WrittenDay;
use clap::{Args, FromArgMatches, ValueEnum};
use std::ffi::OsString;
use std::path::PathBuf;

/// Reads the words typed, the program's own name first, for a terminal of that many columns; `is_car` says
/// whether a word alone is a car of the book.
pub fn read<T: FromArgMatches>(
    grammar: &Grammar,
    words: Vec<OsString>,
    width: usize,
    is_car: &dyn Fn(&str) -> bool,
) -> Result<T, clap::Error> {
    let (detail, root) = (detail_asked(&words), (grammar.root)());
    let words = join_words(&root, options_before_help(&root, words), is_car);
    T::from_arg_matches(&command(grammar, detail).term_width(width).try_get_matches_from(words)?)
}

/// Options that go with every command.
#[derive(Clone, Debug, Default, Args)]
#[command(next_help_heading = "Everywhere")]
pub struct Everywhere {
    /// The book to use, instead of the one in your data folder [or RUNABOUT_BOOK]
    #[arg(long, global = true, value_name = "FILE")]
    pub book: Option<PathBuf>,
    /// Rates and thresholds of your own, instead of the file beside the book [or RUNABOUT_RATES]
    #[arg(long, global = true, value_name = "FILE")]
    pub rates: Option<PathBuf>,
    /// The day to take as today [or RUNABOUT_TODAY]
    #[arg(long, global = true, value_name = "DATE")]
    pub as_of: Option<WrittenDay>,
    /// How the answer is written: table, json or csv
    #[arg(long, short = 'f', global = true, value_enum, default_value_t = Format::Table, hide_possible_values = true)]
    pub format: Format,
    /// Whether to use colour: auto, always or never
    #[arg(long, global = true, value_enum, default_value_t = Colour::Auto, value_name = "WHEN", hide_possible_values = true)]
    pub color: Colour,
    /// Never ask; where something needed is missing, refuse
    #[arg(long, global = true)]
    pub yes: bool,
}

/// How the answer is written.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people.
    #[default]
    Table,
    /// One JSON object.
    Json,
    /// RFC 4180 with a header line.
    Csv,
}

/// Whether to use colour.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub enum Colour {
    /// On a terminal, unless NO_COLOR is set.
    #[default]
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// On every command that records.
#[derive(Clone, Copy, Debug, Args)]
pub struct Trying {
    /// Do all of it, show the result, keep nothing
    #[arg(long)]
    pub dry_run: bool,
}

/// On every command that writes a file for somebody.
#[derive(Clone, Copy, Debug, Args)]
pub struct Replacing {
    /// Write over a file that is there, though Runabout did not make it; never over a book or a receipt
    #[arg(long)]
    pub replace: bool,
}

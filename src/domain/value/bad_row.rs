//! A row of a sheet that will not do, by its line.

use std::fmt;

/// What is wrong with a row, or with the header (line 1).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BadRow {
    /// The line.
    pub line: u64,
    /// Why, as a sentence.
    pub why: String,
}

impl fmt::Display for BadRow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.why)
    }
}

//! `backup`, `restore`, `export`: what was copied where.

use crate::report::cell::Cell;
use crate::report::document::{Column, Document, Table};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// A copy made, or put in the book's place.
#[derive(Clone, Debug, Serialize)]
pub struct CopiedReport {
    #[serde(flatten)]
    stamp: Stamp,
    /// Where it is.
    file: String,
    /// Where what it replaced is kept.
    kept_as: Option<String>,
    said: String,
    notes: Vec<String>,
}

impl CopiedReport {
    /// Lays out what `command` did.
    pub const fn new(
        command: &'static str,
        as_of: NaiveDate,
        file: String,
        kept_as: Option<String>,
        said: String,
        notes: Vec<String>,
    ) -> Self {
        Self { stamp: Stamp::new(command, as_of), file, kept_as, said, notes }
    }

    /// What was done, in words.
    pub fn said(&self) -> &str {
        &self.said
    }

    /// For people, and for CSV as one row.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(self.said.as_str());
        for note in &self.notes {
            document.note(note.as_str());
        }
        let columns = ["file", "kept_as"].map(|key| Column::new(key, key).csv_only());
        let mut table = Table::new("copied", columns.into(), "");
        table.row(vec![Cell::text(&*self.file), self.kept_as.clone().map_or_else(Cell::blank, Cell::from)]);
        document.table(table);
        document
    }
}

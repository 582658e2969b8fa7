//! `forget`: what was taken out, what is left to look at.

use crate::domain::value::numbers::EntryNo;
use crate::report::cell::Cell;
use crate::report::document::{Column, Document, Table};
use crate::report::keep::recorded::Recorded;
use serde::Serialize;

/// A name forgotten.
#[derive(Clone, Debug, Serialize)]
pub struct ForgottenReport {
    /// The read-back, without a way to undo it.
    #[serde(flatten)]
    pub recorded: Recorded,
    /// Free text that mentions the name, as it stood before.
    pub mentions: Vec<MentionRow>,
    /// Whether it was taken out of that text too.
    pub mentions_changed: bool,
    /// Receipts of the entries that named the person.
    pub receipts: Vec<ReceiptLine>,
    /// Whether they were removed.
    pub receipts_removed: bool,
}

/// Free text that mentions a name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct MentionRow {
    /// The entry that wrote it.
    pub entry: EntryNo,
    /// What it is.
    pub what: &'static str,
    /// The text.
    pub text: String,
}

/// A receipt of an entry.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ReceiptLine {
    /// The entry.
    pub entry: EntryNo,
    /// What the file was called.
    pub file_name: String,
}

impl ForgottenReport {
    /// The entry, unless it was only tried.
    pub fn kept_entry(&self) -> Option<i64> {
        self.recorded.kept_entry()
    }

    /// For people, and for CSV: the read-back, then what to look at.
    pub fn document(&self) -> Document {
        let Recorded { summary, notes, .. } = &self.recorded;
        let mut document = Document::new();
        document.headline(match self.kept_entry() {
            Some(entry) => format!("Entry {entry}: {summary}. It cannot be undone."),
            None => format!("Dry run, nothing kept: {summary}. It could not be undone."),
        });
        document.table(self.row());
        list(&mut document, self.mentions_heading(), self.mention_table());
        list(&mut document, self.receipts_heading(), self.receipt_table());
        for note in notes {
            document.note(note.as_str());
        }
        document
    }

    const fn mentions_heading(&self) -> &'static str {
        if self.mentions_changed {
            "Text the name was taken out of"
        } else {
            "Text that still mentions the name: look at it, or say --notes"
        }
    }

    const fn receipts_heading(&self) -> &'static str {
        if self.receipts_removed {
            "Receipts removed"
        } else {
            "Receipts that may show the name: look at them, or say --receipts"
        }
    }

    fn row(&self) -> Table {
        let columns = ["entry", "command", "summary"].into_iter().map(|key| Column::new(key, key).csv_only()).collect();
        let mut table = Table::new("recorded", columns, "");
        table.row(vec![
            Cell::count(self.recorded.entry),
            Cell::text(&*self.recorded.command),
            Cell::text(&*self.recorded.summary),
        ]);
        table
    }

    fn mention_table(&self) -> Table {
        let columns =
            vec![Column::new("entry", "Entry"), Column::new("what", "What"), Column::new("text", "Text").elastic()];
        let mut table = Table::new("mentions", columns, "");
        for row in &self.mentions {
            table.row(vec![Cell::count(row.entry), Cell::text(row.what), Cell::text(&*row.text)]);
        }
        table
    }

    fn receipt_table(&self) -> Table {
        let columns = vec![Column::new("entry", "Entry"), Column::new("file_name", "Receipt").elastic()];
        let mut table = Table::new("receipts", columns, "");
        for row in &self.receipts {
            table.row(vec![Cell::count(row.entry), Cell::text(&*row.file_name)]);
        }
        table
    }
}

/// A table under its name, when there is anything in it.
fn list(document: &mut Document, name: &str, table: Table) {
    if !table.rows.is_empty() {
        document.heading(name);
    }
    document.table(table);
}

//! `verify`: what was checked, and each thing found, in words.

use crate::report::cell::Cell;
use crate::report::document::{Column, Document, Table};
use crate::report::phrase;
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// What checking a book found.
#[derive(Clone, Debug, Serialize)]
pub struct VerifyReport {
    #[serde(flatten)]
    stamp: Stamp,
    /// Months whose proof was worked out.
    pub months: usize,
    /// Cars whose order of events was checked.
    pub cars: usize,
    /// Receipts read again.
    pub receipts: usize,
    /// What was found.
    pub findings: Vec<Finding>,
    /// Views and indexes in the file that are not the program's, and change nothing.
    pub not_ours: Vec<String>,
}

/// One thing that is not as it should be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// What was checked.
    pub check: &'static str,
    /// What was found.
    pub finding: String,
}

impl Finding {
    /// Something found by a check.
    pub const fn new(check: &'static str, finding: String) -> Self {
        Self { check, finding }
    }
}

impl VerifyReport {
    /// Nothing checked yet.
    pub const fn new(as_of: NaiveDate) -> Self {
        Self {
            stamp: Stamp::new("verify", as_of),
            months: 0,
            cars: 0,
            receipts: 0,
            findings: Vec::new(),
            not_ours: Vec::new(),
        }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let counted = |count: usize, one: &str| if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") };
        let checked = format!(
            "the file, {}, {} and {}",
            counted(self.months, "month"),
            phrase::cars(self.cars),
            counted(self.receipts, "receipt")
        );
        let mut document = Document::new();
        document.headline(match self.findings.len() {
            0 => format!("All is well: {checked} were checked."),
            1 => format!("1 thing is not as it should be; {checked} were checked."),
            some => format!("{some} things are not as they should be; {checked} were checked."),
        });
        let columns = vec![Column::new("check", "Check"), Column::new("finding", "Found")];
        let mut table = Table::new("findings", columns, "");
        for found in &self.findings {
            table.row(vec![Cell::text(found.check), Cell::text(&*found.finding)]);
        }
        document.table(table);
        if !self.not_ours.is_empty() {
            let others = self.not_ours.join(", ");
            document.sentence(format!("Not this program's, and let be: the {others}."));
        }
        if !self.findings.is_empty() {
            document.sentence("Keep a copy of the book as it is before putting anything right.");
        }
        document
    }
}

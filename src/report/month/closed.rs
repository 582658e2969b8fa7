//! `close`: the read-back, and the month as it was closed.

use crate::report::document::Document;
use crate::report::keep::recorded::Recorded;
use crate::report::month::month::MonthReport;
use serde::Serialize;

/// A month closed.
#[derive(Clone, Debug, Serialize)]
pub struct ClosedReport {
    #[serde(flatten)]
    recorded: Recorded,
    /// The month's report, as its figures were kept.
    closed_month: MonthReport,
}

impl ClosedReport {
    /// Lays out what was closed.
    pub const fn new(recorded: Recorded, month: MonthReport) -> Self {
        Self { recorded, closed_month: month }
    }

    /// The entry, unless it was only tried.
    pub fn kept_entry(&self) -> Option<i64> {
        self.recorded.kept_entry()
    }

    /// For people, and for CSV: the read-back, then the month.
    pub fn document(&self) -> Document {
        let mut document = self.recorded.document();
        document.blocks.extend(self.closed_month.document().blocks);
        document
    }
}

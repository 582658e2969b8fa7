//! What every looking report begins with: its name, the version of its keys, the as-of day.

use crate::report::cell::IsoDay;
use chrono::NaiveDate;
use serde::Serialize;

/// The version of the keys. Keys may be added under it; none is renamed or removed.
const VERSION: u8 = 1;

/// The first keys of a report.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Stamp {
    report: &'static str,
    version: u8,
    as_of: IsoDay,
}

impl Stamp {
    /// The stamp of the report called `report`, as of a day.
    pub const fn new(report: &'static str, as_of: NaiveDate) -> Self {
        Self { report, version: VERSION, as_of: IsoDay(as_of) }
    }

    /// The day the report is as of.
    pub const fn day(&self) -> NaiveDate {
        self.as_of.0
    }
}

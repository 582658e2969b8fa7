//! What there is to do and by when, for a calendar: days with words, and when to be reminded.

use chrono::{DateTime, NaiveDate, Utc};

/// A list of days to keep.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Agenda {
    /// What a calendar program calls it.
    pub name: String,
    /// The days, in any order.
    pub events: Vec<Event>,
}

/// One thing on one day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Event {
    /// Its name among all events anywhere, such as `mot-7@book.runabout`. The same thing keeps the
    /// same one from one writing to the next, so that a calendar replaces it instead of showing
    /// it twice.
    pub uid: String,
    /// When it was written.
    pub stamp: DateTime<Utc>,
    /// The day, whole.
    pub on: NaiveDate,
    /// A few words.
    pub summary: String,
    /// The rest, in as many lines as it takes; empty for none.
    pub description: String,
    /// How many days before to be reminded, once for each.
    pub alarm_days_before: Vec<u32>,
}

//! `log`: what was recorded, newest first.

use crate::domain::days::day::long;
use crate::report::cell::Cell;
use crate::report::document::{Column, Document, Table};
use crate::report::stamp::Stamp;
use chrono::{NaiveDate, NaiveDateTime};
use serde::Serialize;

/// Entries of the book.
#[derive(Clone, Debug, Serialize)]
pub struct LogReport {
    #[serde(flatten)]
    stamp: Stamp,
    car: Option<String>,
    entries: Vec<LogEntry>,
}

/// One entry.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct LogEntry {
    /// Its number.
    pub entry: i64,
    /// When, UTC: `2026-11-25T10:14:05Z`.
    pub recorded_at: String,
    /// The command's name.
    pub command: String,
    /// The command as typed.
    pub typed: String,
    /// What it recorded, in words.
    pub summary: String,
    /// The entry it undoes, when it is an undo.
    pub undoes: Option<i64>,
    /// The undo that stands against it.
    pub undone_by: Option<i64>,
}

impl LogReport {
    /// Lays out entries, newest first; `car` is the label of the car they are about.
    pub const fn new(as_of: NaiveDate, car: Option<String>, entries: Vec<LogEntry>) -> Self {
        Self { stamp: Stamp::new("log", as_of), car, entries }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        if self.entries.is_empty() {
            let what = self.car.as_ref().map(|car| format!(" about {car}")).unwrap_or_default();
            document.headline(format!("Nothing is recorded{what}."));
        } else {
            let count = match self.entries.len() {
                1 => "1 entry".to_owned(),
                count => format!("{count} entries"),
            };
            let what = self.car.as_ref().map(|car| format!(" about {car}")).unwrap_or_default();
            let latest = if self.is_the_latest_only() { "The latest " } else { "" };
            document.headline(format!("{latest}{count}{what}, newest first (times in UTC).")).facts(self.lines());
            if let Some(newest) = self.entries.first().filter(|_| self.is_the_latest_only()) {
                document.sentence(format!("`runabout log --last {}` goes back to the first.", newest.entry));
            }
            document.sentence("`runabout undo` takes back the latest that stands, `runabout undo N` entry N.");
        }
        document.table(self.table());
        document
    }

    /// Whether there are earlier ones: entries of a book are numbered from 1, and all of a car's are shown.
    fn is_the_latest_only(&self) -> bool {
        self.car.is_none() && self.entries.last().is_some_and(|oldest| oldest.entry > 1)
    }

    /// Each entry's whole summary beside its number and time, folded where the screen ends: cut
    /// short, it would not say what happened.
    fn lines(&self) -> Vec<(String, Cell)> {
        let digits = self.entries.iter().map(|entry| entry.entry.to_string().len()).max().unwrap_or(0);
        let line = |entry: &LogEntry| {
            (format!("{:>digits$}  {}", entry.entry, short_time(&entry.recorded_at)), Cell::text(entry.words()))
        };
        self.entries.iter().map(line).collect()
    }

    fn table(&self) -> Table {
        let keys = ["entry", "recorded_at", "command", "typed", "summary", "undoes", "undone_by"];
        let columns = keys.into_iter().map(|key| Column::new(key, key).csv_only()).collect();
        let mut table = Table::new("entries", columns, "");
        for entry in &self.entries {
            table.row(vec![
                Cell::count(entry.entry),
                Cell::text(&*entry.recorded_at),
                Cell::text(&*entry.command),
                Cell::text(&*entry.typed),
                Cell::text(&*entry.summary),
                Cell::count(entry.undoes),
                Cell::count(entry.undone_by),
            ]);
        }
        table
    }
}

impl LogEntry {
    fn words(&self) -> String {
        let undone = self.undone_by.map(|by| format!(" (undone by {by})")).unwrap_or_default();
        format!("{}{undone}", self.summary)
    }
}

/// `25 Nov 2026 10:14`, with the days of the month under each other.
fn short_time(recorded_at: &str) -> String {
    NaiveDateTime::parse_from_str(recorded_at, "%Y-%m-%dT%H:%M:%SZ")
        .map_or_else(|_| recorded_at.to_owned(), |at| format!("{:>11} {}", long(at.date()), at.format("%H:%M")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture::{assert_keys, day, plain};

    fn entries() -> Vec<LogEntry> {
        let entry = |entry, recorded_at: &str, summary: &str, undoes, undone_by| LogEntry {
            entry,
            recorded_at: recorded_at.into(),
            command: "spend".into(),
            typed: "runabout spend 54.85 mot --car 7".into(),
            summary: summary.into(),
            undoes,
            undone_by,
        };
        vec![
            entry(
                13,
                "2026-11-25T10:15:40Z",
                "took back entry 9: spent £54.85 on mot for 7 KX42 RTO, 5 Nov 2026",
                Some(9),
                None,
            ),
            entry(
                9,
                "2026-11-05T09:01:00Z",
                "spent £54.85 on mot for 7 KX42 RTO, to Hob Lane Garage, paid in cash on 5 Nov 2026",
                None,
                Some(13),
            ),
        ]
    }

    #[test]
    fn every_word_of_a_summary_is_on_the_screen() {
        let report = LogReport::new(day("2026-11-25"), Some("7 KX42 RTO".into()), entries());
        assert_eq!(
            plain(&report.document()),
            "\
2 entries about 7 KX42 RTO, newest first (times in UTC).
13  25 Nov 2026 10:15: took back entry 9: spent £54.85 on mot for 7 KX42 RTO, 5 Nov 2026
 9   5 Nov 2026 09:01: spent £54.85 on mot for 7 KX42 RTO, to Hob Lane Garage, paid in cash on 5 Nov 2026 (undone by 13)
`runabout undo` takes back the latest that stands, `runabout undo N` entry N.
"
        );
    }

    #[test]
    fn that_there_are_earlier_ones_is_said_and_how_to_see_them() {
        let latest = LogReport::new(day("2026-11-25"), None, entries());
        let said = plain(&latest.document());
        assert!(said.starts_with("The latest 2 entries, newest first"), "{said}");
        assert!(said.contains("`runabout log --last 13` goes back to the first."), "{said}");
        let mut all = entries();
        all[1].entry = 1;
        let said = plain(&LogReport::new(day("2026-11-25"), None, all).document());
        assert!(said.starts_with("2 entries, newest first") && !said.contains("--last"), "{said}");
    }

    #[test]
    fn nothing_recorded_is_said() {
        let report = LogReport::new(day("2026-11-25"), None, Vec::new());
        assert_eq!(plain(&report.document()), "Nothing is recorded.\n");
        assert_eq!(report.document().tables().count(), 1);
    }

    #[test]
    fn the_keys_are_the_promised_ones() {
        let report = LogReport::new(day("2026-11-25"), None, entries());
        assert_keys(&report, "", "report version as_of car entries");
        assert_keys(&report, "/entries/0", "entry recorded_at command typed summary undoes undone_by");
    }
}

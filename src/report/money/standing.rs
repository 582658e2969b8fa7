//! `standing list`: the overheads that come round by themselves.

use crate::domain::days::day::long;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Every, Pocket};
use crate::report::cell::{Cell, IsoDay, MoneyText};
use crate::report::document::{Column, Document, Table};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// The standing costs of a book.
#[derive(Clone, Debug, Serialize)]
pub struct StandingReport {
    #[serde(flatten)]
    stamp: Stamp,
    standing: Vec<StandingRow>,
}

/// One standing cost, as given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandingLine {
    /// What the trader calls it.
    pub name: String,
    /// What each due day costs at present.
    pub amount: Pence,
    /// How often it comes round.
    pub every: Every,
    /// Its heading.
    pub heading: String,
    /// Where the money comes from.
    pub paid: Pocket,
    /// The first due day.
    pub first_on: NaiveDate,
    /// The last day it can fall due.
    pub until: Option<NaiveDate>,
    /// The next due day; none when it has ended.
    pub next_on: Option<NaiveDate>,
}

#[derive(Clone, Debug, Serialize)]
struct StandingRow {
    name: String,
    amount: MoneyText,
    every: &'static str,
    heading: String,
    paid: &'static str,
    first_on: IsoDay,
    until: Option<IsoDay>,
    next_on: Option<IsoDay>,
}

impl From<StandingLine> for StandingRow {
    fn from(line: StandingLine) -> Self {
        Self {
            name: line.name,
            amount: MoneyText(line.amount),
            every: line.every.word(),
            heading: line.heading,
            paid: line.paid.word(),
            first_on: IsoDay(line.first_on),
            until: line.until.map(IsoDay),
            next_on: line.next_on.map(IsoDay),
        }
    }
}

impl StandingReport {
    /// Lays out the standing costs.
    pub fn new(as_of: NaiveDate, rows: Vec<StandingLine>) -> Self {
        Self { stamp: Stamp::new("standing", as_of), standing: rows.into_iter().map(Into::into).collect() }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        let count = match self.standing.len() {
            0 => None,
            1 => Some("1 standing cost".to_owned()),
            count => Some(format!("{count} standing costs")),
        };
        if let Some(count) = count {
            document.headline(format!("{count}; {}.", self.next()));
        }
        document.table(self.table());
        document.sentence("`runabout standing add NAME AMOUNT --every month` sets one up.");
        document
    }

    fn next(&self) -> String {
        let soonest = self.standing.iter().filter_map(|row| Some((row.next_on?.0, row))).min_by_key(|(on, _)| *on);
        soonest.map_or_else(
            || "none is still to come".to_owned(),
            |(on, row)| format!("next is {}, {} on {}", row.name, row.amount.0, long(on)),
        )
    }

    fn table(&self) -> Table {
        let columns = vec![
            Column::new("name", "Name").elastic(),
            Column::new("amount", "Amount"),
            Column::new("every", "Every"),
            Column::new("next_on", "Next"),
            Column::new("heading", "Heading"),
            Column::new("paid", "Paid from"),
            Column::new("first_on", "First").importance(1),
            Column::new("until", "Until").importance(2),
        ];
        let mut table = Table::new("standing", columns, "No standing costs.");
        for row in &self.standing {
            table.row(vec![
                Cell::text(&*row.name),
                row.amount.into(),
                Cell::text(row.every),
                row.next_on.into(),
                Cell::text(&*row.heading),
                Cell::text(row.paid),
                row.first_on.into(),
                row.until.into(),
            ]);
        }
        table
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture::{assert_keys, day, plain};

    fn line(name: &str, amount: i64, next_on: Option<&str>) -> StandingLine {
        StandingLine {
            name: name.into(),
            amount: Pence::new(amount),
            every: Every::Month,
            heading: "rent".into(),
            paid: Pocket::Bank,
            first_on: day("2026-01-01"),
            until: None,
            next_on: next_on.map(day),
        }
    }

    #[test]
    fn the_next_one_due_is_the_answer() {
        let lines = vec![
            line("yard rent", 12_000, Some("2026-12-01")),
            line("old yard", 9_000, None),
            line("pump", 500, Some("2026-11-28")),
        ];
        let report = StandingReport::new(day("2026-11-25"), lines);
        let shown = plain(&report.document());
        assert!(shown.starts_with("3 standing costs; next is pump, £5.00 on 28 Nov 2026.\n"), "{shown}");
        assert!(shown.contains("old yard | 90.00 | month |  | rent | bank"), "{shown}");
        assert_keys(&report, "", "report version as_of standing");
        assert_keys(&report, "/standing/0", "name amount every heading paid first_on until next_on");
    }

    #[test]
    fn none_and_none_to_come_are_said() {
        let none = StandingReport::new(day("2026-11-25"), Vec::new());
        assert!(plain(&none.document()).starts_with("No standing costs.\n"));
        let ended = StandingReport::new(day("2026-11-25"), vec![line("old yard", 9_000, None)]);
        assert!(plain(&ended.document()).starts_with("1 standing cost; none is still to come.\n"));
    }
}

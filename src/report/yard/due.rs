//! `due`: everything dated, soonest first, with what to do about it.

use crate::domain::days::day::long;
use crate::domain::due::due_item::{DueItem, DueKind};
use crate::domain::value::car_ref::StockNo;
use crate::report::cell::{Cell, IsoDay};
use crate::report::document::{Column, Document, Table};
use crate::report::phrase::days;
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// The dates of a book.
#[derive(Clone, Debug, Serialize)]
pub struct DueReport {
    #[serde(flatten)]
    stamp: Stamp,
    items: Vec<DueRow>,
    /// Asked for with `--check`, which says nothing when there is nothing to say.
    #[serde(skip)]
    checking: bool,
    /// A check found something.
    #[serde(skip)]
    found: bool,
}

#[derive(Clone, Debug, Serialize)]
struct DueRow {
    number: i64,
    due_on: Option<IsoDay>,
    days_left: Option<i64>,
    kind: &'static str,
    subject: String,
    stock_no: Option<u32>,
    mark: Option<String>,
    action: String,
}

impl DueReport {
    /// Lays out the items, soonest first as given.
    pub fn new(as_of: NaiveDate, items: Vec<DueItem>, checking: bool, found: bool) -> Self {
        let row = |item: DueItem| DueRow {
            number: item.number,
            due_on: item.on.map(IsoDay),
            days_left: item.days_left,
            kind: item.kind.word(),
            subject: item.subject,
            stock_no: item.stock_no.map(StockNo::get),
            mark: item.mark.map(|mark| mark.to_string()),
            action: item.action,
        };
        Self { stamp: Stamp::new("due", as_of), items: items.into_iter().map(row).collect(), checking, found }
    }

    /// Whether a check found something overdue or pressing.
    pub const fn found(&self) -> bool {
        self.found
    }

    /// Whether there is nothing to say: a check that found nothing is silent.
    pub fn is_silent(&self) -> bool {
        self.checking && self.items.is_empty()
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        if self.items.is_empty() {
            document.headline("Nothing is due.");
            document.sentence("`runabout due --within 365` looks further ahead.");
        } else {
            document.headline(self.headline());
            document.facts(self.items.iter().map(|item| (item.label(), Cell::text(item.text()))));
        }
        document.table(self.table());
        document
    }

    /// How many items there are.
    pub(crate) fn count(&self) -> usize {
        self.items.len()
    }

    /// The first of the items, a line each, for a screen with other things on it.
    pub(crate) fn first_items(&self, most: usize) -> Table {
        let columns = vec![
            Column::new("number", "No").screen_only(),
            Column::new("when", "Due").screen_only(),
            Column::new("subject", "What about").elastic().screen_only(),
            Column::new("action", "What to do").elastic().screen_only(),
        ];
        let mut table = Table::new("first-items", columns, "");
        for item in self.items.iter().take(most) {
            table.row(vec![
                Cell::count(item.number),
                Cell::text(item.when()),
                Cell::text(&*item.subject),
                Cell::text(&*item.action),
            ]);
        }
        table
    }

    /// What to do about the first item that wants something done, in full: `15 TU49 GLE: have it tested, …`. A
    /// standing cost goes out by itself.
    pub(crate) fn first_action(&self) -> Option<String> {
        let first = self.items.iter().find(|item| item.kind != DueKind::Standing.word());
        first.map(|item| format!("{}: {}", item.subject, item.action))
    }

    /// Every item, for machines.
    pub(crate) fn every_item(&self) -> Table {
        self.table()
    }

    pub(crate) fn headline(&self) -> String {
        let overdue = self.items.iter().filter(|item| item.days_left.is_some_and(|left| left < 0)).count();
        let dates = match self.items.len() {
            1 => "1 date".to_owned(),
            count => format!("{count} dates"),
        };
        match overdue {
            0 => format!("{dates}, none overdue."),
            count => format!("{dates}, {count} overdue."),
        }
    }

    fn table(&self) -> Table {
        let keys = ["number", "due_on", "days_left", "kind", "subject", "stock_no", "mark", "action"];
        let mut table = Table::new("items", keys.into_iter().map(|key| Column::new(key, key).csv_only()).collect(), "");
        for item in &self.items {
            table.row(vec![
                Cell::count(item.number),
                item.due_on.map_or(Cell::Missing, Cell::from),
                Cell::days(item.days_left),
                Cell::text(item.kind),
                Cell::text(&*item.subject),
                Cell::count(item.stock_no.map(i64::from)),
                item.mark.as_deref().map_or(Cell::Missing, Cell::text),
                Cell::text(&*item.action),
            ]);
        }
        table
    }
}

impl DueRow {
    /// ` 1015   6 Dec 2026`.
    fn label(&self) -> String {
        let on = self.due_on.map_or_else(|| "no date".to_owned(), |on| long(on.0));
        format!("{:>5}  {on:>11}", self.number)
    }

    /// `in 11 days`.
    fn when(&self) -> String {
        match self.days_left {
            None => "now".to_owned(),
            Some(0) => "today".to_owned(),
            Some(left) if left < 0 => format!("{} ago", days(-left)),
            Some(left) => format!("in {}", days(left)),
        }
    }

    /// `in 11 days: 15 TU49 GLE, mot: …`.
    fn text(&self) -> String {
        format!("{}: {}, {}: {}", self.when(), self.subject, self.kind, self.action)
    }
}

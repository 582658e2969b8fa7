//! `paper list`: the dated documents of the business.

use crate::domain::book::dated_facts::Paper;
use crate::domain::days::day::days_between;
use crate::report::cell::{Cell, IsoDay};
use crate::report::document::{Column, Document, Table};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// The papers of a book.
#[derive(Clone, Debug, Serialize)]
pub struct PapersReport {
    #[serde(flatten)]
    stamp: Stamp,
    papers: Vec<PaperRow>,
}

#[derive(Clone, Debug, Serialize)]
struct PaperRow {
    name: String,
    until: IsoDay,
    days_left: i64,
    remind_days: Option<i64>,
}

impl PapersReport {
    /// Lays out the papers, soonest first as given.
    pub fn new(as_of: NaiveDate, papers: &[Paper]) -> Self {
        let row = |paper: &Paper| PaperRow {
            name: paper.name.clone(),
            until: IsoDay(paper.until),
            days_left: days_between(as_of, paper.until),
            remind_days: paper.remind_days,
        };
        Self { stamp: Stamp::new("papers", as_of), papers: papers.iter().map(row).collect() }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        match self.papers.first() {
            Some(first) if first.days_left < 0 => document.headline(format!("{} has run out.", first.name)),
            Some(first) => {
                document.headline(format!("{} is the first to run out, in {} days.", first.name, first.days_left))
            }
            None => document.headline("No papers yet."),
        };
        let columns = vec![
            Column::new("name", "Paper").elastic(),
            Column::new("until", "Last day"),
            Column::new("days_left", "Days left"),
            Column::new("remind_days", "Remind").importance(1),
        ];
        let mut table = Table::new("papers", columns, "");
        for paper in &self.papers {
            table.row(vec![
                Cell::text(&*paper.name),
                Cell::from(paper.until),
                Cell::days(paper.days_left),
                Cell::days(paper.remind_days),
            ]);
        }
        document.table(table);
        document.sentence("`runabout paper add NAME --until DATE` adds one; `due` reminds of them.");
        document
    }
}

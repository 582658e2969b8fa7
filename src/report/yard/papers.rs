//! `paper list`: the dated documents of the business.

use crate::domain::book::dated_facts::Paper;
use crate::domain::days::day::days_between;
use crate::report::cell::Cell;
use crate::report::document::{Document, Table};
use crate::report::list::List;
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// The papers of a book.
#[derive(Clone, Debug, Serialize)]
pub struct PapersReport {
    #[serde(flatten)]
    stamp: Stamp,
    papers: Table,
    /// What runs out first, and in how many days.
    #[serde(skip)]
    first: Option<(String, i64)>,
}

impl PapersReport {
    /// Lays out the papers, soonest first as given.
    pub fn new(as_of: NaiveDate, papers: &[Paper]) -> Self {
        let list = List::of("papers", papers)
            .column("name", "Paper", |paper| paper.name.as_str())
            .elastic()
            .column("until", "Last day", |paper| paper.until)
            .column("days_left", "Days left", |paper| Cell::days(days_between(as_of, paper.until)))
            .column("remind_days", "Remind", |paper| Cell::days(paper.remind_days))
            .importance(1);
        let first = papers.first().map(|paper| (paper.name.clone(), days_between(as_of, paper.until)));
        Self { stamp: Stamp::new("papers", as_of), papers: list.table(), first }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        match &self.first {
            Some((name, left)) if *left < 0 => document.headline(format!("{name} has run out.")),
            Some((name, left)) => document.headline(format!("{name} is the first to run out, in {left} days.")),
            None => document.headline("No papers yet."),
        };
        document.table(self.papers.clone());
        document.sentence("`runabout paper add NAME --until DATE` adds one; `due` reminds of them.");
        document
    }
}

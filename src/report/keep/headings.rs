//! `settings headings`: the headings money goes under, and where each belongs on the return.

use crate::domain::value::words::Direction;
use crate::report::cell::Cell;
use crate::report::document::{Column, Document, Table};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::{Serialize, Serializer};

/// The headings of a book.
#[derive(Clone, Debug, Serialize)]
pub struct HeadingsReport {
    #[serde(flatten)]
    stamp: Stamp,
    headings: Vec<HeadingLine>,
}

/// One heading.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct HeadingLine {
    /// Its word.
    pub heading: String,
    /// For money spent or received.
    #[serde(serialize_with = "word")]
    pub direction: Direction,
    /// The self-employment page's heading it belongs under.
    pub return_heading: String,
    /// Added by the trader, not by the program.
    pub added: bool,
}

// The signature is serde's.
#[allow(clippy::trivially_copy_pass_by_ref)]
fn word<S: Serializer>(direction: &Direction, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(direction.word())
}

impl HeadingsReport {
    /// Lays out the headings.
    pub const fn new(as_of: NaiveDate, rows: Vec<HeadingLine>) -> Self {
        Self { stamp: Stamp::new("headings", as_of), headings: rows }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let own = match self.headings.iter().filter(|line| line.added).count() {
            0 => "none of your own yet".to_owned(),
            count => format!("{count} of your own"),
        };
        let mut document = Document::new();
        document
            .headline(format!("{} headings, {own}.", self.headings.len()))
            .table(self.table())
            .sentence("`runabout settings set heading:dents goods` adds one.");
        document
    }

    fn table(&self) -> Table {
        let columns = vec![
            Column::new("heading", "Heading"),
            Column::new("direction", "Direction").csv_only(),
            Column::new("command", "Goes with").screen_only(),
            Column::new("return_heading", "On the return"),
            Column::new("added", "Added").csv_only(),
            Column::new("whose", "Yours").screen_only(),
        ];
        let mut table = Table::new("headings", columns, "No headings.");
        for line in &self.headings {
            let command = match line.direction {
                Direction::Cost => "spend",
                Direction::Receipt => "receive",
            };
            table.row(vec![
                Cell::text(&*line.heading),
                Cell::text(line.direction.word()),
                Cell::text(command),
                Cell::text(&*line.return_heading),
                Cell::text(if line.added { "true" } else { "false" }),
                Cell::text(if line.added { "yes" } else { "" }),
            ]);
        }
        table
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture::{assert_keys, day, plain, records};

    #[test]
    fn each_heading_says_its_command_and_whose_it_is() {
        let line = |heading: &str, direction, return_heading: &str, added| HeadingLine {
            heading: heading.into(),
            direction,
            return_heading: return_heading.into(),
            added,
        };
        let report = HeadingsReport::new(
            day("2026-11-25"),
            vec![line("dents", Direction::Cost, "goods", true), line("scrap", Direction::Receipt, "turnover", false)],
        );
        assert_eq!(
            plain(&report.document()),
            "\
2 headings, 1 of your own.
Heading | Goes with | On the return | Yours
dents | spend | goods | yes
scrap | receive | turnover | 
`runabout settings set heading:dents goods` adds one.
"
        );
        assert_eq!(
            records(&report.document(), None),
            ["heading,direction,return_heading,added", "dents,cost,goods,true", "scrap,receipt,turnover,false"]
        );
        assert_keys(&report, "", "report version as_of headings");
        assert_keys(&report, "/headings/0", "heading direction return_heading added");
    }
}

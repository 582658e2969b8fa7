//! The read-back of a recording command: what was recorded, where it stands now, how to undo it.

use crate::report::cell::{Cell, MoneyText};
use crate::report::document::{Column, Document, Table};
use serde::Serialize;
use std::ops::Not;

/// What was recorded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Recorded {
    /// The entry's number.
    pub entry: i64,
    /// The command's name.
    pub command: String,
    /// What was recorded, as a sentence without its full stop.
    pub summary: String,
    /// The cars it is about, as they stand now.
    pub cars: Vec<RecordedCar>,
    /// What else the trader should know.
    pub notes: Vec<String>,
    /// It was only tried: nothing was kept.
    #[serde(skip_serializing_if = "Not::not")]
    pub dry_run: bool,
}

/// A car a recording is about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct RecordedCar {
    /// Its stock number.
    pub stock_no: u32,
    /// Its mark; none without plates.
    pub mark: Option<String>,
    /// What it stands in at now, at the day it left once it has.
    pub stands_in: MoneyText,
    /// It has left stock.
    #[serde(skip)]
    pub gone: bool,
}

impl Recorded {
    /// For people, and for CSV as one row.
    pub fn document(&self) -> Document {
        // One car is named in the summary already.
        let stands = |car: &RecordedCar| {
            if self.cars.len() == 1 { car.stands() } else { format!("{} {}", car.name(), car.stands()) }
        };
        let said = std::iter::once(self.summary.clone()).chain(self.cars.iter().map(stands));
        let said = said.collect::<Vec<_>>().join("; ");
        let mut document = Document::new();
        document.headline(if self.dry_run {
            format!("Dry run, nothing kept: {said}.")
        } else {
            format!("Entry {}: {said}. Undo: `runabout undo {}`", self.entry, self.entry)
        });
        for note in &self.notes {
            document.note(note.as_str());
        }
        document.table(self.row());
        document
    }

    fn row(&self) -> Table {
        let columns = ["entry", "command", "summary"].into_iter().map(|key| Column::new(key, key).csv_only()).collect();
        let mut table = Table::new("recorded", columns, "");
        table.row(vec![Cell::count(self.entry), Cell::text(&*self.command), Cell::text(&*self.summary)]);
        table
    }
}

impl RecordedCar {
    fn name(&self) -> String {
        format!("{} {}", self.stock_no, self.mark.as_deref().unwrap_or("(no plates)"))
    }

    fn stands(&self) -> String {
        format!("{} in at {}", if self.gone { "stood" } else { "now stands" }, self.stands_in.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::pence::Pence;
    use crate::report::fixture::{assert_keys, plain, records};

    fn spent() -> Recorded {
        Recorded {
            entry: 12,
            command: "spend".into(),
            summary: "spent £54.85 on mot for 7 KX42 RTO".into(),
            cars: vec![RecordedCar {
                stock_no: 7,
                mark: Some("KX42 RTO".into()),
                stands_in: MoneyText(Pence::new(58_485)),
                gone: false,
            }],
            notes: vec!["a caution".into()],
            dry_run: false,
        }
    }

    fn line(recorded: &Recorded) -> String {
        plain(&recorded.document())
    }

    #[test]
    fn one_line_says_what_where_it_stands_and_how_to_undo_it() {
        assert_eq!(
            line(&spent()),
            "Entry 12: spent £54.85 on mot for 7 KX42 RTO; now stands in at £584.85. \
             Undo: `runabout undo 12`\nnote: a caution\n"
        );
    }

    #[test]
    fn each_car_is_named_or_none() {
        let mut shared = Recorded { notes: Vec::new(), summary: "spent £27.50 on fuel".into(), ..spent() };
        shared.cars.push(RecordedCar {
            stock_no: 8,
            mark: None,
            stands_in: MoneyText(Pence::new(37_500)),
            gone: false,
        });
        assert_eq!(
            line(&shared),
            "Entry 12: spent £27.50 on fuel; 7 KX42 RTO now stands in at £584.85; 8 (no plates) now stands in at \
             £375.00. Undo: `runabout undo 12`\n"
        );
        let none = Recorded { cars: Vec::new(), ..shared };
        assert_eq!(line(&none), "Entry 12: spent £27.50 on fuel. Undo: `runabout undo 12`\n");
    }

    #[test]
    fn a_dry_run_offers_no_undo() {
        let tried = Recorded { dry_run: true, notes: Vec::new(), ..spent() };
        assert_eq!(
            line(&tried),
            "Dry run, nothing kept: spent £54.85 on mot for 7 KX42 RTO; now stands in at £584.85.\n"
        );
    }

    #[test]
    fn machines_read_exactly_what_is_promised() {
        assert_keys(&spent(), "", "entry command summary cars notes");
        assert_keys(&spent(), "/cars/0", "stock_no mark stands_in");
        let json = serde_json::to_value(Recorded { dry_run: true, ..spent() }).unwrap();
        assert_eq!(json["dry_run"], true);
        assert_eq!(json["cars"][0]["stands_in"], "584.85");
        assert_eq!(
            records(&spent().document(), None),
            ["entry,command,summary", "12,spend,spent £54.85 on mot for 7 KX42 RTO"]
        );
    }
}

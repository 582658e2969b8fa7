//! The read-back of a recording command: what was recorded, where it stands now, how to undo it.

use crate::report::cell::{Cell, MoneyText};
use crate::report::document::{Column, Document, Table};
use crate::report::phrase::grouped;
use serde::Serialize;
use std::ops::Not;

/// What was recorded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Recorded {
    /// The entry's number; none when there was nothing to record.
    pub entry: Option<i64>,
    /// The command's name.
    pub command: String,
    /// What was recorded, as a sentence without its full stop.
    pub summary: String,
    /// The cars it is about, as they stand now.
    pub cars: Vec<RecordedCar>,
    /// What else the trader should know.
    pub notes: Vec<String>,
    /// Rows of a file that stand from an earlier import and were passed over; absent where no file was read.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub passed_over: Option<usize>,
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

/// How many cars are told one by one: an import may be about thousands. Machines read all of them.
const MOST_TOLD: usize = 6;

impl Recorded {
    /// The entry, unless it was only tried or there was nothing to record.
    pub fn kept_entry(&self) -> Option<i64> {
        self.entry.filter(|_| !self.dry_run)
    }

    /// For people, and for CSV as one row.
    pub fn document(&self) -> Document {
        // One car is named in the summary already.
        let stands = |car: &RecordedCar| {
            if self.cars.len() == 1 { car.stands() } else { format!("{} {}", car.name(), car.stands()) }
        };
        let told = if self.cars.len() <= MOST_TOLD + 1 { self.cars.len() } else { MOST_TOLD };
        let more = self.cars.len() - told;
        let more = (more > 0).then(|| format!("and {} more cars, which `runabout stock-book` lists", grouped(more)));
        let said = std::iter::once(self.summary.clone()).chain(self.cars.iter().take(told).map(stands)).chain(more);
        let said = said.collect::<Vec<_>>().join("; ");
        let mut document = Document::new();
        document.headline(match self.entry {
            _ if self.dry_run => format!("Dry run, nothing kept: {said}."),
            Some(entry) => format!("Entry {entry}: {said}. Undo: `runabout undo {entry}`"),
            None => format!("Nothing to record: {said}."),
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
        table.row(vec![
            self.entry.map_or_else(Cell::blank, Cell::count),
            Cell::text(&*self.command),
            Cell::text(&*self.summary),
        ]);
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
    use crate::domain::value::pence::Pence;
    use crate::report::fixture::{assert_keys, plain, records};

    fn spent() -> Recorded {
        Recorded {
            entry: Some(12),
            command: "spend".into(),
            summary: "spent £54.85 on mot for 7 KX42 RTO".into(),
            cars: vec![RecordedCar {
                stock_no: 7,
                mark: Some("KX42 RTO".into()),
                stands_in: MoneyText(Pence::new(58_485)),
                gone: false,
            }],
            notes: vec!["a caution".into()],
            passed_over: None,
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
    fn of_many_cars_a_few_are_told_and_machines_read_all() {
        let car = |n| RecordedCar { stock_no: n, mark: None, stands_in: MoneyText(Pence::new(38_500)), gone: false };
        let of = |count| Recorded { notes: Vec::new(), cars: (1..=count).map(car).collect(), ..spent() };
        assert_eq!(line(&of(7)).matches("(no plates)").count(), 7);
        let said = line(&of(1_206));
        assert_eq!(said.matches("(no plates)").count(), 6, "{said}");
        assert!(said.contains("£385.00; and 1,200 more cars, which `runabout stock-book` lists. Undo:"), "{said}");
        assert_eq!(serde_json::to_value(of(1_206)).unwrap()["cars"].as_array().unwrap().len(), 1_206);
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

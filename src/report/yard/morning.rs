//! The morning screen: what is due, then stock, then the float and the next slot, each the report of its own
//! command cut to what one screen holds.

use crate::domain::days::day::long;
use crate::domain::plan::programme::NextSlot;
use crate::report::document::Document;
use crate::report::money::cash::CashReport;
use crate::report::plan::next_slot::{NextRow, next_in_words};
use crate::report::stamp::Stamp;
use crate::report::yard::due::DueReport;
use crate::report::yard::stock::StockReport;
use chrono::NaiveDate;
use serde::Serialize;

/// Rows of what is due, and of cars, that leave the whole on a screen of 24 lines.
const ITEMS: usize = 5;
const CARS: usize = 4;

/// A day at its beginning.
#[derive(Clone, Debug, Serialize)]
pub struct MorningReport {
    #[serde(flatten)]
    stamp: Stamp,
    due: DueReport,
    stock: StockReport,
    cash: CashReport,
    next_slot: Option<NextRow>,
}

impl MorningReport {
    /// Puts the parts together.
    pub fn new(
        as_of: NaiveDate,
        due: DueReport,
        stock: StockReport,
        cash: CashReport,
        next_slot: Option<&NextSlot>,
    ) -> Self {
        Self { stamp: Stamp::new("morning", as_of), due, stock, cash, next_slot: next_slot.map(NextRow::from) }
    }

    /// For people; machines read every item of what is due.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        let day = long(self.stamp.day());
        if self.due.count() == 0 {
            document.headline(format!("{day}: nothing is due."));
        } else {
            let more = beyond(self.due.count(), ITEMS).map(|more| format!(" {more} more: `runabout due`."));
            document.headline(format!("{day}: {}{}", self.due.headline(), more.unwrap_or_default()));
        }
        document.table(self.due.every_item()).table(self.due.first_items(ITEMS));
        if self.stock.count() == 0 {
            document.heading("No cars in stock.");
        } else {
            let more = beyond(self.stock.count(), CARS).map(|more| format!("; {more} more: `runabout stock`"));
            document.heading(format!("{}{}.", self.stock.in_words(), more.unwrap_or_default()));
        }
        document.table(self.stock.first_cars(CARS));
        document.sentence(self.cash.in_words());
        document.sentence(next_in_words(self.next_slot.as_ref()));
        document.sentence(self.what_next());
        document
    }

    /// What to do first.
    fn what_next(&self) -> String {
        match self.due.first_action() {
            Some(action) => format!("First, {action}."),
            None if self.stock.count() == 0 => "`runabout buy MARK PRICE` records a car.".to_owned(),
            None => "`runabout help` lists what can be recorded and looked at.".to_owned(),
        }
    }
}

/// How many there are beyond those shown.
fn beyond(count: usize, shown: usize) -> Option<usize> {
    count.checked_sub(shown).filter(|more| *more > 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::settings::Settings;
    use crate::domain::figures::yard::yard;
    use crate::report::fixture::{assert_keys, day, november, plain, showing};
    use std::collections::BTreeMap;

    #[test]
    fn a_quiet_morning_still_says_what_there_is() {
        let (on, facts, settings) = (day("2026-11-25"), november(), Settings::default());
        let report = MorningReport::new(
            on,
            DueReport::new(on, Vec::new(), false, false),
            StockReport::new(on, &yard(&facts, &showing(), &BTreeMap::new(), &settings, on)),
            CashReport::new(on, &facts.balances(on), Vec::new()),
            None,
        );
        assert_keys(&report, "", "report version as_of due stock cash next_slot");
        let shown = plain(&report.document());
        assert!(
            shown.starts_with("25 Nov 2026: nothing is due.\n2 cars in stock, standing you in at £1,075.00"),
            "{shown}"
        );
        assert!(shown.contains("The float is £1,220.15"), "{shown}");
        assert!(shown.ends_with("`runabout help` lists what can be recorded and looked at.\n"), "{shown}");
    }
}

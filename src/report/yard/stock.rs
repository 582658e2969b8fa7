//! `stock`: the cars on the yard, what each stands in at, and what about it wants looking at.

use crate::domain::book::dated_facts::TaxStatus;
use crate::domain::figures::yard::{Flag, Yard};
use crate::report::car::car_facts::{CarFacts, offer_caution};
use crate::report::cell::{Cell, MoneyText, TwoDecimals};
use crate::report::document::{Column, Document, Table};
use crate::report::keep::choosing;
use crate::report::phrase;
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// The cars in stock on a day.
#[derive(Clone, Debug, Serialize)]
pub struct StockReport {
    #[serde(flatten)]
    stamp: Stamp,
    cars: Vec<CarFacts>,
    count: usize,
    stock_at_cost: MoneyText,
    cash_tied_up: MoneyText,
    average_days_in_stock: Option<TwoDecimals>,
}

impl StockReport {
    /// Lays out the yard.
    pub fn new(as_of: NaiveDate, yard: &Yard<'_>) -> Self {
        Self {
            stamp: Stamp::new("stock", as_of),
            cars: yard
                .cars
                .iter()
                .map(|on| CarFacts::new(on.car, &on.figures, &on.showing, on.on_day.clone()))
                .collect(),
            count: yard.cars.len(),
            stock_at_cost: MoneyText(yard.balances.stock_at_cost),
            cash_tied_up: MoneyText(yard.balances.cash_tied_up()),
            average_days_in_stock: yard.average_days_in_stock.map(TwoDecimals),
        }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        let Some(first) = self.cars.first() else {
            document.table(self.table()).sentence("`runabout buy MARK PRICE` records one.");
            return document;
        };
        document
            .headline(format!("{}.", self.in_words()))
            .table(self.table())
            .sentence(format!("`runabout car {}` shows every line behind a figure.", first.stock_no));
        for caution in offer_caution(&self.cars).into_iter().chain(self.untaxed_caution()) {
            document.note(caution);
        }
        document
    }

    /// How many cars, and what they stand in at.
    pub(crate) fn in_words(&self) -> String {
        format!(
            "{} in stock, standing you in at {}; cash tied up {}",
            phrase::cars(self.count),
            self.stock_at_cost.0,
            self.cash_tied_up.0
        )
    }

    /// How many cars there are.
    pub(crate) const fn count(&self) -> usize {
        self.count
    }

    /// The first of the cars, for a screen with other things on it.
    pub(crate) fn first_cars(&self, most: usize) -> Table {
        let mut table = Table::new("cars", columns(), "");
        for car in self.cars.iter().take(most) {
            table.row(row(car));
        }
        table
    }

    /// The cars alone, to choose one from.
    pub fn to_choose(&self) -> Document {
        let mut document = Document::new();
        document.table(choosing::cars(&self.cars));
        document
    }

    /// The number of each car and what it is called.
    pub fn labels(&self) -> Vec<(u32, String)> {
        self.cars.iter().map(|car| (car.stock_no, car.label())).collect()
    }

    /// Said once below the list, for every bought car starts untaxed (Finance Act 2014 s.89), and
    /// one kept or used on a public road untaxed is an offence of its keeper (Vehicle Excise and
    /// Registration Act 1994 s.29).
    fn untaxed_caution(&self) -> Option<String> {
        let untaxed = self.cars.iter().filter(|car| car.tax_status.0 == TaxStatus::Untaxed).count();
        let which = match untaxed {
            0 => return None,
            1 if self.count == 1 => "it is not taxed by you".to_owned(),
            all if all == self.count => "none of these is taxed by you".to_owned(),
            1 => "1 of these is not taxed by you".to_owned(),
            some => format!("{some} of these are not taxed by you"),
        };
        Some(format!("{which}: an untaxed car may not be used or kept on a public road"))
    }

    fn table(&self) -> Table {
        let mut table = Table::new("cars", columns(), "No cars in stock.");
        for car in &self.cars {
            table.row(row(car));
        }
        let mut total = vec![Cell::blank(); table.columns.len()];
        for (cell, column) in total.iter_mut().zip(&table.columns) {
            match column.key {
                "mark" => *cell = Cell::text(phrase::cars(self.count)),
                "stands_in" => *cell = self.stock_at_cost.into(),
                _ => {}
            }
        }
        table.total_row(total);
        table
    }
}

fn columns() -> Vec<Column> {
    vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("description", "Car").elastic().importance(1),
        Column::new("bought_on", "Bought").importance(2),
        Column::new("days_in_stock", "Days"),
        Column::new("purchase_price", "Price paid").importance(3),
        Column::new("costs", "Costs").importance(4),
        Column::new("income", "Income").csv_only(),
        Column::new("stands_in", "Stands in"),
        Column::new("asking_price", "Asking"),
        Column::new("lowest_price", "Lowest").importance(5),
        Column::new("mileage", "Miles").importance(6),
        Column::new("mot_until", "MOT until").csv_only(),
        Column::new("mot_days_left", "MOT left"),
        Column::new("tax_until", "Taxed until").csv_only(),
        Column::new("tax_status", "Tax").csv_only(),
        Column::new("deposit_held", "Deposit").csv_only(),
        Column::new("flags", "Flags").csv_only(),
        Column::new("to_watch", "To watch").elastic().screen_only(),
    ]
}

fn row(car: &CarFacts) -> Vec<Cell> {
    vec![
        Cell::count(i64::from(car.stock_no)),
        car.mark.clone().into(),
        car.description.clone().into(),
        car.bought_on.into(),
        Cell::days(car.days_in_stock),
        car.purchase_price.into(),
        car.costs.into(),
        car.income.into(),
        car.stands_in.into(),
        car.asking_price.into(),
        car.lowest_price.into(),
        Cell::count(car.mileage.map(i64::from)),
        car.mot_until.into(),
        Cell::days(car.mot_days_left),
        car.tax_until.into(),
        Cell::text(car.tax_status.0.word()),
        car.deposit_held.into(),
        Cell::text(car.flag_words()),
        Cell::text(to_watch(car)),
    ]
}

/// The flags in few words. Two are left out: every car starts untaxed, and a missing asking price
/// shows in its own column.
fn to_watch(car: &CarFacts) -> String {
    let soon = car.flags.iter().any(|flag| flag.0 == Flag::MotSoon);
    let words = car.flags.iter().filter_map(|flag| match flag.0 {
        Flag::DangerousDefect => Some("DANGEROUS".to_owned()),
        Flag::MajorDefect => Some("major defect".to_owned()),
        Flag::NoMot => Some("no MOT".to_owned()),
        Flag::MotUnknown => Some("MOT?".to_owned()),
        Flag::MotLapsed => Some("MOT out".to_owned()),
        Flag::MotSoon => Some("MOT soon".to_owned()),
        Flag::BelowMinimumMot => (!soon).then(|| "short MOT".to_owned()),
        Flag::Over(days) => Some(format!("over {days}")),
        Flag::Deposit => Some("deposit".to_owned()),
        Flag::Untaxed | Flag::NoAskingPrice => None,
    });
    words.collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::facts::Facts;
    use crate::domain::book::settings::Settings;
    use crate::domain::figures::yard::yard;
    use crate::report::fixture::{assert_keys, day, nothing, november, plain, records, showing};
    use serde_json::Value;

    fn report(facts: &Facts, settings: &Settings) -> StockReport {
        let as_of = day("2026-11-25");
        StockReport::new(as_of, &yard(facts, &showing(), &std::collections::BTreeMap::new(), settings, as_of))
    }

    #[test]
    fn the_keys_are_the_promised_ones() {
        let report = report(&november(), &Settings::default());
        assert_keys(&report, "", "report version as_of cars count stock_at_cost cash_tied_up average_days_in_stock");
        assert_keys(
            &report,
            "/cars/0",
            "stock_no mark description bought_on days_in_stock purchase_price costs income stands_in asking_price \
             lowest_price mot_until mot_days_left tax_until tax_status deposit_held flags mileage",
        );
    }

    #[test]
    fn what_is_not_known_is_null_and_what_is_nil_is_nil() {
        let json = serde_json::to_value(report(&november(), &Settings::default())).unwrap();
        let car = &json["cars"][1];
        for key in ["mark", "description", "asking_price", "mot_until", "mot_days_left", "tax_until", "mileage"] {
            assert_eq!(car[key], Value::Null, "{key}");
        }
        assert_eq!(car["deposit_held"], "0.00");
        assert_eq!(car["tax_status"], "none");
        assert_eq!(car["flags"], serde_json::json!(["mot-unknown", "over-90", "no-asking-price", "untaxed"]));
        assert_eq!(json["average_days_in_stock"], 58.5);
    }

    #[test]
    fn the_yard_reads_answer_first() {
        let shown = plain(&report(&november(), &Settings::default()).document());
        assert_eq!(
            shown,
            "\
2 cars in stock, standing you in at £1,075.00; cash tied up £975.00.
No | Mark | Car | Bought | Days | Price paid | Costs | Stands in | Asking | Lowest | Miles | MOT left | To watch
2 | ST99 WEM | Pell Osprey 2009 | 2026-11-05 | 20 | 640.00 | 80.00 | 720.00 | 1295.00 | 1100.00 | 84120 | 12 | MOT soon
3 |  |  | 2026-08-20 | 97 | 355.00 | 0.00 | 355.00 |  |  |  |  | MOT?, over 90
 | 2 cars |  |  |  |  |  | 1075.00 |  |  |  |  | 
`runabout car 2` shows every line behind a figure.
note: none of these is taxed by you: an untaxed car may not be used or kept on a public road
"
        );
    }

    #[test]
    fn machines_read_the_flags_as_words() {
        let document = report(&november(), &Settings { minimum_mot_days: Some(60), ..Settings::default() }).document();
        let rows = records(&document, None);
        assert!(rows[0].ends_with("mot_until,mot_days_left,tax_until,tax_status,deposit_held,flags"), "{}", rows[0]);
        assert!(rows[1].ends_with(",2026-12-07,12,,none,0.00,mot-soon below-minimum-mot untaxed"), "{}", rows[1]);
        assert!(plain(&document).contains(" | 12 | MOT soon\n"));
    }

    #[test]
    fn one_car_and_none_are_said_in_words() {
        let mut facts = november();
        facts.cars.truncate(2);
        let one = plain(&report(&facts, &Settings::default()).document());
        assert!(one.starts_with("1 car in stock, standing you in at £720.00; cash tied up £620.00.\n"), "{one}");
        assert!(one.contains("note: it is not taxed by you: "), "{one}");
        let document = report(&nothing(), &Settings::default()).document();
        assert_eq!(plain(&document), "No cars in stock.\n`runabout buy MARK PRICE` records one.\n");
        assert_eq!(records(&document, None).len(), 1);
    }
}

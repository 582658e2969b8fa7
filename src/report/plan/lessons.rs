//! `lessons`: what has paid, group by group, with a plain warning where there are too few cars.

use crate::domain::book::facts::Car;
use crate::domain::figures::lessons::{By, ENOUGH_CARS, Group, Lessons, Spread};
use crate::domain::value::pence::Pence;
use crate::domain::value::words::one_of;
use crate::report::cell::{Cell, MoneyText, TwoDecimals, two_decimals};
use crate::report::document::{Column, Document, Table};
use crate::report::left_out::named;
use crate::report::phrase;
use crate::report::stamp::Stamp;
use rust_decimal::Decimal;
use serde::Serialize;

/// Beside a group with fewer than five cars sold.
const TOO_FEW: &str = "too few to mean anything";
/// The group of cars whose place is not known.
const NOT_KNOWN: &str = "not known";

/// What cars put together by one thing came to.
#[derive(Clone, Debug, Serialize)]
pub struct LessonsReport {
    #[serde(flatten)]
    stamp: Stamp,
    by: &'static str,
    groups: Vec<GroupRow>,
    /// Each car counted once, though it may be in several groups.
    total: GroupRow,
    #[serde(skip)]
    grouping: By,
    /// Cars that were sold, came back and are here.
    #[serde(skip)]
    taken_back: Vec<String>,
}

#[derive(Clone, Debug, Serialize)]
struct GroupRow {
    group: String,
    cars: usize,
    profit: MoneyText,
    return_pct: Option<TwoDecimals>,
    median_days: Option<TwoDecimals>,
    profit_per_100_per_30_days: Option<MoneyText>,
    lowest_return_pct: Option<TwoDecimals>,
    lower_quartile_return_pct: Option<TwoDecimals>,
    median_return_pct: Option<TwoDecimals>,
    upper_quartile_return_pct: Option<TwoDecimals>,
    highest_return_pct: Option<TwoDecimals>,
    spent: Option<MoneyText>,
    disposed: usize,
    disposal_losses: MoneyText,
    warning: Option<&'static str>,
    #[serde(skip)]
    is_known: bool,
}

impl LessonsReport {
    /// Lays out what cars put together `by` one thing came to.
    pub fn new(lessons: &Lessons<'_>, by: By) -> Self {
        Self {
            stamp: Stamp::new("lessons", lessons.day),
            by: by.word(),
            groups: lessons.groups(by).into_iter().map(|group| GroupRow::new(group, NOT_KNOWN)).collect(),
            total: GroupRow::new(lessons.total(), "all"),
            grouping: by,
            taken_back: lessons.taken_back().map(Car::label).collect(),
        }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        if !self.groups.is_empty() {
            document.headline(self.headline());
        }
        document.table(self.table());
        if self.total.cars > 0 {
            document.sentence(
                "Per £100 is the profit on each £100 tied up for 30 days. The spread runs from the lowest return of \
                 one car to the highest, in per cent.",
            );
            if self.grouping == By::Heading {
                document.sentence("A car counts under every heading spent on it, so the groups overlap.");
            }
        }
        if self.total.disposed > 0 {
            let what_it_did = phrase::made(-self.total.disposal_losses.0);
            document.sentence(format!(
                "Not in these figures: {} that left without a sale and {what_it_did}.",
                phrase::cars(self.total.disposed)
            ));
        }
        if !self.taken_back.is_empty() {
            document.sentence(format!("Not in these figures: {}, taken back.", named(&self.taken_back)));
        }
        let other = if self.grouping == By::Source { By::Price } else { By::Source };
        document.sentence(format!(
            "`runabout lessons --by {}` looks at it another way: write {}.",
            other.word(),
            one_of(By::WORDS)
        ));
        document
    }

    fn headline(&self) -> String {
        let by = in_words(self.grouping);
        if self.total.cars == 0 {
            return "No car has been sold yet, so there is nothing to learn from.".to_owned();
        }
        let telling = self.telling();
        match telling.as_slice() {
            [] => format!("By {by}, no group has {ENOUGH_CARS} cars sold: {TOO_FEW}."),
            [(only, per_100)] => format!(
                "By {by}, only {} has cars enough to mean anything: {per_100} for each £100 tied up for 30 days, \
                 over {}.",
                only.group,
                phrase::cars(only.cars)
            ),
            [(best, most), .., (worst, least)] => format!(
                "By {by}, {} paid best: {most} for each £100 tied up for 30 days, over {}; {} paid least: {least}, \
                 over {}.",
                best.group,
                phrase::cars(best.cars),
                worst.group,
                phrase::cars(worst.cars)
            ),
        }
    }

    /// Groups that are known and have cars enough, the best first.
    fn telling(&self) -> Vec<(&GroupRow, Pence)> {
        let enough = self.groups.iter().filter(|row| row.is_known && row.warning.is_none());
        let mut telling: Vec<(&GroupRow, Pence)> =
            enough.filter_map(|row| row.profit_per_100_per_30_days.map(|per_100| (row, per_100.0))).collect();
        telling.sort_by_key(|(_, per_100)| -*per_100);
        telling
    }

    fn table(&self) -> Table {
        // Under headings, which overlap, what was spent tells more than the sum of the profits.
        let by_heading = self.grouping == By::Heading;
        let (spent, profit) = (Column::new("spent", "Spent"), Column::new("profit", "Profit"));
        let columns = vec![
            Column::new("group", title(self.grouping)).elastic(),
            Column::new("cars", "Cars"),
            if by_heading { spent } else { spent.csv_only() },
            if by_heading { profit.importance(1) } else { profit },
            Column::new("return_pct", "Return"),
            Column::new("median_days", "Days").importance(2),
            Column::new("profit_per_100_per_30_days", "Per £100"),
            Column::new("lowest_return_pct", "Lowest").csv_only(),
            Column::new("lower_quartile_return_pct", "Lower quartile").csv_only(),
            Column::new("median_return_pct", "Median").csv_only(),
            Column::new("upper_quartile_return_pct", "Upper quartile").csv_only(),
            Column::new("highest_return_pct", "Highest").csv_only(),
            Column::new("spread", "Spread").screen_only(),
            Column::new("disposed", "Gone").csv_only(),
            Column::new("disposal_losses", "Losses").csv_only(),
            Column::new("warning", "Warning").csv_only(),
            Column::new("caution", "Caution").screen_only(),
        ];
        let mut table = Table::new("groups", columns, "No car has been sold yet, so there is nothing to learn from.");
        for row in &self.groups {
            table.row(row.cells());
        }
        table.total_row(self.total.cells());
        table
    }
}

/// What cars are put together by, in a sentence.
const fn in_words(by: By) -> &'static str {
    match by {
        By::Make => "make",
        By::Fuel => "fuel",
        By::Source => "source",
        By::Age => "age at purchase",
        By::Mileage => "miles at purchase",
        By::Price => "purchase price",
        By::Heading => "heading of spend",
        By::Fault => "gravest fault found",
    }
}

const fn title(by: By) -> &'static str {
    match by {
        By::Make => "Make",
        By::Fuel => "Fuel",
        By::Source => "Source",
        By::Age => "Age bought",
        By::Mileage => "Miles bought",
        By::Price => "Price paid",
        By::Heading => "Heading",
        By::Fault => "Gravest fault",
    }
}

impl GroupRow {
    fn new(group: Group, unnamed: &str) -> Self {
        let spread = |figure: fn(&Spread) -> Decimal| group.spread.as_ref().map(figure).map(TwoDecimals);
        Self {
            cars: group.cars,
            profit: MoneyText(group.profit),
            return_pct: group.return_pct.map(TwoDecimals),
            median_days: group.median_days.map(TwoDecimals),
            profit_per_100_per_30_days: group.profit_per_100_per_30_days.map(MoneyText),
            lowest_return_pct: spread(|spread| spread.lowest),
            lower_quartile_return_pct: spread(|spread| spread.lower_quartile),
            median_return_pct: spread(|spread| spread.median),
            upper_quartile_return_pct: spread(|spread| spread.upper_quartile),
            highest_return_pct: spread(|spread| spread.highest),
            spent: group.spent.map(MoneyText),
            disposed: group.disposed,
            disposal_losses: MoneyText(group.disposal_losses),
            warning: group.is_too_few().then_some(TOO_FEW),
            is_known: group.name.is_some(),
            group: group.name.unwrap_or_else(|| unnamed.to_owned()),
        }
    }

    fn cells(&self) -> Vec<Cell> {
        let percent = |figure: Option<TwoDecimals>| Cell::percent(figure.map(Into::into));
        vec![
            Cell::text(self.group.as_str()),
            count(self.cars),
            self.spent.into(),
            self.profit.into(),
            percent(self.return_pct),
            Cell::number(self.median_days.map(Into::into)),
            self.profit_per_100_per_30_days.into(),
            percent(self.lowest_return_pct),
            percent(self.lower_quartile_return_pct),
            percent(self.median_return_pct),
            percent(self.upper_quartile_return_pct),
            percent(self.highest_return_pct),
            self.spread(),
            count(self.disposed),
            self.disposal_losses.into(),
            self.warning.into(),
            self.warning.map_or_else(Cell::blank, |_| Cell::text("too few")),
        ]
    }

    /// `-12.00 to 94.30`.
    fn spread(&self) -> Cell {
        let spread = self.lowest_return_pct.zip(self.highest_return_pct);
        spread.map(|(low, high)| format!("{} to {}", two_decimals(low.0), two_decimals(high.0))).into()
    }
}

fn count(number: usize) -> Cell {
    Cell::count(i64::try_from(number).ok())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::facts::Car;
    use crate::domain::book::fixture::bought;
    use crate::domain::law::registration::Registration;
    use crate::domain::value::words::Outcome;
    use crate::report::fixture::{assert_keys, day, plain, records};
    use std::collections::BTreeMap;

    fn report(cars: &[Car], by: By) -> LessonsReport {
        let lessons = Lessons {
            cars,
            registration: &Registration::default(),
            miles: &BTreeMap::new(),
            faults: &BTreeMap::new(),
            day: day("2026-11-25"),
        };
        LessonsReport::new(&lessons, by)
    }

    /// £500 in for thirty days.
    fn sold(count: u32, make: &str, price: i64) -> Vec<Car> {
        let car = |number| bought(number, "2026-01-01", 500).spent("2026-01-01", "mot", 0).sold("2026-01-31", price);
        (1..=count).map(|number| car(number).made_by(make)).collect()
    }

    #[test]
    fn the_keys_are_the_promised_ones() {
        let report = report(&sold(2, "Pell", 750), By::Make);
        assert_keys(&report, "", "report version as_of by groups total");
        assert_keys(
            &report,
            "/groups/0",
            "group cars profit return_pct median_days profit_per_100_per_30_days lowest_return_pct \
             lower_quartile_return_pct median_return_pct upper_quartile_return_pct highest_return_pct spent disposed \
             disposal_losses warning",
        );
        let json = serde_json::to_value(&report).unwrap();
        assert_eq!((&json["by"], &json["groups"][0]["warning"]), (&"make".into(), &TOO_FEW.into()));
        assert_eq!(json["groups"][0]["profit_per_100_per_30_days"], "50.00");
    }

    #[test]
    fn the_best_and_the_least_of_groups_with_cars_enough_are_named() {
        let few = sold(4, "Corrin", 5_000);
        let (pell, brindle) = (sold(5, "Pell", 750), sold(6, "Brindle", 1_000));
        let nameless = bought(9, "2026-01-01", 500).sold("2026-01-31", 475);
        let gone = bought(10, "2026-01-01", 115).gone("2026-02-01", Outcome::Scrapped, 0);
        for (cars, said) in [
            (vec![], "No car has been sold yet, so there is nothing to learn from.\n`runabout"),
            (vec![gone.clone()], "No car has been sold yet, so there is nothing to learn from.\nMake | Cars"),
            (few.clone(), "By make, no group has 5 cars sold: too few to mean anything."),
            (
                [few.clone(), pell.clone()].concat(),
                "By make, only Pell has cars enough to mean anything: £50.00 for each £100 tied up for 30 days, over \
                 5 cars.",
            ),
            (
                [few, pell, brindle, vec![nameless; 5]].concat(),
                "By make, Brindle paid best: £100.00 for each £100 tied up for 30 days, over 6 cars; Pell paid \
                 least: £50.00, over 5 cars.",
            ),
        ] {
            let shown = plain(&report(&cars, By::Make).document());
            assert!(shown.starts_with(said), "{shown}");
        }
    }

    #[test]
    fn too_few_cars_are_marked_and_those_not_known_kept() {
        let nameless = bought(9, "2026-01-01", 500).sold("2026-01-31", 475);
        let gone = bought(10, "2026-01-01", 115).gone("2026-02-01", Outcome::Scrapped, 0);
        let cars = [sold(5, "Pell", 750), vec![nameless, gone]].concat();
        let document = report(&cars, By::Make).document();
        let shown = plain(&document);
        let lines: Vec<&str> = shown.lines().skip(1).collect();
        assert_eq!(
            lines[..4],
            [
                "Make | Cars | Profit | Return | Days | Per £100 | Spread | Caution",
                "Pell | 5 | 1250.00 | 50.00 | 30.00 | 50.00 | 50.00 to 50.00 | ",
                "not known | 1 | -25.00 | -5.00 | 30.00 | -5.00 | -5.00 to -5.00 | too few",
                "all | 6 | 1225.00 | 40.83 | 30.00 | 40.83 | -5.00 to 50.00 | ",
            ]
        );
        assert_eq!(lines[5], "Not in these figures: 1 car that left without a sale and lost £115.00.");
        assert_eq!(
            records(&document, None)[2],
            "not known,1,,-25.00,-5.00,30.00,-5.00,-5.00,-5.00,-5.00,-5.00,-5.00,1,115.00,too few to mean anything"
        );
    }

    #[test]
    fn headings_show_what_was_spent_and_that_they_overlap() {
        let cars = [bought(1, "2026-01-01", 420).spent("2026-01-02", "parts", 55).sold("2026-01-31", 640)];
        let shown = plain(&report(&cars, By::Heading).document());
        assert!(shown.contains("\nHeading | Cars | Spent | Profit"), "{shown}");
        assert!(shown.contains("\nparts | 1 | 55.00 | 165.00"), "{shown}");
        assert!(shown.contains("so the groups overlap"), "{shown}");
        assert!(!plain(&report(&cars, By::Source).document()).contains("overlap"));
    }

    #[test]
    fn eighty_columns_are_enough() {
        let style = crate::render::text::TextStyle { width: 80, colour: false, unicode: true };
        for by in By::ALL {
            let shown = crate::render::text::text(&report(&sold(3, "Brindle", 1_999), *by).document(), style).out;
            assert!(shown.lines().all(|line| line.chars().count() <= 80), "{shown}");
            assert!(shown.contains("Spread") && shown.contains("too few"), "{shown}");
        }
    }
}

//! `programme`: the score of "one car a month", the cars in its slots, and whether the float can
//! carry the next one.

use crate::domain::plan::programme::{Programme, ProgrammeFigures, ProgrammeMonth, SlotCar};
use crate::domain::value::mark::Mark;
use crate::report::cell::{Cell, IsoDay, IsoMonth, MoneyText, TwoDecimals, two_decimals};
use crate::report::document::{Column, Document, Table};
use crate::report::left_out::named;
use crate::report::phrase;
use crate::report::plan::next_slot::{NextRow, next_in_words};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::Serialize;

/// The programme on a day.
#[derive(Clone, Debug, Serialize)]
pub struct ProgrammeReport {
    #[serde(flatten)]
    stamp: Stamp,
    current: Option<SetRow>,
    months: Vec<MonthRow>,
    slots: Vec<SlotRow>,
    run: usize,
    cars: usize,
    sold: usize,
    doubled: usize,
    average_return_pct: Option<TwoDecimals>,
    profit_after_overheads: MoneyText,
    next_slot: Option<NextRow>,
    /// Cars of the slots that were sold, came back and are in stock.
    #[serde(skip)]
    came_back: Vec<String>,
    /// Whether every month's multiple is 2, so that reaching it may be called doubling.
    #[serde(skip)]
    is_doubling: bool,
}

/// What holds in the month of the day.
#[derive(Clone, Copy, Debug, Serialize)]
struct SetRow {
    cars: u32,
    /// Of one slot.
    budget: Option<MoneyText>,
    multiple: TwoDecimals,
}

#[derive(Clone, Debug, Serialize)]
struct MonthRow {
    month: IsoMonth,
    planned: u32,
    filled: usize,
    bought: usize,
    sold: usize,
    disposed: usize,
    budget: Option<MoneyText>,
    spent: MoneyText,
    target_multiple: TwoDecimals,
    multiple: Option<TwoDecimals>,
    profit: MoneyText,
    disposal_losses: MoneyText,
    reached: Option<bool>,
}

#[derive(Clone, Debug, Serialize)]
struct SlotRow {
    month: IsoMonth,
    slot: usize,
    stock_no: u32,
    mark: Option<String>,
    description: String,
    bought_on: IsoDay,
    purchase_price: MoneyText,
    status: &'static str,
    stands_in: MoneyText,
    selling_price: Option<MoneyText>,
    multiple: Option<TwoDecimals>,
    /// Of a car disposed of, its loss as a negative profit.
    profit: Option<MoneyText>,
    reached: Option<bool>,
}

impl ProgrammeReport {
    /// Lays out the programme.
    pub fn new(as_of: NaiveDate, figures: &ProgrammeFigures<'_>) -> Self {
        let with_slots = figures.months.iter().filter(|month| month.programme.cars > 0);
        let slots = figures.months.iter().flat_map(|month| {
            let numbered = month.slots.iter().zip(1..);
            numbered.map(|(slot, number)| SlotRow::new(month, number, slot))
        });
        Self {
            stamp: Stamp::new("programme", as_of),
            current: figures.months.last().map(|month| SetRow::from(&month.programme)),
            months: figures.months.iter().map(MonthRow::from).collect(),
            slots: slots.collect(),
            run: figures.run(),
            cars: figures.slots().count(),
            sold: figures.slots().filter(|slot| slot.sold.is_some()).count(),
            doubled: figures.doubled(),
            average_return_pct: figures.average_return_pct().map(TwoDecimals),
            profit_after_overheads: MoneyText(figures.profit_after_overheads),
            next_slot: figures.next_slot.as_ref().map(NextRow::from),
            came_back: figures.slots().filter(|slot| slot.came_back).map(|slot| slot.car.label()).collect(),
            is_doubling: with_slots.clone().all(|month| month.programme.multiple == Decimal::TWO),
        }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(self.headline()).sentence(self.after_overheads()).sentence(self.next_in_words());
        document.table(self.months_table());
        if let Some(beyond) = self.beyond_the_slots() {
            document.sentence(beyond);
        }
        if !self.came_back.is_empty() {
            document.sentence(format!("Not counted as sold: {}, taken back.", named(&self.came_back)));
        }
        if !self.slots.is_empty() {
            document.heading("Cars in the slots");
        }
        document.table(self.slots_table());
        if let Some(next) = &self.next_slot {
            document.heading("What is free for the next slot").facts(next.steps());
        }
        document.sentence(self.next_step());
        document
    }

    fn headline(&self) -> String {
        let run = match self.run {
            0 => "the last full month's slots are not filled, so there is no run of months".to_owned(),
            1 => "the last full month's slots are filled".to_owned(),
            months => format!("{months} months in a row have their slots filled"),
        };
        let run = if self.has_full_month() { run } else { "no month is over yet".to_owned() };
        match (self.cars, self.sold) {
            (0, _) => format!("No car has filled a slot yet; {run}."),
            (_, 0) => format!("No car of the programme is sold; {run}."),
            (_, sold) => {
                let average = self
                    .average_return_pct
                    .map_or_else(String::new, |average| format!(", {} % average return", two_decimals(average.0)));
                format!("{} of {} sold {}{average}; {run}.", self.doubled, phrase::cars(sold), self.reaching())
            }
        }
    }

    const fn reaching(&self) -> &'static str {
        if self.is_doubling { "doubled" } else { "reached the multiple" }
    }

    fn has_full_month(&self) -> bool {
        self.months.iter().any(|row| row.planned > 0 && row.month.0.last_day() <= self.stamp.day())
    }

    fn after_overheads(&self) -> String {
        let since = self.months.first().map(|row| format!("Since {} you ", row.month.0)).unwrap_or_default();
        format!("{since}{} after the yard's overheads.", phrase::made(self.profit_after_overheads.0))
    }

    /// Cars bought beyond the slots, which nothing above or below counts.
    fn beyond_the_slots(&self) -> Option<String> {
        let beyond = self.months.iter().map(|row| (row, row.bought - row.filled)).filter(|(_, beyond)| *beyond > 0);
        let months: Vec<String> = beyond.clone().map(|(row, beyond)| format!("{beyond} in {}", row.month.0)).collect();
        let cars: usize = beyond.map(|(_, beyond)| beyond).sum();
        let (were, are) = if cars == 1 { ("was", "is") } else { ("were", "are") };
        (cars > 0).then(|| {
            let (months, bought) = (months.join(", "), phrase::cars(cars));
            format!("{bought} {were} bought beyond the slots and {are} not in this score: {months}.")
        })
    }

    fn next_in_words(&self) -> String {
        next_in_words(self.next_slot.as_ref())
    }

    fn next_step(&self) -> String {
        match (&self.next_slot, self.slots.last()) {
            (None, _) => "`runabout programme set --cars N` plans slots.".to_owned(),
            (Some(NextRow { budget: None, .. }), _) => {
                "`runabout programme set --budget AMOUNT` sets what one slot may cost.".to_owned()
            }
            (Some(NextRow { affordable: Some(false), .. }), _) => {
                "`runabout forecast` shows when the float should carry it.".to_owned()
            }
            (_, Some(last)) => format!("`runabout car {}` shows the lines behind a car.", last.stock_no),
            (_, None) => "`runabout buy MARK PRICE` records a car.".to_owned(),
        }
    }

    fn months_table(&self) -> Table {
        let columns = vec![
            Column::new("month", "Month"),
            Column::new("planned", "Slots"),
            Column::new("filled", "Filled").csv_only(),
            Column::new("bought", "Bought"),
            Column::new("sold", "Sold"),
            Column::new("disposed", "Gone").csv_only(),
            Column::new("budget", "Budget").importance(1),
            Column::new("spent", "Spent"),
            Column::new("target_multiple", "Target").csv_only(),
            Column::new("multiple", "Multiple"),
            Column::new("profit", "Profit"),
            Column::new("disposal_losses", "Losses").csv_only(),
            Column::new("reached", "Reached").csv_only(),
            Column::new("reached_in_words", "Reached").screen_only(),
        ];
        let mut table = Table::new("months", columns, "No months.");
        for row in &self.months {
            table.row(row.cells());
        }
        table
    }

    fn slots_table(&self) -> Table {
        let columns = vec![
            Column::new("month", "Month"),
            Column::new("slot", "Slot").csv_only(),
            Column::new("stock_no", "No"),
            Column::new("mark", "Mark"),
            Column::new("description", "Car").elastic().importance(3),
            Column::new("bought_on", "Bought").csv_only(),
            Column::new("purchase_price", "Price paid").importance(2),
            Column::new("status", "Status"),
            Column::new("stands_in", "Stands in"),
            Column::new("selling_price", "Sold for").importance(1),
            Column::new("multiple", "Multiple"),
            Column::new("profit", "Profit"),
            Column::new("reached", "Reached").csv_only(),
            Column::new("reached_in_words", "Reached").screen_only(),
        ];
        let mut table = Table::new("slots", columns, "");
        for row in &self.slots {
            table.row(row.cells());
        }
        table
    }
}

/// For machines and for people: `true`, `yes`.
fn reached_cells(reached: Option<bool>) -> [Cell; 2] {
    let word = |yes, no| reached.map(|reached| if reached { yes } else { no }).into();
    [word("true", "false"), word("yes", "no")]
}

fn count(number: usize) -> Cell {
    Cell::count(i64::try_from(number).ok())
}

impl From<&Programme> for SetRow {
    fn from(programme: &Programme) -> Self {
        Self {
            cars: programme.cars,
            budget: programme.budget.map(MoneyText),
            multiple: TwoDecimals(programme.multiple),
        }
    }
}

impl From<&ProgrammeMonth<'_>> for MonthRow {
    fn from(month: &ProgrammeMonth<'_>) -> Self {
        Self {
            month: IsoMonth(month.month),
            planned: month.programme.cars,
            filled: month.slots.len(),
            bought: month.bought,
            sold: month.sales().count(),
            disposed: month.disposed().count(),
            budget: month.budget().map(MoneyText),
            spent: MoneyText(month.spent()),
            target_multiple: TwoDecimals(month.programme.multiple),
            multiple: month.multiple().map(TwoDecimals),
            profit: MoneyText(month.profit()),
            disposal_losses: MoneyText(month.disposal_losses()),
            reached: month.reached(),
        }
    }
}

impl MonthRow {
    fn cells(&self) -> Vec<Cell> {
        let [reached, reached_in_words] = reached_cells(self.reached);
        vec![
            self.month.into(),
            Cell::count(i64::from(self.planned)),
            count(self.filled),
            count(self.bought),
            count(self.sold),
            count(self.disposed),
            self.budget.into(),
            self.spent.into(),
            Cell::number(self.target_multiple.0),
            Cell::number(self.multiple.map(Into::into)),
            self.profit.into(),
            self.disposal_losses.into(),
            reached,
            reached_in_words,
        ]
    }
}

impl SlotRow {
    fn new(month: &ProgrammeMonth<'_>, number: usize, slot: &SlotCar<'_>) -> Self {
        let (car, sold) = (slot.car, slot.sold.as_ref());
        let profit = sold.map(|sold| sold.profit).or(slot.disposed.map(|disposed| -disposed.loss));
        Self {
            month: IsoMonth(month.month),
            slot: number,
            stock_no: car.stock_no.get(),
            mark: car.mark.as_ref().map(Mark::to_string),
            description: car.vehicle.description(),
            bought_on: IsoDay(car.bought_on),
            purchase_price: MoneyText(slot.purchase_price),
            status: match (sold, slot.disposed) {
                (Some(_), _) => "sold",
                (None, Some(disposed)) => disposed.how.word(),
                (None, None) => "in-stock",
            },
            stands_in: MoneyText(slot.stands_in),
            selling_price: sold.map(|sold| MoneyText(sold.selling_price)),
            multiple: slot.multiple(&month.programme).map(TwoDecimals),
            profit: profit.map(MoneyText),
            reached: slot.reached,
        }
    }

    fn cells(&self) -> Vec<Cell> {
        let [reached, reached_in_words] = reached_cells(self.reached);
        vec![
            self.month.into(),
            count(self.slot),
            Cell::count(i64::from(self.stock_no)),
            self.mark.clone().into(),
            Cell::text(self.description.as_str()),
            self.bought_on.into(),
            self.purchase_price.into(),
            Cell::text(self.status),
            self.stands_in.into(),
            self.selling_price.into(),
            Cell::number(self.multiple.map(Into::into)),
            self.profit.into(),
            reached,
            reached_in_words,
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::facts::Car;
    use crate::domain::book::fixture::{bought, pounds};
    use crate::domain::days::month::Month;
    use crate::domain::law::registration::Registration;
    use crate::domain::plan::programme::{Purse, programme};
    use crate::domain::value::pence::Pence;
    use crate::domain::value::words::Outcome;
    use crate::report::fixture::{assert_keys, day, plain, records};

    fn from_september(cars: u32, budget: Option<i64>) -> Programme {
        let from = Month::new(2026, 9).unwrap();
        Programme { from, cars, budget: budget.map(pounds), multiple: Decimal::TWO }
    }

    fn yard() -> Vec<Car> {
        let mut cars = vec![
            bought(1, "2026-09-05", 430).spent("2026-09-06", "parts", 120).sold("2026-09-25", 1_100).made_by("Brindle"),
            bought(2, "2026-10-02", 585).gone("2026-10-20", Outcome::Scrapped, 0),
            bought(3, "2026-11-03", 665),
        ];
        cars[0].mark = Some("KX42 RTO".parse().unwrap());
        cars
    }

    fn report(set: &[Programme], cars: &[Car], float: i64) -> ProgrammeReport {
        let purse = Purse { float: pounds(float), standing_costs: pounds(120), ..Purse::default() };
        let as_of = day("2026-11-25");
        let figures = programme(set, cars, &Registration::default(), as_of, purse, Pence::new(-2_015));
        ProgrammeReport::new(as_of, &figures)
    }

    #[test]
    fn the_keys_are_the_promised_ones() {
        let report = report(&[from_september(1, Some(700))], &yard(), 1_000);
        assert_keys(
            &report,
            "",
            "report version as_of current months slots run cars sold doubled average_return_pct \
             profit_after_overheads next_slot",
        );
        assert_keys(&report, "/current", "cars budget multiple");
        assert_keys(
            &report,
            "/months/0",
            "month planned filled bought sold disposed budget spent target_multiple multiple profit disposal_losses \
             reached",
        );
        assert_keys(
            &report,
            "/slots/0",
            "month slot stock_no mark description bought_on purchase_price status stands_in selling_price multiple \
             profit reached",
        );
        assert_keys(
            &report,
            "/next_slot",
            "month affordable budget short_by float deposits_held owed_to_sellers refunds_owed unpaid_bills vat_owed \
             standing_costs_ahead free",
        );
        let json = serde_json::to_value(&report).unwrap();
        let reached: Vec<String> = (0..3).map(|month| json["months"][month]["reached"].to_string()).collect();
        assert_eq!(reached, ["true", "false", "null"]);
        assert_eq!(json["next_slot"]["month"], "2026-12");
        assert_eq!((&json["run"], &json["doubled"]), (&2.into(), &1.into()));
    }

    #[test]
    fn the_score_comes_first_then_the_months_and_the_cars() {
        let shown = plain(&report(&[from_september(1, Some(700))], &yard(), 1_000).document());
        let lines: Vec<&str> = shown.lines().collect();
        assert_eq!(
            lines,
            [
                "1 of 1 car sold doubled, 100.00 % average return; 2 months in a row have their slots filled.",
                "Since Sep 2026 you lost £20.15 after the yard's overheads.",
                "The next slot, in Dec 2026, is affordable: £880.00 of the float is free, against a budget of £700.00.",
                "Month | Slots | Bought | Sold | Budget | Spent | Multiple | Profit | Reached",
                "2026-09 | 1 | 1 | 1 | 700.00 | 430.00 | 2.00 | 550.00 | yes",
                "2026-10 | 1 | 1 | 0 | 700.00 | 585.00 |  | 0.00 | no",
                "2026-11 | 1 | 1 | 0 | 700.00 | 665.00 |  | 0.00 | ",
                "Cars in the slots",
                "Month | No | Mark | Car | Price paid | Status | Stands in | Sold for | Multiple | Profit | Reached",
                "2026-09 | 1 | KX42 RTO | Brindle | 430.00 | sold | 550.00 | 1100.00 | 2.00 | 550.00 | yes",
                "2026-10 | 2 |  |  | 585.00 | scrapped | 585.00 |  |  | -585.00 | no",
                "2026-11 | 3 |  |  | 665.00 | in-stock | 665.00 |  |  |  | ",
                "What is free for the next slot",
                "Float: 1000.00",
                "Standing costs in the next 30 days: -120.00",
                "Free: 880.00",
                "`runabout car 3` shows the lines behind a car.",
            ]
        );
    }

    #[test]
    fn a_slot_the_float_cannot_carry_says_by_how_much() {
        for (set, float, said, next) in [
            (
                from_september(1, Some(700)),
                500,
                "not affordable yet: £380.00 of the float is free, £320.00 short",
                "forecast",
            ),
            (
                from_september(1, Some(700)),
                100,
                "nothing of the float is free, £720.00 short of its budget",
                "forecast",
            ),
            (
                from_september(1, None),
                500,
                "has no budget, so whether it is affordable is not known",
                "--budget AMOUNT",
            ),
            (from_september(0, None), 500, "No slots are planned from here on.", "--cars N"),
        ] {
            let shown = plain(&report(&[set], &yard(), float).document());
            assert!(shown.contains(said), "{shown}");
            assert!(shown.lines().last().is_some_and(|last| last.contains(next)), "{shown}");
        }
    }

    #[test]
    fn the_answer_fits_what_there_is() {
        let unsold = [bought(1, "2026-10-02", 585)];
        let trebled = Programme { multiple: Decimal::new(3, 0), ..from_september(1, None) };
        for (set, cars, said) in [
            (&[][..], &[][..], "No car has filled a slot yet; no month is over yet."),
            (
                &[from_september(1, None)],
                &[],
                "No car has filled a slot yet; the last full month's slots are not filled, so there is no run of \
                 months.",
            ),
            (&[], &unsold, "No car of the programme is sold; the last full month's slots are filled."),
            (&[trebled], &yard()[..1], "0 of 1 car sold reached the multiple, 100.00 % average return; the last full"),
        ] {
            let shown = plain(&report(set, cars, 0).document());
            assert!(shown.starts_with(said), "{shown}");
        }
    }

    #[test]
    fn machines_read_months_and_slots() {
        let document = report(&[from_september(1, Some(700))], &yard(), 1_000).document();
        assert_eq!(
            records(&document, None)[..3],
            [
                "month,planned,filled,bought,sold,disposed,budget,spent,target_multiple,multiple,profit,\
                 disposal_losses,reached",
                "2026-09,1,1,1,1,0,700.00,430.00,2.00,2.00,550.00,0.00,true",
                "2026-10,1,1,1,0,1,700.00,585.00,2.00,,0.00,585.00,false",
            ]
        );
        assert_eq!(records(&document, Some("slots"))[3], "2026-11,1,3,,,2026-11-03,665.00,in-stock,665.00,,,,");
    }

    #[test]
    fn eighty_columns_are_enough() {
        let style = crate::render::text::TextStyle { width: 80, colour: false, unicode: true };
        let shown =
            crate::render::text::text(&report(&[from_september(1, Some(700))], &yard(), 1_000).document(), style);
        assert!(shown.out.lines().all(|line| line.chars().count() <= 80), "{}", shown.out);
        assert!(shown.out.contains("Budget"), "{}", shown.out);
    }
}

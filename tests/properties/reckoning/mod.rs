//! Every figure worked out a second time from the plain facts of a random history, by loops over
//! pence, and compared with what the program answers. Nothing of the program is used here.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod book;
mod car;
mod corners;
mod day;
mod period;
mod rounding;
mod stay;
mod tax_year;

use crate::common::Yard;
use crate::history::{Dice, History, any_history, history};
use book::Book;
use chrono::{Datelike, Days, Months, NaiveDate};
use proptest::prelude::*;
use serde_json::Value;

/// What differs between what was reckoned and what was answered, key by key. Only the keys
/// reckoned are compared.
fn differences(reckoned: &Value, answered: &Value, at: &str, found: &mut Vec<String>) {
    match (reckoned, answered) {
        (Value::Object(keys), Value::Object(answers)) => {
            for (key, value) in keys {
                differences(value, answers.get(key).unwrap_or(&Value::Bool(false)), &format!("{at}.{key}"), found);
            }
        }
        (Value::Array(one), Value::Array(other)) if one.len() == other.len() => {
            for (n, (value, answer)) in one.iter().zip(other).enumerate() {
                differences(value, answer, &format!("{at}[{n}]"), found);
            }
        }
        (Value::Number(one), Value::Number(other)) if one.as_f64() == other.as_f64() => {}
        (one, other) if one == other => {}
        (one, other) => found.push(format!("{at}: reckoned {one}, answered {other}")),
    }
}

struct Comparison<'h> {
    yard: Yard,
    book: Book,
    history: &'h History,
    found: Vec<String>,
}

impl<'h> Comparison<'h> {
    fn of(history: &'h History) -> Self {
        Self { yard: history.record(), book: Book::of(history), history, found: Vec::new() }
    }

    fn compare(&mut self, typed: &str, as_of: NaiveDate, reckoned: &Value) {
        let line = format!("{typed} --as-of {as_of}");
        let answered = self.yard.json(&line);
        differences(reckoned, &answered, &line, &mut self.found);
    }

    /// `cash`, `stock` and every car as of a day.
    fn day(&mut self, as_of: NaiveDate) {
        self.compare("cash", as_of, &self.book.cash(as_of));
        self.compare("stock", as_of, &self.book.stock(as_of));
        let cars: Vec<(u32, Value)> = self
            .book
            .stays
            .iter()
            .filter(|stay| stay.bought_on <= as_of)
            .map(|stay| (stay.no, self.book.car(stay, as_of)))
            .collect();
        for (no, car) in cars {
            self.compare(&format!("car {no}"), as_of, &car);
        }
    }

    fn month(&mut self, first: NaiveDate, as_of: NaiveDate) {
        let reckoned = self.book.span(first, last_of(first).min(as_of)).month(as_of);
        self.compare(&format!("month {}", first.format("%Y-%m")), as_of, &reckoned);
    }

    fn results(&mut self, from: NaiveDate, to: NaiveDate, typed: &str, as_of: NaiveDate) {
        let mut months = Vec::new();
        let mut first = from;
        while first <= to {
            let span = self.book.span(first, last_of(first).min(as_of));
            months.push(span.row(Some(&first.format("%Y-%m").to_string())));
            first = first + Months::new(1);
        }
        let reckoned = self.book.span(from, last_of(to).min(as_of)).results(as_of, &months);
        self.compare(typed, as_of, &reckoned);
    }

    fn verdict(self) -> Result<(), TestCaseError> {
        let typed = self.history.typed();
        prop_assert!(self.found.is_empty(), "{}\nafter\n{typed}", self.found.join("\n"));
        Ok(())
    }
}

fn first_of(day: NaiveDate) -> NaiveDate {
    day.with_day(1).expect("every month has a first")
}

fn last_of(day: NaiveDate) -> NaiveDate {
    first_of(day) + Months::new(1) - Days::new(1)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

    /// Every figure of every report, as of today, of a day in mid-month, of a month's end and of
    /// a day to come (standing costs count only up to the day it really is).
    #[test]
    fn every_figure_agrees((seed, commands) in any_history()) {
        let history = history(seed, commands);
        let mut dice = Dice::new(!seed);
        let today = history.today;
        let mut yard = Comparison::of(&history);
        let ago = |days: i64| today - Days::new(u64::try_from(days).expect("days"));
        let middle = first_of(ago(dice.between(0, 240))) + Days::new(13);
        let end = last_of(ago(dice.between(40, 240)));
        let ahead = today + Days::new(25);
        for as_of in [today, middle, end, ahead] {
            yard.day(as_of);
            yard.month(first_of(as_of), as_of);
            yard.results(first_of(as_of) - Months::new(11), first_of(as_of), "results", as_of);
        }
        for back in 1..=10 {
            yard.month(first_of(today) - Months::new(back), today);
        }
        let (from, to) = (first_of(ago(dice.between(120, 250))), first_of(ago(dice.between(0, 110))));
        let typed = format!("results --from {} --to {}", from.format("%Y-%m"), to.format("%Y-%m"));
        yard.results(from, to, &typed, today);
        yard.verdict()?;
    }
}

/// A comparison that cannot tell a penny is worth nothing.
#[test]
fn a_penny_more_is_found() {
    let history = history(1, 30);
    let mut yard = Comparison::of(&history);
    let mut cash = yard.book.cash(history.today);
    cash["bank"] = Value::String("0.01".into());
    yard.compare("cash", history.today, &cash);
    assert_eq!(yard.found.len(), 1, "{:?}", yard.found);
}

//! Calendar months, and how a month is typed.

use std::fmt;
use std::str::FromStr;

use chrono::{Datelike, Months, NaiveDate};

use crate::domain::value::digits::number;
use crate::domain::value::value_error::ValueError;

const WHAT: &str = "month";
const ACCEPTED: &str = "write it as 2026-11, nov, nov 2026, 11/26, this or last";

/// A month of a year, kept as its first day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month(NaiveDate);

impl Month {
    /// The month numbered `month` (1 to 12) of `year`.
    pub fn new(year: i32, month: u32) -> Option<Self> {
        NaiveDate::from_ymd_opt(year, month, 1).map(Self)
    }

    /// The month that `day` is in.
    pub fn containing(day: NaiveDate) -> Self {
        // Every month has a first day, so the other branch is never taken.
        Self(day.with_day(1).unwrap_or(day))
    }

    /// The year.
    pub fn year(self) -> i32 {
        self.0.year()
    }

    /// The number of the month in its year, 1 to 12.
    pub fn number(self) -> u32 {
        self.0.month()
    }

    /// The first day.
    pub const fn first_day(self) -> NaiveDate {
        self.0
    }

    /// The last day: the 28th to the 31st.
    pub fn last_day(self) -> NaiveDate {
        self.next().0.pred_opt().unwrap_or(self.0)
    }

    /// The month after. The calendar's very last month is its own.
    #[must_use]
    pub fn next(self) -> Self {
        Self(self.0.checked_add_months(Months::new(1)).unwrap_or(self.0))
    }

    /// The month before.
    #[must_use]
    pub fn previous(self) -> Self {
        self.minus(1)
    }

    /// The month `n` months before.
    #[must_use]
    pub fn minus(self, n: u32) -> Self {
        Self(self.0.checked_sub_months(Months::new(n)).unwrap_or(self.0))
    }

    /// As `2026-11`: for machines.
    pub fn iso(self) -> String {
        format!("{:04}-{:02}", self.year(), self.number())
    }
}

/// For people: `Nov 2026`.
impl fmt::Display for Month {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0.format("%b %Y").to_string())
    }
}

/// The number of the month of that English name, whole or short, in any case.
pub fn month_named(name: &str) -> Option<u32> {
    if name.eq_ignore_ascii_case("sept") {
        return Some(9);
    }
    name.parse::<chrono::Month>().ok().map(|month| month.number_from_month())
}

/// A month as typed, which may need today to say which one it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenMonth {
    text: String,
    form: Form,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Form {
    Dated(Month),
    /// A name alone, as the number of the month.
    Named(u32),
    This,
    Last,
}

impl WrittenMonth {
    /// The month meant on the day `today`; one after today's month is refused.
    pub fn resolve(&self, today: NaiveDate) -> Result<Month, ValueError> {
        let (month, this) = (self.resolve_any(today), Month::containing(today));
        if month > this {
            return Err(ValueError::at_odds(
                WHAT,
                self.text.as_str(),
                format!("is {month}, after this month ({this}): write a month up to this one"),
            ));
        }
        Ok(month)
    }

    /// The month meant on the day `today`, which may lie ahead. A name alone is always the
    /// latest such month not after today's.
    pub fn resolve_any(&self, today: NaiveDate) -> Month {
        let this = Month::containing(today);
        match self.form {
            Form::Dated(month) => month,
            Form::Named(number) => this.minus((this.number() + 12 - number) % 12),
            Form::This => this,
            Form::Last => this.previous(),
        }
    }
}

/// The month as it was typed.
impl fmt::Display for WrittenMonth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text)
    }
}

/// A month as typed: `2026-11`, `11/2026`, `11/26`, `nov`, `nov 2026`, `nov26`, `this`, `last`; `-`, `/`, `.` or
/// a space between, or nothing after a name. Years 1900 to 2100, or two digits of this century from 13 on:
/// where a month is asked for the 26 of `nov 26` is no day, but `11/12` could be one.
impl FromStr for WrittenMonth {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let word = text.trim().to_ascii_lowercase();
        let form = match word.as_str() {
            "this" | "this month" => Some(Form::This),
            "last" | "last month" => Some(Form::Last),
            name => match month_named(name) {
                Some(number) => Some(Form::Named(number)),
                None => dated(name).map(Form::Dated),
            },
        };
        form.map(|form| Self { text: text.trim().to_owned(), form })
            .ok_or_else(|| ValueError::new(WHAT, text, ACCEPTED))
    }
}

fn dated(word: &str) -> Option<Month> {
    let (first, second) = word.split_once(['-', '/', '.', ' ']).or_else(|| {
        let digits = word.find(|c: char| c.is_ascii_digit()).filter(|at| *at > 0)?;
        Some(word.split_at(digits))
    })?;
    let (first, second) = (first.trim_end(), second.trim_start());
    let (year, month) = if number(first, 4..=4).is_some() { (first, second) } else { (second, first) };
    let month = month_named(month).or_else(|| number(month, 1..=2))?;
    let this_century = || number(year, 2..=2).filter(|year| *year > 12).map(|year| 2000 + year);
    let year = number(year, 4..=4).filter(|year| (1900..=2100).contains(year)).or_else(this_century)?;
    Month::new(i32::try_from(year).ok()?, month)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::{Month, WrittenMonth, month_named};
    use chrono::NaiveDate;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    #[test]
    fn first_and_last_days() {
        for (year, month, last) in
            [(2026, 11, 30), (2026, 12, 31), (2024, 2, 29), (2025, 2, 28), (1900, 2, 28), (2000, 2, 29)]
        {
            let it = Month::new(year, month).unwrap();
            assert_eq!(it.first_day(), day(year, month, 1));
            assert_eq!(it.last_day(), day(year, month, last));
            assert_eq!(Month::containing(day(year, month, last)), it);
        }
        assert_eq!(Month::new(2026, 0), None);
        assert_eq!(Month::new(2026, 13), None);
    }

    #[test]
    fn months_before_and_after() {
        let it = Month::new(2026, 1).unwrap();
        assert_eq!(it.previous(), Month::new(2025, 12).unwrap());
        assert_eq!(it.next(), Month::new(2026, 2).unwrap());
        assert_eq!(it.minus(0), it);
        assert_eq!(it.minus(25), Month::new(2023, 12).unwrap());
        assert_eq!(Month::new(2025, 12).unwrap().next(), it);
        assert!(it.previous() < it);
        assert_eq!((it.year(), it.number()), (2026, 1));
        let end = Month::containing(NaiveDate::MAX);
        assert_eq!(end.next(), end);
    }

    #[test]
    fn months_as_shown() {
        let it = Month::new(2026, 3).unwrap();
        assert_eq!(it.to_string(), "Mar 2026");
        assert_eq!(it.iso(), "2026-03");
    }

    #[test]
    fn months_as_typed() {
        let today = day(2026, 11, 25);
        for (typed, year, month) in [
            ("2026-11", 2026, 11),
            ("2026-1", 2026, 1),
            ("2025/07", 2025, 7),
            ("11/2026", 2026, 11),
            ("1/2026", 2026, 1),
            ("3.2024", 2024, 3),
            ("nov", 2026, 11),
            ("November", 2026, 11),
            ("NOV 2026", 2026, 11),
            ("nov   2025", 2025, 11),
            ("sept", 2026, 9),
            ("sep-2025", 2025, 9),
            ("2025 sep", 2025, 9),
            ("dec", 2025, 12),
            ("nov 26", 2026, 11),
            ("11/26", 2026, 11),
            ("Nov26", 2026, 11),
            ("november2025", 2025, 11),
            ("11-25", 2025, 11),
            ("jan", 2026, 1),
            ("this", 2026, 11),
            ("last", 2026, 10),
            (" last month ", 2026, 10),
        ] {
            assert_eq!(
                typed.parse::<WrittenMonth>().unwrap().resolve(today),
                Ok(Month::new(year, month).unwrap()),
                "{typed:?}"
            );
        }
        let last = "last".parse::<WrittenMonth>().unwrap();
        assert_eq!(last.resolve(day(2026, 1, 31)), Ok(Month::new(2025, 12).unwrap()));
    }

    #[test]
    fn other_shapes_are_refused() {
        for typed in [
            "",
            " ",
            "11",
            "2026",
            "2026-13",
            "2026-0",
            "0/2026",
            "13/2026",
            "13/26",
            "11/12",
            "nov 11",
            "nov 6",
            "nov 126",
            "26",
            "1899-12",
            "2101-01",
            "novem",
            "2026-11-21",
            "next",
            "2026-",
            "-11",
            "nov nov",
            "+1/2026",
            "November 021",
            "2026nov",
            "２０２６-11",
        ] {
            assert!(
                typed.parse::<WrittenMonth>().is_err_and(|e| {
                    e.to_string()
                        .ends_with("is not understood: write it as 2026-11, nov, nov 2026, 11/26, this or last")
                }),
                "{typed:?}"
            );
        }
    }

    #[test]
    fn a_month_ahead_is_refused_in_words() {
        let (today, ahead) = (day(2026, 11, 25), "dec 2026".parse::<WrittenMonth>().unwrap());
        assert_eq!(
            ahead.resolve(today).unwrap_err().to_string(),
            "month 'dec 2026' is Dec 2026, after this month (Nov 2026): write a month up to this one"
        );
        assert_eq!(ahead.resolve_any(today), Month::new(2026, 12).unwrap());
        assert_eq!(ahead.to_string(), "dec 2026");
    }

    #[test]
    fn month_names() {
        for (name, number) in [("may", Some(5)), ("MAY", Some(5)), ("Sept", Some(9)), ("june", Some(6)), ("ju", None)] {
            assert_eq!(month_named(name), number, "{name}");
        }
    }
}

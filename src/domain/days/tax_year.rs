//! Tax years: from 6 April to 5 April, how one is typed, and the days that hang on it.

use crate::domain::days::day::add_months_clamped;
use crate::domain::days::period::Period;
use crate::domain::value::digits::number;
use crate::domain::value::value_error::ValueError;
use chrono::{Datelike, Days, NaiveDate};
use std::fmt;
use std::str::FromStr;

const WHAT: &str = "tax year";
const ACCEPTED: &str = "write the two years it touches, such as 2026-27";

/// A tax year, kept as its first day, 6 April.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TaxYear(NaiveDate);

/// A quarter of a tax year that Making Tax Digital wants an update for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Quarter {
    /// Its last day; the update covers the year up to it.
    pub to: NaiveDate,
    /// The last day for the update.
    pub due: NaiveDate,
}

impl TaxYear {
    /// The one that begins in April of `year`.
    pub fn beginning_in(year: i32) -> Option<Self> {
        NaiveDate::from_ymd_opt(year, 4, 6).map(Self)
    }

    /// The one that `day` is in.
    pub fn containing(day: NaiveDate) -> Self {
        let year = if (day.month(), day.day()) < (4, 6) { day.year() - 1 } else { day.year() };
        // Every year has a 6 April, so the other branch is never taken.
        Self::beginning_in(year).unwrap_or(Self(day))
    }

    /// The year it begins in.
    pub fn begins_in(self) -> i32 {
        self.0.year()
    }

    /// 6 April.
    pub const fn first_day(self) -> NaiveDate {
        self.0
    }

    /// 5 April of the next year.
    pub fn last_day(self) -> NaiveDate {
        self.months_on(12, 5)
    }

    /// All its days.
    pub fn period(self) -> Option<Period> {
        Period::new(self.first_day(), self.last_day())
    }

    /// The one after.
    #[must_use]
    pub fn next(self) -> Self {
        Self(self.months_on(12, 6))
    }

    /// The one so many years before.
    #[must_use]
    pub fn minus(self, years: i32) -> Self {
        Self::beginning_in(self.begins_in() - years).unwrap_or(self)
    }

    /// The last day to tell HMRC of a trade begun in this year: 5 October after it ends (LITRG, 15
    /// October 2021).
    pub fn register_by(self) -> NaiveDate {
        self.months_on(18, 5)
    }

    /// The last day for the return online and for the tax: 31 January after the year ends.
    pub fn return_by(self) -> NaiveDate {
        self.months_on(21, 31)
    }

    /// The two payments on account of this year's tax: 31 January in it and 31 July after it.
    pub fn payments_on_account(self) -> [NaiveDate; 2] {
        [self.months_on(9, 31), self.months_on(15, 31)]
    }

    /// Quarters to 5 July, 5 October, 5 January and 5 April; each update is due on the 7th of the
    /// month after.
    pub fn quarters(self) -> [Quarter; 4] {
        [3, 6, 9, 12].map(|months| {
            let to = self.months_on(months, 5);
            let due = add_months_clamped(to, 1).checked_add_days(Days::new(2)).unwrap_or(to);
            Quarter { to, due }
        })
    }

    /// A day of the month so many months after April; each has that day.
    fn months_on(self, months: u32, day: u32) -> NaiveDate {
        let sixth = add_months_clamped(self.0, months);
        sixth.with_day(day).unwrap_or(sixth)
    }
}

/// `2026-27`.
impl fmt::Display for TaxYear {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}-{:02}", self.begins_in(), (self.begins_in() + 1).rem_euclid(100)))
    }
}

/// `2026-27`, `2026/27`, `2026-2027` or `26/27`, from 1900-01 to 2099-00; two digits are of this century. Two
/// years that follow each other can be nothing else.
impl FromStr for TaxYear {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let refused = || ValueError::new(WHAT, text, ACCEPTED);
        let (first, second) = text.trim().split_once(['-', '/', ' ']).ok_or_else(refused)?;
        let begins = match number(first, 2..=2) {
            Some(year) => 2000 + year,
            None => number(first, 4..=4).filter(|year| (1900..=2099).contains(year)).ok_or_else(refused)?,
        };
        let ends = begins + 1;
        let follows = number(second, 2..=2) == Some(ends % 100) || number(second, 4..=4) == Some(ends);
        i32::try_from(begins).ok().filter(|_| follows).and_then(Self::beginning_in).ok_or_else(refused)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn a_day_is_in_the_year_begun_by_it() {
        for (on, shown) in [
            ("2026-04-05", "2025-26"),
            ("2026-04-06", "2026-27"),
            ("2026-12-31", "2026-27"),
            ("2027-01-01", "2026-27"),
            ("2027-04-05", "2026-27"),
            ("2000-04-05", "1999-00"),
        ] {
            assert_eq!(TaxYear::containing(day(on)).to_string(), shown, "{on}");
        }
        let year = TaxYear::containing(day("2026-11-25"));
        assert_eq!((year.first_day(), year.last_day()), (day("2026-04-06"), day("2027-04-05")));
        assert_eq!((year.next().to_string(), year.minus(2).to_string()), ("2027-28".into(), "2024-25".into()));
    }

    #[test]
    fn years_as_typed() {
        for (typed, begins) in [
            ("2026-27", 2026),
            ("2026/27", 2026),
            (" 2026-2027 ", 2026),
            ("1999-00", 1999),
            ("26-27", 2026),
            ("26/27", 2026),
            ("2026 27", 2026),
        ] {
            assert_eq!(typed.parse::<TaxYear>().unwrap().begins_in(), begins, "{typed}");
            assert_eq!(TaxYear::beginning_in(begins).unwrap().to_string().parse(), typed.parse::<TaxYear>());
        }
        for typed in
            ["2026", "2026-26", "2026-28", "26-28", "6-7", "2026-7", "1899-00", "2100-01", "this", "", "2026-27-28"]
        {
            assert!(typed.parse::<TaxYear>().is_err(), "{typed}");
        }
    }
}

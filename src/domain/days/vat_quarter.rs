//! VAT quarters: which months they end with, and the day a period's return and payment are due.

use crate::domain::days::day::add_months_clamped;
use crate::domain::days::month::{Month, month_named};
use crate::domain::days::period::Period;
use crate::domain::value::digits::number;
use crate::domain::value::value_error::ValueError;
use chrono::{Days, NaiveDate};
use std::fmt;
use std::str::FromStr;

/// Which months a trader's VAT quarters end with, named by one of them; the others follow every
/// three months. Only quarters that end with a month are known here, no other lengths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct QuarterEnd(u32);

const NAMES: [&str; 12] = ["jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"];

impl QuarterEnd {
    /// Quarters that end with March, June, September and December.
    pub const MARCH: Self = Self(3);

    /// Quarters one of which ends with the month numbered `month`, 1 to 12.
    pub fn new(month: u32) -> Option<Self> {
        (1..=12).contains(&month).then_some(Self(month))
    }

    /// The quarter that `day` falls in.
    pub fn quarter_of(self, day: NaiveDate) -> Period {
        let month = Month::containing(day);
        let months_to_end = (self.0 + 12 - month.number()) % 3;
        let last = (0..months_to_end).fold(month, |month, _| month.next());
        // Always in order, so the other branch is never taken.
        Period::new(last.minus(2).first_day(), last.last_day()).unwrap_or_else(|| Period::of_month(last))
    }

    /// The quarter before.
    pub fn quarter_before(self, quarter: Period) -> Period {
        self.quarter_of(quarter.from().pred_opt().unwrap_or(quarter.from()))
    }
}

/// The day a return and its payment are due: one calendar month and seven days after the last day
/// of the period, so the 7th of the second month after one that ends with a month (VAT Notice 700/12
/// and gov.uk/submit-vat-return; from memory). A period cut short by deregistration may end on any day.
pub fn return_due_day(last_day: NaiveDate) -> NaiveDate {
    let month = Month::containing(last_day);
    let month_later =
        if last_day == month.last_day() { month.next().last_day() } else { add_months_clamped(last_day, 1) };
    month_later.checked_add_days(Days::new(7)).unwrap_or(month_later)
}

/// `mar`.
impl fmt::Display for QuarterEnd {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = usize::try_from(self.0).ok().and_then(|month| NAMES.get(month - 1));
        f.pad(name.unwrap_or(&""))
    }
}

/// A month a quarter ends with: its name, whole or short, or its number.
impl FromStr for QuarterEnd {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let word = text.trim();
        let month = month_named(word).or_else(|| number(word, 1..=2));
        month.and_then(Self::new).ok_or_else(|| {
            ValueError::new("VAT quarter's last month", text, "write a month a quarter ends with, such as mar or 3")
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::fixture::day;

    #[test]
    fn a_month_is_named_in_any_form() {
        for (typed, read) in
            [("mar", "mar"), ("March", "mar"), (" 3 ", "mar"), ("03", "mar"), ("sept", "sep"), ("12", "dec")]
        {
            assert_eq!(typed.parse::<QuarterEnd>().unwrap().to_string(), read, "{typed}");
        }
        for typed in ["", "0", "13", "march 2026", "quarterly", "003"] {
            assert!(typed.parse::<QuarterEnd>().is_err(), "{typed}");
        }
    }

    #[test]
    fn a_quarter_is_the_three_months_up_to_its_end() {
        for (end, on, from, to) in [
            ("mar", "2026-11-25", "2026-10-01", "2026-12-31"),
            ("dec", "2026-11-25", "2026-10-01", "2026-12-31"),
            ("mar", "2026-01-01", "2026-01-01", "2026-03-31"),
            ("mar", "2026-03-31", "2026-01-01", "2026-03-31"),
            ("mar", "2026-04-01", "2026-04-01", "2026-06-30"),
            ("jan", "2026-11-25", "2026-11-01", "2027-01-31"),
            ("apr", "2026-10-31", "2026-08-01", "2026-10-31"),
            ("feb", "2024-02-29", "2023-12-01", "2024-02-29"),
        ] {
            let end: QuarterEnd = end.parse().unwrap();
            let quarter = end.quarter_of(day(on));
            assert_eq!((quarter.from(), quarter.to()), (day(from), day(to)), "{end} {on}");
            assert_eq!(end.quarter_before(quarter).to(), day(from).pred_opt().unwrap(), "{end} {on}");
        }
    }
}

//! Days, how they are typed, and how they are read back.
//!
//! Day before month, always. What was typed is kept with its reading, because a day without a
//! year, or `yesterday`, means nothing until today is known, and because an error repeats the
//! words of the person who typed them.

use std::fmt;
use std::str::FromStr;

use chrono::{Datelike, Months, NaiveDate, TimeDelta, Weekday};

use crate::domain::days::month::month_named;
use crate::domain::value::digits::number;
use crate::domain::value::value_error::ValueError;

const WHAT: &str = "date";
const ACCEPTED: &str = "write the day before the month, such as 21/11/2026, 21 Nov, yesterday or 3 days ago";
/// The last day there is, for asking for everything whatever its day. Within four-digit years, so
/// that days compare as their ISO text does.
pub const LAST_DAY: NaiveDate = match NaiveDate::from_ymd_opt(9999, 12, 31) {
    Some(day) => day,
    None => NaiveDate::MAX,
};

/// Years a book can speak of: before the first registration marks, and well past any expiry.
const YEARS: std::ops::RangeInclusive<i32> = 1900..=2100;
const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// `21 Nov 2026`.
pub fn long(day: NaiveDate) -> String {
    day.format("%-d %b %Y").to_string()
}

/// `Sat 21 Nov 2026`.
pub fn with_weekday(day: NaiveDate) -> String {
    day.format("%a %-d %b %Y").to_string()
}

/// The same day `months` later, or the last day of a month too short to have it: a month
/// after 31 January is 28 or 29 February.
pub fn add_months_clamped(day: NaiveDate, months: u32) -> NaiveDate {
    day.checked_add_months(Months::new(months)).unwrap_or(NaiveDate::MAX)
}

/// The day after; the calendar's last day has none and stays.
pub fn day_after(day: NaiveDate) -> NaiveDate {
    day.succ_opt().unwrap_or(day)
}

/// The days from `from` to `to`: 1 from a day to the next, negative if `to` is earlier.
pub fn days_between(from: NaiveDate, to: NaiveDate) -> i64 {
    to.signed_duration_since(from).num_days()
}

/// A date as somebody typed it, which may need today to say which day it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenDay {
    text: String,
    form: Form,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Form {
    Full(NaiveDate),
    /// A day and a month, which some year has.
    Yearless {
        day: u32,
        month: u32,
    },
    /// So many days from today, negative for the past.
    FromToday(i64),
    /// The latest such day, today included.
    Weekday(Weekday),
}

impl WrittenDay {
    /// What was typed, without the spaces around it.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The day meant, for something that has happened: a day after `today` is refused.
    ///
    /// Without a year it is the latest such day not after `today`.
    pub fn resolve_past(&self, today: NaiveDate) -> Result<NaiveDate, ValueError> {
        let day = self.resolve_any(today)?;
        if day > today {
            let verdict = format!("is {}, after today ({}): write a day up to today", long(day), long(today));
            return Err(ValueError::at_odds(WHAT, self.text.as_str(), verdict));
        }
        Ok(day)
    }

    /// The day meant, which may lie before or after `today`.
    ///
    /// Without a year it is still the latest such day not after `today`.
    pub fn resolve_any(&self, today: NaiveDate) -> Result<NaiveDate, ValueError> {
        let day = match self.form {
            Form::Full(day) => Some(day),
            Form::Yearless { day, month } => latest(day, month, today),
            Form::FromToday(days) => today.checked_add_signed(TimeDelta::days(days)),
            Form::Weekday(weekday) => {
                let since = today.weekday().days_since(weekday);
                today.checked_sub_signed(TimeDelta::days(i64::from(since)))
            }
        };
        day.filter(|day| YEARS.contains(&day.year())).ok_or_else(|| self.refused("is outside the years 1900 to 2100"))
    }

    /// The day meant, for something that may lie ahead, such as an expiry: before or after
    /// `today`, but named so that it cannot be taken for another year's or week's.
    fn resolve_ahead(&self, today: NaiveDate) -> Result<NaiveDate, ValueError> {
        match self.form {
            Form::Yearless { day, month } => {
                Err(self.refused(format!("has no year: write the year too, as in {day}/{month}/{}", today.year())))
            }
            Form::Weekday(_) => {
                Err(self.refused("could be last week's or next week's: write the date with its year, or 'in 3 days'"))
            }
            Form::Full(_) | Form::FromToday(_) => self.resolve_any(today),
        }
    }

    /// Whether a day and a month were typed, and no year.
    pub const fn has_no_year(&self) -> bool {
        matches!(self.form, Form::Yearless { .. })
    }

    /// The earliest such day not before `today`, of a day typed without its year.
    pub fn next_after(&self, today: NaiveDate) -> Option<NaiveDate> {
        let Form::Yearless { day, month } = self.form else { return None };
        // Leap years are at most eight years apart.
        (0..=8)
            .filter_map(|ahead| NaiveDate::from_ymd_opt(today.year().checked_add(ahead)?, month, day))
            .find(|candidate| *candidate >= today)
    }

    /// The such day nearest to `today`, before or after it, of a day typed without its year.
    pub fn nearest(&self, today: NaiveDate) -> Option<NaiveDate> {
        let Form::Yearless { day, month } = self.form else { return None };
        let both = [latest(day, month, today), self.next_after(today)];
        both.into_iter().flatten().min_by_key(|candidate| days_between(today, *candidate).abs())
    }

    /// The same day and month with the year typed for them, as it could have been typed at once.
    pub fn with_year(&self, year: &str) -> Result<Self, ValueError> {
        let Form::Yearless { day, month } = self.form else { return Ok(self.clone()) };
        if year_of(year.trim()).is_none() {
            return Err(ValueError::new("year", year, "write its four digits, such as 2027"));
        }
        format!("{day}/{month}/{}", year.trim()).parse()
    }

    /// The day that was refused because it needs its year.
    pub fn refused_without_year(error: &ValueError) -> Option<Self> {
        // Nothing else about a day without its year can be wrong.
        let day: Option<Self> = (error.what() == WHAT).then(|| error.given().parse().ok()).flatten();
        day.filter(Self::has_no_year)
    }

    fn refused(&self, verdict: impl Into<String>) -> ValueError {
        ValueError::refused(WHAT, self.text.as_str(), verdict)
    }
}

/// A date as somebody typed it of something that may lie ahead or begins something: an expiry, a first due
/// day, a last one. It needs its year, because the latest such day and the next one are both likely.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayAhead(WrittenDay);

impl DayAhead {
    /// The day meant, before or after `today`; one that could be another year's is refused.
    pub fn resolve(&self, today: NaiveDate) -> Result<NaiveDate, ValueError> {
        self.0.resolve_ahead(today)
    }

    /// What was typed, whether or not it has a year.
    pub const fn written(&self) -> &WrittenDay {
        &self.0
    }
}

impl FromStr for DayAhead {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        text.parse().map(Self)
    }
}

/// The date as it was typed.
impl fmt::Display for WrittenDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text)
    }
}

/// A date as typed: `2026-11-21`, `21/11/2026`, `21/11/26` (20yy), `21/11` with `/`, `-` or `.`
/// between; `21 Nov`, `21st November 2026`, `21-Nov-26`; `today`, `yesterday`, `tomorrow`,
/// `3 days ago`, `2 weeks ago`, `in 10 days`; `mon`, `monday`. Case and the number of spaces do
/// not matter. A day no month has, and a 29 February of a year without one, are refused here.
impl FromStr for WrittenDay {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let folded = text.split_whitespace().collect::<Vec<_>>().join(" ").to_ascii_lowercase();
        let form = match relative(&folded) {
            Some(form) => Ok(form),
            None => calendar(&folded),
        };
        match form {
            Ok(form) => Ok(Self { text: text.trim().to_owned(), form }),
            Err(None) => Err(ValueError::new(WHAT, text, ACCEPTED)),
            Err(Some(reason)) => Err(ValueError::refused(WHAT, text, reason)),
        }
    }
}

/// Words counted from today.
fn relative(folded: &str) -> Option<Form> {
    let words: Vec<&str> = folded.split(' ').collect();
    let days = match words.as_slice() {
        ["today"] => 0,
        ["yesterday"] => -1,
        ["tomorrow"] => 1,
        [count, unit, "ago"] => -days_in(count, unit)?,
        ["in", count, unit] => days_in(count, unit)?,
        [name] => return weekday_named(name).map(Form::Weekday),
        _ => return None,
    };
    Some(Form::FromToday(days))
}

fn days_in(count: &str, unit: &str) -> Option<i64> {
    let count = i64::from(number(count, 1..=4)?);
    match unit {
        "day" | "days" => Some(count),
        "week" | "weeks" => Some(count * 7),
        _ => None,
    }
}

fn weekday_named(name: &str) -> Option<Weekday> {
    match name {
        "tues" => Some(Weekday::Tue),
        "weds" => Some(Weekday::Wed),
        "thur" | "thurs" => Some(Weekday::Thu),
        _ => name.parse().ok(),
    }
}

/// A day of the calendar. `Err(None)` is a shape that is not known.
fn calendar(folded: &str) -> Result<Form, Option<String>> {
    let parts: Vec<&str> = match folded.find(['/', '-', '.', ' ']) {
        // One separator throughout: "21/11-26" is more likely a slip than a date.
        Some(at) => folded.split(char::from(folded.as_bytes()[at])).collect(),
        None => return Err(None),
    };
    let (day, month, year) = match *parts.as_slice() {
        [year, month, day] if number(year, 4..=4).is_some() => (day, month, Some(year)),
        [day, month, year] => (day, month, Some(year)),
        [day, month] => (day, month, None),
        _ => return Err(None),
    };
    if month_named(day).is_some() {
        return Err(Some("begins with the month: write the day before the month".to_owned()));
    }
    let (month, day) = match month_named(month) {
        Some(named) => (named, number(without_ordinal(day), 1..=2)),
        None if folded.contains(' ') => return Err(None),
        None => (number(month, 1..=2).ok_or(None)?, number(day, 1..=2)),
    };
    let day = day.ok_or(None)?;
    let year = year.map(|year| year_of(year).ok_or(None)).transpose()?;
    day_of(day, month, year).map_err(Some)
}

/// The day of that month, if there is one, else why not.
fn day_of(day: u32, month: u32, year: Option<i32>) -> Result<Form, String> {
    // 2000 was a leap year, so it has every day that any year has.
    let longest =
        NaiveDate::from_ymd_opt(2000, month, 1).map(|first| days_between(first, add_months_clamped(first, 1)));
    let Some(longest) = longest else {
        let swapped = if (1..=12).contains(&day) && month <= 31 && month > 0 {
            format!(", as in {month}/{day}")
        } else {
            String::new()
        };
        return Err(format!("has no such month as {month}: write the day before the month{swapped}"));
    };
    let name = usize::try_from(month).ok().and_then(|m| MONTHS.get(m - 1)).unwrap_or(&"");
    if day == 0 || i64::from(day) > longest {
        return Err(format!("is no day: {name} has at most {longest} days"));
    }
    let Some(year) = year else {
        return Ok(Form::Yearless { day, month });
    };
    if !YEARS.contains(&year) {
        return Err("is outside the years 1900 to 2100".to_owned());
    }
    NaiveDate::from_ymd_opt(year, month, day)
        .map(Form::Full)
        .ok_or_else(|| format!("is no day: {name} {year} has 28 days"))
}

/// The latest such day not after `today`. Leap years are at most eight years apart.
fn latest(day: u32, month: u32, today: NaiveDate) -> Option<NaiveDate> {
    (0..=8)
        .filter_map(|back| NaiveDate::from_ymd_opt(today.year().checked_sub(back)?, month, day))
        .find(|candidate| *candidate <= today)
}

/// Two digits are a year of this century, four a year in full.
fn year_of(text: &str) -> Option<i32> {
    let year = number(text, 2..=4).filter(|_| text.len() != 3)?;
    i32::try_from(if text.len() == 2 { 2000 + year } else { year }).ok()
}

fn without_ordinal(day: &str) -> &str {
    ["st", "nd", "rd", "th"].iter().find_map(|ending| day.strip_suffix(ending)).unwrap_or(day)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::{ValueError, WrittenDay, add_months_clamped, days_between, long, with_weekday};
    use chrono::NaiveDate;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    /// A Wednesday.
    fn today() -> NaiveDate {
        day(2026, 11, 25)
    }

    fn written(text: &str) -> WrittenDay {
        text.parse().unwrap()
    }

    fn refusal(text: &str) -> String {
        text.parse::<WrittenDay>().unwrap_err().to_string()
    }

    #[test]
    fn dates_as_typed() {
        for (typed, year, month, date) in [
            ("2026-11-21", 2026, 11, 21),
            ("2026/11/21", 2026, 11, 21),
            ("2026.1.5", 2026, 1, 5),
            ("21/11/2026", 2026, 11, 21),
            ("21-11-2026", 2026, 11, 21),
            ("21.11.2026", 2026, 11, 21),
            ("21/11/26", 2026, 11, 21),
            ("12/10/2026", 2026, 10, 12),
            ("12-10-2026", 2026, 10, 12),
            ("12.10.26", 2026, 10, 12),
            ("3/4/26", 2026, 4, 3),
            ("13/4/26", 2026, 4, 13),
            ("03/04/2026", 2026, 4, 3),
            ("1/1/00", 2000, 1, 1),
            ("21/11", 2026, 11, 21),
            ("25/11", 2026, 11, 25),
            ("26/11", 2025, 11, 26),
            ("12/10", 2026, 10, 12),
            ("31.12", 2025, 12, 31),
            ("29/2", 2024, 2, 29),
            ("21 Nov", 2026, 11, 21),
            ("21  NOVEMBER   2026", 2026, 11, 21),
            ("21st Nov", 2026, 11, 21),
            ("2nd dec", 2025, 12, 2),
            ("3rd sept 2026", 2026, 9, 3),
            ("21st November 2026", 2026, 11, 21),
            ("12th October", 2026, 10, 12),
            ("21-Nov-26", 2026, 11, 21),
            ("21/nov/2026", 2026, 11, 21),
            ("21 nov 26", 2026, 11, 21),
            ("2026-nov-21", 2026, 11, 21),
            ("today", 2026, 11, 25),
            ("Today", 2026, 11, 25),
            (" yesterday ", 2026, 11, 24),
            ("0 days ago", 2026, 11, 25),
            ("1 day ago", 2026, 11, 24),
            ("3 days ago", 2026, 11, 22),
            ("1 week ago", 2026, 11, 18),
            ("2 Weeks Ago", 2026, 11, 11),
            ("9999 days ago", 1999, 7, 11),
            ("wed", 2026, 11, 25),
            ("thu", 2026, 11, 19),
            ("friday", 2026, 11, 20),
            ("Mon", 2026, 11, 23),
            ("tues", 2026, 11, 24),
            ("sunday", 2026, 11, 22),
        ] {
            assert_eq!(written(typed).resolve_past(today()), Ok(day(year, month, date)), "{typed:?}");
            assert_eq!(written(typed).resolve_any(today()), Ok(day(year, month, date)), "{typed:?}");
        }
    }

    #[test]
    fn shapes_that_are_not_known_are_refused() {
        for typed in [
            "",
            " ",
            "21",
            "2026",
            "20261121",
            "21/11-2026",
            "21 11",
            "21 11 2026",
            "21/11/2026/1",
            "21//2026",
            "/11/2026",
            "21/11/",
            "21/11/226",
            "21/11/20266",
            "21/11/6",
            "021/11/2026",
            "+1/11/2026",
            "-1 days ago",
            "x days ago",
            "3 months ago",
            "3 days",
            "days ago",
            "10000 days ago",
            "in days",
            "next tuesday",
            "last month",
            "mo",
            "21st/11/2026",
            "21 novem",
            "st nov",
            "２１/11/2026",
            "2024-W09-4",
            "2026-11-21T10:00",
            "noon",
            "21 nov, 2026",
            "21\u{2013}11\u{2013}2026",
        ] {
            assert!(
                refusal(typed).ends_with(
                    "is not understood: write the day before the month, such as 21/11/2026, \
                     21 Nov, yesterday or 3 days ago"
                ),
                "{typed:?}: {}",
                refusal(typed)
            );
        }
    }

    #[test]
    fn impossible_dates_are_refused_naming_why() {
        for (typed, reason) in [
            ("30/2", "is no day: February has at most 29 days"),
            ("30/2/2024", "is no day: February has at most 29 days"),
            ("29/2/2025", "is no day: February 2025 has 28 days"),
            ("29 Feb 1900", "is no day: February 1900 has 28 days"),
            ("31/4", "is no day: April has at most 30 days"),
            ("32 Dec 2026", "is no day: December has at most 31 days"),
            ("0/11/2026", "is no day: November has at most 30 days"),
            ("31/13", "has no such month as 13: write the day before the month"),
            ("13/25/2026", "has no such month as 25: write the day before the month"),
            ("11/25", "has no such month as 25: write the day before the month, as in 25/11"),
            ("2026-25-11", "has no such month as 25: write the day before the month, as in 25/11"),
            ("5/0/2026", "has no such month as 0: write the day before the month"),
            ("12/99", "has no such month as 99: write the day before the month"),
            ("Nov 21", "begins with the month: write the day before the month"),
            ("november-21-2026", "begins with the month: write the day before the month"),
            ("21/11/1899", "is outside the years 1900 to 2100"),
            ("2101-01-01", "is outside the years 1900 to 2100"),
        ] {
            assert_eq!(refusal(typed), format!("date '{typed}' {reason}"));
        }
    }

    #[test]
    fn a_day_that_has_happened_is_not_after_today() {
        for typed in ["21/12/2026", "21 dec 26", "2026-12-21"] {
            assert_eq!(
                written(typed).resolve_past(today()).unwrap_err().to_string(),
                format!("date '{typed}' is 21 Dec 2026, after today (25 Nov 2026): write a day up to today")
            );
            assert_eq!(written(typed).resolve_any(today()), Ok(day(2026, 12, 21)));
        }
        assert!(written("tomorrow").resolve_past(today()).is_err());
        assert!(written("in 1 day").resolve_past(today()).is_err());
        assert_eq!(written("in 0 days").resolve_past(today()), Ok(today()));
    }

    #[test]
    fn a_day_that_may_lie_ahead_needs_its_year() {
        for (typed, expected) in [
            ("21/11/2027", day(2027, 11, 21)),
            ("21 nov 27", day(2027, 11, 21)),
            ("1/1/2020", day(2020, 1, 1)),
            ("today", today()),
            ("tomorrow", day(2026, 11, 26)),
            ("in 10 days", day(2026, 12, 5)),
            ("in 1 week", day(2026, 12, 2)),
            ("3 days ago", day(2026, 11, 22)),
        ] {
            assert_eq!(written(typed).resolve_ahead(today()), Ok(expected), "{typed:?}");
        }
        for typed in ["3/12", "3 Dec"] {
            assert_eq!(
                written(typed).resolve_ahead(today()).unwrap_err().to_string(),
                format!("date '{typed}' has no year: write the year too, as in 3/12/2026")
            );
        }
        assert!(written("fri").resolve_ahead(today()).is_err());
    }

    #[test]
    fn the_latest_leap_day_may_be_eight_years_back() {
        let leap_day = written("29/2");
        assert_eq!(leap_day.resolve_past(day(2024, 2, 29)), Ok(day(2024, 2, 29)));
        assert_eq!(leap_day.resolve_past(day(2024, 2, 28)), Ok(day(2020, 2, 29)));
        assert_eq!(leap_day.resolve_past(day(2104, 2, 28)), Ok(day(2096, 2, 29)));
        assert_eq!(
            leap_day.resolve_past(day(1904, 2, 28)).map_err(|e| e.to_string()),
            Err("date '29/2' is outside the years 1900 to 2100".to_owned())
        );
        assert_eq!(
            written("9999 weeks ago").resolve_any(today()).map_err(|e| e.to_string()),
            Err("date '9999 weeks ago' is outside the years 1900 to 2100".to_owned())
        );
        assert!(written("in 9999 weeks").resolve_ahead(NaiveDate::MAX).is_err());
    }

    #[test]
    fn what_was_typed_is_kept() {
        assert_eq!(written("  21  Nov ").text(), "21  Nov");
        assert_eq!(written("21/11").to_string(), "21/11");
    }

    #[test]
    fn dates_as_shown() {
        assert_eq!(long(day(2026, 11, 1)), "1 Nov 2026");
        assert_eq!(with_weekday(day(2026, 11, 21)), "Sat 21 Nov 2026");
    }

    #[test]
    fn months_later_are_clamped() {
        for (from, months, expected) in [
            (day(2026, 1, 31), 1, day(2026, 2, 28)),
            (day(2024, 1, 31), 1, day(2024, 2, 29)),
            (day(2024, 2, 29), 12, day(2025, 2, 28)),
            (day(2026, 11, 30), 3, day(2027, 2, 28)),
            (day(2026, 11, 25), 0, day(2026, 11, 25)),
            (NaiveDate::MAX, 1, NaiveDate::MAX),
        ] {
            assert_eq!(add_months_clamped(from, months), expected);
        }
    }

    #[test]
    fn days_are_counted_between() {
        assert_eq!(days_between(day(2024, 2, 28), day(2024, 3, 1)), 2);
        assert_eq!(days_between(day(2026, 3, 1), day(2026, 2, 28)), -1);
        assert_eq!(days_between(today(), today()), 0);
    }

    #[test]
    fn a_day_without_a_year_can_be_given_one() {
        for (typed, next) in [
            ("25/11", Some((2026, 11, 25))),
            ("24 Nov", Some((2027, 11, 24))),
            ("21/3", Some((2027, 3, 21))),
            ("29/2", Some((2028, 2, 29))),
            ("21/3/2027", None),
            ("today", None),
        ] {
            assert_eq!(written(typed).next_after(today()), next.map(|(y, m, d)| day(y, m, d)), "{typed}");
            assert_eq!(written(typed).has_no_year(), next.is_some(), "{typed}");
        }
        let refused = |typed| WrittenDay::refused_without_year(&written(typed).resolve_ahead(today()).unwrap_err());
        assert_eq!((refused("21/3"), refused("mon")), (Some(written("21/3")), None));
        assert_eq!(WrittenDay::refused_without_year(&ValueError::new("number of days", "1/4", "write days")), None);
        assert_eq!(written("21 Mar").with_year(" 2027 ").unwrap().text(), "21/3/2027");
        assert_eq!(written("21/3").with_year("27").unwrap().resolve_ahead(today()), Ok(day(2027, 3, 21)));
        for (year, refusal) in [
            ("next", "year 'next' is not understood: write its four digits, such as 2027"),
            ("227", "year '227' is not understood: write its four digits, such as 2027"),
            ("2027", "date '29/2/2027' is no day: February 2027 has 28 days"),
            ("1899", "date '29/2/1899' is outside the years 1900 to 2100"),
        ] {
            assert_eq!(written("29/2").with_year(year).unwrap_err().to_string(), refusal);
        }
    }
}

//! When a registration mark was issued, as its age identifier tells.
//!
//! Sources: DVLA leaflet INF104 for the current series; published tables of prefix and suffix
//! letters, checked row by row in `tests/published/marks.rs`.

use chrono::NaiveDate;

use crate::domain::days::month::Month;
use crate::domain::days::period::Period;
use crate::domain::value::mark::{Mark, MarkShape};

/// A year letter and the year and month from whose first day it was issued, up to the day
/// before the next letter's.
type Start = (char, i32, u32);

/// Every August; from 1999 every March and September.
const PREFIXES: [Start; 21] = [
    ('A', 1983, 8),
    ('B', 1984, 8),
    ('C', 1985, 8),
    ('D', 1986, 8),
    ('E', 1987, 8),
    ('F', 1988, 8),
    ('G', 1989, 8),
    ('H', 1990, 8),
    ('J', 1991, 8),
    ('K', 1992, 8),
    ('L', 1993, 8),
    ('M', 1994, 8),
    ('N', 1995, 8),
    ('P', 1996, 8),
    ('R', 1997, 8),
    ('S', 1998, 8),
    ('T', 1999, 3),
    ('V', 1999, 9),
    ('W', 2000, 3),
    ('X', 2000, 9),
    ('Y', 2001, 3),
];
/// The month the current series took over from the prefixes.
const PREFIXES_END: (i32, u32) = (2001, 9);

/// Every January, from 1967 every August. A was not used everywhere in 1963 and began in
/// February in the first counties, B likewise; C was the first that all had to use.
const SUFFIXES: [Start; 21] = [
    ('A', 1963, 1),
    ('B', 1964, 1),
    ('C', 1965, 1),
    ('D', 1966, 1),
    ('E', 1967, 1),
    ('F', 1967, 8),
    ('G', 1968, 8),
    ('H', 1969, 8),
    ('J', 1970, 8),
    ('K', 1971, 8),
    ('L', 1972, 8),
    ('M', 1973, 8),
    ('N', 1974, 8),
    ('P', 1975, 8),
    ('R', 1976, 8),
    ('S', 1977, 8),
    ('T', 1978, 8),
    ('V', 1979, 8),
    ('W', 1980, 8),
    ('X', 1981, 8),
    ('Y', 1982, 8),
];
/// The month the prefixes took over from the suffixes.
const SUFFIXES_END: (i32, u32) = (1983, 8);

/// The days on which a mark like this was first issued to a new car, or `None` for a shape
/// that tells no date.
pub fn issued(mark: &Mark) -> Option<Period> {
    let text = mark.as_str();
    match mark.shape() {
        MarkShape::Current => current(text.get(2..4)?.parse().ok()?),
        MarkShape::Prefix => by_letter(&PREFIXES, PREFIXES_END, text.chars().next()?),
        MarkShape::Suffix => by_letter(&SUFFIXES, SUFFIXES_END, text.chars().next_back()?),
        MarkShape::Dateless
        | MarkShape::NorthernIreland
        | MarkShape::Q
        | MarkShape::Diplomatic
        | MarkShape::Unknown => None,
    }
}

/// Whether the mark is newer than a car first registered that day, which it may not be: a
/// mark may make a car look older, never newer.
pub fn newer_than(mark: &Mark, first_registered: NaiveDate) -> bool {
    issued(mark).is_some_and(|period| period.from() > first_registered)
}

/// The current series: March to August carries the last two digits of the year, September to
/// February the same plus 50. So 51 is September 2001, and 00 will be September 2050.
fn current(age: i32) -> Option<Period> {
    match age {
        0 => half_year(2050, 9),
        2..=50 => half_year(2000 + age, 3),
        51..=99 => half_year(1950 + age, 9),
        _ => None,
    }
}

fn half_year(year: i32, month: u32) -> Option<Period> {
    let first = Month::new(year, month)?;
    let last = (1..6).fold(first, |month, _| month.next());
    Period::new(first.first_day(), last.last_day())
}

fn by_letter(starts: &[Start], end: (i32, u32), letter: char) -> Option<Period> {
    let position = starts.iter().position(|start| start.0 == letter)?;
    let (_, year, month) = *starts.get(position)?;
    let (next_year, next_month) = starts.get(position + 1).map_or(end, |next| (next.1, next.2));
    let last = Month::new(next_year, next_month)?.previous();
    Period::new(Month::new(year, month)?.first_day(), last.last_day())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::{issued, newer_than};
    use crate::domain::value::mark::Mark;
    use chrono::NaiveDate;

    fn mark(text: &str) -> Mark {
        text.parse().unwrap()
    }

    #[test]
    fn shapes_without_a_year_tell_no_date() {
        for text in ["ABC123", "1234AB", "AAZ1234", "Q123ABC", "123D456", "AB01CDE", "FOREIGN-1"] {
            assert_eq!(issued(&mark(text)), None, "{text}");
        }
    }

    #[test]
    fn the_half_years_meet_without_a_gap() {
        let ages = (2..=50).flat_map(|year| [year, (year + 50) % 100]);
        let periods: Vec<_> = ages.map(|age| issued(&mark(&format!("AB{age:02}CDE"))).unwrap()).collect();
        assert_eq!(periods.len(), 98);
        for pair in periods.windows(2) {
            assert_eq!(pair[0].to().succ_opt(), Some(pair[1].from()));
        }
    }

    #[test]
    fn a_mark_may_not_be_newer_than_its_car() {
        let day = |y, m, d| NaiveDate::from_ymd_opt(y, m, d).unwrap();
        for (text, registered, newer) in [
            ("AB74CDE", day(2019, 5, 10), true),
            ("AB74CDE", day(2024, 8, 31), true),
            ("AB74CDE", day(2024, 9, 1), false),
            ("AB02CDE", day(2019, 5, 10), false),
            ("Y1ABC", day(2001, 2, 28), true),
            ("Y1ABC", day(2001, 3, 1), false),
            ("ABC1A", day(1962, 12, 31), true),
            ("AAZ1234", day(1950, 1, 1), false),
            ("ABC123", day(1950, 1, 1), false),
            ("AB00CDE", day(2026, 11, 25), true),
        ] {
            assert_eq!(newer_than(&mark(text), registered), newer, "{text} on {registered}");
        }
    }
}

//! Business miles in the owner's own vehicle, and what the flat rate makes of them.

use crate::domain::law::rates::income_tax::{MILES_AT_FIRST_RATE, MileageRate};
use crate::domain::value::digits::number;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::fmt;
use std::iter::Sum;
use std::str::FromStr;

const WHAT: &str = "distance";
const ACCEPTED: &str = "write miles with at most one decimal, such as 12, 12.5 or 1,200";
/// More in one journey is a slip of the finger: three times round Great Britain.
const LONGEST_TYPED: i64 = 100_000;

/// A distance in tenths of a mile.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Distance(i64);

impl Distance {
    /// So many tenths of a mile.
    pub const fn from_tenths(tenths: i64) -> Self {
        Self(tenths)
    }

    /// In tenths of a mile.
    pub const fn tenths(self) -> i64 {
        self.0
    }

    /// In miles, exact.
    pub fn miles(self) -> Decimal {
        Decimal::new(self.0, 1)
    }

    /// What these miles of one tax year come to at `rate`, to the penny, half a penny away from zero.
    pub fn at_flat_rate(self, rate: &MileageRate) -> Pence {
        let first = self.0.min(MILES_AT_FIRST_RATE * 10);
        let tenths_of_pence = first * rate.first + (self.0 - first) * rate.after;
        Pence::from_pounds_rounded(Decimal::new(tenths_of_pence, 3))
    }
}

/// `12 miles`, `12.5 miles`, `1,200 miles`.
impl fmt::Display for Distance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let whole = Pence::new(self.0 / 10 * 100).grouped();
        let whole = whole.trim_end_matches(".00");
        let tenth = if self.0 % 10 == 0 { String::new() } else { format!(".{}", self.0 % 10) };
        let unit = if self.0 == 10 { "mile" } else { "miles" };
        f.pad(&format!("{whole}{tenth} {unit}"))
    }
}

/// Miles as typed: `12`, `12.5`, `1,200`; more than none and less than ten thousand.
impl FromStr for Distance {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let refused = || ValueError::new(WHAT, text, ACCEPTED);
        let digits = text.trim();
        let (whole, tenth) = digits.split_once('.').unwrap_or((digits, "0"));
        let plain = match whole.split_once(',') {
            Some((thousands, rest)) if rest.len() == 3 && !thousands.starts_with('0') => format!("{thousands}{rest}"),
            Some(_) => return Err(refused()),
            None => whole.to_owned(),
        };
        let (whole, tenth) = (number(&plain, 1..=6).ok_or_else(refused)?, number(tenth, 1..=1).ok_or_else(refused)?);
        match i64::from(whole) * 10 + i64::from(tenth) {
            0 => Err(ValueError::refused(WHAT, text, "is no distance: write more than nothing")),
            tenths if tenths >= LONGEST_TYPED => {
                Err(ValueError::refused(WHAT, text, "is too far: the most is 9,999.9 miles"))
            }
            tenths => Ok(Self(tenths)),
        }
    }
}

impl Sum for Distance {
    fn sum<I: Iterator<Item = Self>>(distances: I) -> Self {
        Self(distances.map(Self::tenths).sum())
    }
}

/// A journey of the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Journey {
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The day.
    pub on: NaiveDate,
    /// How far.
    pub distance: Distance,
    /// What for.
    pub purpose: String,
}

/// A tax year's journeys at the flat rate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mileage<'a> {
    /// The rate of the year.
    pub rate: MileageRate,
    /// How far they come to.
    pub distance: Distance,
    /// What they come to.
    pub amount: Pence,
    /// Each journey with its part of that, by day: the parts make the whole to the penny.
    pub journeys: Vec<(&'a Journey, Pence)>,
}

impl<'a> Mileage<'a> {
    /// The `journeys` of one tax year, in order of day, at the year's rate.
    pub fn from_journeys(journeys: &'a [Journey], rate: MileageRate) -> Self {
        let (mut distance, mut amount) = (Distance::default(), Pence::ZERO);
        let mut parts = Vec::new();
        for journey in journeys {
            distance = Distance(distance.0 + journey.distance.0);
            let so_far = distance.at_flat_rate(&rate);
            parts.push((journey, so_far - amount));
            amount = so_far;
        }
        Self { rate, distance, amount, journeys: parts }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const RATE: MileageRate = MileageRate { first: 45, after: 25, settled: true };

    #[test]
    fn miles_as_typed() {
        for (typed, tenths, shown) in [
            ("12", 120, "12 miles"),
            ("12.5", 125, "12.5 miles"),
            (" 1,200 ", 12_000, "1,200 miles"),
            ("1200.1", 12_001, "1,200.1 miles"),
            ("0.1", 1, "0.1 miles"),
            ("1", 10, "1 mile"),
            ("9,999.9", 99_999, "9,999.9 miles"),
        ] {
            let distance: Distance = typed.parse().unwrap();
            assert_eq!((distance.tenths(), distance.to_string().as_str()), (tenths, shown), "{typed}");
            let (figures, _) = shown.split_once(' ').unwrap();
            assert_eq!(figures.parse(), Ok(distance));
        }
        for typed in ["", "0", "0.0", "10000", "12.55", "-3", "+3", ".5", "5.", "1,20", "0,120", "1,2,000", "12mi", "١"]
        {
            assert!(typed.parse::<Distance>().is_err(), "{typed}");
        }
    }

    #[test]
    fn the_first_ten_thousand_miles_have_the_first_rate() {
        for (tenths, pence) in [
            (0, 0),
            (1, 5),  // 4.5p, half a penny away from zero
            (3, 14), // 13.5p
            (10, 45),
            (99_999, 449_996),
            (100_000, 450_000),
            (100_001, 450_003), // 2.5p more
            (100_010, 450_025),
        ] {
            assert_eq!(Distance(tenths).at_flat_rate(&RATE), Pence::new(pence), "{tenths}");
        }
    }

    #[test]
    fn the_parts_of_a_mileage_make_the_whole() {
        let journey = |tenths| Journey {
            entry: 1,
            on: NaiveDate::MIN,
            distance: Distance(tenths),
            purpose: "to the auction".into(),
        };
        let journeys = [1, 1, 1, 99_990, 77].map(journey);
        let mileage = Mileage::from_journeys(&journeys, RATE);
        assert_eq!(mileage.amount, Distance(100_070).at_flat_rate(&RATE));
        let parts: Vec<i64> = mileage.journeys.iter().map(|(_, part)| part.get()).collect();
        assert_eq!(parts[..3], [5, 4, 5]);
        assert_eq!(parts.iter().sum::<i64>(), mileage.amount.get());
    }
}

//! Time spent on a car, in whole minutes.

use std::fmt;
use std::iter::Sum;
use std::ops::Add;
use std::str::FromStr;

use rust_decimal::{Decimal, RoundingStrategy};

use crate::domain::value::digits::number;
use crate::domain::value::value_error::ValueError;

const WHAT: &str = "hours";
const ACCEPTED: &str = "write hours such as 2, 2.5, 2h30, 2:30 or 45m";
/// The most that may be typed at once, in minutes: a month of 31 days and nights.
const LONGEST_TYPED: u32 = 24 * 31 * 60;

/// Time worked, in whole minutes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hours(u32);

impl Hours {
    /// No time.
    pub const ZERO: Self = Self(0);

    /// So many minutes.
    pub const fn from_minutes(minutes: u32) -> Self {
        Self(minutes)
    }

    /// The number of minutes.
    pub const fn minutes(self) -> u32 {
        self.0
    }

    /// In hours to two decimals, half away from zero: 20 minutes are 0.33.
    pub fn to_decimal(self) -> Decimal {
        let mut hours = (Decimal::from(self.0) / Decimal::from(60))
            .round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
        hours.rescale(2);
        hours
    }
}

/// As it may be typed: `2h30`, `2h`, `45m`.
impl fmt::Display for Hours {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&match (self.0 / 60, self.0 % 60) {
            (0, minutes) => format!("{minutes}m"),
            (hours, 0) => format!("{hours}h"),
            (hours, minutes) => format!("{hours}h{minutes:02}"),
        })
    }
}

/// Time as typed: `2`, `2.5`, `2h`, `2h30`, `2h30m`, `2:30`, `45m`. More than nothing, and at
/// most 744 hours. Decimals (one or two) are rounded to the minute, half away from zero.
impl FromStr for Hours {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let word = text.trim().to_ascii_lowercase();
        let minutes = minutes_of(&word).ok_or_else(|| ValueError::new(WHAT, text, ACCEPTED))?;
        match minutes {
            0 => Err(ValueError::refused(WHAT, text, "is no time: write more than zero")),
            1..=LONGEST_TYPED => Ok(Self(minutes)),
            _ => Err(ValueError::refused(WHAT, text, "is too long: the most is 744 hours")),
        }
    }
}

fn minutes_of(word: &str) -> Option<u32> {
    if let Some((hours, minutes)) = word.split_once(':') {
        return clock(hours, minutes);
    }
    if let Some((hours, rest)) = word.split_once('h') {
        return if rest.is_empty() {
            digits(hours)?.checked_mul(60)
        } else {
            clock(hours, rest.strip_suffix('m').unwrap_or(rest))
        };
    }
    if let Some(minutes) = word.strip_suffix('m') {
        return digits(minutes);
    }
    let (hours, decimals) = word.split_once('.').unwrap_or((word, "0"));
    let hundredths = match decimals.len() {
        1 => digits(decimals)? * 10,
        2 => digits(decimals)?,
        _ => return None,
    };
    Some(digits(hours)?.checked_mul(60)? + (hundredths * 60 + 50) / 100)
}

/// Hours and two digits of minutes under sixty: `2:5` could mean 2:05 or 2:50.
fn clock(hours: &str, minutes: &str) -> Option<u32> {
    let past = digits(minutes).filter(|&past| minutes.len() == 2 && past < 60)?;
    digits(hours)?.checked_mul(60)?.checked_add(past)
}

/// One to five digits: enough for every allowed time, too few to overflow.
fn digits(text: &str) -> Option<u32> {
    number(text, 1..=5)
}

impl Add for Hours {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sum for Hours {
    fn sum<I: Iterator<Item = Self>>(times: I) -> Self {
        times.fold(Self::ZERO, Add::add)
    }
}

impl<'a> Sum<&'a Self> for Hours {
    fn sum<I: Iterator<Item = &'a Self>>(times: I) -> Self {
        times.copied().sum()
    }
}

#[cfg(test)]
mod tests {
    use super::Hours;

    #[test]
    fn hours_as_typed() {
        for (typed, minutes) in [
            ("2", 120),
            ("2.5", 150),
            ("0.5", 30),
            ("0.25", 15),
            ("1.33", 80),
            ("0.01", 1),
            ("2h30", 150),
            ("2H30M", 150),
            ("2:30", 150),
            ("0:05", 5),
            ("2h", 120),
            ("45m", 45),
            ("90m", 90),
            (" 3 ", 180),
            ("744", 44_640),
            ("44640m", 44_640),
        ] {
            assert_eq!(typed.parse(), Ok(Hours::from_minutes(minutes)), "{typed:?}");
        }
    }

    #[test]
    fn anything_else_is_refused() {
        for typed in [
            "", "h", "m", ":", "h30", "2h3", "2h60", "2:5", "2:60", "2:", ":30", "2.", ".5", "2.555", "-1", "+1",
            "1e2", "2hm", "2h30x", "2 30", "two", "٢", "2h1h", "999999", "2hours", "2.5h",
        ] {
            assert!(typed.parse::<Hours>().is_err_and(|e| e.to_string().contains("is not understood")), "{typed:?}");
        }
        for (typed, reason) in [
            ("0", "is no time"),
            ("0.00", "is no time"),
            ("0m", "is no time"),
            ("744.01", "is too long"),
            ("744h01", "is too long"),
            ("99999", "is too long"),
        ] {
            assert!(typed.parse::<Hours>().is_err_and(|e| e.to_string().contains(reason)), "{typed:?}");
        }
    }

    #[test]
    fn hours_as_shown() {
        for (minutes, shown, decimal) in [
            (0, "0m", "0.00"),
            (5, "5m", "0.08"),
            (45, "45m", "0.75"),
            (60, "1h", "1.00"),
            (150, "2h30", "2.50"),
            (125, "2h05", "2.08"),
            (20, "20m", "0.33"),
            (40, "40m", "0.67"),
            (6_001, "100h01", "100.02"),
        ] {
            let hours = Hours::from_minutes(minutes);
            assert_eq!(hours.to_string(), shown);
            assert_eq!(hours.to_decimal().to_string(), decimal);
        }
    }

    #[test]
    fn sums() {
        let times = [150, 45].map(Hours::from_minutes);
        assert_eq!(times.iter().sum::<Hours>(), Hours::from_minutes(195));
        assert_eq!(times.into_iter().sum::<Hours>().minutes(), 195);
        assert_eq!([Hours::ZERO; 0].iter().sum::<Hours>(), Hours::ZERO);
    }
}

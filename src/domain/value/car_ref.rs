//! How a car is named on a command line: by its stock number or its registration mark.

use std::fmt;
use std::str::FromStr;

use crate::domain::value::digits::are_digits;
use crate::domain::value::mark::Mark;
use crate::domain::value::value_error::ValueError;

const ACCEPTED: &str = "write a registration mark or a stock number, such as KX42 RTO or 7";

/// The number of a stay in stock, from 1, given in the order cars come in and never used
/// again.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct StockNo(u32);

impl StockNo {
    /// The stock number `number`, which counts from 1.
    pub const fn new(number: u32) -> Self {
        Self(number)
    }

    /// The number.
    pub const fn get(self) -> u32 {
        self.0
    }
}

impl fmt::Display for StockNo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0.to_string())
    }
}

/// `7` or `#7`; stock numbers start at 1.
impl FromStr for StockNo {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        const WHAT: &str = "stock number";
        let trimmed = text.trim();
        let digits = trimmed.strip_prefix('#').unwrap_or(trimmed);
        if !are_digits(digits) {
            return Err(ValueError::new(WHAT, text, "write its digits, such as 7"));
        }
        match digits.parse() {
            Ok(0) => Err(ValueError::refused(WHAT, text, "is too small: they start at 1")),
            Ok(number) => Ok(Self(number)),
            Err(_) => Err(ValueError::refused(
                WHAT,
                text,
                format!("is too large: write mark:{digits} if it is a registration mark"),
            )),
        }
    }
}

/// A car as typed.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CarRef {
    /// By the number of its stay in stock.
    StockNo(StockNo),
    /// By a mark it carries or carried.
    Mark(Mark),
}

/// As it may be typed, a mark of digits alone with `mark:` before it.
impl fmt::Display for CarRef {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::StockNo(number) => number.fmt(f),
            Self::Mark(mark) if mark.has_letter() => mark.fmt(f),
            Self::Mark(mark) => f.pad(&format!("mark:{mark}")),
        }
    }
}

/// Digits alone, or after `#`, are a stock number; anything else is a mark, also digits after
/// `mark:`.
impl FromStr for CarRef {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let trimmed = text.trim();
        if trimmed.is_empty() {
            Err(ValueError::new("car", text, ACCEPTED))
        } else if trimmed.starts_with('#') || are_digits(trimmed) {
            text.parse().map(Self::StockNo)
        } else {
            text.parse().map(Self::Mark)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{CarRef, StockNo};

    fn shown(typed: &str) -> Result<String, String> {
        match typed.parse() {
            Ok(CarRef::StockNo(number)) => Ok(format!("stock number {number}")),
            Ok(CarRef::Mark(mark)) => Ok(format!("mark {mark}")),
            Err(error) => Err(error.to_string()),
        }
    }

    #[test]
    fn digits_are_a_stock_number_and_the_rest_marks() {
        for (typed, meant) in [
            ("7", "stock number 7"),
            (" 007 ", "stock number 7"),
            ("#7", "stock number 7"),
            ("4294967295", "stock number 4294967295"),
            ("kx42 rto", "mark KX42 RTO"),
            ("1234ab", "mark 1234 AB"),
            ("mark:12345", "mark 12345"),
            ("Mark:kx42rto", "mark KX42 RTO"),
        ] {
            assert_eq!(shown(typed), Ok(meant.to_owned()), "{typed:?}");
        }
    }

    #[test]
    fn refusals_say_what_to_write() {
        for (typed, message) in [
            ("", "car '' is not understood: write a registration mark or a stock number, such as KX42 RTO or 7"),
            ("0", "stock number '0' is too small: they start at 1"),
            ("#", "stock number '#' is not understood: write its digits, such as 7"),
            ("#ab", "stock number '#ab' is not understood: write its digits, such as 7"),
            (
                "4294967296",
                "stock number '4294967296' is too large: write mark:4294967296 if it is a registration mark",
            ),
            ("ab/12", "mark 'ab/12' is not understood: write 1 to 13 letters, digits or hyphens, such as KX42 RTO"),
        ] {
            assert_eq!(shown(typed), Err(message.to_owned()));
        }
    }

    #[test]
    fn what_is_shown_can_be_typed() {
        for typed in ["7", "KX42 RTO", "mark:12345", "mark:1-2", "ABC 123A"] {
            assert_eq!(typed.parse().map(|car: CarRef| car.to_string()), Ok(typed.to_owned()));
        }
        assert_eq!("#12".parse(), Ok(CarRef::StockNo(StockNo::new(12))));
        assert_eq!(StockNo::new(12).get(), 12);
        assert!(StockNo::new(2) < StockNo::new(12));
    }
}

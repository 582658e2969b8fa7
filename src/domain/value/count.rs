//! A whole number between two bounds that are part of its type: how many days ahead, how many runs. What is
//! out of bounds is refused where it is typed, before any work begins.

use crate::domain::value::digits::grouped;
use crate::domain::value::value_error::ValueError;
use std::fmt;
use std::str::FromStr;

/// A whole number from `LEAST` to `MOST`, both among them; thousands commas are taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Count<const LEAST: u32, const MOST: u32>(u32);

/// Days ahead that something is looked for: ten years at most.
pub type DaysAhead = Count<0, 3_650>;

/// Cars a month: one a day is more than one person can buy and put right.
pub type CarsAMonth = Count<1, 31>;

/// Keys that come with a car.
pub type Keys = Count<0, 20>;

impl<const LEAST: u32, const MOST: u32> Count<LEAST, MOST> {
    /// The most it can be.
    pub const MOST: u32 = MOST;

    /// The number.
    pub const fn get(self) -> u32 {
        self.0
    }

    /// The number, as days are counted.
    pub fn days(self) -> i64 {
        self.0.into()
    }

    fn refused(typed: &str) -> ValueError {
        ValueError::new("number", typed, format!("write a whole number from {LEAST} to {}", grouped(MOST)))
    }
}

impl<const LEAST: u32, const MOST: u32> FromStr for Count<LEAST, MOST> {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        let word = typed.trim();
        let digits = word.replace(',', "");
        let number = digits.parse::<u32>().ok().filter(|_| digits.bytes().all(|byte| byte.is_ascii_digit()));
        // A comma anywhere but between thousands could be a decimal one: 1,5 is not 15.
        let well_written = number.is_some_and(|number| word == digits || word == grouped(number));
        number
            .filter(|number| well_written && (LEAST..=MOST).contains(number))
            .map(Self)
            .ok_or_else(|| Self::refused(typed))
    }
}

impl<const LEAST: u32, const MOST: u32> fmt::Display for Count<LEAST, MOST> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_count_stays_within_its_bounds() {
        type Runs = Count<1, 100_000>;
        let read = |typed: &str| typed.parse::<Runs>().map(Runs::get);
        assert_eq!(
            [read("1"), read(" 250 "), read("100000"), read("100,000")].map(Result::unwrap),
            [1, 250, 100_000, 100_000]
        );
        for wrong in ["", "0", "100001", "-1", "+1", "1.5", "1,5", "10,0000", "many", "99999999999999999999"] {
            let refused = read(wrong).unwrap_err().to_string();
            assert_eq!(refused, format!("number '{wrong}' is not understood: write a whole number from 1 to 100,000"));
        }
    }
}

//! A percentage as typed.

use crate::domain::value::digits::are_digits;
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;
use rust_decimal::Decimal;
use std::fmt;
use std::str::FromStr;

/// A percentage of the hammer price, 0 to 100 with at most two decimals.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct FeePercent(Decimal);

impl FeePercent {
    /// The percentage: 7.5 is 7.5 %.
    pub fn percent(self) -> Decimal {
        self.0
    }

    /// So much of a price, to the penny, half away from zero.
    pub fn of(self, price: Pence) -> Pence {
        Pence::from_pounds_rounded(price.to_pounds() * self.0 / Decimal::ONE_HUNDRED)
    }
}

/// As `7.5%`.
impl fmt::Display for FeePercent {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}%", self.0)
    }
}

/// As `5`, `7.5` or `7.5%`.
impl FromStr for FeePercent {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        let number = typed.trim();
        let number = number.strip_suffix('%').map_or(number, str::trim_end);
        let (whole, decimals) = number.split_once('.').unwrap_or((number, "0"));
        let plain = are_digits(whole) && are_digits(decimals) && decimals.len() <= 2;
        plain
            .then(|| number.parse::<Decimal>().ok())
            .flatten()
            .filter(|percent| *percent <= Decimal::ONE_HUNDRED)
            .map(|percent| Self(percent.normalize()))
            .ok_or_else(|| {
                ValueError::new("percentage", typed, "write 0 to 100 with at most two decimals, such as 7.5")
            })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percentages_as_typed() {
        for (typed, shown) in [("5", "5%"), ("7.50", "7.5%"), (" 7.25 % ", "7.25%"), ("100.00%", "100%"), ("0", "0%")] {
            assert_eq!(
                typed.parse::<FeePercent>().map(|percent| percent.to_string()),
                Ok(shown.to_owned()),
                "{typed:?}"
            );
        }
        for bad in ["", "%", "5%%", "+5", "1e1", "5.", ".5", "100.01", "99999999999999999999999999999999", "٥"] {
            assert!(bad.parse::<FeePercent>().is_err(), "{bad:?}");
        }
    }
}

//! What money is about, as typed: a car, or the word `overhead`; and the pairs joined by `=`.

use crate::domain::value::car_ref::CarRef;
use crate::domain::value::digits::grouped;
use crate::domain::value::mark::Mark;
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;
use rust_decimal::Decimal;
use std::fmt;
use std::str::FromStr;

/// A car or the yard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// A car.
    Car(CarRef),
    /// The yard.
    Overhead,
}

impl FromStr for Target {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        if typed.trim().eq_ignore_ascii_case("overhead") { Ok(Self::Overhead) } else { typed.parse().map(Self::Car) }
    }
}

/// One part of a split amount: `TARGET=AMOUNT`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SplitPart {
    /// Whose part.
    pub target: Target,
    /// How much.
    pub amount: Pence,
}

impl FromStr for SplitPart {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        let (target, amount) = typed.rsplit_once('=').ok_or_else(|| {
            ValueError::new("split", typed, "write a car or overhead, =, and an amount, such as 7=47.30 or overhead=15")
        })?;
        Ok(Self { target: target.parse()?, amount: Pence::parse_positive(amount)? })
    }
}

/// A car taken in as part payment: `MARK=ALLOWANCE`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TakenIn {
    /// Its mark.
    pub mark: Mark,
    /// What is allowed for it.
    pub allowance: Pence,
}

impl FromStr for TakenIn {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        let (mark, allowance) = typed.rsplit_once('=').ok_or_else(|| {
            ValueError::new("part-exchange", typed, "write a mark, =, and the allowance, such as KX42RTO=165")
        })?;
        Ok(Self { mark: mark.parse()?, allowance: allowance.parse()? })
    }
}

/// The mark of a car being bought, or `none` for a car without plates.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BoughtMark {
    /// It has plates.
    Mark(Mark),
    /// It has none; its VIN names it.
    None,
}

impl FromStr for BoughtMark {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        if typed.trim().eq_ignore_ascii_case("none") { Ok(Self::None) } else { typed.parse().map(Self::Mark) }
    }
}

/// An odometer reading in miles; thousands commas are taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Miles(pub u32);

impl Miles {
    /// No road vehicle's odometer has shown more.
    const MOST: u32 = 5_000_000;
}

/// With thousands commas: `82,000 miles`.
impl fmt::Display for Miles {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} miles", grouped(self.0))
    }
}

impl FromStr for Miles {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        let mut groups = typed.trim().split(',');
        // A comma anywhere but between thousands could be a decimal one: 82,5 is not 825.
        let well_written = groups.next().is_some_and(|first| !first.is_empty())
            && groups.clone().all(|group| group.len() == 3)
            && (groups.next().is_none() || typed.trim().find(',').is_some_and(|at| at <= 3));
        let digits = typed.trim().replace(',', "");
        match digits.parse::<u32>() {
            Ok(miles) if well_written && miles <= Self::MOST && digits.bytes().all(|byte| byte.is_ascii_digit()) => {
                Ok(Self(miles))
            }
            _ => Err(ValueError::new("mileage", typed, "write whole miles, such as 82000 or 82,000")),
        }
    }
}

/// A number that names something, such as an entry; a `#` in front is taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Whole(pub u32);

impl FromStr for Whole {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        let digits = typed.trim();
        let digits = digits.strip_prefix('#').unwrap_or(digits);
        match digits.parse::<u32>() {
            Ok(number) if digits.bytes().all(|byte| byte.is_ascii_digit()) => Ok(Self(number)),
            _ => Err(ValueError::new("number", typed, "write a whole number, such as 12")),
        }
    }
}

/// So many times what a car stands in at; more than nothing, two decimals at most.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Multiple(pub Decimal);

impl FromStr for Multiple {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        let digits = typed.trim();
        let plain = digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
        match digits.parse::<Decimal>() {
            Ok(times) if plain && times > Decimal::ZERO && times <= Decimal::ONE_HUNDRED && times.scale() <= 2 => {
                Ok(Self(times.normalize()))
            }
            _ => Err(ValueError::new("multiple", typed, "write a number up to 100, such as 2 or 1.75")),
        }
    }
}

/// A model year, four digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ModelYear(pub i32);

impl FromStr for ModelYear {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        match typed.trim().parse::<i32>() {
            Ok(year) if (1885..=2100).contains(&year) => Ok(Self(year)),
            _ => Err(ValueError::new("year", typed, "write four digits, such as 2012")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pairs_split_at_the_last_equals_sign() {
        let part: SplitPart = "KX42 RTO=£1,040.50".parse().unwrap();
        assert_eq!(part.amount, Pence::new(104_050));
        assert_eq!("overhead=15".parse::<SplitPart>().unwrap().target, Target::Overhead);
        for bad in ["7", "7=", "=40", "7=0", "7=-4", "7=1.234"] {
            assert!(bad.parse::<SplitPart>().is_err(), "{bad}");
        }
    }

    #[test]
    fn a_multiple_is_more_than_nothing() {
        assert_eq!("2.50".parse::<Multiple>().unwrap().0, Decimal::new(25, 1));
        for bad in ["", "0", "-2", "1.755", "2x", "1e1", "101", "."] {
            assert!(bad.parse::<Multiple>().is_err(), "{bad}");
        }
    }

    #[test]
    fn mileage_is_whole_miles() {
        let shown = [7, 820, 8_200, 1_082_000].map(|miles| Miles(miles).to_string());
        assert_eq!(shown, ["7 miles", "820 miles", "8,200 miles", "1,082,000 miles"]);
        assert_eq!("82,000".parse::<Miles>().unwrap(), Miles(82_000));
        for bad in ["", "-1", "82k", "82.5", "82,5", "8200,000", ",820", "82,", "+7", "99999999"] {
            assert!(bad.parse::<Miles>().is_err(), "{bad}");
        }
    }
}

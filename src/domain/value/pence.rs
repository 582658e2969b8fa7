//! Money: whole pence, exact, and how amounts are typed and shown.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};
use std::str::FromStr;

use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};

use crate::domain::value::digits::are_digits;
use crate::domain::value::value_error::ValueError;

const WHAT: &str = "amount";
const ACCEPTED: &str = "write pounds and pence with at most two decimals, such as 1250 or £1,250.50";
/// The largest amount that may be typed, £99,999,999.99: more is a slip of the finger.
const LARGEST_TYPED: i64 = 9_999_999_999;

/// An amount of money in whole pence, positive or negative.
///
/// Sums saturate at the limits of an `i64` (about £92 thousand million million) instead of
/// wrapping or panicking; with amounts typed below £100 million no book comes near them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Pence(i64);

impl Pence {
    /// No money.
    pub const ZERO: Self = Self(0);

    /// An amount of so many pence.
    pub const fn new(pence: i64) -> Self {
        Self(pence)
    }

    /// The number of pence.
    pub const fn get(self) -> i64 {
        self.0
    }

    /// Whether it is nothing at all.
    pub const fn is_zero(self) -> bool {
        self.0 == 0
    }

    /// Whether it is below zero.
    pub const fn is_negative(self) -> bool {
        self.0 < 0
    }

    /// Whether it is above zero.
    pub const fn is_positive(self) -> bool {
        self.0 > 0
    }

    /// The amount without its sign.
    #[must_use]
    pub const fn abs(self) -> Self {
        Self(self.0.saturating_abs())
    }

    /// The amount in pounds, exact, with two decimals.
    pub fn to_pounds(self) -> Decimal {
        Decimal::new(self.0, 2)
    }

    /// Pounds rounded to the penny, half away from zero.
    pub fn from_pounds_rounded(pounds: Decimal) -> Self {
        let limit = if pounds.is_sign_negative() { i64::MIN } else { i64::MAX };
        let pence = pounds
            .round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero)
            .checked_mul(Decimal::ONE_HUNDRED)
            .and_then(|pence| pence.to_i64());
        Self(pence.unwrap_or(limit))
    }

    /// As `1,250.50` or `-3.00`: for a column whose heading says pounds.
    pub fn grouped(self) -> String {
        format!("{}{}", self.sign(), self.unsigned(true))
    }

    /// As `1250.50` or `-3.00`: for machines.
    pub fn plain(self) -> String {
        format!("{}{}", self.sign(), self.unsigned(false))
    }

    /// An amount typed where nothing makes no sense: as [`FromStr`], but zero is refused.
    pub fn parse_positive(text: &str) -> Result<Self, ValueError> {
        let amount: Self = text.parse()?;
        if amount.is_zero() {
            return Err(ValueError::refused(WHAT, text, "is nothing: write more than zero"));
        }
        Ok(amount)
    }

    const fn sign(self) -> &'static str {
        if self.is_negative() { "-" } else { "" }
    }

    fn unsigned(self, commas: bool) -> String {
        let pence = self.0.unsigned_abs();
        let digits = (pence / 100).to_string();
        let mut pounds = String::with_capacity(digits.len() + digits.len() / 3);
        for (index, digit) in digits.chars().enumerate() {
            if commas && index > 0 && (digits.len() - index).is_multiple_of(3) {
                pounds.push(',');
            }
            pounds.push(digit);
        }
        format!("{pounds}.{:02}", pence % 100)
    }
}

/// For people: `£1,250.50`, `-£3.00`.
impl fmt::Display for Pence {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}£{}", self.sign(), self.unsigned(true)))
    }
}

/// An amount as typed: an optional `£`, pounds with correct thousands commas or none, and an
/// optional point with one or two decimals. Zero is allowed; a sign, an exponent, a third
/// decimal and anything over £99,999,999.99 are refused.
///
/// `.50` is refused too: in a book kept by hand the likelier slip is a lost first digit.
impl FromStr for Pence {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let trimmed = text.trim();
        let number = trimmed.strip_prefix('£').unwrap_or(trimmed);
        let (pounds, decimals) = match number.split_once('.') {
            Some((pounds, decimals)) => (pounds, Some(decimals)),
            None => (number, None),
        };
        let pence = decimals.map_or(Some(0), pence_of);
        let (Some(digits), Some(pence)) = (without_commas(pounds), pence) else {
            return Err(refusal(text, number));
        };
        digits
            .parse::<i64>()
            .ok()
            .and_then(|pounds| pounds.checked_mul(100)?.checked_add(pence))
            .filter(|pence| *pence <= LARGEST_TYPED)
            .map(Self)
            .ok_or_else(|| ValueError::refused(WHAT, text, "is too large: the most is £99,999,999.99"))
    }
}

/// The digits before the point, if any commas in them stand between thousands.
fn without_commas(pounds: &str) -> Option<String> {
    let Some((first, rest)) = pounds.split_once(',') else {
        return are_digits(pounds).then(|| pounds.to_owned());
    };
    // "0,250" or "12,50" is a decimal comma or a slip, and guessing would cost money.
    let fits = are_digits(first)
        && first.len() <= 3
        && !first.starts_with('0')
        && rest.split(',').all(|group| group.len() == 3 && are_digits(group));
    fits.then(|| pounds.replace(',', ""))
}

/// One or two decimals as pence: `5` is fifty.
fn pence_of(decimals: &str) -> Option<i64> {
    match *decimals.as_bytes() {
        [tens @ b'0'..=b'9'] => Some(i64::from(tens - b'0') * 10),
        [tens @ b'0'..=b'9', units @ b'0'..=b'9'] => Some(i64::from(tens - b'0') * 10 + i64::from(units - b'0')),
        _ => None,
    }
}

/// Names the reason an amount is refused, the most telling one first.
fn refusal(text: &str, number: &str) -> ValueError {
    const SIGNS: [char; 3] = ['-', '+', '\u{2212}'];
    let pounds = number.split('.').next().unwrap_or_default();
    if text.trim().starts_with(SIGNS) || number.starts_with(SIGNS) {
        ValueError::refused(WHAT, text, "has a sign: write the amount alone, such as 1250 or £1,250.50")
    } else if are_digits(&pounds.replace(',', "")) && without_commas(pounds).is_none() {
        ValueError::refused(WHAT, text, "has a comma in an odd place: commas stand between thousands, as in 1,250.50")
    } else if number.starts_with(|c: char| c.is_ascii_digit()) && number.contains(char::is_alphabetic) {
        ValueError::refused(WHAT, text, "has letters in it: write figures only, such as 1250 or £1,250.50")
    } else {
        ValueError::new(WHAT, text, ACCEPTED)
    }
}

impl Add for Pence {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}

impl Sub for Pence {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}

impl Neg for Pence {
    type Output = Self;
    fn neg(self) -> Self {
        Self(self.0.saturating_neg())
    }
}

impl Mul<i64> for Pence {
    type Output = Self;
    fn mul(self, times: i64) -> Self {
        Self(self.0.saturating_mul(times))
    }
}

impl AddAssign for Pence {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl SubAssign for Pence {
    fn sub_assign(&mut self, other: Self) {
        *self = *self - other;
    }
}

impl Sum for Pence {
    fn sum<I: Iterator<Item = Self>>(amounts: I) -> Self {
        amounts.fold(Self::ZERO, Add::add)
    }
}

impl<'a> Sum<&'a Self> for Pence {
    fn sum<I: Iterator<Item = &'a Self>>(amounts: I) -> Self {
        amounts.copied().sum()
    }
}

#[cfg(test)]
mod tests {
    use super::Pence;
    use rust_decimal::Decimal;

    #[test]
    fn amounts_as_typed() {
        for (typed, pence) in [
            ("1250", 125_000),
            ("1,250.50", 125_050),
            ("£1,250.50", 125_050),
            ("  £1,250.5 ", 125_050),
            ("0", 0),
            ("£0.00", 0),
            ("0.50", 50),
            ("0.05", 5),
            ("007", 700),
            ("999", 99_900),
            ("1,000", 100_000),
            ("12,345,678.90", 1_234_567_890),
            ("99,999,999.99", 9_999_999_999),
            ("99999999.99", 9_999_999_999),
        ] {
            assert_eq!(typed.parse(), Ok(Pence::new(pence)), "{typed:?}");
        }
    }

    #[test]
    fn refused_amounts_name_the_reason() {
        for (typed, reason) in [
            ("", "write pounds and pence"),
            ("£", "write pounds and pence"),
            ("12.345", "at most two decimals"),
            ("5.", "write pounds and pence"),
            (".50", "write pounds and pence"),
            ("1.2.3", "write pounds and pence"),
            ("££5", "write pounds and pence"),
            ("1 250", "write pounds and pence"),
            ("5£", "write pounds and pence"),
            ("$5", "write pounds and pence"),
            ("abc", "write pounds and pence"),
            ("١٢", "write pounds and pence"),
            ("-5", "has a sign"),
            ("+5", "has a sign"),
            ("£-5", "has a sign"),
            ("-£5", "has a sign"),
            ("\u{2212}5", "has a sign"),
            ("1e3", "has letters"),
            ("1.5e3", "has letters"),
            ("12k", "has letters"),
            ("250gbp", "has letters"),
            ("12,50", "comma in an odd place"),
            ("1,2345", "comma in an odd place"),
            ("1250,000", "comma in an odd place"),
            (",250", "comma in an odd place"),
            ("1,,250", "comma in an odd place"),
            ("0,250", "comma in an odd place"),
            ("1,250,", "comma in an odd place"),
            ("1.250,00", "write pounds and pence"),
            ("100,000,000", "too large"),
            ("99999999.999", "at most two decimals"),
            ("99999999999999999999999", "too large"),
            ("92233720368547758.08", "too large"),
        ] {
            let refused = typed.parse::<Pence>().map_err(|e| e.to_string());
            assert!(refused.as_ref().is_err_and(|message| message.contains(reason)), "{typed:?} gave {refused:?}");
        }
    }

    #[test]
    fn the_whole_message_reads_well() {
        assert_eq!(
            "12.345".parse::<Pence>().map_err(|e| e.to_string()),
            Err("amount '12.345' is not understood: write pounds and pence with at most two \
                 decimals, such as 1250 or £1,250.50"
                .to_owned())
        );
    }

    #[test]
    fn zero_is_refused_where_it_makes_no_sense() {
        assert_eq!(Pence::parse_positive("0.01"), Ok(Pence::new(1)));
        assert_eq!(
            Pence::parse_positive("£0.00").map_err(|e| e.to_string()),
            Err("amount '£0.00' is nothing: write more than zero".to_owned())
        );
        assert!(Pence::parse_positive("-1").is_err());
    }

    #[test]
    fn amounts_as_shown() {
        for (pence, people, grouped, plain) in [
            (0, "£0.00", "0.00", "0.00"),
            (5, "£0.05", "0.05", "0.05"),
            (-5, "-£0.05", "-0.05", "-0.05"),
            (-300, "-£3.00", "-3.00", "-3.00"),
            (99_999, "£999.99", "999.99", "999.99"),
            (100_000, "£1,000.00", "1,000.00", "1000.00"),
            (125_050, "£1,250.50", "1,250.50", "1250.50"),
            (-123_456_789, "-£1,234,567.89", "-1,234,567.89", "-1234567.89"),
            (i64::MIN, "-£92,233,720,368,547,758.08", "-92,233,720,368,547,758.08", "-92233720368547758.08"),
        ] {
            let amount = Pence::new(pence);
            assert_eq!(amount.to_string(), people);
            assert_eq!(amount.grouped(), grouped);
            assert_eq!(amount.plain(), plain);
        }
        assert_eq!(format!("{:>10}", Pence::new(500)), "     £5.00");
    }

    #[test]
    fn pounds_are_rounded_half_away_from_zero() {
        for (thousandths, pence) in [(5, 1), (4, 0), (-5, -1), (-4, 0), (15, 2), (25, 3), (-25, -3), (2_675, 268)] {
            let pounds = Decimal::new(thousandths, 3);
            assert_eq!(Pence::from_pounds_rounded(pounds), Pence::new(pence), "{pounds}");
        }
        // 0.00499… is less than half a penny however many nines follow.
        let just_under = Decimal::new(4_999_999_999_999_999, 18);
        assert_eq!(Pence::from_pounds_rounded(just_under), Pence::ZERO);
        assert_eq!(Pence::from_pounds_rounded(Decimal::MAX), Pence::new(i64::MAX));
        assert_eq!(Pence::from_pounds_rounded(Decimal::MIN), Pence::new(i64::MIN));
        assert_eq!(Pence::new(-12_345).to_pounds(), Decimal::new(-12_345, 2));
    }

    #[test]
    fn arithmetic_is_exact_and_never_wraps() {
        let (ten, three) = (Pence::new(10), Pence::new(3));
        assert_eq!(ten + three, Pence::new(13));
        assert_eq!(three - ten, Pence::new(-7));
        assert_eq!(-ten, Pence::new(-10));
        assert_eq!(three * -4, Pence::new(-12));
        assert_eq!((three - ten).abs(), Pence::new(7));
        let mut running = ten;
        running += three;
        running -= Pence::new(1);
        assert_eq!(running, Pence::new(12));
        assert_eq!([ten, three].iter().sum::<Pence>(), Pence::new(13));
        assert_eq!([ten, three].into_iter().sum::<Pence>(), Pence::new(13));
        assert_eq!(Pence::new(i64::MAX) + Pence::new(1), Pence::new(i64::MAX));
        assert_eq!(-Pence::new(i64::MIN), Pence::new(i64::MAX));
        assert!(Pence::ZERO.is_zero() && !Pence::ZERO.is_positive() && !Pence::ZERO.is_negative());
        assert!(three.is_positive() && (-three).is_negative());
    }
}

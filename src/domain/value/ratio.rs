//! Percentages, quotients and averages, and the one way they are rounded.
//!
//! Every function rounds once, at the end, half away from zero to two decimals, except
//! [`unrounded_percent_of`], whose results go on into an average. A figure that is held against a
//! mark is never rounded up to it ([`round2_against`]). A figure that cannot be computed is `None`,
//! never zero.

use rust_decimal::{Decimal, RoundingStrategy};

use crate::domain::value::pence::Pence;

/// `value` to two decimals, half away from zero; −0.00 becomes 0.00.
pub fn round2(value: Decimal) -> Decimal {
    let mut rounded = value.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
    if rounded.is_zero() {
        rounded.set_sign_positive(true);
    }
    rounded.rescale(2);
    rounded
}

/// As [`round2`] for a figure that is held against `marks`: one that falls short of a mark is never shown
/// as having reached it, but rounded down, to the side it is on.
pub fn round2_against(value: Decimal, marks: &[Decimal]) -> Decimal {
    let rounded = round2(value);
    if marks.iter().any(|mark| value < *mark && rounded >= *mark) {
        let mut short = value.round_dp_with_strategy(2, RoundingStrategy::ToNegativeInfinity);
        short.rescale(2);
        short
    } else {
        rounded
    }
}

/// `part` as a percentage of `whole`, to two decimals. `None` unless `whole` is above zero.
pub fn percent_of(part: Pence, whole: Pence) -> Option<Decimal> {
    unrounded_percent_of(part, whole).map(round2)
}

/// As [`percent_of`] before rounding, for an average over several.
pub fn unrounded_percent_of(part: Pence, whole: Pence) -> Option<Decimal> {
    unrounded_quotient(part, whole)?.checked_mul(Decimal::ONE_HUNDRED)
}

/// How many times `b` goes into `a`, to two decimals, held against `marks`. `None` unless `b` is above
/// zero.
pub fn quotient_against(a: Pence, b: Pence, marks: &[Decimal]) -> Option<Decimal> {
    unrounded_quotient(a, b).map(|quotient| round2_against(quotient, marks))
}

/// The sum of `values` over their number, to two decimals. `None` for no values.
pub fn mean(values: &[Decimal]) -> Option<Decimal> {
    let sum = values.iter().try_fold(Decimal::ZERO, |sum, value| sum.checked_add(*value))?;
    sum.checked_div(Decimal::from(values.len())).map(round2)
}

/// The middle of `values`, or the mean of the middle two, to two decimals. `None` for no
/// values.
pub fn median(values: &[Decimal]) -> Option<Decimal> {
    let mut sorted = values.to_vec();
    sorted.sort_unstable();
    let upper = sorted.len() / 2;
    if sorted.len().is_multiple_of(2) {
        mean(sorted.get(upper.checked_sub(1)?..=upper)?)
    } else {
        sorted.get(upper).copied().map(round2)
    }
}

fn unrounded_quotient(a: Pence, b: Pence) -> Option<Decimal> {
    if b.is_positive() { Decimal::from(a.get()).checked_div(Decimal::from(b.get())) } else { None }
}

#[cfg(test)]
mod tests {
    use super::{mean, median, percent_of, quotient_against, round2, round2_against, unrounded_percent_of};
    use crate::domain::value::pence::Pence;
    use rust_decimal::Decimal;

    fn decimals(hundredths: &[i64]) -> Vec<Decimal> {
        hundredths.iter().map(|&h| Decimal::new(h, 2)).collect()
    }

    #[test]
    fn rounding_is_half_away_from_zero_and_shows_two_decimals() {
        for (thousandths, shown) in [
            (0, "0.00"),
            (-4, "0.00"),
            (-5, "-0.01"),
            (5, "0.01"),
            (1_005, "1.01"),
            (2_675, "2.68"),
            (-2_675, "-2.68"),
            (50_000, "50.00"),
        ] {
            assert_eq!(round2(Decimal::new(thousandths, 3)).to_string(), shown);
        }
        assert_eq!(round2(Decimal::from(7)).to_string(), "7.00");
        assert_eq!(round2(-Decimal::ZERO).to_string(), "0.00");
    }

    #[test]
    fn a_figure_short_of_a_mark_is_not_rounded_up_to_it() {
        for (thousandths, marks, shown) in [
            (1_996, &[200][..], "1.99"),
            (1_995, &[200], "1.99"),
            (1_994, &[200], "1.99"),
            (2_000, &[200], "2.00"),
            // Past the mark it reads as past it, rounded as anything else.
            (2_004, &[200], "2.00"),
            (2_005, &[200], "2.01"),
            (1_796, &[200], "1.80"),
            (1_796, &[200, 180], "1.79"),
            (1_996, &[], "2.00"),
            (-1, &[0], "-0.01"),
            (99_996, &[10_000], "99.99"),
        ] {
            let marks: Vec<Decimal> = decimals(marks);
            assert_eq!(round2_against(Decimal::new(thousandths, 3), &marks).to_string(), shown, "{thousandths}");
        }
        // However little is wanting.
        assert_eq!(round2_against(Decimal::TWO - Decimal::new(1, 20), &[Decimal::TWO]).to_string(), "1.99");
    }

    #[test]
    fn percentages() {
        for (part, whole, shown) in [
            (43_490, 58_485, Some("74.36")),
            (1, 3, Some("33.33")),
            (2, 3, Some("66.67")),
            (-1, 8, Some("-12.50")),
            (1, 800, Some("0.13")),
            (-1, 800, Some("-0.13")),
            (-1, 100_000, Some("0.00")),
            (0, 5, Some("0.00")),
            (5, 0, None),
            (5, -5, None),
        ] {
            let percent = percent_of(Pence::new(part), Pence::new(whole)).map(|p| p.to_string());
            assert_eq!(percent.as_deref(), shown, "{part} of {whole}");
        }
        // The limits do not panic.
        assert!(percent_of(Pence::new(i64::MIN), Pence::new(1)).is_some());
    }

    #[test]
    fn a_mean_of_percentages_is_rounded_once() {
        // Thirds: rounded first they would give (33.33 + 66.67 + 33.33) / 3 = 44.443…
        let thirds: Vec<Decimal> = [(1, 3), (2, 3), (1, 3)]
            .into_iter()
            .filter_map(|(a, b)| unrounded_percent_of(Pence::new(a), Pence::new(b)))
            .collect();
        assert_eq!(mean(&thirds), Some(Decimal::new(4_444, 2)));
        let eighths: Vec<Decimal> = [(1, 800), (3, 800)]
            .into_iter()
            .filter_map(|(a, b)| unrounded_percent_of(Pence::new(a), Pence::new(b)))
            .collect();
        // 0.125 and 0.375 have the mean 0.25; rounded first, 0.13 and 0.38 would give 0.26.
        assert_eq!(mean(&eighths), Some(Decimal::new(25, 2)));
    }

    #[test]
    fn quotients() {
        let times = |a, b| quotient_against(Pence::new(a), Pence::new(b), &[]).map(|q| q.to_string());
        assert_eq!(times(101_975, 58_485).as_deref(), Some("1.74"));
        assert_eq!(times(200, 100).as_deref(), Some("2.00"));
        assert_eq!(times(-1, 200).as_deref(), Some("-0.01"));
        assert_eq!(times(1, 0), None);
        assert_eq!(times(1, -1), None);
    }

    #[test]
    fn averages() {
        assert_eq!(mean(&[]), None);
        assert_eq!(median(&[]), None);
        assert_eq!(mean(&decimals(&[100, 200, 201])), Some(Decimal::new(167, 2)));
        assert_eq!(median(&decimals(&[900, 100, 200])), Some(Decimal::new(200, 2)));
        assert_eq!(median(&decimals(&[900, 100, 200, 301])), Some(Decimal::new(251, 2)));
        assert_eq!(median(&decimals(&[-301, -200])), Some(Decimal::new(-251, 2)));
        assert_eq!(median(&decimals(&[700])), Some(Decimal::new(700, 2)));
        assert_eq!(mean(&[Decimal::MAX, Decimal::MAX]), None);
    }
}

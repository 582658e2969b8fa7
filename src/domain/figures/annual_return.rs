//! The annual return: internal rate of return of dated flows on a 365-day year.
//!
//! The rate r solves Σ amount ÷ (1 + r)^(days ÷ 365) = 0, as the spreadsheet function XIRR
//! does. XIRR names one root even where there are several or none; here each of those is
//! absent, with its reason.
//!
//! This is the one file of returns that uses `f64`: the equation has no closed form, its roots
//! are irrational, and powers with fractional exponents do not exist for decimals. Amounts enter
//! as whole pence, netted exactly per day; only the search is binary, and what it finds is shown
//! and never written to the book.
//!
//! The search runs over x = ln(1 + r), the growth in logs: it is unbounded both ways, so that a
//! near-total loss is as easy to find as a tenfold gain.

use std::collections::BTreeMap;
use std::fmt;

use chrono::NaiveDate;
use rust_decimal::Decimal;
use rust_decimal::prelude::FromPrimitive;

use crate::domain::value::pence::Pence;
use crate::domain::value::ratio::round2;

/// Money at work for fewer days than this and no annual return is shown: annualising a few days
/// predicts nothing.
pub const FEWEST_DAYS: i64 = 30;

/// A yearly rate above this, in per cent, is not shown: it says nothing about a year.
const GREATEST_PERCENT: Decimal = Decimal::ONE_THOUSAND;

/// Days in the year of the annual return, leap year or not: the XIRR convention.
const YEAR_DAYS: f64 = 365.0;

/// A root at which £1 would be less than a penny after a year is none: not a rate anybody could have
/// met. A cost after a sale always adds one: discounting so steep that the last few pounds outweigh
/// everything before them.
const NEAR_TOTAL_LOSS: f64 = 0.01;

/// The same bound in per cent, for a root that is alone.
const LEAST_PERCENT: Decimal = Decimal::from_parts(99, 0, 0, true, 0);

/// Money that moved on a day: negative out of the trader's pocket, positive into it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Flow {
    /// The day the money moved.
    pub on: NaiveDate,
    /// How much; money out is negative.
    pub amount: Pence,
}

/// Why a set of flows has no annual return.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoAnnualReturn {
    /// There is no flow, or the flows of every day cancel out.
    NoFlows,
    /// The money was at work for fewer than [`FEWEST_DAYS`].
    TooShort {
        /// For how many.
        days: i64,
    },
    /// The book does not go back twelve months from the end of the span.
    YoungBook,
    /// Money only went out, or only came in, once each day's flows are netted.
    OneSign,
    /// No rate makes the flows worth nothing together.
    NoRoot,
    /// More than one rate does.
    SeveralRoots,
    /// The one rate that does is over 1,000 % a year.
    TooLarge,
    /// The one rate that does is a loss of over 99 % a year.
    NearTotalLoss,
}

impl fmt::Display for NoAnnualReturn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::NoFlows => "no money moved, or each day's movements cancel out",
            Self::TooShort { .. } => "under 30 days: a yearly rate would predict nothing",
            Self::YoungBook => "under twelve months of book: a yearly rate would predict nothing",
            Self::OneSign => "money moved one way only: a rate needs money out and money back",
            Self::NoRoot => "no yearly rate fits these flows",
            Self::SeveralRoots => "more than one yearly rate fits these flows: none can be chosen",
            Self::TooLarge => "over 1,000 %: so high a rate says nothing about a year",
            Self::NearTotalLoss => "a loss of over 99 %: so low a rate says nothing about a year",
        })
    }
}

impl std::error::Error for NoAnnualReturn {}

/// The annual return in per cent, to two decimals, half away from zero, of money that was at work for
/// `days`: those a car was in stock, which nothing paid after its sale lengthens, or those counted of a
/// span.
///
/// Days under [`FEWEST_DAYS`] are the first reason given, before the flows are looked at: a car bought
/// and sold the same day is too short rather than "one way only".
pub fn annual_return(flows: &[Flow], days: i64) -> Result<Decimal, NoAnnualReturn> {
    if days < FEWEST_DAYS {
        return Err(NoAnnualReturn::TooShort { days });
    }
    // `from_f64` keeps the 15 digits that are sure, and rounding to nine decimals drops what the
    // search leaves behind (12.3449999999999), so that `round2`, half away from zero, meets a true
    // half where there is one.
    let percent = Decimal::from_f64(rate(flows)? * 100.0).map(|percent| percent.round_dp(9));
    match percent.filter(|percent| *percent <= GREATEST_PERCENT) {
        None => Err(NoAnnualReturn::TooLarge),
        Some(percent) if percent < LEAST_PERCENT => Err(NoAnnualReturn::NearTotalLoss),
        Some(percent) => Ok(round2(percent)),
    }
}

/// The rate of return per 365 days as a fraction (0.1 is 10 %), at least −1 and always finite.
///
/// Of several roots those near total loss are set aside; if one is left, it is
/// the rate. A single root is right to about 1e-12 of 1 + r; where the present value touches zero without
/// crossing it, to about 1e-7. Nothing bounds it here: two flows a day apart have a rate.
pub fn rate(flows: &[Flow]) -> Result<f64, NoAnnualReturn> {
    let days = netted(flows);
    if days.is_empty() {
        return Err(NoAnnualReturn::NoFlows);
    }
    let value = PresentValue::from_flows(&days);
    let sign_changes = value.sign_changes();
    if sign_changes == 0 {
        return Err(NoAnnualReturn::OneSign);
    }
    let (low, high) = value.bounds();
    // Descartes' rule of signs, which holds for real exponents too: no more roots than changes of
    // sign, and odd or even alike. One change is exactly one root; more have to be counted.
    let growth = if sign_changes == 1 {
        value.crossing(low, high)
    } else {
        let roots = value.roots(low, high);
        let credible: Vec<f64> = roots.iter().copied().filter(|growth| *growth >= NEAR_TOTAL_LOSS.ln()).collect();
        match (roots.as_slice(), credible.as_slice()) {
            ([], _) => return Err(NoAnnualReturn::NoRoot),
            ([only], _) | (_, [only]) => *only,
            _ => return Err(NoAnnualReturn::SeveralRoots),
        }
    };
    Some(growth.exp_m1()).filter(|rate| rate.is_finite()).ok_or(NoAnnualReturn::TooLarge)
}

/// Each day's flows added up, days that come to nothing left out.
fn netted(flows: &[Flow]) -> BTreeMap<NaiveDate, i128> {
    let mut days = BTreeMap::new();
    for flow in flows {
        *days.entry(flow.on).or_insert(0) += i128::from(flow.amount.get());
    }
    days.retain(|_, amount| *amount != 0);
    days
}

/// The present value of the flows as a function of x, the logarithm of a year's growth.
struct PresentValue {
    /// Years since the first flow, rising, and an amount that is never zero.
    terms: Vec<(f64, f64)>,
}

impl PresentValue {
    /// Present values nearer zero than this, as a part of the sum of the terms' sizes, are zero:
    /// above the noise of adding thousands of terms, below a penny in ten thousand million pounds.
    const TOUCHING: f64 = 1e-13;
    /// Roots nearer than this in x are one: they agree to six digits of 1 + r.
    const SAME_ROOT: f64 = 1e-6;
    /// Step of the count of roots in u, where x = sinh(u) ÷ years from first flow to last: even
    /// steps of a two-hundredth of the span's own scale near x = 0, half a per cent of x far out.
    const STEP: f64 = 0.005;

    #[expect(clippy::cast_precision_loss, reason = "days are few and pence are exact to ninety million million pounds")]
    fn from_flows(days: &BTreeMap<NaiveDate, i128>) -> Self {
        let first = days.keys().next();
        let terms = days.iter().map(|(day, amount)| {
            let since_first = first.map_or(0, |first| (*day - *first).num_days());
            (since_first as f64 / YEAR_DAYS, *amount as f64)
        });
        Self { terms: terms.collect() }
    }

    fn sign_changes(&self) -> usize {
        let changes = |pair: &&[(f64, f64)]| (pair[0].1 > 0.0) != (pair[1].1 > 0.0);
        self.terms.windows(2).filter(changes).count()
    }

    /// Years from first flow to last.
    fn years(&self) -> f64 {
        self.terms.last().map_or(0.0, |(years, _)| *years)
    }

    /// The present value at x as a part of the sum of its terms' sizes: −1 to 1. Discounted to
    /// the first flow where x is positive, grown to the last where it is negative, so that no
    /// exponential exceeds 1 and nothing overflows. The sign is that of the present value.
    fn at(&self, x: f64) -> f64 {
        let origin = if x > 0.0 { 0.0 } else { self.years() };
        let (mut sum, mut size) = (0.0, 0.0);
        for (years, amount) in &self.terms {
            let worth = amount * (x * (origin - years)).exp();
            sum += worth;
            size += worth.abs();
        }
        sum / size
    }

    /// A range of x that holds every root: above it the first flow outweighs all the others
    /// together, below it the last one does.
    fn bounds(&self) -> (f64, f64) {
        let total: f64 = self.terms.iter().map(|(_, amount)| amount.abs()).sum();
        let reach = |end: Option<&(f64, f64)>, next: Option<&(f64, f64)>| match (end, next) {
            (Some((at, amount)), Some((beside, _))) => {
                let others = (total - amount.abs()) / amount.abs();
                others.ln().max(0.0) / (beside - at).abs() + 1.0
            }
            _ => 1.0,
        };
        let low = reach(self.terms.last(), self.terms.iter().rev().nth(1));
        let high = reach(self.terms.first(), self.terms.get(1));
        (-low, high)
    }

    /// Where the present value changes sign between `low` and `high`. Two hundred halvings leave
    /// no number between the widest bounds, and less than 1e-50 about zero.
    fn crossing(&self, mut low: f64, mut high: f64) -> f64 {
        let positive_below = self.at(low) > 0.0;
        for _ in 0..200 {
            let middle = low.midpoint(high);
            if (self.at(middle) > 0.0) == positive_below {
                low = middle;
            } else {
                high = middle;
            }
        }
        low.midpoint(high)
    }

    /// Distinct roots between `low` and `high`, rising: a walk in steps of [`Self::STEP`] finds
    /// each change of sign, and each place where the value comes nearest to zero without one is
    /// looked into, so that neither two roots within a step nor a mere touch is missed. (Three
    /// within a step count as one.)
    fn roots(&self, low: f64, high: f64) -> Vec<f64> {
        let years = self.years();
        let mut roots = Vec::new();
        let (mut before, mut here) = ((low, self.at(low)), (low, self.at(low)));
        let mut u = (low * years).asinh();
        while here.0 < high {
            u += Self::STEP;
            let x = (u.sinh() / years).min(high);
            let next = (x, self.at(x));
            if (here.1 > 0.0) != (next.1 > 0.0) {
                roots.push(self.crossing(here.0, next.0));
            } else if (before.1 > 0.0) == (here.1 > 0.0)
                && here.1.abs() < before.1.abs()
                && here.1.abs() <= next.1.abs()
            {
                let nearest = self.nearest_to_zero(before.0, next.0);
                let value = self.at(nearest);
                if value.abs() <= Self::TOUCHING {
                    roots.push(nearest);
                } else if (value > 0.0) != (here.1 > 0.0) {
                    roots.push(self.crossing(before.0, nearest));
                    roots.push(self.crossing(nearest, next.0));
                }
            }
            (before, here) = (here, next);
        }
        roots.dedup_by(|later, earlier| *later - *earlier < Self::SAME_ROOT);
        roots
    }

    /// Where between `low` and `high`, which have values of one sign, the value is least in that
    /// sign's direction, by cutting off the worse third (a hundred cuts leave nothing between).
    fn nearest_to_zero(&self, mut low: f64, mut high: f64) -> f64 {
        let sign = self.at(low).signum();
        for _ in 0..100 {
            let third = (high - low) / 3.0;
            let (left, right) = (low + third, high - third);
            if sign * self.at(left) < sign * self.at(right) {
                high = right;
            } else {
                low = left;
            }
        }
        low.midpoint(high)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flows(list: &[(i64, i64)]) -> Vec<Flow> {
        let start = NaiveDate::from_ymd_opt(2026, 3, 2).unwrap();
        list.iter()
            .map(|&(day, pence)| Flow { on: start + chrono::TimeDelta::days(day), amount: Pence::new(pence) })
            .collect()
    }

    #[test]
    fn a_percentage_to_two_decimals_half_away_from_zero() {
        for (list, percent) in [
            (&[(0, -100_000), (365, 110_000)][..], "10.00"),
            (&[(0, -100_000), (365, 112_345)], "12.35"),
            (&[(0, -100_000), (365, 87_655)], "-12.35"),
            (&[(0, -1_000_000), (365, 999_999)], "0.00"),
            (&[(0, -100_000), (365, 100_000)], "0.00"),
            // The bounds themselves are shown: tenfold more, and one per cent left.
            (&[(0, -45_500), (365, 500_500)], "1000.00"),
            (&[(0, -45_500), (365, 455)], "-99.00"),
            // Bought in two goes, sold for the sum: the same day's flows are one.
            (&[(0, -35_000), (0, -65_000), (365, 52_000), (365, 58_000)], "10.00"),
            // The order of the list is no matter.
            (&[(365, 110_000), (0, -100_000)], "10.00"),
            // 1.5^(365 ÷ 73) = 1.5^5 = 7.59375
            (&[(0, -58_000), (73, 87_000)], "659.38"),
            // (5 ÷ 9)^(365 ÷ 73) = 3125 ÷ 59049: a loss that Newton's method loses its way in.
            (&[(0, -99_000), (73, 55_000)], "-94.71"),
        ] {
            let result = annual_return(&flows(list), 30).map(|found| found.to_string());
            assert_eq!(result.as_deref(), Ok(percent), "{list:?}");
        }
    }

    #[test]
    fn beyond_the_bounds_a_yearly_rate_is_absent_and_says_why() {
        for (list, why) in [
            (&[(0, -45_500), (365, 500_546)][..], NoAnnualReturn::TooLarge),
            (&[(0, -45_500), (365, 454)], NoAnnualReturn::NearTotalLoss),
            (&[(0, -1_000_000_000), (365, 100_000)], NoAnnualReturn::NearTotalLoss),
            // A car of £520 sold after 12 days for £610, with £20 of goodwill after a month.
            (&[(0, -52_000), (12, 61_000), (42, -2_000)], NoAnnualReturn::TooLarge),
        ] {
            assert_eq!(annual_return(&flows(list), 30), Err(why), "{list:?}");
        }
    }

    #[test]
    fn thirty_days_at_work_are_long_enough_and_twenty_nine_are_not() {
        // What was paid long after does not lengthen them.
        let list = flows(&[(0, -90_000), (29, 91_000), (60, -100)]);
        assert!(annual_return(&list, 30).is_ok());
        assert_eq!(annual_return(&list, 29), Err(NoAnnualReturn::TooShort { days: 29 }));
        assert!(rate(&list).is_ok());
    }

    #[test]
    fn what_has_no_rate_says_why() {
        for (list, why) in [
            (&[][..], NoAnnualReturn::NoFlows),
            (&[(0, -500), (0, 500)], NoAnnualReturn::NoFlows),
            (&[(0, 0)], NoAnnualReturn::NoFlows),
            (&[(0, -84_000), (40, -500)], NoAnnualReturn::OneSign),
            (&[(0, 84_000), (40, 500)], NoAnnualReturn::OneSign),
            (&[(0, -84_000), (0, 141_500)], NoAnnualReturn::OneSign),
            // 100 − 200 v + 101 v² has no real root.
            (&[(0, 10_000), (365, -20_000), (730, 10_100)], NoAnnualReturn::NoRoot),
            (&[(0, 10_000), (365, -23_000), (730, 13_200)], NoAnnualReturn::SeveralRoots),
            (&[(0, -10_000), (365, 23_000), (730, -13_200)], NoAnnualReturn::SeveralRoots),
            // A penny that is ten million million pounds the next day.
            (&[(0, -1), (1, 1_000_000_000_000_000)], NoAnnualReturn::TooLarge),
        ] {
            assert_eq!(rate(&flows(list)), Err(why), "{list:?}");
        }
        assert_eq!(annual_return(&flows(&[(0, -84_000), (0, 141_500)]), 0), Err(NoAnnualReturn::TooShort { days: 0 }));
    }

    #[test]
    fn many_changes_of_sign_may_still_leave_one_rate() {
        // Out 1,000, back 620, out 100, back 730 (yearly): three changes, one root.
        let list = flows(&[(0, -100_000), (365, 62_000), (730, -10_000), (1095, 73_000)]);
        let growth = 1.0 + rate(&list).unwrap();
        let worth = -1000.0 + 620.0 / growth - 100.0 / growth.powi(2) + 730.0 / growth.powi(3);
        assert!(worth.abs() < 1e-9, "{worth}");
    }

    #[test]
    fn roots_are_told_apart_however_close_and_a_touch_is_one() {
        // Roots at 10 % and 10.1 %: (1.1 − g)(1.101 − g) × 10⁸
        let close = [(0, 100_000_000), (365, -220_100_000), (730, 121_110_000)];
        assert_eq!(rate(&flows(&close)), Err(NoAnnualReturn::SeveralRoots));
        // A double root at 10 %: (1.1 − g)²
        let touching = rate(&flows(&[(0, 10_000), (365, -22_000), (730, 12_100)])).unwrap();
        assert!((touching - 0.1).abs() < 1e-6, "{touching}");
        // Three, at 10 %, 20 % and 30 %: (g − 1.1)(g − 1.2)(g − 1.3) × 10⁶
        let three = [(0, 1_000_000), (365, -3_600_000), (730, 4_310_000), (1095, -1_716_000)];
        assert_eq!(rate(&flows(&three)), Err(NoAnnualReturn::SeveralRoots));
    }

    #[test]
    fn a_touch_that_the_walk_steps_on_is_one_root() {
        // There the noise of the arithmetic decides the sign, so that two changes of it may be seen.
        for growth in 101..=160_i32 {
            let pence = i64::from(growth);
            let list = flows(&[(0, 10_000), (365, -200 * pence), (730, pence * pence)]);
            let value = PresentValue::from_flows(&netted(&list));
            let root = (f64::from(growth) / 100.0).ln();
            let a_step_before = ((root * 2.0).asinh() - PresentValue::STEP).sinh() / 2.0;
            assert_eq!(value.roots(a_step_before, 2.0).len(), 1, "{growth}");
        }
    }

    #[test]
    fn the_second_root_of_a_cost_after_the_sale_is_set_aside() {
        // The last flow decides the sign as growth goes to nothing, so a plain car with a £45
        // repair after its sale has a second root near −100 %; a rate of 14.25 (found by halving
        // in another language) is the one meant.
        let car = flows(&[(0, -84_000), (5, -19_000), (40, 141_500), (70, -4_500)]);
        let (low, high) = PresentValue::from_flows(&netted(&car)).bounds();
        assert_eq!(PresentValue::from_flows(&netted(&car)).roots(low, high).len(), 2);
        assert!((rate(&car).unwrap() - 14.252_518_92).abs() < 1e-6, "{:?}", rate(&car));
    }

    #[test]
    fn near_total_loss_and_great_sums_stay_finite() {
        let lost = rate(&flows(&[(0, -84_000), (365, 1)])).unwrap();
        assert!((lost - (1.0 / 84_000.0 - 1.0)).abs() < 1e-12, "{lost}");
        let lost_fast = rate(&flows(&[(0, -84_000), (1, 1)])).unwrap();
        assert!((-1.0..-0.999_999).contains(&lost_fast), "{lost_fast}");
        let great = [(0, -i64::MAX), (0, -i64::MAX), (365, i64::MAX), (365, i64::MAX)];
        let great = rate(&flows(&great)).unwrap();
        assert!(great.abs() < 1e-12, "{great}");
        let century = rate(&flows(&[(0, -100), (36_500, 200)])).unwrap();
        assert!((century - (2f64.powf(0.01) - 1.0)).abs() < 1e-12, "{century}");
    }
}

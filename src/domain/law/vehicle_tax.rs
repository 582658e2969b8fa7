//! Vehicle tax (vehicle excise duty): how long it runs, what it costs, what comes back, and when a
//! car is declared off the road.
//!
//! It never passes with a car: a car bought in starts untaxed, whatever the seller had. Rates are
//! not kept here; the yearly rate is what the trader says it is.

use std::fmt;
use std::str::FromStr;

use chrono::{Days, NaiveDate};
use rust_decimal::{Decimal, RoundingStrategy};

use crate::domain::days::day::add_months_clamped;
use crate::domain::days::month::Month;
use crate::domain::law::rate_table::{Listed, RateTable};
use crate::domain::law::rates::{Dated, day};
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;

/// A six-month licence is to be had only where a year costs more than this.
const LEAST_FOR_SIX_MONTHS: Pence = Pence::new(5_000);
/// What six months cost, in per cent of a year's rate.
const SIX_MONTHS_PERCENT: Decimal = Decimal::from_parts(55, 0, 0, false, 0);
/// The figures above, as they are listed.
pub const TABLES: &[&dyn Listed] = &[
    &RateTable::fixed(
        "tax-six-months-above",
        "yearly vehicle tax above which six months can be had",
        &[Dated { from: day(1994, 9, 1), value: LEAST_FOR_SIX_MONTHS, source: SIX_MONTHS_SOURCE }],
    ),
    &RateTable::fixed(
        "tax-six-months",
        "six months of vehicle tax, of a year's",
        &[Dated { from: day(1994, 9, 1), value: SIX_MONTHS_PERCENT, source: SIX_MONTHS_SOURCE }],
    ),
];
const SIX_MONTHS_SOURCE: &str = "Vehicle Excise and Registration Act 1994 ss.3 and 4; the day it began is from memory";
/// How long to wait for a refund before asking after it.
const REFUND_WITHIN: Days = Days::new(8 * 7);

/// How long tax is bought for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TaxMonths {
    /// Half a year.
    Six,
    /// A year.
    Twelve,
}

impl TaxMonths {
    /// The number of months.
    pub const fn number(self) -> u32 {
        match self {
            Self::Six => 6,
            Self::Twelve => 12,
        }
    }
}

impl fmt::Display for TaxMonths {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.number(), f)
    }
}

impl FromStr for TaxMonths {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        match typed.trim() {
            "6" => Ok(Self::Six),
            "12" => Ok(Self::Twelve),
            _ => Err(ValueError::new("months of tax", typed, "write 6 or 12")),
        }
    }
}

/// The first day of tax taken out on `on` to start with `from`: the first of that month, for tax runs from
/// the beginning of the month in which it first has effect, however late in it the tax is taken out. None
/// where that is a month before: tax cannot be backdated.
///
/// Source: Vehicle Excise and Registration Act 1994 s.3.
pub fn first_day(from: NaiveDate, on: NaiveDate) -> Option<NaiveDate> {
    (Month::containing(from) >= Month::containing(on)).then(|| Month::containing(from).first_day())
}

/// The last day of tax bought from a day: always the last of a month, because it runs from the
/// first of the month in which it starts, however late in the month that is.
///
/// Source: Vehicle Excise and Registration Act 1994 s.3.
pub fn last_day(start: NaiveDate, months: TaxMonths) -> NaiveDate {
    let after = add_months_clamped(Month::containing(start).first_day(), months.number());
    after.pred_opt().unwrap_or(after)
}

/// What tax costs, paid at once: the yearly rate, or 55 % of it for six months, rounded half up to
/// the penny. None where six months are not to be had, the rate being £50 a year or less.
///
/// Paid by direct debit it differs: 52.5 % for six months, 105 % for a year in monthly parts.
///
/// Source: Vehicle Excise and Registration Act 1994 ss.3 and 4, as amended by Finance Act 2014
/// s.89.
pub fn price(annual_rate: Pence, months: TaxMonths) -> Option<Pence> {
    match months {
        TaxMonths::Twelve => Some(annual_rate),
        TaxMonths::Six if annual_rate > LEAST_FOR_SIX_MONTHS => {
            Some(Pence::from_pounds_rounded(annual_rate.to_pounds() * SIX_MONTHS_PERCENT / Decimal::ONE_HUNDRED))
        }
        TaxMonths::Six => None,
    }
}

/// The yearly rate that a price paid at once comes from: itself, or for six months divided by 55 %
/// and rounded half away from zero to the pound, for published
/// yearly rates are whole pounds.
pub fn annual_rate_from(paid: Pence, months: TaxMonths) -> Pence {
    match months {
        TaxMonths::Twelve => paid,
        TaxMonths::Six => {
            let pounds = (paid.to_pounds() * Decimal::ONE_HUNDRED / SIX_MONTHS_PERCENT)
                .round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero);
            Pence::from_pounds_rounded(pounds)
        }
    }
}

/// The whole months of tax left after the month in which the DVLA is told, up to its last day.
/// The month of the notice is lost even when it is given on the first.
///
/// Source: Vehicle Excise and Registration Act 1994 s.19; "Cancel your vehicle tax and get a
/// refund", GOV.UK.
pub fn complete_months_left(until: NaiveDate, notice_on: NaiveDate) -> u32 {
    let number = |month: Month| i64::from(month.year()) * 12 + i64::from(month.number());
    // The month of the day after the tax is the first that is not whole.
    let not_whole = Month::containing(until.succ_opt().unwrap_or(until));
    u32::try_from(number(not_whole) - number(Month::containing(notice_on).next())).unwrap_or(0)
}

/// What comes back when tax ends early: a twelfth of the yearly rate for each whole month left,
/// rounded once to the penny, half away from zero.
///
/// How the DVLA rounds is not published, so a refund may differ by a penny. The fee for a card and
/// the surcharges on six months and on monthly parts do not come back, and nor does anything of
/// the month of the notice.
///
/// Source: Vehicle Excise and Registration Act 1994 s.19.
pub fn refund(annual_rate: Pence, until: NaiveDate, notice_on: NaiveDate) -> Pence {
    let twelfths = Decimal::from(complete_months_left(until, notice_on));
    Pence::from_pounds_rounded(annual_rate.to_pounds() * twelfths / Decimal::from(12))
}

/// The day by which a refund should have come: eight weeks after the notice. Older guidance says
/// six.
///
/// Source: "Cancel your vehicle tax and get a refund", GOV.UK.
pub fn refund_expected_by(notice_on: NaiveDate) -> NaiveDate {
    notice_on.checked_add_days(REFUND_WITHIN).unwrap_or(NaiveDate::MAX)
}

/// The day from which a statutory off-road notification (SORN) holds: at once, unless it is made
/// in the very month the tax runs out and the tax still runs; then the first of the next month.
///
/// Source: "When you need to make a SORN", GOV.UK.
pub fn sorn_starts(applied_on: NaiveDate, tax_until: Option<NaiveDate>) -> NaiveDate {
    let month = Month::containing(applied_on);
    match tax_until {
        Some(until) if until >= applied_on && Month::containing(until) == month => month.next().first_day(),
        _ => applied_on,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn tax_runs_from_the_first_of_its_month_to_the_end_of_one() {
        for (start, months, last) in [
            ("2026-11-01", TaxMonths::Twelve, "2027-10-31"),
            ("2026-11-28", TaxMonths::Twelve, "2027-10-31"),
            ("2026-03-31", TaxMonths::Twelve, "2027-02-28"),
            ("2027-03-31", TaxMonths::Twelve, "2028-02-29"),
            ("2026-09-15", TaxMonths::Six, "2027-02-28"),
            ("2026-08-31", TaxMonths::Six, "2027-01-31"),
            ("2026-01-01", TaxMonths::Six, "2026-06-30"),
        ] {
            assert_eq!(last_day(day(start), months), day(last), "{start}");
        }
    }

    #[test]
    fn six_months_cost_55_per_cent_where_they_are_to_be_had() {
        for (annual, six) in [
            (19_500, Some(10_725)),
            (5_000, None),
            (5_001, Some(2_751)),
            // 55 % of £50.10 is £27.555: half a penny goes up.
            (5_010, Some(2_756)),
            (3_500, None),
            (0, None),
        ] {
            assert_eq!(price(Pence::new(annual), TaxMonths::Six), six.map(Pence::new), "{annual}");
            assert_eq!(price(Pence::new(annual), TaxMonths::Twelve), Some(Pence::new(annual)));
        }
    }

    #[test]
    fn the_month_of_the_notice_is_lost() {
        for (until, notice_on, left) in [
            ("2027-10-31", "2026-11-01", 11),
            ("2027-10-31", "2026-11-30", 11),
            ("2027-10-31", "2027-09-30", 1),
            ("2027-10-31", "2027-10-01", 0),
            ("2027-10-31", "2027-11-01", 0),
            ("2027-10-31", "2030-01-01", 0),
            // A month not taxed to its end is not a whole one.
            ("2027-10-30", "2027-08-15", 1),
        ] {
            assert_eq!(complete_months_left(day(until), day(notice_on)), left, "{until} {notice_on}");
        }
    }

    #[test]
    fn a_refund_is_rounded_once_half_away_from_zero() {
        let refund = |annual, notice_on: &str| refund(Pence::new(annual), day("2026-12-31"), day(notice_on)).get();
        assert_eq!(refund(19_500, "2026-05-20"), 11_375);
        assert_eq!(refund(19_500, "2026-12-01"), 0);
        // £220 in twelfths: 18.333, 36.667, 55.00; a rounded twelfth times two would be £36.66.
        let in_month = ["2026-11-10", "2026-10-10", "2026-09-10"].map(|notice_on| refund(22_000, notice_on));
        assert_eq!(in_month, [1_833, 3_667, 5_500]);
        // £18.06 a year is 150.5p a month.
        assert_eq!(refund(1_806, "2026-11-10"), 151);
    }

    #[test]
    fn sorn_waits_only_for_tax_that_ends_this_month() {
        for (applied_on, until, starts) in [
            ("2026-11-10", None, "2026-11-10"),
            ("2026-11-10", Some("2026-10-31"), "2026-11-10"),
            ("2026-11-10", Some("2026-11-30"), "2026-12-01"),
            ("2026-11-30", Some("2026-11-30"), "2026-12-01"),
            ("2026-12-05", Some("2026-12-31"), "2027-01-01"),
            ("2026-11-10", Some("2026-12-31"), "2026-11-10"),
            ("2026-11-10", Some("2027-11-30"), "2026-11-10"),
            ("2026-11-10", Some("2026-11-09"), "2026-11-10"),
        ] {
            assert_eq!(sorn_starts(day(applied_on), until.map(day)), day(starts), "{applied_on} {until:?}");
        }
    }

    #[test]
    fn a_refund_is_waited_for_eight_weeks() {
        assert_eq!(refund_expected_by(day("2026-11-21")), day("2027-01-16"));
    }

    #[test]
    fn six_and_twelve_read_back_and_nothing_else() {
        for months in [TaxMonths::Six, TaxMonths::Twelve] {
            assert_eq!(months.to_string().parse(), Ok(months));
        }
        for typed in ["", "0", "06", "7", "twelve", "6 months"] {
            let refusal = typed.parse::<TaxMonths>().unwrap_err().to_string();
            assert_eq!(refusal, format!("months of tax '{typed}' is not understood: write 6 or 12"));
        }
    }
}

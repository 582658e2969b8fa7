//! Annual returns against published examples.
//!
//! Each case names title, publisher and address. *Seen* was read there; *derived* was worked out
//! from inputs or a formula read there; *from memory* was not seen.

use chrono::{NaiveDate, TimeDelta};
use runabout::domain::figures::annual_return::{Flow, NoAnnualReturn, annual_return, rate};
use runabout::domain::figures::stock_ratios::return_pct;
use runabout::domain::value::pence::Pence;

/// Days at work long enough for a yearly rate: the examples are of the rate alone.
const A_YEAR: i64 = 365;

/// A flow in whole pounds on a day.
fn flow((year, month, day): (i32, u32, u32), pounds: i64) -> Flow {
    Flow { on: NaiveDate::from_ymd_opt(year, month, day).unwrap_or_default(), amount: Pence::new(pounds * 100) }
}

/// Flows in pence, each some days after the first of January 2025.
fn after(list: &[(i64, i64)]) -> Vec<Flow> {
    let start = NaiveDate::from_ymd_opt(2025, 1, 1).unwrap_or_default();
    list.iter().map(|&(days, pence)| Flow { on: start + TimeDelta::days(days), amount: Pence::new(pence) }).collect()
}

#[track_caller]
fn assert_rate(flows: &[Flow], expected: f64, tolerance: f64) {
    let found = rate(flows);
    assert!(found.is_ok_and(|found| (found - expected).abs() <= tolerance), "{found:?} is not {expected}");
}

#[track_caller]
fn assert_percent(flows: &[Flow], expected: &str) {
    let found = annual_return(flows, A_YEAR).map(|found| found.to_string());
    assert_eq!(found.as_deref(), Ok(expected));
}

/// XIRR function, Microsoft, support.microsoft.com (the XIRR function page, read in its zh-cn
/// copy): prints 0.373362535. Seen; the exact root, 0.3733625335, derived (the spreadsheet
/// stops its search early, hence the tolerance).
#[test]
fn microsoft_xirr_example() {
    let flows = [
        flow((2008, 1, 1), -10_000),
        flow((2008, 3, 1), 2_750),
        flow((2008, 10, 30), 4_250),
        flow((2009, 2, 15), 3_250),
        flow((2009, 4, 1), 2_750),
    ];
    assert_rate(&flows, 0.373_362_535, 1e-6);
    assert_rate(&flows, 0.373_362_533_5, 1e-10);
    assert_percent(&flows, "37.34");
}

/// XIRR example, `LibreOffice` Help, The Document Foundation (no address recorded): prints 0.1828.
/// Flows and result from memory; the longer value derived.
#[test]
fn libreoffice_xirr_example() {
    let flows = [
        flow((2001, 1, 1), -10_000),
        flow((2001, 2, 1), 2_000),
        flow((2001, 3, 15), 2_500),
        flow((2001, 5, 12), 5_000),
        flow((2001, 8, 10), 1_000),
    ];
    assert_rate(&flows, 0.1828, 5e-5);
    assert_rate(&flows, 0.182_843_485_8, 1e-10);
    assert_percent(&flows, "18.28");
}

/// From memory of the public unit tests of a general spreadsheet function library:
/// 1,000 on 1 January 2025 against 1,100, 800 or 600 a year later. Seen; derived alike.
#[test]
fn a_year_of_365_days_is_the_plain_return() {
    for (back, fraction, percent) in [(1_100, 0.10, "10.00"), (800, -0.20, "-20.00"), (600, -0.40, "-40.00")] {
        let flows = [flow((2025, 1, 1), -1_000), flow((2026, 1, 1), back)];
        assert_rate(&flows, fraction, 1e-12);
        assert_percent(&flows, percent);
    }
}

/// From memory of a comment in a public unit test: over a leap year's 366 days the
/// convention gives 0.199402, not 0.20. Seen; derived alike, 1.2^(365 ÷ 366) − 1.
#[test]
fn a_leap_year_is_longer_than_the_year_of_the_convention() {
    let flows = [flow((2020, 1, 1), -1_000), flow((2021, 1, 1), 1_200)];
    assert_rate(&flows, 0.199_402, 5e-7);
    assert_percent(&flows, "19.94");
}

/// From memory of a public unit test: +100, −230, +132 at 365-day steps, for which
/// 10 % and 20 % both hold. Seen; derived alike: 132 ÷ 1.1² − 230 ÷ 1.1 + 100 = 0, and so at 1.2.
#[test]
fn two_rates_are_no_rate() {
    let flows = after(&[(0, 10_000), (365, -23_000), (730, 13_200)]);
    assert_eq!(rate(&flows), Err(NoAnnualReturn::SeveralRoots));
    assert_eq!(annual_return(&flows, A_YEAR), Err(NoAnnualReturn::SeveralRoots));
}

/// XIRR function, Microsoft, support.microsoft.com and learn.microsoft.com (DAX): an error unless there is at least one
/// positive and one negative flow. Seen.
#[test]
fn flows_of_one_sign_have_no_rate() {
    for sign in [1, -1] {
        let flows = [flow((2025, 1, 1), sign), flow((2026, 1, 1), 2 * sign)];
        assert_eq!(annual_return(&flows, A_YEAR), Err(NoAnnualReturn::OneSign));
    }
}

/// ROI calculator, wezual.com/finance/roi-calculator: 100,000 becomes 130,000, 30 %. Seen.
#[test]
fn simple_return() {
    let found = return_pct(Pence::new(3_000_000), Pence::new(10_000_000));
    assert_eq!(found.map(|found| found.to_string()).as_deref(), Some("30.00"));
}

/// `hpr`, package `FinCal` for R, rdrr.io/cran/FinCal/man/hpr.html: 30 at the start, 33 at the
/// end, 0.5 in cash: 0.1166667. Seen.
#[test]
fn holding_period_return_with_a_receipt() {
    let found = return_pct(Pence::new(3_300 + 50 - 3_000), Pence::new(3_000));
    assert_eq!(found.map(|found| found.to_string()).as_deref(), Some("11.67"));
}

/// Annualised return, (1 + return)^(1 ÷ years) − 1: 40 % over three years, inputs seen at
/// sitesinformation.com, 11.87 % derived; 50 % over five years, inputs from memory,
/// 8.447 % derived.
#[test]
fn a_return_of_several_years_compounds() {
    assert_percent(&after(&[(0, -100_000), (3 * 365, 140_000)]), "11.87");
    assert_rate(&after(&[(0, -100_000), (5 * 365, 150_000)]), 0.084_47, 5e-6);
}

/// `hpr2ear`, package `FinCal` for R, rdrr.io/cran/FinCal/src/R/hpr2ear.R: 0.015228 over 120 days;
/// inputs and formula seen, 0.0470423 derived. The reverse, 0.05039 a year over 150 days: inputs
/// seen, 0.0204088 derived.
#[test]
fn a_holding_period_on_a_yearly_footing() {
    let flows = after(&[(0, -1_000_000_000), (120, 1_015_228_000)]);
    assert_rate(&flows, 0.047_042_3, 5e-8);
    let flows = after(&[(0, -1_000_000_000), (150, 1_020_408_800)]);
    assert_rate(&flows, 0.050_39, 5e-7);
}

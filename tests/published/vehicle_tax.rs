//! Vehicle tax and trade licences against published tables and the Act.
//!
//! Sources:
//! * "Vehicle tax rates" of 2025-26, GOV.UK, as copied at
//!   <https://totalwrapture.com/vehicle-tax-rate-tables/rates-for-cars-registered-on-or-after-1-march-2001>
//!   and <http://cheonmugeuk.org/vehicle-tax-rate-tables/print>
//! * "Rates of vehicle tax", leaflet V149, DVLA: from 1 April 2014, as copied at
//!   <https://info.5y1.org/car-monthly-payment-calculator-google_1_8dd4ff.html>; from 1 April 2023,
//!   <https://www.scribd.com/document/639904526/v149-rates-of-vehicle-tax-for-cars-motorcycles-light-goods-vehicles-and-private-light-goods-vehicles>
//! * Vehicle Excise and Registration Act 1994, legislation.gov.uk: s.3,
//!   <https://legislation.gov.uk/ukpga/1994/22/body/1999-09-06/data.html>; s.13,
//!   <https://www.legislation.gov.uk/ukpga/1994/22/section/13/data.html>; s.19 as put in by Finance
//!   Act 2008 s.144, <http://legislation.gov.uk/ukpga/2008/9/section/144/data.xml>
//! * "Cancel your vehicle tax and get a refund", GOV.UK, as copied at
//!   <https://persianplatform.ir/cancel-your-vehicle-tax-and-get-a-refund>
//! * "When you need to make a SORN", GOV.UK, <https://gov.uk/sorn-statutory-off-road-notification>

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use chrono::{Days, Months, NaiveDate};

use runabout::domain::law::trade_licence::may_end_on;
use runabout::domain::law::vehicle_tax::{
    TaxMonths, complete_months_left, first_day, last_day, price, refund, refund_expected_by, sorn_starts,
};
use runabout::domain::value::pence::Pence;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Each row: a year in pounds, and the printed "Single 6 month payment" in pence or, for "N/A" and
/// "-", none.
fn check(table: &[(i64, Option<i64>)]) {
    for (pounds, six) in table {
        let annual = Pence::new(pounds * 100);
        assert_eq!(price(annual, TaxMonths::Six), six.map(Pence::new), "£{pounds}");
        assert_eq!(price(annual, TaxMonths::Twelve), Some(annual), "£{pounds}");
    }
}

/// Section 3 of the Act: a licence runs "from the beginning of the month in which the licence first has effect",
/// so that one taken out on the 2nd to run from the 1st is no more backdated than one from the 2nd. Seen.
#[test]
fn a_licence_runs_from_the_beginning_of_its_month() {
    for (from, on, starts) in [
        ("2026-06-01", "2026-06-02", Some("2026-06-01")),
        ("2026-06-02", "2026-06-02", Some("2026-06-01")),
        ("2026-06-01", "2026-06-30", Some("2026-06-01")),
        ("2026-07-15", "2026-06-30", Some("2026-07-01")),
        ("2026-05-31", "2026-06-01", None),
        ("2025-06-30", "2026-06-02", None),
    ] {
        assert_eq!(first_day(day(from), day(on)), starts.map(day), "{from} {on}");
    }
}

/// Bands A to M of cars registered from 1 March 2001 to 31 March 2017, all thirteen rows, and the
/// standard rate of cars registered from 1 April 2017.
#[test]
fn six_months_in_2025_26() {
    check(&[
        (20, None),
        (20, None),
        (35, None),
        (165, Some(9_075)),
        (195, Some(10_725)),
        (215, Some(11_825)),
        (265, Some(14_575)),
        (315, Some(17_325)),
        (345, Some(18_975)),
        (395, Some(21_725)),
        (430, Some(23_650)),
        (735, Some(40_425)),
        (760, Some(41_800)),
        (195, Some(10_725)),
    ]);
}

/// The leaflet of 2023, bands A to M.
#[test]
fn six_months_in_2023() {
    check(&[
        (0, None),
        (20, None),
        (35, None),
        (150, Some(8_250)),
        (180, Some(9_900)),
        (200, Some(11_000)),
        (240, Some(13_200)),
        (290, Some(15_950)),
        (320, Some(17_600)),
        (365, Some(20_075)),
        (395, Some(21_725)),
        (675, Some(37_125)),
        (695, Some(38_225)),
    ]);
}

/// The leaflet of 2014: bands A to M for petrol and diesel, then B, D to M for alternative fuel.
#[test]
fn six_months_in_2014() {
    check(&[
        (0, None),
        (20, None),
        (30, None),
        (110, Some(6_050)),
        (130, Some(7_150)),
        (145, Some(7_975)),
        (180, Some(9_900)),
        (205, Some(11_275)),
        (225, Some(12_375)),
        (265, Some(14_575)),
        (285, Some(15_675)),
        (485, Some(26_675)),
        (500, Some(27_500)),
        (10, None),
        (100, Some(5_500)),
        (120, Some(6_600)),
        (135, Some(7_425)),
        (170, Some(9_350)),
        (195, Some(10_725)),
        (215, Some(11_825)),
        (255, Some(14_025)),
        (275, Some(15_125)),
        (475, Some(26_125)),
        (490, Some(26_950)),
    ]);
}

/// Section 3: six months only where the yearly rate exceeds £50. No rate in these tables lies
/// between £35 and £100, so the edge is tried with made-up ones.
#[test]
fn six_months_begin_above_fifty_pounds() {
    check(&[(49, None), (50, None), (51, Some(2_805))]);
}

/// Section 3: from the beginning of the month in which the licence first has effect. The last days
/// are derived.
#[test]
fn tax_runs_in_whole_months() {
    for start in ["2026-04-01", "2026-04-28", "2026-04-30"] {
        assert_eq!(last_day(day(start), TaxMonths::Twelve), day("2027-03-31"), "{start}");
        assert_eq!(last_day(day(start), TaxMonths::Six), day("2026-09-30"), "{start}");
    }
}

/// Section 19: a twelfth of the yearly rate for each complete month left. The amounts are derived
/// from rates printed for 2025-26, a twelfth of which is a whole number of pence.
#[test]
fn twelfths_of_published_rates() {
    for (pounds, twelfth) in [(195, 1_625), (345, 2_875), (360, 3_000)] {
        for left in 0..12_u32 {
            let notice_on = day("2026-12-15") - Months::new(left);
            assert_eq!(complete_months_left(day("2026-12-31"), notice_on), left);
            let back = refund(Pence::new(pounds * 100), day("2026-12-31"), notice_on);
            assert_eq!(back, Pence::new(twelfth * i64::from(left)), "£{pounds}, {left} months");
        }
    }
}

/// GOV.UK: full months left come back, counted from the day the notice is received, and a refund is
/// worth asking after when eight weeks have gone. That the month of the notice is lost whatever its
/// day is derived.
#[test]
fn the_month_of_the_notice_does_not_come_back() {
    let year = Pence::new(36_000);
    for notice_on in ["2026-06-01", "2026-06-15", "2026-06-30"] {
        assert_eq!(refund(year, day("2026-12-31"), day(notice_on)), Pence::new(18_000), "{notice_on}");
    }
    assert_eq!(refund(year, day("2026-12-31"), day("2026-07-01")), Pence::new(15_000));
    assert_eq!(refund_expected_by(day("2026-06-01")), day("2026-06-01") + Days::new(56));
}

/// GOV.UK: in the month the tax runs out, from the first of the next month; in another month, or
/// once it has run out, at once. The dates are ours.
#[test]
fn when_a_sorn_begins() {
    for (applied_on, until, begins) in [
        ("2026-10-05", Some("2026-10-31"), "2026-11-01"),
        ("2026-09-30", Some("2026-10-31"), "2026-09-30"),
        ("2026-11-01", Some("2026-10-31"), "2026-11-01"),
        ("2026-10-05", None, "2026-10-05"),
    ] {
        assert_eq!(sorn_starts(day(applied_on), until.map(day)), day(begins), "{applied_on} {until:?}");
    }
}

/// Section 13: a calendar year; six months from 1 January or 1 July; or seven to eleven months from
/// the first of another month, to 31 December for February to June and the next 30 June for August
/// to December. Counting those months off ends every one of them on one of two days.
#[test]
fn trade_licences_end_on_two_days() {
    let ends = |start: &str, months: u32| day(start) + Months::new(months) - Days::new(1);
    for (start, months, last) in [
        ("2026-01-01", 12, "2026-12-31"),
        ("2026-01-01", 6, "2026-06-30"),
        ("2026-07-01", 6, "2026-12-31"),
        ("2026-02-01", 11, "2026-12-31"),
        ("2026-03-01", 10, "2026-12-31"),
        ("2026-04-01", 9, "2026-12-31"),
        ("2026-05-01", 8, "2026-12-31"),
        ("2026-06-01", 7, "2026-12-31"),
        ("2026-08-01", 11, "2027-06-30"),
        ("2026-09-01", 10, "2027-06-30"),
        ("2026-10-01", 9, "2027-06-30"),
        ("2026-11-01", 8, "2027-06-30"),
        ("2026-12-01", 7, "2027-06-30"),
    ] {
        assert_eq!(ends(start, months), day(last), "{start}");
        assert!(may_end_on(ends(start, months)), "{start}");
        assert!(!may_end_on(ends(start, months - 1)), "{start}, a month short");
    }
}

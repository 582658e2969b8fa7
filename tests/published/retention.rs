//! How long records are kept, and with them the names in them.
//!
//! Sources:
//! * "How long to keep your records" (self-employed), mygov.scot,
//!   <https://www.mygov.scot/self-employed-records/how-long-to-keep-your-records/>: at least five
//!   years after the 31 January deadline of the tax year; records of 2017-18 until the end of January
//!   2024, of 2019-20 until the end of January 2026. Seen.
//! * "VAT margin schemes: Keeping records", GOV.UK,
//!   <https://www.gov.uk/vat-margin-schemes/keeping-records>, and VATMARG02200, VAT margin schemes
//!   manual, HMRC, <https://www.gov.uk/hmrc-internal-manuals/vat-margin-schemes/vatmarg02200>: six
//!   years; for stock held longer, until it is sold. Seen.
//!
//! That of two rules the later day counts, that six years end with the same day six years on, and that
//! a car's purchase is counted from the day it left stock are derived, each the longer reading.

use chrono::NaiveDate;
use runabout::domain::law::rate_table::Rates;
use runabout::domain::law::registration::Registration;
use runabout::domain::law::retention::{Rule, Stock, kept, tax_records_until, vat_records_until};

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn registered() -> Registration {
    Registration { from: Some(day("2010-01-01")), ..Registration::default() }
}

/// The two years printed, on the first and the last day of each, and the days beside them.
#[test]
fn self_employment_records_are_kept_five_years_after_the_31_january() {
    for (on, until) in [
        ("2017-04-05", "2023-01-31"),
        ("2017-04-06", "2024-01-31"),
        ("2018-04-05", "2024-01-31"),
        ("2018-04-06", "2025-01-31"),
        ("2019-04-05", "2025-01-31"),
        ("2019-04-06", "2026-01-31"),
        ("2020-01-01", "2026-01-31"),
        ("2020-04-05", "2026-01-31"),
        ("2020-04-06", "2027-01-31"),
    ] {
        assert_eq!(tax_records_until(day(on), &Rates::default()), Some(day(until)), "{on}");
    }
}

/// Six years to the day; a 29 February ends with the month.
#[test]
fn vat_records_are_kept_six_years() {
    for (on, until) in [
        ("2020-03-01", "2026-03-01"),
        ("2020-02-28", "2026-02-28"),
        ("2020-02-29", "2026-02-28"),
        ("2018-12-31", "2024-12-31"),
    ] {
        assert_eq!(vat_records_until(day(on), &Rates::default()), Some(day(until)), "{on}");
    }
}

/// "Whichever later": on one day in the tax year the two rules meet. The 31 January of 2019-20 is
/// 2026; six years from a day up to 31 January 2020 are over by then, from a later one not.
#[test]
fn of_two_rules_the_later_day_counts() {
    let last = |on| kept(day(on), Stock::NoCar, &registered()).unwrap();
    for (on, until, is_vat) in [
        ("2019-04-06", "2026-01-31", false),
        ("2020-01-30", "2026-01-31", false),
        ("2020-02-01", "2026-02-01", true),
        ("2020-04-05", "2026-04-05", true),
        ("2020-04-06", "2027-01-31", false),
    ] {
        let kept = last(on);
        assert_eq!((kept.until, matches!(kept.rule, Rule::Vat(_))), (Some(day(until)), is_vat), "{on}");
    }
    // Never registered: the VAT rule is none of the trader's.
    let kept = kept(day("2020-04-05"), Stock::NoCar, &Registration::default()).unwrap();
    assert_eq!(kept.until, Some(day("2026-01-31")));
}

/// "For stock held longer, until it is sold": not even twenty years end it.
#[test]
fn the_record_of_a_car_unsold_is_kept_until_it_is_sold() {
    let unsold = kept(day("2010-05-01"), Stock::Unsold, &registered()).unwrap();
    assert_eq!((unsold.rule, unsold.until), (Rule::Unsold, None));
    assert!(unsold.holds_on(day("2030-05-01")));
    // Sold after seven years: the sale's own six years are the record's.
    let sold = kept(day("2010-05-01"), Stock::Left(day("2017-05-02")), &registered()).unwrap();
    assert_eq!(sold.until, Some(day("2024-01-31")));
    assert!(sold.holds_on(day("2024-01-31")) && !sold.holds_on(day("2024-02-01")));
}

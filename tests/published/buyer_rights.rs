//! A buyer's time limits against the words of the law. No worked dates were found in print, so each
//! day here is derived from the words above it.
//!
//! Sources:
//! * Consumer Rights Act 2015, legislation.gov.uk: s.22(3),
//!   <https://www.legislation.gov.uk/ukpga/2015/15/section/22/enacted/data.xht?view=snippet&wrap=true>;
//!   s.19, <https://legislation.gov.uk/ukpga/2015/15/section/19/4/enacted>, its subsections (14) and (15) from memory
//! * Consumer Contracts (Information, Cancellation and Additional Charges) Regulations 2013 reg. 30,
//!   legislation.gov.uk, <http://legislation.gov.uk/uksi/2013/3134/body>, as restated at
//!   <https://www.mylawyer.co.uk/cancellation-periods-a-A76062D77401/>

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use chrono::NaiveDate;

use runabout::domain::law::buyer_rights::{cancellation_ends, presumption_ends, rejection_ends};

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Section 22(3): 30 days beginning with the first day after ownership has passed and the goods
/// have been delivered. Day 1 of a delivery on 1 June is the 2nd, so day 30 is 1 July.
#[test]
fn thirty_days_beginning_with_the_day_after() {
    assert_eq!(rejection_ends(day("2026-06-01"), None), day("2026-07-01"));
    assert_eq!(rejection_ends(day("2026-06-01"), Some(day("2026-06-05"))), day("2026-07-05"));
    assert_eq!(rejection_ends(day("2026-06-05"), Some(day("2026-06-01"))), day("2026-07-05"));
    assert_eq!(rejection_ends(day("2024-02-10"), None), day("2024-03-11"));
    assert_eq!(rejection_ends(day("2026-02-10"), None), day("2026-03-12"));
}

/// Regulation 30: the end of 14 days after the day the goods come into the consumer's possession.
#[test]
fn fourteen_days_after_possession() {
    assert_eq!(cancellation_ends(day("2026-06-01")), day("2026-06-15"));
    assert_eq!(cancellation_ends(day("2026-12-25")), day("2027-01-08"));
}

/// Section 19(14), from memory: within six months beginning with the day of delivery. That day is
/// the first, so a delivery on the 1st is covered to the end of the sixth month.
#[test]
fn six_months_beginning_with_delivery() {
    assert_eq!(presumption_ends(day("2026-01-01")), day("2026-06-30"));
    assert_eq!(presumption_ends(day("2026-06-15")), day("2026-12-14"));
    assert_eq!(presumption_ends(day("2026-09-01")), day("2027-02-28"));
    // No 31 February to be the day before: the month runs out first.
    assert_eq!(presumption_ends(day("2026-08-31")), day("2027-02-28"));
}

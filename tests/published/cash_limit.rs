//! The cash that makes a high value dealer: limits and boundary days.
//!
//! Sources:
//! * "Money laundering supervision for high value dealers", GOV.UK,
//!   <https://www.gov.uk/guidance/money-laundering-regulations-high-value-dealer-registration>:
//!   €10,000 or more, taken or made; single payments, several for one transaction, or payments
//!   broken down. Seen, as it stood before 30 June 2026.
//! * ECSH51550 and ECSH63345, Economic Crime Supervision Handbook, HMRC,
//!   <https://gov.uk/hmrc-internal-manuals/economic-crime-supervision-handbook/ecsh51550>: €10,000
//!   since 26 June 2017, €15,000 before, and the conversion is that of the time of the transaction.
//!   Seen.
//! * Money Laundering and Terrorist Financing (Amendment) Regulations 2026, made 9 June 2026, in
//!   force 30 June 2026, as told at <https://vinciworks.com/?p=39218> and
//!   <https://www.keystonelaw.com/keynotes/what-are-the-changes-to-uk-money-laundering-regulations/>:
//!   £10,000. Seen; the text of the regulations was not.
//! * "Some Changes To UK Money Laundering Regs…", The Fine Print, 19 June 2026,
//!   <https://sdj-thefineprint.blogspot.com/2026/06/>: high value dealers £10,000, one for one, and
//!   €10,000 about £8,600 on that day. Seen.
//!
//! That £8,000 lies below €10,000 on every day from 26 June 2017 to 29 June 2026 is from memory.

use chrono::NaiveDate;
use runabout::domain::law::cash_limit::caution;
use runabout::domain::law::rate_table::Rates;
use runabout::domain::value::pence::Pence;

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// Whether cash of so many pence on a day is cautioned about.
fn is_caught(on: &str, pence: i64) -> bool {
    caution(&[(day(on), Pence::new(pence))], day("2026-12-31"), &Rates::default()).is_some()
}

/// "£10,000 or more" from 30 June 2026: just so much is caught, a penny less is not.
#[test]
fn ten_thousand_pounds_from_30_june_2026() {
    for on in ["2026-06-30", "2026-07-01", "2026-12-31"] {
        assert!(is_caught(on, 1_000_000), "{on}");
        assert!(!is_caught(on, 999_999), "{on}");
    }
}

/// Until 29 June 2026 the limit is in euro. What was €10,000 on 19 June 2026, about £8,600, is
/// caught on every day of that rule, by a cautious figure; on the day the rule changes it no
/// longer is.
#[test]
fn ten_thousand_euro_until_29_june_2026() {
    for on in ["2017-06-26", "2022-03-07", "2026-06-19", "2026-06-29"] {
        assert!(is_caught(on, 860_000), "{on}");
        assert!(!is_caught(on, 799_999), "{on}");
    }
    assert!(!is_caught("2026-06-30", 860_000));
}

/// The guidance: "several cash payments for a single transaction", "payments on account" and
/// payments "broken down into smaller amounts" count together. The amounts are ours.
#[test]
fn payments_that_belong_together_count_together() {
    let deposit = (day("2026-07-01"), Pence::new(100_000));
    let parts = [(day("2026-07-04"), Pence::new(450_000)), (day("2026-07-06"), Pence::new(450_000))];
    assert_eq!(caution(&parts, day("2026-07-06"), &Rates::default()), None);
    let found = caution(&[parts[1], deposit, parts[0]], day("2026-07-06"), &Rates::default()).unwrap();
    assert_eq!((found.total, found.reached_on), (Pence::new(1_000_000), day("2026-07-06")));
}

/// The words send the trader to the guidance, which decides.
#[test]
fn the_caution_defers_to_hmrc() {
    for (on, limit) in [("2026-06-29", "€10,000"), ("2026-06-30", "£10,000")] {
        let said = caution(&[(day(on), Pence::new(1_000_000))], day(on), &Rates::default()).unwrap().to_string();
        assert!(said.contains(limit) && said.contains("HMRC's guidance"), "{said}");
    }
}

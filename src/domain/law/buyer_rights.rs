//! How long a member of the public who bought a car keeps the rights that run by the calendar.
//!
//! They cannot be signed away, and none of them is held by a buyer in the trade. Each answer is
//! the last day the right can be used.

use chrono::{Datelike, NaiveDate};

use crate::domain::days::day::add_months_clamped;
use crate::domain::law::rate_table::{Days, Listed, Months, RateTable};
use crate::domain::law::rates::{Dated, day};

/// The short-term right to reject.
const REJECTION: Days = Days(30);
/// The right to cancel a sale made at a distance.
const CANCELLATION: Days = Days(14);
/// In which a refund agreed is to be paid, the day it was agreed included.
const REFUND: Days = Days(14);
/// How long a fault counts as there from the start.
const PRESUMPTION: Months = Months(6);

/// The figures above, as they are listed.
pub const TABLES: &[&dyn Listed] = &[
    &RateTable::fixed(
        "rejection",
        "right to reject a car",
        &[Dated {
            from: day(2015, 10, 1),
            value: REJECTION,
            source: "Consumer Rights Act 2015 s.22(3); the day it began is from memory",
        }],
    ),
    &RateTable::fixed(
        "cancellation",
        "right to cancel a sale at a distance",
        &[Dated {
            from: day(2014, 6, 13),
            value: CANCELLATION,
            source: "Consumer Contracts (Information, Cancellation and Additional Charges) Regulations 2013 regs 30 \
                     and 31; the day they began is from memory",
        }],
    ),
    &RateTable::fixed(
        "refund",
        "time to pay a refund in, once agreed",
        &[Dated {
            from: day(2015, 10, 1),
            value: REFUND,
            source: "Consumer Rights Act 2015 s.20(15); the day it began is from memory",
        }],
    ),
    &RateTable::fixed(
        "presumption",
        "time in which a fault counts as there at delivery",
        &[Dated {
            from: day(2015, 10, 1),
            value: PRESUMPTION,
            source: "Consumer Rights Act 2015 s.19(14) and (15); the day it began is from memory",
        }],
    ),
];

/// `days` after a day.
fn days_after(day: NaiveDate, days: u32) -> NaiveDate {
    day.checked_add_days(chrono::Days::new(days.into())).unwrap_or(NaiveDate::MAX)
}

/// The last day of the short-term right to reject: thirty days beginning with the first day after
/// the car is both the buyer's and delivered. A car taken away on the day it was sold has no
/// other day of delivery.
///
/// The clock stands still while a repair or replacement the buyer asked for is under way, which is
/// not reckoned here.
///
/// Source: Consumer Rights Act 2015 s.22(3), and (6) and (7) for the clock.
pub fn rejection_ends(owned_on: NaiveDate, delivered_on: Option<NaiveDate>) -> NaiveDate {
    let later = delivered_on.map_or(owned_on, |delivered_on| delivered_on.max(owned_on));
    days_after(later, REJECTION.0)
}

/// The last day on which a buyer at a distance may cancel without a reason: fourteen days after
/// the day of delivery. It runs on by up to a year where they were not told of the right.
///
/// Source: Consumer Contracts (Information, Cancellation and Additional Charges) Regulations 2013
/// regs 30 and 31.
pub fn cancellation_ends(delivered_on: NaiveDate) -> NaiveDate {
    days_after(delivered_on, CANCELLATION.0)
}

/// The last day for paying a refund that was agreed: the fourteenth, the day it was agreed included.
///
/// Source: Consumer Rights Act 2015 s.20(15); that the count begins with the day itself is from
/// memory, and is the earlier reading.
pub fn refund_ends(agreed_on: NaiveDate) -> NaiveDate {
    days_after(agreed_on, REFUND.0 - 1)
}

/// The last day on which a fault that shows is taken to have been there at delivery, unless the
/// trader proves otherwise.
///
/// Read as six months beginning with the day of delivery, that day included, so it ends the day
/// before the same day six months on; where that month has no such day, with the month. The longer
/// reading is the safe one for a trader to be warned by.
///
/// Source: Consumer Rights Act 2015 s.19(14) and (15), its wording from memory; the last day is
/// derived.
pub fn presumption_ends(delivered_on: NaiveDate) -> NaiveDate {
    let same_day = add_months_clamped(delivered_on, PRESUMPTION.0);
    if same_day.day() == delivered_on.day() { same_day.pred_opt().unwrap_or(same_day) } else { same_day }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn a_refund_has_fourteen_days_counting_the_first() {
        assert_eq!(refund_ends(day("2026-11-21")), day("2026-12-04"));
    }

    #[test]
    fn thirty_days_from_the_day_after_the_later_of_owning_and_delivery() {
        for (owned_on, delivered_on, ends) in [
            ("2026-11-21", None, "2026-12-21"),
            ("2026-11-21", Some("2026-11-21"), "2026-12-21"),
            ("2026-11-21", Some("2026-11-25"), "2026-12-25"),
            // Delivered first, paid for later.
            ("2026-11-25", Some("2026-11-21"), "2026-12-25"),
            ("2028-02-01", None, "2028-03-02"),
            ("2027-02-01", None, "2027-03-03"),
        ] {
            assert_eq!(rejection_ends(day(owned_on), delivered_on.map(day)), day(ends), "{owned_on} {delivered_on:?}");
        }
    }

    #[test]
    fn fourteen_days_after_delivery() {
        assert_eq!(cancellation_ends(day("2026-11-21")), day("2026-12-05"));
        assert_eq!(cancellation_ends(day("2028-02-20")), day("2028-03-05"));
    }

    #[test]
    fn six_months_counting_the_day_of_delivery() {
        for (delivered_on, ends) in [
            ("2026-11-21", "2027-05-20"),
            ("2026-03-01", "2026-08-31"),
            ("2026-08-28", "2027-02-27"),
            ("2026-08-29", "2027-02-28"),
            ("2026-08-31", "2027-02-28"),
            ("2027-08-29", "2028-02-28"),
            ("2027-08-30", "2028-02-29"),
            ("2026-10-31", "2027-04-30"),
            ("2026-09-01", "2027-02-28"),
        ] {
            assert_eq!(presumption_ends(day(delivered_on)), day(ends), "{delivered_on}");
        }
    }
}

//! What VAT puts on the list of dates: notifying HMRC that the threshold was crossed, and each return with
//! its payment.

use crate::domain::day::long;
use crate::domain::due_item::{DueItem, DueKind, Series};
use crate::domain::month::Month;
use crate::domain::pence::Pence;
use crate::domain::registration::Registration;
use crate::domain::vat_quarter::{QuarterEnd, return_due_day};
use crate::domain::vat_watch::Crossing;
use chrono::NaiveDate;

/// Days ahead that notifying presses: as many as there are to do it in.
const NOTIFY_LEAD: i64 = 30;

/// Days after its deadline that a return not marked as done stays listed.
const OVERDUE_LISTED: i64 = 365;

/// What the dates of VAT are worked out from.
#[derive(Clone, Copy, Debug)]
pub struct VatDue {
    /// Today.
    pub day: NaiveDate,
    /// The trader's registration.
    pub registration: Registration,
    /// Which months VAT quarters end with.
    pub quarter_end: QuarterEnd,
    /// How the VAT account stands today; negative when HMRC owes.
    pub vat_owed: Pence,
    /// Days ahead that a return presses.
    pub lead_days: i64,
    /// The threshold crossed, for one who is not registered.
    pub crossing: Option<Crossing>,
}

/// The items, until they are marked as done: the day to notify by, the return of the quarter that is running
/// and those before it whose deadline is less than a year past. A quarter counts when the trader
/// was registered on any day of it.
pub fn vat_items(facts: &VatDue) -> Vec<DueItem> {
    notify_item(facts).into_iter().chain(return_items(facts)).collect()
}

/// None for a trader who has set the day registration begins: he has notified.
fn notify_item(facts: &VatDue) -> Option<DueItem> {
    let crossing = facts.crossing?;
    let registering = facts.registration.from.is_some_and(|from| from > crossing.on());
    let action = format!(
        "{}: tell HMRC by this day; registered from {} (`runabout vat --watch`)",
        crossing.in_words(),
        long(crossing.notice.registered_from)
    );
    let subject = (number_of(crossing.month), "VAT registration".to_owned());
    let on = Some(crossing.notice.notify_by);
    let item = DueItem::new(facts.day, Series::VatRegistration, DueKind::VatRegistration, on, subject, action);
    (!registering).then(|| item.leading(Some(NOTIFY_LEAD)).until_done())
}

fn return_items(facts: &VatDue) -> Vec<DueItem> {
    let running = facts.quarter_end.quarter_of(facts.day);
    let quarters = std::iter::successors(Some(running), |quarter| Some(facts.quarter_end.quarter_before(*quarter)));
    let mut items: Vec<DueItem> = quarters
        .map(|quarter| {
            // The last return ends with the last registered day.
            let last_day = facts.registration.until.map_or(quarter.to(), |until| until.min(quarter.to()));
            (quarter, last_day.max(quarter.from()))
        })
        .take_while(|(_, last_day)| {
            facts.day.signed_duration_since(return_due_day(*last_day)).num_days() <= OVERDUE_LISTED
        })
        .filter(|(quarter, _)| facts.registration.holds_in(*quarter))
        .map(|(quarter, last_day)| {
            let from = facts.registration.from.map_or(quarter.from(), |from| from.max(quarter.from()));
            return_item(facts, Month::of(quarter.to()), from, last_day)
        })
        .collect();
    items.reverse();
    items
}

fn return_item(facts: &VatDue, quarter: Month, from: NaiveDate, last_day: NaiveDate) -> DueItem {
    let owed = match facts.vat_owed {
        owed if owed.is_positive() => format!("; the VAT account stands at {owed} owed"),
        owed if owed.is_negative() => format!("; HMRC owes {} on the VAT account", owed.abs()),
        _ => String::new(),
    };
    let action = format!(
        "the last day for the return of {} to {} and its payment: `runabout vat --to {last_day}`{owed}",
        long(from),
        long(last_day)
    );
    let subject = (number_of(quarter), format!("VAT quarter to {}", long(last_day)));
    let on = Some(return_due_day(last_day));
    DueItem::new(facts.day, Series::VatReturn, DueKind::VatReturn, on, subject, action)
        .leading(Some(facts.lead_days))
        .until_done()
}

/// `202612`: the same every day.
fn number_of(month: Month) -> i64 {
    i64::from(month.year()) * 100 + i64::from(month.number())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::fixture::{day, pounds};
    use crate::domain::vat_watch::look_back;

    fn facts(today: &str, from: Option<&str>, until: Option<&str>) -> VatDue {
        VatDue {
            day: day(today),
            registration: Registration { from: from.map(day), until: until.map(day), ..Registration::default() },
            quarter_end: QuarterEnd::MARCH,
            vat_owed: Pence::ZERO,
            lead_days: 30,
            crossing: None,
        }
    }

    fn days(facts: &VatDue) -> Vec<(i64, String, Option<i64>)> {
        let items = vat_items(facts);
        items.iter().map(|item| (item.number, item.on.unwrap().to_string(), item.days_left)).collect()
    }

    #[test]
    fn the_running_quarter_and_those_before_it() {
        let found = days(&facts("2026-11-25", Some("2026-05-15"), None));
        let listed =
            [(31_202_606, "2026-08-07", -110), (31_202_609, "2026-11-07", -18), (31_202_612, "2027-02-07", 74)];
        assert_eq!(found, listed.map(|(number, on, left)| (number, on.to_owned(), Some(left))));
        let first = &vat_items(&facts("2026-11-25", Some("2026-05-15"), None))[0];
        assert_eq!(first.subject, "VAT quarter to 30 Jun 2026");
        assert!(first.action.contains("15 May 2026 to 30 Jun 2026") && first.until_done, "{first:?}");
        assert!(!days(&facts("2026-03-31", Some("2026-04-01"), None)).iter().any(|_| true));
        assert_eq!(days(&facts("2026-04-01", Some("2026-04-01"), None)).len(), 1);
    }

    #[test]
    fn a_year_overdue_is_listed_and_a_day_more_is_not() {
        let oldest = |today| days(&facts(today, Some("2020-01-01"), None))[0].1.clone();
        assert_eq!(oldest("2026-11-07"), "2025-11-07");
        assert_eq!(oldest("2026-11-08"), "2026-02-07");
    }

    #[test]
    fn the_last_return_ends_with_the_last_registered_day() {
        for (until, due) in [("2026-11-10", "2026-12-17"), ("2026-10-31", "2026-12-07"), ("2026-12-31", "2027-02-07")] {
            let found = days(&facts("2026-11-25", Some("2026-10-01"), Some(until)));
            assert_eq!(found, [(31_202_612, due.to_owned(), found[0].2)], "{until}");
        }
        let found = days(&facts("2027-01-10", Some("2026-10-01"), Some("2026-11-10")));
        assert_eq!(found.len(), 1, "none for the quarter after it: {found:?}");
    }

    #[test]
    fn what_stands_on_the_account_is_said() {
        let said = |owed: i64| {
            let facts = VatDue { vat_owed: pounds(owed), ..facts("2026-11-25", Some("2026-10-01"), None) };
            vat_items(&facts)[0].action.clone()
        };
        assert!(said(120).ends_with("`runabout vat --to 2026-12-31`; the VAT account stands at £120.00 owed"));
        assert!(said(-5).ends_with("; HMRC owes £5.00 on the VAT account"));
        assert!(said(0).ends_with("`runabout vat --to 2026-12-31`"));
    }

    #[test]
    fn a_crossing_is_to_be_notified_until_registration_is_set() {
        let month = Month::of(day("2026-10-31"));
        let crossing =
            Crossing { month, turnover: pounds(91_000), threshold: pounds(90_000), notice: look_back(month) };
        let with = |facts: VatDue| VatDue { crossing: Some(crossing), ..facts };
        let found = vat_items(&with(facts("2026-11-25", None, None)));
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].number, found[0].on), (30_202_610, Some(day("2026-11-30"))));
        assert!(found[0].presses() && found[0].until_done);
        assert!(found[0].action.contains("registered from 1 Dec 2026"), "{}", found[0].action);
        let registering = vat_items(&with(facts("2026-11-25", Some("2026-12-01"), None)));
        assert!(registering.iter().all(|item| item.kind == DueKind::VatReturn), "{registering:?}");
        let again = vat_items(&with(facts("2026-11-25", Some("2020-01-01"), Some("2026-03-31"))));
        assert!(again.iter().any(|item| item.kind == DueKind::VatRegistration), "registered once, and over again");
    }
}

//! What VAT puts on the list of dates: notifying HMRC that the threshold was crossed, and each return with
//! its payment.

use crate::domain::book::facts::Facts;
use crate::domain::days::day::long;
use crate::domain::days::month::Month;
use crate::domain::days::period::Period;
use crate::domain::days::vat_quarter::{QuarterEnd, return_due_day};
use crate::domain::due::due_item::{DueItem, DueKind, Series};
use crate::domain::law::registration::Registration;
use crate::domain::tax::vat_return::{OwedTo, settled, vat_return};
use crate::domain::tax::vat_watch::Crossing;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// Days ahead that notifying presses: as many as there are to do it in.
const NOTIFY_LEAD: i64 = 30;

/// Days after its deadline that a return not marked as done stays listed.
const OVERDUE_LISTED: i64 = 365;

/// What the dates of VAT are worked out from.
#[derive(Clone, Copy, Debug)]
pub struct VatDue<'a> {
    /// Today.
    pub day: NaiveDate,
    /// The trader's registration.
    pub registration: Registration,
    /// Which months VAT quarters end with.
    pub quarter_end: QuarterEnd,
    /// What each quarter that may be listed comes to, where that is known.
    pub owed: &'a [(QuarterDue, QuarterOwed)],
    /// Days ahead that a return presses.
    pub lead_days: i64,
    /// The threshold crossed, for one who is not registered.
    pub crossing: Option<Crossing>,
}

/// A quarter whose return is due.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct QuarterDue {
    /// The month it ends with, by which it is numbered.
    pub month: Month,
    /// Its first registered day.
    pub from: NaiveDate,
    /// The last day of its return.
    pub last_day: NaiveDate,
}

impl QuarterDue {
    /// The number of its item.
    pub fn number(&self) -> i64 {
        Series::VatReturn.number(number_of(self.month))
    }
}

/// What a quarter comes to, signed as VAT to pay: negative when HMRC owes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct QuarterOwed {
    /// Box 3 less box 4.
    pub to_pay: Pence,
    /// What is left of that.
    pub left: Pence,
}

impl QuarterOwed {
    /// `account` is how the VAT account stands at the quarter's end with everything `paid` and `repaid` since:
    /// money settles the oldest quarter first, so what is left of this one is no more than it came to and
    /// no more than is left of all up to it. Where the account stands the other way, as after a quarter to
    /// reclaim, only money that moved the quarter's own way settles it.
    pub fn new(to_pay: Pence, account: Pence, paid: Pence, repaid: Pence) -> Self {
        let nil = Pence::ZERO;
        let left = match (to_pay.is_negative(), account.is_negative()) {
            (false, false) => account.min(to_pay),
            (false, true) => (to_pay - paid).max(nil),
            (true, true) => account.max(to_pay),
            (true, false) => (to_pay + repaid).min(nil),
        };
        Self { to_pay, left }
    }

    /// Of a quarter that `facts` cover from its first day to today; none before it has begun.
    pub fn from_facts(facts: &Facts, quarter: &QuarterDue) -> Option<Self> {
        let asked = Period::new(quarter.from, quarter.last_day)?;
        // Which receipts are sales decides box 6 alone.
        let account = vat_return(facts, asked, &BTreeSet::new())?.account;
        let since = settled_after(facts, quarter.last_day);
        let (paid, repaid) = (account.paid + since.0, account.repaid + since.1);
        Some(Self::new(account.due, account.owed_at_end - since.0 + since.1, paid, repaid))
    }

    /// `£40.00 of VAT to pay, £20.00 of it left`; nothing of nothing.
    fn in_words(self, so_far: &str) -> Option<String> {
        let (whole, left) = (self.to_pay.abs(), self.left.abs());
        let what = match OwedTo::from_payable(self.to_pay)? {
            OwedTo::Hmrc => format!("{whole} of VAT to pay{so_far}"),
            OwedTo::Trader => format!("{whole} of VAT to reclaim{so_far}"),
        };
        Some(match left {
            left if left == whole => what,
            left if left.is_zero() => format!("{what}, settled"),
            left => format!("{what}, {left} of it left"),
        })
    }
}

/// VAT paid to HMRC after `day`, and repaid by it.
fn settled_after(facts: &Facts, day: NaiveDate) -> (Pence, Pence) {
    let after = day.succ_opt().and_then(|from| Period::new(from, facts.to));
    after.map_or((Pence::ZERO, Pence::ZERO), |after| settled(facts, after))
}

/// The items, until they are marked as done: the day to notify by, the return of the quarter that is running
/// and those before it whose deadline is less than a year past. A quarter counts when the trader
/// was registered on any day of it.
pub fn vat_items(facts: &VatDue<'_>) -> Vec<DueItem> {
    notify_item(facts).into_iter().chain(return_items(facts)).collect()
}

/// None for a trader who has set the day registration begins: they have notified.
fn notify_item(facts: &VatDue<'_>) -> Option<DueItem> {
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

/// The quarters whose returns may be listed on `day`, the oldest first: the one that is running and those
/// before it whose deadline is less than a year past.
pub fn quarters_due(day: NaiveDate, registration: &Registration, quarter_end: QuarterEnd) -> Vec<QuarterDue> {
    let quarters =
        std::iter::successors(Some(quarter_end.quarter_of(day)), |quarter| Some(quarter_end.quarter_before(*quarter)));
    let mut due: Vec<QuarterDue> = quarters
        .map(|quarter| {
            // The last return ends with the last registered day.
            let last_day = registration.until.map_or(quarter.to(), |until| until.min(quarter.to()));
            (quarter, last_day.max(quarter.from()))
        })
        .take_while(|(_, last_day)| day.signed_duration_since(return_due_day(*last_day)).num_days() <= OVERDUE_LISTED)
        .filter(|(quarter, _)| registration.holds_in(*quarter))
        .map(|(quarter, last_day)| QuarterDue {
            month: Month::containing(quarter.to()),
            from: registration.from.map_or(quarter.from(), |from| from.max(quarter.from())),
            last_day,
        })
        .collect();
    due.reverse();
    due
}

fn return_items<'a>(facts: &'a VatDue<'_>) -> impl Iterator<Item = DueItem> + 'a {
    let due = quarters_due(facts.day, &facts.registration, facts.quarter_end);
    due.into_iter().map(|quarter| return_item(facts, &quarter))
}

fn return_item(facts: &VatDue<'_>, quarter: &QuarterDue) -> DueItem {
    let QuarterDue { month, from, last_day } = *quarter;
    let so_far = if last_day > facts.day { " so far" } else { "" };
    let owed = facts.owed.iter().find(|(of, _)| of == quarter).and_then(|(_, owed)| owed.in_words(so_far));
    let action = format!(
        "the last day for the return of {} to {} and its payment: `runabout vat --to {last_day}`{}",
        long(from),
        long(last_day),
        owed.map(|owed| format!("; {owed}")).unwrap_or_default()
    );
    let subject = (number_of(month), format!("VAT quarter to {}", long(last_day)));
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
    use crate::domain::book::fixture::{day, pounds};
    use crate::domain::tax::vat_watch::look_back;

    fn facts(today: &str, from: Option<&str>, until: Option<&str>) -> VatDue<'static> {
        VatDue {
            day: day(today),
            registration: Registration { from: from.map(day), until: until.map(day), ..Registration::default() },
            quarter_end: QuarterEnd::MARCH,
            owed: &[],
            lead_days: 30,
            crossing: None,
        }
    }

    fn days(facts: &VatDue<'_>) -> Vec<(i64, String, Option<i64>)> {
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
    fn money_settles_the_oldest_quarter_first() {
        for (to_pay, account, paid, repaid, left) in [
            // Nothing paid: all of it, whatever the quarters before left.
            (62_000, 62_000, 0, 0, 62_000),
            (62_000, 75_000, 0, 0, 62_000),
            (62_000, 62_000, 13_000, 0, 62_000),
            (62_000, 35_000, 40_000, 0, 35_000),
            (62_000, 0, 62_000, 0, 0),
            (62_000, -28_000, 90_000, 0, 0),
            // HMRC owes from before, which pays nothing yet.
            (62_000, -1_000, 0, 0, 62_000),
            (62_000, -1_000, 13_000, 0, 49_000),
            (-8_000, -8_000, 0, 0, -8_000),
            (-8_000, -3_000, 0, 5_000, -3_000),
            (-8_000, 0, 0, 8_000, 0),
            // Nor does what is owed from before.
            (-8_000, 5_000, 0, 0, -8_000),
            (-8_000, 5_000, 0, 8_000, 0),
            (0, 5_000, 0, 0, 0),
        ] {
            let [to_pay, account, paid, repaid, left] = [to_pay, account, paid, repaid, left].map(Pence::new);
            let owed = QuarterOwed::new(to_pay, account, paid, repaid);
            assert_eq!(owed.left, left, "{to_pay} {account} {paid} {repaid}");
        }
    }

    #[test]
    fn what_a_quarter_comes_to_and_what_is_left_of_it_is_said() {
        let said = |today: &str, to_pay: i64, left: i64| {
            let facts = facts(today, Some("2026-10-01"), None);
            let quarter = quarters_due(facts.day, &facts.registration, facts.quarter_end)[0];
            let owed = [(quarter, QuarterOwed { to_pay: pounds(to_pay), left: pounds(left) })];
            vat_items(&VatDue { owed: &owed, ..facts })[0].action.clone()
        };
        for (today, to_pay, left, words) in [
            ("2027-01-10", 620, 620, "`; £620.00 of VAT to pay"),
            ("2027-01-10", 620, 130, "`; £620.00 of VAT to pay, £130.00 of it left"),
            ("2027-01-10", 620, 0, "`; £620.00 of VAT to pay, settled"),
            ("2027-01-10", -35, -35, "`; £35.00 of VAT to reclaim"),
            ("2027-01-10", 0, 0, "`runabout vat --to 2026-12-31`"),
            ("2026-11-25", 620, 620, "`; £620.00 of VAT to pay so far"),
            ("2026-12-31", 620, 620, "`; £620.00 of VAT to pay"),
        ] {
            let action = said(today, to_pay, left);
            assert!(action.ends_with(words), "{action}");
        }
    }

    #[test]
    fn a_crossing_is_to_be_notified_until_registration_is_set() {
        let month = Month::containing(day("2026-10-31"));
        let crossing =
            Crossing { month, turnover: pounds(91_000), threshold: pounds(90_000), notice: look_back(month) };
        let with = |facts: VatDue<'static>| VatDue { crossing: Some(crossing), ..facts };
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

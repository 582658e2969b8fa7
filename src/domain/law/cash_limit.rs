//! A word of caution where the cash of one deal comes to the limit of a high value dealer.
//!
//! A trader who takes or makes cash payments of that much for goods, at once or in parts that
//! belong together, must be registered with HMRC before the payment. It is a caution, never a
//! refusal, and it decides nothing: HMRC's guidance does.

use std::fmt;

use chrono::NaiveDate;

use crate::domain::law::rate_table::{RateTable, Rates};
use crate::domain::law::rates::{CASH_LIMIT, CashLimit};
use crate::domain::value::pence::Pence;

/// The limit by the day of the payment.
pub const LIMIT: RateTable<CashLimit> =
    RateTable::new("cash-limit", "cash that makes a high value dealer", &CASH_LIMIT);

/// That the cash of a deal has come to the limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CashCaution {
    /// All the cash of the deal so far.
    pub total: Pence,
    /// The first day on which it came to the limit of that day.
    pub reached_on: NaiveDate,
    /// The limit of that day.
    pub limit: CashLimit,
}

/// One short sentence without a full stop.
impl fmt::Display for CashCaution {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { total, limit, .. } = self;
        write!(
            f,
            "{total} of cash in one deal comes to the high value dealer limit ({limit}): see HMRC's guidance first"
        )
    }
}

/// Whether the cash of one deal, taken or made up to and on `now`, has come to the limit.
///
/// `cash_payments` are all those that belong together, in any order: deposit, balance and parts,
/// cash paid straight into the trader's bank included. They are added up from their first day
/// on, and the sum on each day is held against the limit of that day. One of nothing or less is
/// passed over: cash given back does not undo cash taken. Days after `now` are not seen.
///
/// Source: Money laundering supervision for high value dealers, GOV.UK,
/// gov.uk/guidance/money-laundering-regulations-high-value-dealer-registration: single payments,
/// several for one transaction, and payments broken down to stay below.
pub fn caution(cash_payments: &[(NaiveDate, Pence)], now: NaiveDate, rates: &Rates) -> Option<CashCaution> {
    let mut seen: Vec<_> =
        cash_payments.iter().filter(|(on, amount)| *on <= now && amount.is_positive()).copied().collect();
    seen.sort_unstable();
    let mut total = Pence::ZERO;
    let mut reached = None;
    for (on, amount) in seen {
        total += amount;
        let limit = rates.in_force(&LIMIT, on).filter(|limit| total >= limit.sterling);
        reached = reached.or(limit.map(|limit| (on, limit)));
    }
    reached.map(|(reached_on, limit)| CashCaution { total, reached_on, limit })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::law::rates::day;

    const NOW: NaiveDate = day(2026, 11, 21);

    fn reached(payments: &[(NaiveDate, i64)], now: NaiveDate) -> Option<(i64, NaiveDate)> {
        let payments: Vec<_> = payments.iter().map(|(on, pounds)| (*on, Pence::new(pounds * 100))).collect();
        caution(&payments, now, &Rates::default()).map(|found| (found.total.get() / 100, found.reached_on))
    }

    #[test]
    fn rows_are_in_order_and_name_their_source() {
        assert!(CASH_LIMIT.is_sorted_by(|a, b| a.from < b.from));
        assert!(CASH_LIMIT.iter().all(|row| !row.source.is_empty()));
    }

    #[test]
    fn payments_of_one_deal_add_up_in_any_order() {
        let (first, second) = (day(2026, 11, 1), day(2026, 11, 14));
        assert_eq!(reached(&[], NOW), None);
        assert_eq!(reached(&[(first, 6_000), (second, 3_999)], NOW), None);
        assert_eq!(reached(&[(second, 4_000), (first, 6_000)], NOW), Some((10_000, second)));
        assert_eq!(reached(&[(first, 10_000), (second, 500)], NOW), Some((10_500, first)));
        // Not yet paid on that day.
        assert_eq!(reached(&[(first, 6_000), (second, 4_000)], day(2026, 11, 13)), None);
    }

    #[test]
    fn cash_given_back_undoes_nothing() {
        let (first, second) = (day(2026, 11, 1), day(2026, 11, 14));
        assert_eq!(reached(&[(first, 10_000), (second, -10_000)], NOW), Some((10_000, first)));
        assert_eq!(reached(&[(first, -5_000), (second, 9_999), (second, 0)], NOW), None);
    }

    #[test]
    fn each_day_is_held_against_its_own_limit() {
        let (before, after) = (day(2026, 6, 29), day(2026, 6, 30));
        assert_eq!(reached(&[(before, 8_000)], NOW), Some((8_000, before)));
        assert_eq!(reached(&[(before, 7_000), (after, 2_000)], NOW), None);
        assert_eq!(reached(&[(before, 7_000), (after, 3_000)], NOW), Some((10_000, after)));
        assert_eq!(reached(&[(day(2017, 6, 25), 50_000)], NOW), None);
    }

    #[test]
    fn a_penny_short_is_not_reached() {
        assert_eq!(caution(&[(NOW, Pence::new(999_999))], NOW, &Rates::default()), None);
        assert!(caution(&[(NOW, Pence::new(999_999)), (NOW, Pence::new(1))], NOW, &Rates::default()).is_some());
        assert!(caution(&[(NOW, Pence::new(i64::MAX)), (NOW, Pence::new(i64::MAX))], NOW, &Rates::default()).is_some());
    }

    #[test]
    fn the_sentence_defers_to_the_guidance() {
        let said =
            |on, pence| caution(&[(on, Pence::new(pence))], NOW, &Rates::default()).map(|found| found.to_string());
        assert_eq!(
            said(NOW, 1_040_050).as_deref(),
            Some(
                "£10,400.50 of cash in one deal comes to the high value dealer limit (£10,000): see HMRC's guidance \
                 first"
            )
        );
        assert_eq!(
            said(day(2026, 6, 1), 840_000).as_deref(),
            Some(
                "£8,400.00 of cash in one deal comes to the high value dealer limit (€10,000, taken here as £8,000 to \
                 be safe): see HMRC's guidance first"
            )
        );
    }
}

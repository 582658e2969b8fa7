//! One thing with a date on it: its kind, its lasting number, the day, what to do.

use crate::domain::book::facts::Car;
use crate::domain::days::day::days_between;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::mark::Mark;
use crate::domain::value::words::word_set;
use chrono::NaiveDate;

word_set! {
    /// What kind of date.
    DueKind, "kind" {
        /// The certificate's last day.
        Mot = "mot",
        /// Advertised with no MOT recorded.
        NoMot = "no-mot",
        /// The last day without a first test.
        FirstMot = "first-mot",
        /// The first day a test keeps the anniversary.
        MotWindow = "mot-window",
        /// The last day of the tax.
        Tax = "tax",
        /// A refund of vehicle tax on its way.
        TaxRefund = "tax-refund",
        /// Telling DVLA of a purchase or a sale.
        KeeperNotice = "keeper-notice",
        /// A paper's last day.
        Paper = "paper",
        /// Until when a car is kept for a deposit.
        Deposit = "deposit",
        /// Money owed either way.
        Balance = "balance",
        /// The next age band in stock.
        StockAge = "stock-age",
        /// The last day a buyer can simply reject the car.
        RejectionWindow = "rejection-window",
        /// A standing cost.
        Standing = "standing",
        /// An unfilled slot of this month's programme.
        Slot = "slot",
        /// Registering for VAT.
        VatRegistration = "vat-registration",
        /// A VAT return and its payment.
        VatReturn = "vat-return",
        /// The day the last copy of the book is old.
        Backup = "backup",
        /// Registering for income tax, a return, an update or a payment.
        TaxReturn = "tax-return",
    }
}

/// Which list an item's number counts in: two digits ahead of the car's, paper's or line's own
/// number, so that a number means the same thing however the list is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is a kind, twice where a kind has two sides")]
pub enum Series {
    Mot = 10,
    NoMot = 11,
    FirstMot = 12,
    MotWindow = 13,
    Tax = 14,
    TaxRefund = 15,
    BoughtNotice = 16,
    SoldNotice = 17,
    Paper = 18,
    Deposit = 19,
    OwedToSeller = 20,
    OwedByBuyer = 21,
    Bill = 22,
    StockAge = 23,
    RejectionWindow = 24,
    Standing = 25,
    Refund = 26,
    GoneNotice = 27,
    BackNotice = 28,
    Slot = 29,
    VatRegistration = 30,
    VatReturn = 31,
    TaxReturn = 32,
    Backup = 33,
}

impl Series {
    /// The item's number.
    pub fn number(self, subject: i64) -> i64 {
        let digits = subject.max(1).ilog10() + 1;
        (self as i64) * 10_i64.saturating_pow(digits) + subject
    }
}

/// The numbers of the notices to DVLA that buying a car and selling it each leave to be sent.
pub fn notices_of_a_car_sold(stock_no: StockNo) -> [i64; 2] {
    [Series::BoughtNotice, Series::SoldNotice].map(|series| series.number(i64::from(stock_no.get())))
}

/// One item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueItem {
    /// Its number, the same every day until it is dealt with.
    pub number: i64,
    /// The day, when there is one.
    pub on: Option<NaiveDate>,
    /// Days from today to it; negative when overdue.
    pub days_left: Option<i64>,
    /// What kind.
    pub kind: DueKind,
    /// What it is about, in words.
    pub subject: String,
    /// The car.
    pub stock_no: Option<StockNo>,
    /// Its mark.
    pub mark: Option<Mark>,
    /// What to do.
    pub action: String,
    /// Days ahead at which it wants doing; none for what never presses by itself.
    pub lead_days: Option<i64>,
    /// Whether saying it is done is how it is dealt with.
    pub until_done: bool,
}

impl DueItem {
    /// An item about something of the business, pressing on its day.
    pub fn new(
        today: NaiveDate,
        series: Series,
        kind: DueKind,
        on: Option<NaiveDate>,
        subject: (i64, String),
        action: String,
    ) -> Self {
        Self {
            number: series.number(subject.0),
            on,
            days_left: on.map(|on| days_between(today, on)),
            kind,
            subject: subject.1,
            stock_no: None,
            mark: None,
            action,
            lead_days: Some(0),
            until_done: false,
        }
    }

    /// An item about a car.
    pub fn on_car(
        today: NaiveDate,
        series: Series,
        kind: DueKind,
        on: Option<NaiveDate>,
        car: &Car,
        action: String,
    ) -> Self {
        let subject = (car.stock_no.get().into(), car.label());
        Self {
            stock_no: Some(car.stock_no),
            mark: car.mark.clone(),
            ..Self::new(today, series, kind, on, subject, action)
        }
    }

    /// The same, wanting to be done so many days ahead; none for what never presses by itself.
    #[must_use]
    pub fn leading(self, lead_days: Option<i64>) -> Self {
        Self { lead_days, ..self }
    }

    /// The same, dealt with by saying so.
    #[must_use]
    pub fn until_done(self) -> Self {
        Self { until_done: true, ..self }
    }

    /// Whether it is overdue or inside its own lead time. What has no date presses while listed.
    pub fn presses(&self) -> bool {
        self.lead_days.is_some_and(|lead| self.days_left.is_none_or(|left| left <= lead))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn numbers_of_different_series_never_meet() {
        let mut seen = BTreeSet::new();
        for series in [Series::Mot, Series::NoMot, Series::BoughtNotice, Series::Bill, Series::Standing] {
            for subject in (0..3_000).chain([9_999, 10_000, 1_000_000]) {
                assert!(seen.insert(series.number(subject)), "{series:?} {subject}");
            }
        }
        assert_eq!(Series::SoldNotice.number(7), 177);
        assert_eq!(Series::SoldNotice.number(40), 1740);
    }
}

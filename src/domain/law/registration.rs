//! Registration for VAT as a span of days. A trader who is not registered has no VAT at all: the
//! margin scheme is open only to registered traders (HMRC manual VATMARG02150).

use crate::domain::days::period::Period;
use crate::domain::law::margin_vat::{margin_vat, vat_in};
use crate::domain::law::rate_table::Rates;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;

/// When the trader is registered for VAT: from a day, and perhaps until one, both included.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Registration {
    /// First day registered.
    pub from: Option<NaiveDate>,
    /// Last day registered.
    pub until: Option<NaiveDate>,
    /// The figures in force, the trader's own among them.
    pub rates: Rates,
}

impl Registration {
    /// Whether the trader is registered on `day`.
    pub fn holds_on(&self, day: NaiveDate) -> bool {
        self.from.is_some_and(|from| from <= day) && self.until.is_none_or(|until| day <= until)
    }

    /// Whether the trader is registered on any day of a span.
    pub fn touches(&self, from: NaiveDate, to: NaiveDate) -> bool {
        self.from.is_some_and(|registered| registered <= to) && self.until.is_none_or(|until| from <= until)
    }

    /// Whether the trader is registered on any day of `period`.
    pub fn holds_in(&self, period: Period) -> bool {
        self.touches(period.from(), period.to())
    }

    /// The part of `vat` that counts: all of it while registered, otherwise none.
    pub fn counted(&self, vat: Pence, on: NaiveDate) -> Pence {
        if self.holds_on(on) { vat } else { Pence::ZERO }
    }

    /// VAT due on a sale: on the margin, car by car and never netted, or on the full price when
    /// the car was bought on an invoice showing VAT (VAT Notice 718/1). Rate by date of sale.
    pub fn on_sale(&self, purchase_price: Pence, selling_price: Pence, vat_invoice: bool, sold_on: NaiveDate) -> Pence {
        match self.rates.standard_vat_rate(sold_on) {
            _ if vat_invoice => self.in_full(selling_price, sold_on),
            Some(rate) if self.holds_on(sold_on) => margin_vat(purchase_price, selling_price, rate),
            _ => Pence::ZERO,
        }
    }

    /// VAT within an amount that bears it in full, by its day.
    pub fn in_full(&self, amount: Pence, on: NaiveDate) -> Pence {
        match self.rates.standard_vat_rate(on) {
            Some(rate) if self.holds_on(on) => vat_in(amount, rate),
            _ => Pence::ZERO,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::law::own_rates::read;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn both_ends_are_registered_days() {
        let span =
            Registration { from: Some(day("2026-04-01")), until: Some(day("2026-06-30")), ..Registration::default() };
        for (on, held) in [("2026-03-31", false), ("2026-04-01", true), ("2026-06-30", true), ("2026-07-01", false)] {
            assert_eq!(span.holds_on(day(on)), held, "{on}");
        }
        assert!(!Registration::default().holds_on(day("2026-04-01")));
        for (from, to, touched) in [
            ("2026-03-01", "2026-03-31", false),
            ("2026-03-31", "2026-04-01", true),
            ("2026-06-30", "2026-07-31", true),
            ("2026-07-01", "2026-07-31", false),
        ] {
            assert_eq!(span.touches(day(from), day(to)), touched, "{from} {to}");
        }
    }

    #[test]
    fn a_period_need_only_touch_the_span() {
        let span =
            Registration { from: Some(day("2026-04-01")), until: Some(day("2026-06-30")), ..Registration::default() };
        for (from, to, held) in [
            ("2026-01-01", "2026-03-31", false),
            ("2026-01-01", "2026-04-01", true),
            ("2026-05-01", "2026-05-01", true),
            ("2026-06-30", "2026-09-30", true),
            ("2026-07-01", "2026-09-30", false),
        ] {
            assert_eq!(span.holds_in(Period::new(day(from), day(to)).unwrap()), held, "{from} {to}");
        }
        let ever = Period::new(NaiveDate::MIN, NaiveDate::MAX).unwrap();
        assert!(!Registration::default().holds_in(ever));
    }

    #[test]
    fn vat_is_on_the_margin_or_on_the_whole_price() {
        let span = Registration { from: Some(day("2026-01-01")), ..Registration::default() };
        let price =
            |bought, sold, invoice| span.on_sale(Pence::new(bought), Pence::new(sold), invoice, day("2026-05-01"));
        assert_eq!(price(50_000, 100_000, false), Pence::new(8_333));
        assert_eq!(price(50_000, 100_000, true), Pence::new(16_667));
        assert_eq!(price(50_000, 40_000, false), Pence::ZERO);
    }

    #[test]
    fn a_rate_of_the_traders_own_counts_by_the_day_of_sale() {
        let own = read("vat-standard-rate 2026-06-01 25").unwrap().leak();
        let span = Registration {
            from: Some(day("2026-01-01")),
            rates: Rates::with_own(own, "yard.rates"),
            ..Registration::default()
        };
        let vat = |on, invoice| span.on_sale(Pence::new(50_000), Pence::new(100_000), invoice, day(on));
        assert_eq!(vat("2026-05-31", false), Pence::new(8_333));
        assert_eq!(vat("2026-06-01", false), Pence::new(10_000));
        assert_eq!(vat("2026-06-01", true), Pence::new(20_000));
    }
}

//! The cash basis and the stock of a tax year, worked out again from the plain facts: money that
//! moved, by why it moved.

use super::book::{Book, Why};
use super::rounding::money;
use super::{Comparison, stay::Stay};
use crate::history::{day, history_to};
use chrono::NaiveDate;
use proptest::prelude::*;
use serde_json::{Value, json};

impl Book {
    /// What every sale, reversal, kept deposit and receipt of a span owes in VAT.
    fn output_vat(&self, from: NaiveDate, to: NaiveDate) -> i64 {
        let within = |on: NaiveDate| from <= on && on <= to;
        let mut vat = 0;
        for stay in &self.stays {
            for sale in &stay.sales {
                let due = self.sale_vat(stay, sale).0;
                vat += if within(sale.on) { due } else { 0 };
                vat -= if sale.back.as_ref().is_some_and(|back| within(back.on)) { due } else { 0 };
            }
        }
        vat += self.kept.iter().filter(|kept| within(kept.on)).map(|kept| self.kept_vat(kept)).sum::<i64>();
        let receipts = self.lines.iter().filter(|line| line.receipt && within(line.on));
        vat + receipts.map(|line| self.vat_of(line)).sum::<i64>()
    }

    /// What is reclaimed on cars and costs of a span, paid or not.
    fn input_vat_of(&self, from: NaiveDate, to: NaiveDate) -> i64 {
        let within = |on: NaiveDate| from <= on && on <= to;
        let cars = self.stays.iter().filter(|stay| within(stay.bought_on)).map(|stay| self.input_vat(stay));
        let costs = self.lines.iter().filter(|line| !line.receipt && within(line.on)).map(|line| self.vat_of(line));
        cars.chain(costs).sum()
    }

    /// Income and expenses of a span: what buyers and others handed over, in money or in cars, and what
    /// was handed to sellers and suppliers; VAT left out.
    fn received_and_paid(&self, from: NaiveDate, to: NaiveDate) -> (i64, i64) {
        let within = |on: NaiveDate| from <= on && on <= to;
        let (mut income, mut expenses) = (-self.output_vat(from, to), -self.input_vat_of(from, to));
        for (on, _, amount, why) in self.money_moved(to) {
            match why {
                _ if !within(on) => {}
                Some(Why::Buyer) => income += amount,
                Some(Why::Seller(_) | Why::Bill) => expenses -= amount,
                Some(Why::Loan | Why::Vat | Why::Owner | Why::Transfer) => {}
                // A line: what comes in is a receipt, what goes out a cost.
                None => {
                    income += amount.max(0);
                    expenses -= amount.min(0);
                }
            }
        }
        let in_kind: i64 = self
            .stays
            .iter()
            .flat_map(|stay| &stay.sales)
            .filter(|sale| within(sale.on))
            .map(|sale| sale.credits)
            .sum();
        let gone_back = self.stays.iter().filter_map(|stay| stay.disposal.as_ref());
        let gone_back: i64 = gone_back
            .filter(|disposal| disposal.how == "returned" && within(disposal.on))
            .map(|disposal| disposal.value)
            .sum();
        (income + in_kind - gone_back, expenses + in_kind - gone_back)
    }

    /// What a car should fetch on `day`, as last asked by then.
    fn should_fetch(&self, stay: &Stay, day: NaiveDate) -> Option<i64> {
        let mut asked: Vec<_> = stay.asked.iter().filter(|(on, _, _)| *on <= day).collect();
        asked.sort_by_key(|(on, _, _)| *on);
        let price = asked.last().map(|(_, amount, lowest)| lowest.unwrap_or(*amount))?;
        Some(price - self.vat_at(stay, price, day).0)
    }

    /// The stock at the lower of cost and what it should fetch.
    fn stock_value(&self, day: NaiveDate) -> i64 {
        let here = self.stays.iter().filter(|stay| stay.in_stock(day));
        here.map(|stay| {
            let cost = self.stands_in(stay, day);
            self.should_fetch(stay, day).map_or(cost, |fetch| fetch.min(cost))
        })
        .sum()
    }

    /// What `tax-year` tells of a year that ends, or is cut, on `to`.
    pub fn tax_year(&self, from: NaiveDate, to: NaiveDate) -> Value {
        let eve = from.pred_opt().expect("an eve");
        let (income, expenses) = self.received_and_paid(from, to);
        let (opening, closing) = (self.stock_value(eve), self.stock_value(to));
        let down = |day, value| self.stock_at_cost(day) - value;
        let written_down = down(to, closing) - down(eve, opening);
        let profit = self.span(from, to).row(None)["profit"].clone();
        let kept = self.held(to).cars_kept - self.held(eve).cars_kept;
        json!({
            "report": "tax-year",
            "from": from.to_string(),
            "to": to.to_string(),
            "cash_basis": {
                "income": money(income),
                "expenses": money(expenses),
                "profit": money(income - expenses),
            },
            "traditional": {
                "opening_stock": money(opening),
                "closing_stock": money(closing),
                "stock_written_down": money(written_down),
                "cars_kept": money(kept),
                "paid_ahead_at_start": money(self.held(eve).paid_ahead),
                "paid_ahead_at_end": money(self.held(to).paid_ahead),
                "book_profit": profit,
                "profit": money(pence(&profit) - written_down),
            },
        })
    }
}

fn pence(told: &Value) -> i64 {
    told.as_str().expect("money").replace('.', "").parse().expect("digits")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 32, failure_persistence: None, ..ProptestConfig::default() })]

    /// A year ended, the year running, and either cut at a day of its own.
    #[test]
    fn the_cash_basis_agrees((seed, commands) in (any::<u64>().no_shrink(), 30..=70_usize)) {
        let history = history_to(seed, commands, day("2026-08-20"));
        let mut yard = Comparison::of(&history);
        let [first, second] = ["2025-04-06", "2026-04-06"].map(day);
        let last = day("2026-04-05");
        for (typed, as_of, from, to) in [
            ("tax-year 2025-26", history.today, first, last),
            ("tax-year", history.today, second, history.today),
            ("tax-year 2025-26", last, first, last),
            ("tax-year", day("2026-02-11"), first, day("2026-02-11")),
            ("tax-year", second, second, second),
            ("tax-year 2024-25", history.today, day("2024-04-06"), day("2025-04-05")),
        ] {
            let reckoned = yard.book.tax_year(from, to);
            yard.compare(typed, as_of, &reckoned);
        }
        yard.verdict()?;
    }
}

/// The turn of the year is in the midst of these histories, with something on either side of it.
#[test]
fn the_years_have_something_to_carry_over() {
    let mut seen = std::collections::BTreeMap::<&str, usize>::new();
    let eve = day("2026-04-05");
    for seed in 0..192 {
        let book = Book::of(&history_to(seed, 60, day("2026-08-20")));
        let held = book.held(eve);
        let value = book.stock_value(eve);
        let within = |on: NaiveDate| on > eve;
        for (corner, there) in [
            ("stock written down", held.stock_at_cost > value),
            ("a buyer owes", held.owed_by_buyers > 0),
            ("a seller is owed", held.owed_to_sellers > 0),
            ("bills unpaid", held.bills > 0),
            ("a refund unpaid", held.refunds > 0),
            ("a deposit held", held.deposits > 0),
            ("VAT owed", held.vat_owed > 0),
            ("a car kept in either year", book.held(day("2026-08-20")).cars_kept > 0),
            (
                "sold in one year, back in the next",
                book.stays.iter().any(|stay| {
                    stay.sales
                        .iter()
                        .any(|sale| sale.on <= eve && sale.back.as_ref().is_some_and(|back| within(back.on)))
                }),
            ),
            (
                "gone back in part-exchange",
                book.stays.iter().any(|stay| stay.disposal.as_ref().is_some_and(|disposal| disposal.how == "returned")),
            ),
        ] {
            *seen.entry(corner).or_default() += usize::from(there);
        }
    }
    assert!(seen.values().all(|times| *times >= 4), "{seen:?}");
}

//! The figures of one car on a day, worked out again.

use super::book::{Book, Line, Stay, Why};
use super::rounding::{money, pence, percent, ratio};
use chrono::NaiveDate;
use serde_json::{Value, json};

/// What a sale made.
pub struct Made {
    pub on: NaiveDate,
    pub price: i64,
    pub vat: i64,
    pub vat_on_margin: i64,
    pub stood_in: i64,
    pub profit: i64,
    pub at_usual: i64,
    pub days: i64,
}

impl Book {
    /// What a line adds to costs, net of VAT; a receipt takes away.
    pub fn net(&self, line: &Line) -> i64 {
        let net = line.amount - self.vat_of(line);
        if line.receipt { -net } else { net }
    }

    pub fn vat_of(&self, line: &Line) -> i64 {
        if self.registered_on(line.on) { line.vat } else { 0 }
    }

    /// What a line would have added at its usual price, net in the same proportion.
    pub fn net_at_usual(&self, line: &Line) -> i64 {
        let net = self.net(line);
        match line.usual {
            Some(usual) if line.amount == 0 || net == line.amount => usual,
            Some(usual) => pence(i128::from(usual) * i128::from(net), i128::from(line.amount)),
            None => net,
        }
    }

    pub fn input_vat(&self, stay: &Stay) -> i64 {
        if self.registered_on(stay.bought_on) { stay.invoice_vat.unwrap_or(0) } else { 0 }
    }

    pub fn net_price(&self, stay: &Stay) -> i64 {
        stay.price - self.input_vat(stay)
    }

    /// VAT due on the sale, and the part of it that is on a margin: one sixth, at the rate of
    /// every day of these histories.
    pub fn sale_vat(&self, stay: &Stay) -> (i64, i64) {
        let Some(sale) = stay.sale.as_ref().filter(|sale| self.registered_on(sale.on)) else { return (0, 0) };
        if stay.invoice_vat.is_some() {
            return (pence(i128::from(sale.price) * 20, 120), 0);
        }
        let vat = pence(i128::from((sale.price - stay.price).max(0)) * 20, 120);
        (vat, vat)
    }

    /// Lines on a car dated up to `day`: those dated after its sale, or the others.
    pub fn lines_of<'b>(&'b self, stay: &'b Stay, day: NaiveDate, after_sale: bool) -> impl Iterator<Item = &'b Line> {
        self.lines.iter().filter(move |line| {
            let after = stay.sale.as_ref().is_some_and(|sale| line.on > sale.on);
            line.car == Some(stay.no) && line.on <= day && after == after_sale
        })
    }

    /// What the car stands in at on `day`, from the day it was bought.
    pub fn stands_in(&self, stay: &Stay, day: NaiveDate) -> i64 {
        if day < stay.bought_on {
            return 0;
        }
        let mut sum = self.net_price(stay);
        for line in self.lines_of(stay, day, false) {
            sum += self.net(line);
        }
        sum
    }

    pub fn in_stock(stay: &Stay, day: NaiveDate) -> bool {
        stay.bought_on <= day && stay.sale.as_ref().is_none_or(|sale| sale.on > day)
    }

    pub fn made(&self, stay: &Stay, day: NaiveDate) -> Option<Made> {
        let sale = stay.sale.as_ref().filter(|sale| sale.on <= day)?;
        let (vat, vat_on_margin) = self.sale_vat(stay);
        let stood_in = self.stands_in(stay, sale.on);
        let profit = sale.price - vat - stood_in;
        let mut at_usual = profit;
        for line in self.lines_of(stay, sale.on, false) {
            at_usual -= self.net_at_usual(line) - self.net(line);
        }
        let days = (sale.on - stay.bought_on).num_days();
        Some(Made { on: sale.on, price: sale.price, vat, vat_on_margin, stood_in, profit, at_usual, days })
    }

    /// What the seller is still owed on `day`.
    pub fn owed_to_seller(&self, stay: &Stay, day: NaiveDate) -> i64 {
        let agreed = if stay.bought_on <= day { stay.price - stay.allowance } else { 0 };
        agreed + self.settled(Why::Seller(stay.no), day)
    }

    /// What the buyer still owes on `day`.
    pub fn owed_by_buyer(&self, stay: &Stay, day: NaiveDate) -> i64 {
        let agreed = stay.sale.as_ref().filter(|sale| sale.on <= day).map_or(0, |sale| sale.price - sale.allowances);
        agreed - self.settled(Why::Buyer(stay.no), day)
    }

    pub fn settled(&self, why: Why, day: NaiveDate) -> i64 {
        self.moved.iter().filter(|moved| moved.why == why && moved.on <= day).map(|moved| moved.amount).sum()
    }

    /// The facts `stock` and `car` tell of a car bought by `day`.
    pub fn facts(&self, stay: &Stay, day: NaiveDate) -> Value {
        let (mut costs, mut income) = (0, 0);
        for line in self.lines_of(stay, day, false) {
            if line.receipt {
                income -= self.net(line);
            } else {
                costs += self.net(line);
            }
        }
        let mut asked: Vec<_> = stay.asked.iter().filter(|(on, _, _)| *on <= day).collect();
        asked.sort_by_key(|(on, _, _)| *on);
        let until = stay.sale.as_ref().map_or(day, |sale| sale.on.min(day));
        json!({
            "stock_no": stay.no,
            "bought_on": stay.bought_on.to_string(),
            "days_in_stock": (until - stay.bought_on).num_days(),
            "purchase_price": money(self.net_price(stay)),
            "costs": money(costs),
            "income": money(income),
            "stands_in": money(self.stands_in(stay, day)),
            "asking_price": asked.last().map(|(_, amount, _)| money(*amount)),
            "lowest_price": asked.last().and_then(|(_, _, lowest)| lowest.map(money)),
        })
    }

    /// Everything `car` tells of a car bought by `day`.
    pub fn car(&self, stay: &Stay, day: NaiveDate) -> Value {
        let minutes: i64 = stay.minutes.iter().filter(|(on, _)| *on <= day).map(|(_, minutes)| minutes).sum();
        let mut after_sale = 0;
        for line in self.lines_of(stay, day, true) {
            after_sale += self.net(line);
        }
        let made = self.made(stay, day);
        let made = made.as_ref();
        let told = json!({
            "report": "car",
            "status": if made.is_some() { "sold" } else { "in-stock" },
            "sold_on": made.map(|made| made.on.to_string()),
            "selling_price": made.map(|made| money(made.price)),
            "vat_on_margin": made.map(|made| money(made.vat_on_margin)),
            "vat_on_sale": made.map(|made| money(made.vat)),
            "profit": made.map(|made| money(made.profit)),
            "after_sale_costs": made.map(|_| money(after_sale)),
            "profit_to_date": made.map(|made| money(made.profit - after_sale)),
            "return_pct": made.map(|made| percent(made.profit, made.stood_in)),
            "multiple": made.map(|made| ratio(i128::from(made.price), i128::from(made.stood_in))),
            "profit_per_day": made.map(|made| money(pence(i128::from(made.profit), i128::from(made.days.max(1))))),
            "profit_per_100_per_30_days": made.map(|made| self.per_hundred_thirty(stay, made)),
            "profit_at_usual_prices": made.map(|made| money(made.at_usual)),
            "hours": ratio(i128::from(minutes), 60),
            "profit_per_hour": made.filter(|_| minutes > 0).map(|made| money(pence(i128::from(made.profit) * 60, i128::from(minutes)))),
            "owed_to_seller": money(self.owed_to_seller(stay, day)),
            "owed_by_buyer": money(self.owed_by_buyer(stay, day)),
        });
        let mut facts = self.facts(stay, day);
        facts.as_object_mut().expect("facts").extend(told.as_object().expect("told").clone());
        facts
    }

    /// 100 × 30 × profit over each line times its days until the sale, at least one.
    fn per_hundred_thirty(&self, stay: &Stay, made: &Made) -> Value {
        let tied = |from: NaiveDate, amount: i64| i128::from(amount) * i128::from((made.on - from).num_days().max(1));
        let mut pence_days = tied(stay.bought_on, self.net_price(stay));
        for line in self.lines_of(stay, made.on, false) {
            pence_days += tied(line.on, self.net(line));
        }
        if pence_days > 0 { money(pence(i128::from(made.profit) * 300_000, pence_days)) } else { Value::Null }
    }
}

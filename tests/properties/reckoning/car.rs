//! The figures of one car on a day, worked out again.

use super::book::{Book, Kept, Line, Why};
use super::rounding::{money, multiple, pence, ratio, return_pct};
use super::stay::{Place, Sale, Stay, up_to};
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
    /// The day it was reversed.
    pub back: Option<NaiveDate>,
    pub refund: i64,
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

    /// VAT due on a sale at a price on a day, and the part of it that is on a margin: one sixth, at
    /// the rate of every day of these histories.
    pub fn vat_at(&self, stay: &Stay, price: i64, on: NaiveDate) -> (i64, i64) {
        if !self.registered_on(on) {
            return (0, 0);
        }
        if stay.invoice_vat.is_some() {
            return (pence(i128::from(price) * 20, 120), 0);
        }
        let vat = pence(i128::from((price - stay.price).max(0)) * 20, 120);
        (vat, vat)
    }

    pub fn sale_vat(&self, stay: &Stay, sale: &Sale) -> (i64, i64) {
        self.vat_at(stay, sale.price, sale.on)
    }

    /// VAT due on what was kept: in full on a deposit; on what was kept back, as on a sale at that much.
    pub fn kept_vat(&self, kept: &Kept) -> i64 {
        if kept.deposit {
            return if self.registered_on(kept.on) { pence(i128::from(kept.amount) * 20, 120) } else { 0 };
        }
        let stay = self.stays.iter().find(|stay| stay.no == kept.car).expect("a car of the history");
        self.vat_at(stay, kept.amount, kept.on).0
    }

    /// Lines on a car dated up to `day` that are what it stands in at.
    pub fn stock_lines<'b>(&'b self, stay: &'b Stay, day: NaiveDate) -> impl Iterator<Item = &'b Line> {
        self.lines_on(stay, day).filter(|line| matches!(line.place, Place::Stock(_)))
    }

    /// Lines on a car dated up to `day` that are after-sale costs, or disposal money.
    pub fn lines_at<'b>(&'b self, stay: &'b Stay, day: NaiveDate, place: Place) -> impl Iterator<Item = &'b Line> {
        self.lines_on(stay, day).filter(move |line| line.place == place)
    }

    fn lines_on<'b>(&'b self, stay: &'b Stay, day: NaiveDate) -> impl Iterator<Item = &'b Line> {
        self.lines.iter().filter(move |line| line.car == Some(stay.no) && line.on <= day)
    }

    /// What the car stands in at on `day`, from the day it was bought.
    pub fn stands_in(&self, stay: &Stay, day: NaiveDate) -> i64 {
        if day < stay.bought_on {
            return 0;
        }
        let mut sum = self.net_price(stay);
        for line in self.stock_lines(stay, day) {
            sum += self.net(line);
        }
        sum
    }

    /// The lines the car stood in at when it was sold the `n`th time, from 0.
    fn lines_of_sale<'b>(&'b self, stay: &'b Stay, n: usize) -> impl Iterator<Item = &'b Line> {
        self.lines.iter().filter(move |line| {
            line.car == Some(stay.no) && matches!(line.place, Place::Stock(stretch) if stretch <= n)
        })
    }

    /// What the `n`th sale made, from 0.
    pub fn made(&self, stay: &Stay, n: usize) -> Made {
        let sale = &stay.sales[n];
        let (vat, vat_on_margin) = self.sale_vat(stay, sale);
        let mut stood_in = self.net_price(stay);
        let mut favours = 0;
        for line in self.lines_of_sale(stay, n) {
            stood_in += self.net(line);
            favours += self.net_at_usual(line) - self.net(line);
        }
        let mut days = 0;
        for (begins, ends) in &stay.stretches()[..=n] {
            days += (ends.expect("sold") - *begins).num_days();
        }
        let profit = sale.price - vat - stood_in;
        Made {
            on: sale.on,
            price: sale.price,
            vat,
            vat_on_margin,
            stood_in,
            profit,
            at_usual: profit - favours,
            days,
            back: sale.back.as_ref().map(|back| back.on),
            refund: sale.back.as_ref().map_or(0, |back| back.refund),
        }
    }

    /// What the seller, or a lender, is still owed on `day`.
    pub fn owed_to_seller(&self, stay: &Stay, day: NaiveDate) -> i64 {
        let agreed = if stay.bought_on <= day { stay.price - stay.credit } else { 0 };
        let paid = self.moved.iter().filter(|moved| moved.why == Why::Seller(stay.no) && moved.on <= day);
        agreed + paid.map(|moved| moved.amount).sum::<i64>()
    }

    /// What the buyer still owes on `day`: nothing once the car came back.
    pub fn owed_by_buyer(stay: &Stay, day: NaiveDate) -> i64 {
        let Some(sale) = stay.sold_by(day).map(|n| &stay.sales[n]) else { return 0 };
        sale.price - sale.credits - sale.deposit - up_to(day, &sale.received) - up_to(day, &sale.written_off)
    }

    /// The facts `stock` and `car` tell of a car bought by `day`.
    pub fn facts(&self, stay: &Stay, day: NaiveDate) -> Value {
        let (mut costs, mut income) = (0, 0);
        for line in self.stock_lines(stay, day) {
            if line.receipt {
                income -= self.net(line);
            } else {
                costs += self.net(line);
            }
        }
        let mut asked: Vec<_> = stay.asked.iter().filter(|(on, _, _)| *on <= day).collect();
        asked.sort_by_key(|(on, _, _)| *on);
        json!({
            "stock_no": stay.no,
            "bought_on": stay.bought_on.to_string(),
            "days_in_stock": stay.days(day),
            "purchase_price": money(self.net_price(stay)),
            "costs": money(costs),
            "income": money(income),
            "stands_in": money(self.stands_in(stay, day)),
            "deposit_held": money(up_to(day, &stay.deposits)),
            "asking_price": asked.last().map(|(_, amount, _)| money(*amount)),
            "lowest_price": asked.last().and_then(|(_, _, lowest)| lowest.map(money)),
        })
    }

    /// Everything `car` tells of a car bought by `day`.
    pub fn car(&self, stay: &Stay, day: NaiveDate) -> Value {
        let minutes: i64 = stay.minutes.iter().filter(|(on, _)| *on <= day).map(|(_, minutes)| minutes).sum();
        let mut after_sale = 0;
        for line in self.lines_at(stay, day, Place::AfterSale) {
            after_sale += self.net(line);
        }
        let sold = stay.sold_by(day);
        let made = sold.map(|n| self.made(stay, n));
        let made = made.as_ref();
        let told = json!({
            "report": "car",
            "status": stay.status(day),
            "sold_on": made.map(|made| made.on.to_string()),
            "selling_price": made.map(|made| money(made.price)),
            "vat_on_margin": made.map(|made| money(made.vat_on_margin)),
            "vat_on_sale": made.map(|made| money(made.vat)),
            "profit": made.map(|made| money(made.profit)),
            "profit_to_date": made.map(|made| money(made.profit - after_sale)),
            "return_pct": made.map(|made| return_pct(made.profit, made.stood_in)),
            "multiple": made.map(|made| multiple(made.price, made.stood_in)),
            "profit_per_day": made.map(|made| money(pence(i128::from(made.profit), i128::from(made.days.max(1))))),
            "profit_per_100_per_30_days": sold.map(|n| self.per_hundred_thirty(stay, n)),
            "profit_at_usual_prices": made.map(|made| money(made.at_usual)),
            "hours": ratio(i128::from(minutes), 60),
            "profit_per_hour": made.filter(|_| minutes > 0).map(|made| money(pence(i128::from(made.profit) * 60, i128::from(minutes)))),
            "owed_to_seller": money(self.owed_to_seller(stay, day)),
            "owed_by_buyer": money(Self::owed_by_buyer(stay, day)),
            "offers": self.offers(stay, day),
        });
        let mut facts = self.facts(stay, day);
        // Nothing is laid down about a car that came back.
        if made.is_some() || !stay.sales.iter().any(|sale| sale.on <= day) {
            facts["after_sale_costs"] = made.map_or(Value::Null, |_| money(after_sale));
        }
        facts.as_object_mut().expect("facts").extend(told.as_object().expect("told").clone());
        facts
    }

    /// Each offer heard, and what it would have made on the day it was heard.
    fn offers(&self, stay: &Stay, day: NaiveDate) -> Vec<Value> {
        let mut heard: Vec<_> = stay.offers.iter().filter(|(heard_on, _, _)| *heard_on <= day).collect();
        heard.sort_by_key(|(heard_on, _, _)| *heard_on);
        let told = |(heard_on, by, amount): &(NaiveDate, Option<&str>, i64)| {
            let stands_in = self.stands_in(stay, *heard_on);
            let profit = amount - self.vat_at(stay, *amount, *heard_on).0 - stands_in;
            json!({
                "on": heard_on.to_string(),
                "by": by,
                "amount": money(*amount),
                "profit": money(profit),
                "return_pct": return_pct(profit, stands_in),
            })
        };
        heard.into_iter().map(told).collect()
    }

    /// 100 × 30 × profit over each line times its days in stock until the sale, at least one; a line
    /// paid ahead is tied up from its own day.
    fn per_hundred_thirty(&self, stay: &Stay, n: usize) -> Value {
        let made = self.made(stay, n);
        let stretches = stay.stretches();
        let tied = |from: NaiveDate, amount: i64| {
            let mut days = (stay.bought_on - from).num_days().max(0);
            for (begins, ends) in &stretches[..=n] {
                days += (ends.expect("sold") - from.max(*begins)).num_days().max(0);
            }
            i128::from(amount) * i128::from(days.max(1))
        };
        let mut pence_days = tied(stay.bought_on, self.net_price(stay));
        for line in self.lines_of_sale(stay, n) {
            pence_days += tied(line.on, self.net(line));
        }
        if pence_days > 0 { money(pence(i128::from(made.profit) * 300_000, pence_days)) } else { Value::Null }
    }
}

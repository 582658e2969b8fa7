//! The figures of a span of days, worked out again.

use super::book::{Book, Why};
use super::car::Made;
use super::day::Held;
use super::rounding::{mean, mean_and_median_return, median, money, multiple, pence, ratio, return_pct};
use super::stay::{Disposal, Place, Stay};
use crate::history::Pocket;
use chrono::NaiveDate;
use serde_json::{Value, json};
use std::collections::BTreeMap;

type Sold<'b> = (&'b Stay, Made);

/// A sale reversed, and the day.
type Reversed<'b> = (&'b Stay, Made, NaiveDate);

/// A span of days and everything it came to.
pub struct Span<'b> {
    from: NaiveDate,
    to: NaiveDate,
    /// Every sale made, reversed since or not.
    sold: Vec<Sold<'b>>,
    /// Every sale reversed, whenever it was made.
    reversed: Vec<Reversed<'b>>,
    disposed: Vec<Disposed<'b>>,
    disposal_losses: i64,
    bought: Vec<(&'b Stay, i64)>,
    sales: i64,
    cost: i64,
    vat_on_margins: i64,
    vat_on_sales: i64,
    gross: i64,
    after_sale: i64,
    overheads: BTreeMap<&'static str, i64>,
    other_income: i64,
    profit: i64,
    at_usual: i64,
    /// Σ of stock at cost at the end of each day, and of how many days.
    stock_days: (i128, i128),
    flow: Flow,
    before: Held,
    after: Held,
}

/// A car that left without a sale.
struct Disposed<'b> {
    stay: &'b Stay,
    disposal: &'b Disposal,
    stood_in: i64,
    /// What came in for it in the span, less what it cost.
    received: i64,
}

#[derive(Default)]
struct Flow {
    money_in: i64,
    money_out: i64,
    paid_in: i64,
    drawn: i64,
}

impl Book {
    pub fn span(&self, from: NaiveDate, to: NaiveDate) -> Span<'_> {
        let within = |day: NaiveDate| from <= day && day <= to;
        let (mut sold, mut reversed) = self.sales_of(from, to);
        sold.sort_by_key(|(stay, made)| (made.on, stay.no));
        reversed.sort_by_key(|(stay, _, on)| (*on, stay.no));
        let mut bought = Vec::new();
        for stay in self.stays.iter().filter(|stay| within(stay.bought_on)) {
            bought.push((stay, self.net_price(stay)));
        }
        let net = |figure: fn(&Made) -> i64| {
            let made: i64 = sold.iter().map(|(_, made)| figure(made)).sum();
            made - reversed.iter().map(|(_, made, _)| figure(made)).sum::<i64>()
        };
        let mut favours = net(|made| made.profit - made.at_usual);
        let (mut after_sale, mut other_income, mut disposal_losses) = (0, 0, 0);
        let mut overheads = BTreeMap::new();
        let mut disposed = Vec::new();
        for stay in &self.stays {
            for line in self.lines_at(stay, to, Place::AfterSale).filter(|line| within(line.on)) {
                after_sale += self.net(line);
                favours += self.net_at_usual(line) - self.net(line);
            }
            let mut received = 0;
            for line in self.lines_at(stay, to, Place::Disposal).filter(|line| within(line.on)) {
                received -= self.net(line);
                favours += self.net_at_usual(line) - self.net(line);
            }
            disposal_losses -= received;
            let Some(disposal) = stay.disposal.as_ref().filter(|disposal| within(disposal.on)) else { continue };
            let stood_in = self.stands_in(stay, disposal.on);
            disposal_losses += stood_in - disposal.value;
            for line in self.stock_lines(stay, disposal.on) {
                favours += self.net_at_usual(line) - self.net(line);
            }
            disposed.push(Disposed { stay, disposal, stood_in, received });
        }
        disposed.sort_by_key(|gone| (gone.disposal.on, gone.stay.no));
        for kept in self.kept.iter().filter(|kept| within(kept.on)) {
            other_income += kept.amount - self.kept_vat(kept);
        }
        for line in self.lines.iter().filter(|line| line.car.is_none() && within(line.on)) {
            if line.receipt {
                other_income -= self.net(line);
            } else {
                *overheads.entry(line.heading).or_insert(0) += self.net(line);
                favours += self.net_at_usual(line) - self.net(line);
            }
        }
        let (sales, cost, vat_on_sales) = (net(|made| made.price), net(|made| made.stood_in), net(|made| made.vat));
        let gross = sales - vat_on_sales - cost;
        let profit = gross - disposal_losses - after_sale - overheads.values().sum::<i64>() + other_income;
        Span {
            from,
            to,
            vat_on_margins: net(|made| made.vat_on_margin),
            sold,
            reversed,
            disposed,
            disposal_losses,
            bought,
            sales,
            cost,
            vat_on_sales,
            gross,
            after_sale,
            overheads,
            other_income,
            profit,
            at_usual: profit - favours,
            stock_days: self.stock_days(from, to),
            flow: self.flow(from, to),
            before: self.held(from.pred_opt().expect("an eve")),
            after: self.held(to),
        }
    }

    /// The sales made in a span, and those reversed in it with the day.
    fn sales_of(&self, from: NaiveDate, to: NaiveDate) -> (Vec<Sold<'_>>, Vec<Reversed<'_>>) {
        let within = |day: NaiveDate| from <= day && day <= to;
        let (mut sold, mut reversed) = (Vec::new(), Vec::new());
        for stay in &self.stays {
            for (n, sale) in stay.sales.iter().enumerate() {
                if within(sale.on) {
                    sold.push((stay, self.made(stay, n)));
                }
                if let Some(back) = sale.back.as_ref().filter(|back| within(back.on)) {
                    reversed.push((stay, self.made(stay, n), back.on));
                }
            }
        }
        (sold, reversed)
    }

    fn stock_days(&self, from: NaiveDate, to: NaiveDate) -> (i128, i128) {
        let (mut sum, mut days) = (0, 0);
        for day in from.iter_days().take_while(|day| *day <= to) {
            if self.first_day.is_some_and(|first| first <= day) {
                sum += i128::from(self.stock_at_cost(day));
                days += 1;
            }
        }
        (sum, days)
    }

    /// What the owner's own pocket spends is paid in and spent at once; what it gets, got and drawn.
    fn flow(&self, from: NaiveDate, to: NaiveDate) -> Flow {
        let mut flow = Flow::default();
        for (on, pocket, amount, why) in self.money_moved(to) {
            if on < from || why == Some(Why::Transfer) {
                continue;
            }
            let (inward, outward) = (amount.max(0), (-amount).max(0));
            if pocket == Pocket::Own {
                flow.money_in += inward + outward;
                flow.money_out += inward + outward;
                flow.paid_in += outward;
                flow.drawn += inward;
            } else {
                flow.money_in += inward;
                flow.money_out += outward;
                if why == Some(Why::Owner) {
                    flow.paid_in += inward;
                    flow.drawn += outward;
                }
            }
        }
        flow
    }
}

impl Span<'_> {
    /// Whether stock has a turn at all: thirty days of book, something in stock, and no more come back than
    /// went out.
    fn has_turn(&self) -> bool {
        let (sum, n) = self.stock_days;
        n >= 30 && sum > 0 && self.cost >= 0
    }

    /// An amount over average stock on a yearly footing: amount ÷ (sum ÷ n) × 365 ÷ n.
    fn yearly(&self, amount: i64) -> Value {
        if self.has_turn() { ratio(i128::from(amount) * 365, self.stock_days.0) } else { Value::Null }
    }

    /// 365 over the stock turn.
    fn days_sales(&self) -> Value {
        if self.has_turn() { ratio(self.stock_days.0, i128::from(self.cost)) } else { Value::Null }
    }

    /// The sales that count in averages: those not reversed by the end of the span.
    fn lasting(&self) -> Vec<&Made> {
        let sold = self.sold.iter().map(|(_, made)| made);
        sold.filter(|made| made.back.is_none_or(|back| back > self.to)).collect()
    }

    fn pooled(&self) -> Value {
        let lasting = self.lasting();
        let stood_in = lasting.iter().map(|made| made.stood_in).sum();
        return_pct(lasting.iter().map(|made| made.profit).sum(), stood_in)
    }

    fn days_to_sell(&self) -> Vec<i64> {
        self.lasting().iter().map(|made| made.days).collect()
    }

    pub fn month(&self, as_of: NaiveDate) -> Value {
        let (before, after) = (&self.before, &self.after);
        let returns: Vec<(i64, i64)> = self.lasting().iter().map(|made| (made.profit, made.stood_in)).collect();
        let (mean_return, median_return) = mean_and_median_return(&returns);
        let (sum, n) = self.stock_days;
        json!({
            "report": "month",
            "as_of": as_of.to_string(),
            "month": self.from.format("%Y-%m").to_string(),
            "cars_sold": self.cars_sold(),
            "cars_bought": self.bought.iter().map(|(stay, price)| json!({
                "stock_no": stay.no, "bought_on": stay.bought_on.to_string(), "purchase_price": money(*price),
            })).collect::<Vec<_>>(),
            "sales_reversed": self.sales_reversed(),
            "cars_disposed": self.cars_disposed(),
            "disposal_losses": money(self.disposal_losses),
            "sales": money(self.sales),
            "cost_of_cars_sold": money(self.cost),
            "vat_on_margins": money(self.vat_on_margins),
            "vat_on_sales": money(self.vat_on_sales),
            "gross_profit": money(self.gross),
            "after_sale_costs": money(self.after_sale),
            "overheads": self.overheads.iter().map(|(heading, amount)| json!({"heading": heading, "amount": money(*amount)})).collect::<Vec<_>>(),
            "overheads_total": money(self.overheads.values().sum()),
            "other_income": money(self.other_income),
            "profit": money(self.profit),
            "average_return_pct": self.pooled(),
            "mean_return_pct": mean_return,
            "median_return_pct": median_return,
            "mean_days_to_sell": mean(&self.days_to_sell()),
            "median_days_to_sell": median(&self.days_to_sell()),
            "stock_at_cost": money(after.stock_at_cost),
            "average_stock_at_cost": if n > 0 { money(pence(sum, n)) } else { Value::Null },
            "cash_tied_up": money(after.cash_tied_up()),
            "stock_turn": self.yearly(self.cost),
            "gmroi": self.yearly(self.gross),
            "profit_at_usual_prices": money(self.at_usual),
            "written_off": money(after.written_off - before.written_off),
            "money_in": money(self.flow.money_in),
            "money_out": money(self.flow.money_out),
            "bridge": self.bridge(before, after),
        })
    }

    fn cars_sold(&self) -> Vec<Value> {
        let told = |(stay, made): &Sold<'_>| {
            json!({
                "stock_no": stay.no,
                "sold_on": made.on.to_string(),
                "selling_price": money(made.price),
                "stands_in": money(made.stood_in),
                "vat_on_margin": money(made.vat_on_margin),
                "profit": money(made.profit),
                "return_pct": return_pct(made.profit, made.stood_in),
                "multiple": multiple(made.price, made.stood_in),
                "days_to_sell": made.days,
            })
        };
        self.sold.iter().map(told).collect()
    }

    fn sales_reversed(&self) -> Vec<Value> {
        let told = |(stay, made, on): &Reversed<'_>| {
            json!({
                "stock_no": stay.no,
                "sold_on": made.on.to_string(),
                "reversed_on": on.to_string(),
                "selling_price": money(made.price),
                "stands_in": money(made.stood_in),
                "vat_on_margin": money(made.vat_on_margin),
                "profit": money(made.profit),
                "refund": money(made.refund),
            })
        };
        self.reversed.iter().map(told).collect()
    }

    fn cars_disposed(&self) -> Vec<Value> {
        let told = |gone: &Disposed<'_>| {
            let mut row = json!({
                "stock_no": gone.stay.no,
                "on": gone.disposal.on.to_string(),
                "how": gone.disposal.how,
                "stands_in": money(gone.stood_in),
                "received": money(gone.received),
                "loss": money(gone.stood_in - gone.disposal.value - gone.received),
            });
            if ["kept", "returned"].contains(&gone.disposal.how) {
                row["value"] = money(gone.disposal.value);
            }
            row
        };
        self.disposed.iter().map(told).collect()
    }

    fn bridge(&self, before: &Held, after: &Held) -> Value {
        let parts: Vec<(&str, i64)> = [
            ("paid ahead", before.paid_ahead - after.paid_ahead),
            ("cars kept", before.cars_kept - after.cars_kept),
            ("unpaid bills", after.bills - before.bills),
            ("loans", after.loans - before.loans),
            ("refunds owed", after.refunds - before.refunds),
            ("written off", before.written_off - after.written_off),
        ]
        .into_iter()
        .filter(|(_, amount)| *amount != 0)
        .collect();
        json!({
            "float_at_start": money(before.float()),
            "profit": money(self.profit),
            "stock_increase": money(after.stock_at_cost - before.stock_at_cost),
            "owed_by_buyers_increase": money(after.owed_by_buyers - before.owed_by_buyers),
            "owed_to_sellers_increase": money(after.owed_to_sellers - before.owed_to_sellers),
            "deposits_increase": money(after.deposits - before.deposits),
            "vat_owed_increase": money(after.vat_owed - before.vat_owed),
            "paid_in": money(self.flow.paid_in),
            "drawn": money(self.flow.drawn),
            "other": money(parts.iter().map(|(_, amount)| amount).sum()),
            "other_parts": parts.iter().map(|(name, amount)| json!({"name": name, "amount": money(*amount)})).collect::<Vec<_>>(),
            "float_at_end": money(after.float()),
        })
    }

    /// The span as a row of `results`.
    pub fn row(&self, month: Option<&str>) -> Value {
        json!({
            "month": month,
            "cars_bought": self.bought.len(),
            "cars_sold": self.sold.len(),
            "sales": money(self.sales),
            "gross_profit": money(self.gross),
            "overheads_total": money(self.overheads.values().sum()),
            "profit": money(self.profit),
            "average_return_pct": self.pooled(),
            "mean_days_to_sell": mean(&self.days_to_sell()),
            "cash_tied_up": money(self.after.cash_tied_up()),
            "float_at_end": money(self.after.float()),
        })
    }

    /// The figures `results` gives of the whole span.
    pub fn results(&self, as_of: NaiveDate, months: &[Value]) -> Value {
        json!({
            "report": "results",
            "as_of": as_of.to_string(),
            "months": months,
            "total": self.row(None),
            "stock_turn": self.yearly(self.cost),
            "days_sales_in_stock": self.days_sales(),
            "gmroi": self.yearly(self.gross),
        })
    }
}

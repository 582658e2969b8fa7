//! What is held and owed at the end of a day, worked out again: `cash` and `stock`.

use super::book::{Book, Why};
use super::rounding::{mean, money};
use super::stay::up_to;
use crate::history::Pocket;
use chrono::NaiveDate;
use serde_json::{Value, json};

/// Balances at the end of a day.
#[derive(Clone, Copy, Debug, Default)]
pub struct Held {
    pub cash: i64,
    pub bank: i64,
    pub stock_at_cost: i64,
    pub owed_by_buyers: i64,
    pub owed_to_sellers: i64,
    pub owed_on_stock: i64,
    pub vat_owed: i64,
    pub paid_ahead: i64,
    pub bills: i64,
    pub loans: i64,
    pub deposits: i64,
    pub refunds: i64,
    /// What is written off of sales that stand.
    pub written_off: i64,
    /// The value of the cars the owner has kept.
    pub cars_kept: i64,
}

impl Held {
    pub fn float(&self) -> i64 {
        self.cash + self.bank
    }

    pub fn cash_tied_up(&self) -> i64 {
        self.stock_at_cost - self.owed_on_stock - self.deposits
    }
}

impl Book {
    pub fn stock_at_cost(&self, day: NaiveDate) -> i64 {
        self.stays.iter().filter(|stay| stay.in_stock(day)).map(|stay| self.stands_in(stay, day)).sum()
    }

    /// Every movement of money up to `day`: the day, the pocket and the amount, in positive.
    pub fn money_moved(&self, day: NaiveDate) -> Vec<(NaiveDate, Pocket, i64, Option<Why>)> {
        let mut all = Vec::new();
        for line in self.lines.iter().filter(|line| line.on <= day) {
            if let Some(pocket) = line.pocket {
                all.push((line.on, pocket, if line.receipt { line.amount } else { -line.amount }, None));
            }
        }
        for moved in self.moved.iter().filter(|moved| moved.on <= day) {
            all.push((moved.on, moved.pocket, moved.amount, Some(moved.why)));
        }
        all
    }

    pub fn held(&self, day: NaiveDate) -> Held {
        let mut held = Held { stock_at_cost: self.stock_at_cost(day), ..Held::default() };
        for (_, pocket, amount, why) in self.money_moved(day) {
            match pocket {
                Pocket::Cash => held.cash += amount,
                Pocket::Bank => held.bank += amount,
                Pocket::Own => {}
            }
            match why {
                Some(Why::Bill) => held.bills += amount,
                Some(Why::Loan) => held.loans += amount,
                Some(Why::Vat) => held.vat_owed += amount,
                _ => {}
            }
        }
        for line in self.lines.iter().filter(|line| line.on <= day) {
            held.vat_owed += if line.receipt { self.vat_of(line) } else { -self.vat_of(line) };
            if line.pocket.is_none() {
                held.bills += line.amount;
            }
        }
        for stay in &self.stays {
            let owed = self.owed_to_seller(stay, day);
            held.owed_to_sellers += owed;
            held.owed_by_buyers += Self::owed_by_buyer(stay, day);
            held.deposits += up_to(day, &stay.deposits);
            held.refunds += up_to(day, &stay.refunds);
            if stay.in_stock(day) {
                held.owed_on_stock += owed;
            }
            if stay.bought_on <= day {
                held.vat_owed -= self.input_vat(stay);
            } else {
                held.paid_ahead += self.stock_lines(stay, day).map(|line| self.net(line)).sum::<i64>();
            }
            for sale in &stay.sales {
                let stands = sale.back.as_ref().is_none_or(|back| back.on > day);
                if sale.on <= day && stands {
                    held.vat_owed += self.sale_vat(stay, sale).0;
                    held.written_off += up_to(day, &sale.written_off);
                }
            }
            if let Some(kept) = stay.disposed_by(day).filter(|disposal| disposal.how == "kept") {
                held.cars_kept += kept.value;
            }
        }
        for kept in self.kept.iter().filter(|kept| kept.on <= day) {
            held.vat_owed += self.kept_vat(kept);
        }
        held
    }

    pub fn cash(&self, day: NaiveDate) -> Value {
        let held = self.held(day);
        json!({
            "report": "cash",
            "as_of": day.to_string(),
            "float": money(held.float()),
            "cash_in_hand": money(held.cash),
            "bank": money(held.bank),
            "cash_tied_up": money(held.cash_tied_up()),
            "owed_by_buyers": money(held.owed_by_buyers),
            "owed_to_sellers": money(held.owed_to_sellers),
            "deposits_held": money(held.deposits),
            "refunds_owed": money(held.refunds),
            "vat_owed": money(held.vat_owed),
            "stock_at_cost": money(held.stock_at_cost),
            "owed_on_stock": money(held.owed_on_stock),
            "money_not_yet_back": money(held.cash_tied_up() + held.owed_by_buyers),
            "unpaid_bills": money(held.bills),
            "loans": money(held.loans),
            "paid_ahead": money(held.paid_ahead),
        })
    }

    pub fn stock(&self, day: NaiveDate) -> Value {
        let held = self.held(day);
        let mut cars = Vec::new();
        let mut days = Vec::new();
        for stay in self.stays.iter().filter(|stay| stay.in_stock(day)) {
            cars.push(self.facts(stay, day));
            days.push(stay.days(day));
        }
        json!({
            "report": "stock",
            "as_of": day.to_string(),
            "count": cars.len(),
            "cars": cars,
            "stock_at_cost": money(held.stock_at_cost),
            "cash_tied_up": money(held.cash_tied_up()),
            "average_days_in_stock": mean(&days),
        })
    }
}

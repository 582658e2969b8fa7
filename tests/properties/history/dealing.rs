//! Cars bought and sold, what is spent on them and what they bring in.

use super::plain::{What, Whose};
use super::trader::{Stay, Trader, pounds};
use chrono::{Days, NaiveDate};
use std::fmt::Write;

const COSTS: &[&str] = &["mot", "parts", "tyres", "valet", "fuel", "transport", "inspection", "glass"];
const YARD_COSTS: &[&str] = &["rent", "tools", "phone", "advertising", "parts", "other"];
const CAR_RECEIPTS: &[&str] = &["wheels-sold", "parts-sold", "insurance-paid", "refund"];
const OTHER_RECEIPTS: &[&str] = &["scrap-sold", "work-done", "other-income"];
pub const SUPPLIERS: &[&str] = &["Hob Lane Spares", "Tarn Tyres", "Wick Bodyworks"];

impl Trader {
    pub fn buys(&mut self) {
        let on = self.some_day(NaiveDate::MIN);
        let mark = self.mark_to_buy(on);
        let price = if self.dice.chance(8) { 0 } else { self.dice.amount(1_500) };
        let mut line = format!("buy {mark} {}", pounds(price));
        let finance = if price > 0 && self.dice.chance(12) { self.dice.between(1, price) } else { 0 };
        if finance > 0 {
            let _ = write!(line, " --finance {}", pounds(finance));
        }
        let mut paid = price - finance;
        if paid > 0 && self.dice.chance(20) {
            paid = self.dice.between(0, paid);
            let _ = write!(line, " --paid-amount {}", pounds(paid));
        }
        let (how, pocket) = self.paid(true);
        line += how;
        let invoice_vat = (price > 0 && self.dice.chance(22)).then_some(price / 6);
        if let Some(vat) = invoice_vat {
            let _ = write!(line, " --vat {} --vat-invoice", pounds(vat));
        }
        if self.dice.chance(50) {
            line += " --from \"R Ashdown\" --miles 82000";
        }
        // What is learnt of a vehicle when it comes back has no date: it was always so. It is left
        // out, for reports of earlier days may show it.
        if self.dice.chance(50) && !self.stays.iter().any(|stay| stay.mark == mark) {
            line += " --make Corvane";
        }
        let car = self.takes_into_stock(mark, on, price - paid);
        self.keep_on(&line, on, What::Bought { car, price, paid, pocket, invoice_vat });
    }

    /// A mark never seen, or one of a car sold by `on` that comes back.
    fn mark_to_buy(&mut self, on: NaiveDate) -> String {
        let back: Vec<Stay> = self
            .stays
            .iter()
            .filter(|stay| stay.sold_on.is_some_and(|sold| sold <= on))
            .filter(|stay| !self.stays.iter().any(|other| other.mark == stay.mark && other.no > stay.no))
            .cloned()
            .collect();
        match self.dice.pick_any(&back) {
            Some(stay) if self.dice.chance(12) => stay.mark,
            _ => fresh_mark(self.stays.len()),
        }
    }

    fn takes_into_stock(&mut self, mark: String, bought_on: NaiveDate, owed_to_seller: i64) -> u32 {
        let no = u32::try_from(self.stays.len() + 1).expect("few cars");
        self.stays.push(Stay { no, mark, bought_on, owed_to_seller, sold_on: None, owed_by_buyer: 0 });
        no
    }

    pub fn sells(&mut self) {
        let Some(stay) = self.dice.pick_any(&self.in_stock()) else { return };
        let on = self.some_day(stay.bought_on);
        let price = if self.dice.chance(4) { 0 } else { self.dice.amount(2_500) };
        let mut line = format!("sell {} {}", stay.no, pounds(price));
        let mut taken_in = Vec::new();
        let cars = if self.dice.chance(25) { self.dice.between(1, 2) } else { 0 };
        for _ in 0..cars {
            let mark = fresh_mark(self.stays.len());
            let allowance =
                if self.dice.chance(20) { price + self.dice.amount(300) } else { self.dice.between(0, price / 2) };
            let _ = write!(line, " --part-exchange {mark}={}", pounds(allowance));
            taken_in.push((self.takes_into_stock(mark, on, 0), allowance));
        }
        let due = price - taken_in.iter().map(|(_, allowance)| allowance).sum::<i64>();
        let mut received = due;
        if due > 0 && self.dice.chance(30) {
            received = self.dice.between(0, due);
            let _ = write!(line, " --paid-amount {}", pounds(received));
        }
        let (how, pocket) = self.paid(true);
        line += how;
        if self.dice.chance(30) {
            line += " --to-trade";
        } else {
            line += " --to \"D Farrow\"";
        }
        let sold = self.stay(stay.no);
        sold.sold_on = Some(on);
        sold.owed_by_buyer = due - received;
        self.keep_on(&line, on, What::Sold { car: stay.no, price, received, pocket, taken_in });
    }

    pub fn spends(&mut self) {
        let free = self.dice.chance(8);
        let mut amount = if free { 0 } else { self.dice.amount(180) };
        let (words, whose, stay) = self.whose(&mut amount);
        // Now and then a cost paid before the car was bought, or on the very day it was sold.
        let ahead = stay.as_ref().filter(|_| self.dice.chance(15)).map(|stay| stay.bought_on - Days::new(5));
        let last = stay.and_then(|stay| stay.sold_on).filter(|_| self.dice.chance(15));
        let on = ahead.or(last).unwrap_or_else(|| self.some_day(NaiveDate::MIN));
        let yard_only = matches!(whose, Whose::Yard);
        let heading = self.dice.pick(if yard_only { YARD_COSTS } else { COSTS });
        let usual = (amount == 0 || self.dice.chance(20)).then(|| self.dice.amount(200));
        let (vat_words, vat) = self.vat_in(amount);
        let mut line = format!("spend {} {heading}{words}{vat_words}", pounds(amount));
        if let Some(usual) = usual {
            let _ = write!(line, " --usual {}", pounds(usual));
        }
        let pocket = if amount > 0 && self.dice.chance(15) {
            let supplier = self.dice.pick(SUPPLIERS);
            let _ = write!(line, " --unpaid --to \"{supplier}\"");
            self.owes(supplier, on, amount);
            None
        } else {
            let (how, pocket) = self.paid(true);
            line += how;
            Some(pocket)
        };
        self.keep_on(&line, on, What::Spent { amount, usual, vat, heading, whose, pocket });
    }

    /// Whose a cost is, in words and as a fact, and the one car it is on. A split sets
    /// the amount.
    fn whose(&mut self, amount: &mut i64) -> (String, Whose, Option<Stay>) {
        let stays = self.stays.clone();
        let recent: Vec<Stay> = stays.iter().rev().take(6).cloned().collect();
        let Some(stay) = self.dice.pick_any(&recent) else { return (" --overhead".into(), Whose::Yard, None) };
        let mut cars = vec![stay.no];
        for _ in 0..self.dice.between(1, 2) {
            let other = self.dice.pick(&recent).no;
            if !cars.contains(&other) {
                cars.push(other);
            }
        }
        match self.dice.between(1, 100) {
            1..=55 => (format!(" --car {}", stay.no), Whose::Car(stay.no), Some(stay)),
            56..=70 => {
                let list: Vec<String> = cars.iter().map(ToString::to_string).collect();
                (format!(" --share {}", list.join(",")), Whose::Equally(cars), None)
            }
            71..=85 => {
                let mut parts: Vec<(Option<u32>, i64)> =
                    cars.iter().map(|car| (Some(*car), self.dice.amount(90))).collect();
                if self.dice.chance(50) {
                    let at = usize::try_from(self.dice.between(0, 1)).expect("a place");
                    parts.insert(at, (None, self.dice.amount(60)));
                }
                *amount = parts.iter().map(|(_, part)| part).sum();
                let words = parts.iter().fold(String::new(), |words, (car, part)| {
                    let target = car.map_or_else(|| "overhead".to_owned(), |car| car.to_string());
                    format!("{words} --split {target}={}", pounds(*part))
                });
                (words, Whose::Parts(parts), None)
            }
            _ => (" --overhead".into(), Whose::Yard, None),
        }
    }

    pub fn receives(&mut self) {
        let on = self.some_day(NaiveDate::MIN);
        let amount = self.dice.amount(150);
        let (vat_words, vat) = self.vat_in(amount);
        let (how, pocket) = self.paid(true);
        let stay = self.dice.pick_any(&self.stays.clone()).filter(|_| self.dice.chance(65));
        let line = match &stay {
            Some(stay) => format!("receive {} {} --car {}", pounds(amount), self.dice.pick(CAR_RECEIPTS), stay.no),
            None => format!("receive {} {} --other", pounds(amount), self.dice.pick(OTHER_RECEIPTS)),
        };
        let what = What::Received { amount, vat, car: stay.map(|stay| stay.no), pocket };
        self.keep_on(&format!("{line}{vat_words}{how}"), on, what);
    }

    pub fn pays_seller(&mut self) {
        let owing: Vec<Stay> = self.stays.iter().filter(|stay| stay.owed_to_seller > 0).cloned().collect();
        let Some(stay) = self.dice.pick_any(&owing) else { return };
        let amount = if self.dice.chance(50) { stay.owed_to_seller } else { self.dice.between(1, stay.owed_to_seller) };
        let on = self.some_day(stay.bought_on);
        let (how, pocket) = self.paid(true);
        self.stay(stay.no).owed_to_seller -= amount;
        let line = format!("spend {} balance --car {}{how}", pounds(amount), stay.no);
        self.keep_on(&line, on, What::SellerPaid { car: stay.no, amount, pocket });
    }

    pub fn buyer_pays(&mut self) {
        let owing: Vec<Stay> = self.stays.iter().filter(|stay| stay.owed_by_buyer > 0).cloned().collect();
        let Some(stay) = self.dice.pick_any(&owing) else { return };
        let amount = if self.dice.chance(50) { stay.owed_by_buyer } else { self.dice.between(1, stay.owed_by_buyer) };
        let on = self.some_day(stay.sold_on.unwrap_or(stay.bought_on));
        let (how, pocket) = self.paid(true);
        self.stay(stay.no).owed_by_buyer -= amount;
        let line = format!("receive {} balance --car {}{how}", pounds(amount), stay.no);
        self.keep_on(&line, on, What::BuyerPaid { car: stay.no, amount, pocket });
    }
}

/// The `n`th mark, no two alike.
fn fresh_mark(n: usize) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHJKLMNPRSTUVWXYZ";
    let letter = |n: usize| char::from(LETTERS[n % LETTERS.len()]);
    format!("KX12R{}{}", letter(n / LETTERS.len()), letter(n))
}

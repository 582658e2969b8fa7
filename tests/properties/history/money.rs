//! What is spent, on cars and on the yard, and what comes in.

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
    pub fn spends(&mut self) {
        let free = self.dice.chance(8);
        let mut amount = if free { 0 } else { self.dice.amount(180) };
        let (words, whose, stay) = self.whose(&mut amount);
        // Now and then a cost paid before the car was bought, or on the very day it came or went.
        let ahead = stay.as_ref().filter(|_| self.dice.chance(15)).map(|stay| stay.bought_on - Days::new(5));
        let turn = stay.map(|stay| stay.left_on.unwrap_or(stay.came_on)).filter(|_| self.dice.chance(22));
        let on = ahead.or(turn).unwrap_or_else(|| self.some_day(NaiveDate::MIN));
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
        let broken: Vec<Stay> = self.stays.iter().filter(|stay| stay.broken).cloned().collect();
        let parts_of = self.dice.pick_any(&broken).filter(|_| self.dice.chance(40));
        let amount = self.dice.amount(150);
        let (vat_words, vat) = self.vat_in(amount);
        let (how, pocket) = self.paid(true);
        let (on, car, words) = if let Some(Stay { no, dealt_on, .. }) = parts_of {
            (self.some_day(dealt_on), Some(no), format!("parts-sold --car {no}"))
        } else if let Some(stay) = self.dice.pick_any(&self.stays.clone()).filter(|_| self.dice.chance(65)) {
            let turn = stay.left_on.filter(|_| self.dice.chance(15));
            let on = turn.unwrap_or_else(|| self.some_day(NaiveDate::MIN));
            (on, Some(stay.no), format!("{} --car {}", self.dice.pick(CAR_RECEIPTS), stay.no))
        } else {
            (self.some_day(NaiveDate::MIN), None, format!("{} --other", self.dice.pick(OTHER_RECEIPTS)))
        };
        let line = format!("receive {} {words}{vat_words}{how}", pounds(amount));
        self.keep_on(&line, on, What::Received { amount, vat, car, pocket });
    }
}

//! Offers and deposits, cars taken back, and cars that leave without a sale.

use super::dealing::BUYERS;
use super::plain::{How, TakenIn, What};
use super::trader::{Sale, Stay, Trader, pounds};
use chrono::Days;
use std::fmt::Write;

impl Trader {
    pub fn hears_an_offer(&mut self) {
        let Some(stay) = self.dice.pick_any(&self.in_stock()) else { return };
        let amount = self.dice.amount(2_000);
        let by = if self.dice.chance(60) { Some(self.dice.pick(BUYERS)) } else { None };
        let on = self.some_day(stay.came_on);
        let line = format!("offer {} {}{}", stay.no, pounds(amount), by_words(by));
        self.keep_on(&line, on, What::Offered { car: stay.no, by, amount });
    }

    pub fn takes_a_deposit(&mut self) {
        let Some(stay) = self.dice.pick_any(&self.in_stock()) else { return };
        let on = self.some_day(stay.dealt_on);
        let large = self.dice.chance(30);
        let amount = self.dice.amount(if large { 1_500 } else { 200 });
        let (held, mut by) = stay.deposit;
        // The first deposit says whose it is; more can only come from the same.
        if held == 0 {
            by = if self.dice.chance(75) { Some(self.dice.pick(BUYERS)) } else { None };
        }
        let (how, pocket) = self.paid(true);
        let mut line = format!("deposit {} {}{}{how}", stay.no, pounds(amount), by_words(by));
        if self.dice.chance(40) {
            let _ = write!(line, " --hold-until {}", on + Days::new(14));
        }
        let known = self.stay(stay.no);
        (known.deposit, known.dealt_on) = ((held + amount, by), on);
        self.keep_on(&line, on, What::DepositTaken { car: stay.no, amount, pocket });
    }

    /// Gives a deposit back, all or part, or keeps it.
    pub fn ends_a_deposit(&mut self) {
        let held: Vec<Stay> = self.stays.iter().filter(|stay| stay.deposit.0 > 0).cloned().collect();
        let Some(stay) = self.dice.pick_any(&held) else { return };
        let on = self.some_day(stay.dealt_on);
        let (held, by) = stay.deposit;
        let part = if self.dice.chance(40) { self.dice.between(1, held) } else { held };
        let keeps = self.dice.chance(55);
        let amount = if keeps { held } else { part };
        let known = self.stay(stay.no);
        (known.deposit, known.dealt_on) = ((held - amount, by), on);
        if keeps {
            let line = format!("deposit {} --keep", stay.no);
            self.keep_on(&line, on, What::DepositKept { car: stay.no, amount });
            return;
        }
        let (how, pocket) = self.paid(true);
        let said = if amount < held { format!(" {}", pounds(amount)) } else { String::new() };
        let line = format!("deposit {} --give-back{said}{how}", stay.no);
        self.keep_on(&line, on, What::DepositGivenBack { car: stay.no, amount, pocket });
    }

    pub fn writes_off(&mut self) {
        let Some((car, mut sale, amount)) = self.owed_by_a_buyer() else { return };
        let on = self.some_day(sale.on);
        sale.owed -= amount;
        self.settles_sale(car, sale, on);
        self.keep_on(&format!("write-off {car} {}", pounds(amount)), on, What::WrittenOff { car, amount });
    }

    pub fn takes_back(&mut self) {
        let gone = self.stays.iter().filter(|stay| !self.bought_again(stay));
        let sold: Vec<(Stay, Sale)> = gone.filter_map(|stay| Some((stay.clone(), stay.sale.clone()?))).collect();
        let exchanged: Vec<_> = sold.iter().filter(|(_, sale)| !sale.taken_in.is_empty()).cloned().collect();
        let exchanged = self.dice.pick_any(&exchanged).filter(|_| self.dice.chance(30));
        let Some((stay, sale)) = exchanged.or_else(|| self.dice.pick_any(&sold)) else { return };
        let mut line = format!("take-back {}", stay.no);
        let mut earliest = stay.dealt_on;
        let mut refund = sale.paid.max(0);
        let mut most = sale.paid + sale.credits();
        let mut returned = Vec::new();
        if self.can_return_cars(&sale.taken_in) && self.dice.chance(80) {
            line += " --return-part-exchange";
            refund = sale.paid;
            for taken in &sale.taken_in {
                let car = self.stay(taken.car).clone();
                earliest = earliest.max(car.dealt_on);
                if car.left_on.is_none() {
                    returned.push(taken.car);
                    most -= taken.allowance;
                } else {
                    refund += taken.allowance;
                }
            }
        }
        if most > 0 && self.dice.chance(30) {
            refund = self.dice.between(0, most);
            let _ = write!(line, " --refund {}", pounds(refund));
        }
        let on = if self.dice.chance(20) { earliest } else { self.some_day(earliest) };
        let (how, pocket) = self.paid(true);
        let unpaid =
            refund > 0 && stay.refund.0 == 0 && self.dice.chance(if stay.owed_to_seller > 0 { 75 } else { 35 });
        line += if unpaid { " --unpaid" } else { how };
        for no in &returned {
            let car = self.stay(*no);
            (car.left_on, car.dealt_on) = (Some(on), on);
        }
        let known = self.stay(stay.no);
        (known.came_on, known.dealt_on, known.left_on, known.sale) = (on, on, None, None);
        if unpaid {
            known.refund = (refund, sale.buyer, on);
        }
        let pocket = (!unpaid).then_some(pocket);
        self.keep_on(&line, on, What::TakenBack { car: stay.no, refund, pocket, returned });
    }

    /// Whether cars were taken in that can go back: with no lender and no deposit in between.
    fn can_return_cars(&self, taken_in: &[TakenIn]) -> bool {
        let free = |taken: &TakenIn| {
            let car = self.stays.iter().find(|stay| stay.no == taken.car);
            taken.to_lender == 0 && car.is_some_and(|car| car.deposit.0 == 0)
        };
        !taken_in.is_empty() && taken_in.iter().all(free)
    }

    pub fn disposes(&mut self) {
        let free: Vec<Stay> = self.in_stock().into_iter().filter(|stay| stay.deposit.0 == 0).collect();
        let Some(stay) = self.dice.pick_any(&free) else { return };
        let on = self.some_day(stay.dealt_on);
        let value = self.dice.amount(900);
        let (word, how) = self.dice.pick(&[
            ("scrapped", How::Scrapped),
            ("broken", How::Broken),
            ("lost", How::Lost),
            ("kept", How::Kept(value)),
        ]);
        let mut line = format!("dispose {} {word}", stay.no);
        let mut received = None;
        if let How::Kept(value) = how {
            let _ = write!(line, " --value {}", pounds(value));
        } else if self.dice.chance(60) {
            let amount = self.dice.amount(400);
            let (how, pocket) = self.paid(true);
            let _ = write!(line, " --received {}{how}", pounds(amount));
            received = Some((amount, pocket));
        }
        if how == How::Scrapped && self.dice.chance(50) {
            line += " --to \"Beck End Metals\" --certificate C1041";
        }
        let known = self.stay(stay.no);
        (known.left_on, known.dealt_on, known.broken) = (Some(on), on, how == How::Broken);
        self.keep_on(&line, on, What::Disposed { car: stay.no, how, received });
    }
}

fn by_words(by: Option<&str>) -> String {
    by.map(|name| format!(" --by \"{name}\"")).unwrap_or_default()
}

//! Cars bought and sold.

use super::plain::{TakenIn, What};
use super::trader::{Sale, Stay, Trader, pounds};
use chrono::NaiveDate;
use std::fmt::Write;

const SELLER: &str = "R Ashdown";
pub const BUYERS: &[&str] = &["D Farrow", "M Oakes"];

/// What an auction asks: the part of its fee that is part of the price, and costs beside it with
/// their VAT.
#[derive(Default)]
struct Auction {
    in_price: i64,
    charges: Vec<(i64, i64)>,
}

impl Trader {
    pub fn buys(&mut self) {
        let on = self.some_day(NaiveDate::MIN);
        let mark = self.mark_to_buy(on);
        let agreed = match self.dice.between(1, 100) {
            1..=8 => 0,
            9..=18 => self.dice.amount(60),
            _ => self.dice.amount(1_500),
        };
        let mut line = format!("buy {mark} {}", pounds(agreed));
        let auction =
            if agreed > 0 && self.dice.chance(20) { self.goes_to_auction(&mut line) } else { Auction::default() };
        let price = agreed + auction.in_price;
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
        // A fee that is part of the price has no VAT to show.
        let invoice_vat = (price > 0 && auction.in_price == 0 && self.dice.chance(22)).then_some(price / 6);
        if let Some(vat) = invoice_vat {
            let _ = write!(line, " --vat {} --vat-invoice", pounds(vat));
        }
        let seller = self.dice.chance(70).then_some(SELLER);
        if let Some(seller) = seller {
            let _ = write!(line, " --from \"{seller}\" --miles 82000");
        }
        // What is learnt of a vehicle when it comes back has no date: it was always so. It is left
        // out, for reports of earlier days may show it.
        if self.dice.chance(50) && !self.stays.iter().any(|stay| stay.mark == mark) {
            line += " --make Corvane";
        }
        let car = self.takes_into_stock(mark, on, price - paid);
        self.stay(car).seller = seller;
        let charges = auction.charges;
        self.keep_on(&line, on, What::Bought { car, price, paid, pocket, invoice_vat, charges });
    }

    fn goes_to_auction(&mut self, line: &mut String) -> Auction {
        let mut auction = Auction::default();
        *line += " --via auction";
        if self.dice.chance(70) {
            let fee = self.dice.amount(90);
            let _ = write!(line, " --buyers-fee {}", pounds(fee));
            if fee / 6 > 0 && self.dice.chance(50) {
                let _ = write!(line, " --fee-vat {}", pounds(fee / 6));
                auction.charges.push((fee, fee / 6));
            } else {
                auction.in_price = fee;
            }
        }
        if self.dice.chance(40) {
            let indemnity = self.dice.amount(30);
            let _ = write!(line, " --indemnity {}", pounds(indemnity));
            auction.charges.push((indemnity, 0));
        }
        auction
    }

    /// A mark never seen, or one of a car gone by `on` that comes back.
    fn mark_to_buy(&mut self, on: NaiveDate) -> String {
        let gone = self.stays.iter().filter(|stay| stay.left_on.is_some_and(|left| left <= on));
        let back: Vec<Stay> = gone.filter(|stay| !self.bought_again(stay)).cloned().collect();
        match self.dice.pick_any(&back) {
            Some(stay) if self.dice.chance(12) => stay.mark,
            _ => fresh_mark(self.stays.len()),
        }
    }

    /// Whether the vehicle has come in again as a car of its own.
    pub fn bought_again(&self, stay: &Stay) -> bool {
        self.stays.iter().any(|other| other.mark == stay.mark && other.no > stay.no)
    }

    fn takes_into_stock(&mut self, mark: String, bought_on: NaiveDate, owed_to_seller: i64) -> u32 {
        let no = u32::try_from(self.stays.len() + 1).expect("few cars");
        self.stays.push(Stay {
            no,
            mark,
            bought_on,
            seller: None,
            owed_to_seller,
            came_on: bought_on,
            dealt_on: bought_on,
            left_on: None,
            sale: None,
            deposit: (0, None),
            refund: (0, None, bought_on),
            broken: false,
        });
        no
    }

    pub fn sells(&mut self) {
        let wanted: Vec<Stay> = self.in_stock().into_iter().filter(|stay| stay.deposit.0 > 0).collect();
        let wanted = self.dice.pick_any(&wanted).filter(|_| self.dice.chance(30));
        let Some(stay) = wanted.or_else(|| self.dice.pick_any(&self.in_stock())) else { return };
        let on = self.some_day(stay.dealt_on);
        let price = if self.dice.chance(4) { 0 } else { self.dice.amount(2_500) };
        let mut line = format!("sell {} {}", stay.no, pounds(price));
        let taken_in = self.takes_in_part_exchange(price, on, &mut line);
        let (held, depositor) = stay.deposit;
        let to = if self.dice.chance(70) { Some(self.dice.pick(BUYERS)) } else { None };
        let anothers = held > 0 && depositor.is_some() && to.is_some() && to != depositor;
        let (deposit_used, deposit_given_back) = if anothers { (0, held) } else { (held, 0) };
        if anothers {
            line += " --give-back-deposit";
        }
        if let Some(to) = to {
            let _ = write!(line, " --to \"{to}\"");
        }
        if to.is_none() || self.dice.chance(15) {
            line += " --to-trade";
        }
        let buyer = if held > 0 { to.or(depositor) } else { to };
        let mut sale = Sale { on, buyer, taken_in: taken_in.clone(), paid: 0, owed: 0 };
        let due = price - sale.credits() - deposit_used;
        let mut received = due;
        if due > 0 && self.dice.chance(35) {
            received = self.dice.between(0, due);
            let _ = write!(line, " --paid-amount {}", pounds(received));
        }
        let (how, pocket) = self.paid(true);
        line += how;
        sale.paid = deposit_used + received;
        sale.owed = due - received;
        let sold = self.stay(stay.no);
        (sold.left_on, sold.dealt_on, sold.sale, sold.deposit) = (Some(on), on, Some(sale), (0, None));
        let what = What::Sold { car: stay.no, price, received, pocket, taken_in, deposit_used, deposit_given_back };
        self.keep_on(&line, on, what);
    }

    fn takes_in_part_exchange(&mut self, price: i64, on: NaiveDate, line: &mut String) -> Vec<TakenIn> {
        let mut taken_in = Vec::new();
        let cars = if self.dice.chance(30) { self.dice.between(1, 2) } else { 0 };
        for _ in 0..cars {
            let mark = fresh_mark(self.stays.len());
            let allowance =
                if self.dice.chance(20) { price + self.dice.amount(300) } else { self.dice.between(0, price / 2) };
            let _ = write!(line, " --part-exchange {mark}={}", pounds(allowance));
            let to_lender = if allowance > 0 && self.dice.chance(20) { self.dice.between(1, allowance) } else { 0 };
            if to_lender > 0 {
                let _ = write!(line, " --part-exchange-finance {mark}={}", pounds(to_lender));
            }
            let car = self.takes_into_stock(mark, on, to_lender);
            taken_in.push(TakenIn { car, allowance, to_lender });
        }
        taken_in
    }

    /// One on which something is owed, rather one on which both its seller and a buyer are.
    fn one_owing(&mut self, owed: fn(&Stay) -> i64) -> Option<Stay> {
        let owing: Vec<Stay> = self.stays.iter().filter(|stay| owed(stay) > 0).cloned().collect();
        let both: Vec<Stay> =
            owing.iter().filter(|stay| stay.owed_to_seller > 0 && stay.refund.0 > 0).cloned().collect();
        let both = self.dice.pick_any(&both).filter(|_| self.dice.chance(60));
        both.or_else(|| self.dice.pick_any(&owing))
    }

    pub fn pays_seller(&mut self) {
        let Some(stay) = self.one_owing(|stay| stay.owed_to_seller) else { return };
        let Some(to) = to_whom(&stay, stay.seller) else { return };
        let amount = if self.dice.chance(50) { stay.owed_to_seller } else { self.dice.between(1, stay.owed_to_seller) };
        let on = self.some_day(stay.bought_on);
        let (how, pocket) = self.paid(true);
        self.stay(stay.no).owed_to_seller -= amount;
        let line = format!("spend {} balance --car {}{to}{how}", pounds(amount), stay.no);
        self.keep_on(&line, on, What::SellerPaid { car: stay.no, amount, pocket });
    }

    /// One whose buyer still owes, its sale and a part of what is owed, or all of it.
    pub fn owed_by_a_buyer(&mut self) -> Option<(u32, Sale, i64)> {
        let owing: Vec<(u32, Sale)> =
            self.stays.iter().filter_map(|stay| Some((stay.no, stay.sale.clone()?))).collect();
        let owing: Vec<(u32, Sale)> = owing.into_iter().filter(|(_, sale)| sale.owed > 0).collect();
        let (car, sale) = self.dice.pick_any(&owing)?;
        let amount = if self.dice.chance(50) { sale.owed } else { self.dice.between(1, sale.owed) };
        Some((car, sale, amount))
    }

    pub fn buyer_pays(&mut self) {
        let Some((car, mut sale, amount)) = self.owed_by_a_buyer() else { return };
        let on = self.some_day(sale.on);
        let (how, pocket) = self.paid(true);
        sale.owed -= amount;
        sale.paid += amount;
        self.settles_sale(car, sale, on);
        let line = format!("receive {} balance --car {car}{how}", pounds(amount));
        self.keep_on(&line, on, What::BuyerPaid { car, amount, pocket });
    }

    /// Remembers a sale as it now stands, after a deal of a day.
    pub fn settles_sale(&mut self, car: u32, sale: Sale, on: NaiveDate) {
        let stay = self.stay(car);
        stay.sale = Some(sale);
        stay.dealt_on = stay.dealt_on.max(on);
    }

    pub fn pays_refund(&mut self) {
        let Some(stay) = self.one_owing(|stay| stay.refund.0) else { return };
        let (owed, buyer, since) = stay.refund;
        let Some(to) = to_whom(&stay, buyer) else { return };
        let amount = if self.dice.chance(50) { owed } else { self.dice.between(1, owed) };
        let on = self.some_day(since);
        let (how, pocket) = self.paid(true);
        self.stay(stay.no).refund.0 -= amount;
        let line = format!("spend {} balance --car {}{to}{how}", pounds(amount), stay.no);
        self.keep_on(&line, on, What::RefundPaid { car: stay.no, amount, pocket });
    }
}

/// Whom a balance on a car goes to, in words: said when its seller and a buyer are both owed, none
/// when they could not be told apart.
fn to_whom(stay: &Stay, paid: Option<&str>) -> Option<String> {
    if stay.owed_to_seller == 0 || stay.refund.0 == 0 {
        return Some(String::new());
    }
    let told_apart = stay.seller.is_some() && stay.refund.1.is_some();
    paid.filter(|_| told_apart).map(|name| format!(" --to \"{name}\""))
}

/// The `n`th mark, no two alike.
fn fresh_mark(n: usize) -> String {
    const LETTERS: &[u8] = b"ABCDEFGHJKLMNPRSTUVWXYZ";
    let letter = |n: usize| char::from(LETTERS[n % LETTERS.len()]);
    format!("KX42R{}{}", letter(n / LETTERS.len()), letter(n))
}

//! The facts of a history sorted into stays, lines and money moved. Standing costs become plain
//! lines on their days, up to the day it really is.

use super::rounding::shared;
use super::stay::{Back, Disposal, Place, Sale, Stay};
use crate::history::{Every, History, How, Pocket, What, Whose};
use chrono::{Datelike, Days, NaiveDate};
use std::collections::HashMap;

/// A cost, or with `receipt` money brought in.
#[derive(Debug)]
pub struct Line {
    pub car: Option<u32>,
    pub on: NaiveDate,
    pub receipt: bool,
    pub heading: &'static str,
    pub amount: i64,
    pub usual: Option<i64>,
    pub vat: i64,
    /// None while unpaid.
    pub pocket: Option<Pocket>,
    pub place: Place,
}

/// A deposit kept, or what was kept back when a car was taken back.
#[derive(Debug)]
pub struct Kept {
    pub deposit: bool,
    pub car: u32,
    pub on: NaiveDate,
    pub amount: i64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Why {
    Seller(u32),
    /// For a sale, a deposit or a refund.
    Buyer,
    Bill,
    Loan,
    Vat,
    Owner,
    Transfer,
}

/// Money into a pocket, or negative out of it.
#[derive(Debug)]
pub struct Moved {
    pub on: NaiveDate,
    pub pocket: Pocket,
    pub amount: i64,
    pub why: Why,
}

#[derive(Debug, Default)]
pub struct Book {
    pub stays: Vec<Stay>,
    pub lines: Vec<Line>,
    pub moved: Vec<Moved>,
    pub kept: Vec<Kept>,
    pub first_day: Option<NaiveDate>,
    registered: Option<NaiveDate>,
    deregistered: Option<NaiveDate>,
}

/// A standing cost while its facts are gathered.
struct Standing {
    every: Every,
    first_on: NaiveDate,
    until: Option<NaiveDate>,
    heading: &'static str,
    pocket: Pocket,
    /// From when, amount, VAT.
    amounts: Vec<(NaiveDate, i64, i64)>,
    skipped: Vec<NaiveDate>,
}

impl Book {
    pub fn of(history: &History) -> Self {
        let mut book = Self::default();
        let mut standing: HashMap<String, Standing> = HashMap::new();
        for step in &history.steps {
            book.take(step.on, &step.what, &mut standing);
        }
        for cost in standing.values() {
            book.first_is(cost.first_on);
            book.fall_due(cost, history.today);
        }
        for line in &mut book.lines {
            if let Some(stay) = book.stays.iter().find(|stay| Some(stay.no) == line.car) {
                line.place = stay.place(line.on, line.receipt);
            }
        }
        book
    }

    pub fn registered_on(&self, day: NaiveDate) -> bool {
        self.registered.is_some_and(|from| day >= from) && self.deregistered.is_none_or(|until| day <= until)
    }

    fn first_is(&mut self, day: NaiveDate) {
        self.first_day = Some(self.first_day.map_or(day, |first| first.min(day)));
    }

    fn moves(&mut self, on: NaiveDate, pocket: Pocket, amount: i64, why: Why) {
        self.first_is(on);
        self.moved.push(Moved { on, pocket, amount, why });
    }

    fn stay(&mut self, no: u32) -> &mut Stay {
        self.stays.iter_mut().find(|stay| stay.no == no).expect("a car of the history")
    }

    fn comes_in(&mut self, no: u32, bought_on: NaiveDate, price: i64, invoice_vat: Option<i64>, credit: i64) {
        self.first_is(bought_on);
        self.stays.push(Stay {
            no,
            bought_on,
            price,
            invoice_vat,
            credit,
            sales: Vec::new(),
            disposal: None,
            deposits: Vec::new(),
            refunds: Vec::new(),
            minutes: Vec::new(),
            asked: Vec::new(),
            offers: Vec::new(),
        });
    }

    /// A line on a car with its own money, a cost or a receipt.
    fn on_car(&mut self, car: u32, on: NaiveDate, receipt: bool, (amount, vat): (i64, i64), pocket: Pocket) {
        self.first_is(on);
        let (car, usual, pocket, place) = (Some(car), None, Some(pocket), Place::Yard);
        self.lines.push(Line { car, on, receipt, heading: "", amount, usual, vat, pocket, place });
    }

    fn take(&mut self, on: NaiveDate, what: &What, standing: &mut HashMap<String, Standing>) {
        match what {
            What::Bought { car, price, paid, pocket, invoice_vat, charges } => {
                self.comes_in(*car, on, *price, *invoice_vat, 0);
                self.moves(on, *pocket, -paid, Why::Seller(*car));
                for charge in charges {
                    self.on_car(*car, on, false, *charge, *pocket);
                }
            }
            What::Sold { .. } => self.sold(on, what),
            What::Offered { car, by, amount } => self.stay(*car).offers.push((on, *by, *amount)),
            What::DepositTaken { car, amount, pocket } => {
                self.stay(*car).deposits.push((on, *amount));
                self.moves(on, *pocket, *amount, Why::Buyer);
            }
            What::DepositGivenBack { car, amount, pocket } => {
                self.stay(*car).deposits.push((on, -amount));
                self.moves(on, *pocket, -amount, Why::Buyer);
            }
            What::DepositKept { car, amount } => {
                self.stay(*car).deposits.push((on, -amount));
                self.kept.push(Kept { deposit: true, car: *car, on, amount: *amount });
            }
            What::WrittenOff { car, amount } => {
                self.stay(*car).sales.last_mut().expect("sold").written_off.push((on, *amount));
            }
            What::TakenBack { car, refund, pocket, returned } => self.taken_back(on, *car, *refund, *pocket, returned),
            What::RefundPaid { car, amount, pocket } => {
                self.stay(*car).refunds.push((on, -amount));
                self.moves(on, *pocket, -amount, Why::Buyer);
            }
            What::Disposed { car, how, received } => self.disposed(on, *car, *how, *received),
            What::Spent { amount, usual, vat, heading, whose, pocket } => {
                let whole = Line {
                    car: None,
                    on,
                    receipt: false,
                    heading,
                    amount: *amount,
                    usual: *usual,
                    vat: *vat,
                    pocket: *pocket,
                    place: Place::Yard,
                };
                self.spent(&whole, whose);
            }
            What::Received { amount, vat, car, pocket } => {
                self.first_is(on);
                let line = Line {
                    car: *car,
                    on,
                    receipt: true,
                    heading: "",
                    amount: *amount,
                    usual: None,
                    vat: *vat,
                    pocket: Some(*pocket),
                    place: Place::Yard,
                };
                self.lines.push(line);
            }
            What::SellerPaid { car, amount, pocket } => self.moves(on, *pocket, -amount, Why::Seller(*car)),
            What::BuyerPaid { car, amount, pocket } => {
                self.stay(*car).sales.last_mut().expect("sold").received.push((on, *amount));
                self.moves(on, *pocket, *amount, Why::Buyer);
            }
            What::BillPaid { amount, pocket } => self.moves(on, *pocket, -amount, Why::Bill),
            What::Vat { amount, pocket } => self.moves(on, *pocket, *amount, Why::Vat),
            What::Owner { amount, pocket } => self.moves(on, *pocket, *amount, Why::Owner),
            What::Loan { amount, pocket } => self.moves(on, *pocket, *amount, Why::Loan),
            What::Moved { amount, from, to } => {
                self.moves(on, *from, -amount, Why::Transfer);
                self.moves(on, *to, *amount, Why::Transfer);
            }
            What::StandingSet { name, amount, vat, every, heading, until, pocket } => {
                let (amounts, skipped) = (vec![(on, *amount, *vat)], Vec::new());
                let (every, until, pocket) = (*every, *until, *pocket);
                standing
                    .insert(name.clone(), Standing { every, first_on: on, until, heading, pocket, amounts, skipped });
            }
            What::StandingStopped { name } => standing.get_mut(name).expect("set").until = Some(on),
            What::StandingChanged { name, amount, vat } => {
                standing.get_mut(name).expect("set").amounts.push((on, *amount, *vat));
            }
            What::StandingSkipped { name } => standing.get_mut(name).expect("set").skipped.push(on),
            What::Worked { car, minutes } => self.stay(*car).minutes.push((on, *minutes)),
            What::Asked { car, amount, lowest } => self.stay(*car).asked.push((on, *amount, *lowest)),
            What::Registered => self.registered = Some(on),
            What::Deregistered => self.deregistered = Some(on),
            What::UsuallyPaid => {}
        }
    }

    fn sold(&mut self, on: NaiveDate, what: &What) {
        let What::Sold { car, price, received, pocket, taken_in, deposit_used, deposit_given_back } = what else {
            return;
        };
        let mut credits = 0;
        for taken in taken_in {
            let credit = taken.allowance - taken.to_lender;
            self.comes_in(taken.car, on, taken.allowance, None, credit);
            credits += credit;
        }
        let stay = self.stay(*car);
        stay.deposits.push((on, -deposit_used - deposit_given_back));
        stay.sales.push(Sale {
            on,
            price: *price,
            credits,
            deposit: *deposit_used,
            received: vec![(on, *received)],
            written_off: Vec::new(),
            back: None,
        });
        self.moves(on, *pocket, -deposit_given_back, Why::Buyer);
        self.moves(on, *pocket, *received, Why::Buyer);
    }

    /// What the buyer gave and does not get back, in money or in cars, is kept.
    fn taken_back(&mut self, on: NaiveDate, no: u32, refund: i64, pocket: Option<Pocket>, returned: &[u32]) {
        let mut cars = 0;
        for car in returned {
            let car = self.stay(*car);
            car.disposal = Some(Disposal { on, how: "returned", value: car.price });
            cars += car.price;
        }
        let stay = self.stay(no);
        if pocket.is_none() {
            stay.refunds.push((on, refund));
        }
        let sale = stay.sales.last_mut().expect("sold");
        sale.back = Some(Back { on, refund });
        let given = sale.credits + sale.deposit + sale.received.iter().map(|(_, amount)| amount).sum::<i64>();
        self.kept.push(Kept { deposit: false, car: no, on, amount: given - refund - cars });
        if let Some(pocket) = pocket {
            self.moves(on, pocket, -refund, Why::Buyer);
        }
    }

    fn disposed(&mut self, on: NaiveDate, car: u32, how: How, received: Option<(i64, Pocket)>) {
        let (how, value) = match how {
            How::Scrapped => ("scrapped", 0),
            How::Broken => ("broken", 0),
            How::Lost => ("lost", 0),
            How::Kept(value) => ("kept", value),
        };
        self.stay(car).disposal = Some(Disposal { on, how, value });
        if let Some((amount, pocket)) = received {
            self.on_car(car, on, true, (amount, 0), pocket);
        }
    }

    fn spent(&mut self, whole: &Line, whose: &Whose) {
        self.first_is(whole.on);
        let mut parts: Vec<(Option<u32>, i64)> = match whose {
            Whose::Car(car) => vec![(Some(*car), whole.amount)],
            Whose::Yard => vec![(None, whole.amount)],
            Whose::Parts(parts) => parts.clone(),
            Whose::Equally(cars) => cars.iter().map(|car| (Some(*car), 0)).collect(),
        };
        // Odd pence go to the lower stock numbers, to the yard last.
        parts.sort_by_key(|(car, _)| car.unwrap_or(u32::MAX));
        let equally = matches!(whose, Whose::Equally(_));
        if equally {
            let amounts = shared(whole.amount, &vec![1; parts.len()]);
            parts.iter_mut().zip(amounts).for_each(|((_, part), amount)| *part = amount);
        }
        let amounts: Vec<i64> = parts.iter().map(|(_, amount)| *amount).collect();
        let vats = shared(whole.vat, &amounts);
        let usuals = whole.usual.map(|usual| shared(usual, &if equally { vec![1; parts.len()] } else { amounts }));
        for (n, (car, amount)) in parts.into_iter().enumerate() {
            let usual = usuals.as_ref().map(|usuals| usuals[n]);
            self.lines.push(Line { car, amount, usual, vat: vats[n], heading: whole.heading, ..*whole });
        }
    }

    fn fall_due(&mut self, cost: &Standing, last: NaiveDate) {
        let mut n = 0;
        loop {
            let on = match cost.every {
                Every::Week => cost.first_on + Days::new(7 * u64::from(n)),
                Every::Months(months) => months_after(cost.first_on, months * n),
            };
            n += 1;
            if on > last || cost.until.is_some_and(|until| on > until) {
                return;
            }
            if cost.skipped.contains(&on) {
                continue;
            }
            // The latest begun by then; of two from one day, the one said later.
            let mut in_force = cost.amounts[0];
            for amount in &cost.amounts {
                if amount.0 <= on && amount.0 >= in_force.0 {
                    in_force = *amount;
                }
            }
            let (_, amount, vat) = in_force;
            self.lines.push(Line {
                car: None,
                on,
                receipt: false,
                heading: cost.heading,
                amount,
                usual: None,
                vat,
                pocket: Some(cost.pocket),
                place: Place::Yard,
            });
        }
    }
}

/// The same day so many months later, or the last of a month that has no such day.
fn months_after(day: NaiveDate, months: u32) -> NaiveDate {
    let month = day.month0() + months;
    let (year, month) = (day.year() + i32::try_from(month / 12).expect("few years"), month % 12 + 1);
    (1..=day.day()).rev().find_map(|last| NaiveDate::from_ymd_opt(year, month, last)).expect("every month has a first")
}

//! What one car's seller and buyer owe or are owed, and what is held for it, at the end of a day.

use crate::domain::book::facts::{Car, DepositEnd, Movement, Sale, WriteOff};
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::Purpose;
use chrono::NaiveDate;

/// What the seller, or the lender its finance is owed to, is still owed on `day`.
pub fn owed_to_seller(car: &Car, day: NaiveDate) -> Pence {
    let agreed =
        if car.bought_on <= day { car.purchase_price - car.taken_in_at.unwrap_or_default() } else { Pence::ZERO };
    agreed + settled(car, Purpose::Purchase, day)
}

/// What its buyers still owe on `day`: prices, less what cars taken in, deposits and money paid, less
/// what was written off or lapsed when the car came back.
pub fn owed_by_buyer(car: &Car, day: NaiveDate) -> Pence {
    let agreed: Pence =
        car.sales.iter().filter(|sale| sale.on <= day).map(|sale| sale.selling_price - sale.credits()).sum();
    let lapsed: Pence = car
        .sales
        .iter()
        .filter_map(|sale| sale.taken_back.as_ref())
        .filter(|back| back.on <= day)
        .map(|back| back.lapsed)
        .sum();
    let deposits: Pence =
        car.deposit_ends.iter().filter(|end| end.sale_no.is_some() && end.on <= day).map(|end| end.amount).sum();
    agreed - deposits - settled(car, Purpose::Sale, day) - written_off_ever(car, day) - lapsed
}

/// What was written off by `day`, of sales reversed since too.
fn written_off_ever(car: &Car, day: NaiveDate) -> Pence {
    car.write_offs.iter().filter(|off| off.on <= day).map(|off| off.amount).sum()
}

/// What was written off by `day` of sales that stood then: what had been written off one reversed lapsed
/// with the rest of its balance.
pub fn written_off(car: &Car, day: NaiveDate) -> Pence {
    let reversed = |sale: &&Sale| sale.taken_back.as_ref().is_some_and(|back| back.on <= day);
    let lapsed: Pence = car.sales.iter().filter(reversed).map(|sale| Given::for_sale(car, sale).written_off).sum();
    written_off_ever(car, day) - lapsed
}

/// The deposit held for the car on `day`.
pub fn deposit_held(car: &Car, day: NaiveDate) -> Pence {
    let ended: Pence = car.deposit_ends.iter().filter(|end| end.on <= day).map(|end| end.amount).sum();
    settled(car, Purpose::Deposit, day) - ended
}

/// Who last paid a deposit on the car, if a name was given.
pub fn depositor(car: &Car) -> Option<&str> {
    let taken = |movement: &&Movement| movement.purpose == Purpose::Deposit && movement.amount.is_positive();
    car.settlements.iter().rev().find(taken).and_then(|movement| movement.party.as_deref())
}

/// What a buyer who brought the car back is still to be paid on `day`.
pub fn refund_owed(car: &Car, day: NaiveDate) -> Pence {
    let agreed: Pence = car
        .sales
        .iter()
        .filter_map(|sale| sale.taken_back.as_ref())
        .filter(|back| back.on <= day)
        .map(|back| back.refund)
        .sum();
    agreed + settled(car, Purpose::Refund, day)
}

fn settled(car: &Car, purpose: Purpose, day: NaiveDate) -> Pence {
    car.settlements
        .iter()
        .filter(|movement| movement.purpose == purpose && movement.on <= day)
        .map(|movement| movement.amount)
        .sum()
}

/// What a buyer has given for one sale.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Given {
    /// What the cars taken in from them counted for.
    pub credits: Pence,
    /// Their deposit.
    pub deposit: Pence,
    /// Money paid for the sale; negative when their car was worth more.
    pub money: Pence,
    /// What was let off them.
    pub written_off: Pence,
}

impl Given {
    /// What was given for `sale`.
    pub fn for_sale(car: &Car, sale: &Sale) -> Self {
        let money = paid_for(car, sale).map(|paid| paid.amount).sum();
        let deposit = deposits_for(car, sale).map(|end| end.amount).sum();
        let written_off = let_off(car, sale).map(|off| off.amount).sum();
        Self { credits: sale.credits(), deposit, money, written_off }
    }

    /// The entries that recorded what was given for `sale`.
    pub fn entries_for<'c>(car: &'c Car, sale: &'c Sale) -> impl Iterator<Item = EntryNo> + 'c {
        let paid = paid_for(car, sale).map(|paid| paid.entry);
        paid.chain(deposits_for(car, sale).map(|end| end.entry)).chain(let_off(car, sale).map(|off| off.entry))
    }

    /// Deposit and money together.
    pub fn in_money(self) -> Pence {
        self.deposit + self.money
    }

    /// Everything received.
    pub fn total(self) -> Pence {
        self.credits + self.in_money()
    }

    /// What is still owed of a price.
    pub fn left_of(self, price: Pence) -> Pence {
        price - self.total() - self.written_off
    }
}

/// Whether what was recorded in `entry`, dated `on`, is about `sale`: the latest sale there was then, by
/// its own day.
fn belongs(car: &Car, sale: &Sale, on: NaiveDate, entry: EntryNo) -> bool {
    let of = car.sales.iter().rev().find(|other| other.on <= on && other.entry <= entry);
    of.is_some_and(|of| of.sale_no == sale.sale_no)
}

/// The money paid for `sale`, oldest first.
pub fn paid_for<'c>(car: &'c Car, sale: &'c Sale) -> impl Iterator<Item = &'c Movement> {
    let of_sale = car.settlements.iter().filter(|movement| movement.purpose == Purpose::Sale);
    of_sale.filter(move |movement| belongs(car, sale, movement.on, movement.entry))
}

fn deposits_for<'c>(car: &'c Car, sale: &'c Sale) -> impl Iterator<Item = &'c DepositEnd> {
    car.deposit_ends.iter().filter(move |end| end.sale_no == Some(sale.sale_no))
}

fn let_off<'c>(car: &'c Car, sale: &'c Sale) -> impl Iterator<Item = &'c WriteOff> {
    car.write_offs.iter().filter(move |off| belongs(car, sale, off.on, off.entry))
}

//! The order of events within a car's deals: money comes after the deal it is for and never passes
//! what was agreed, deposits are held before they go anywhere, a take-back fits what was paid.

use crate::domain::book::breach::{Breach, too_much};
use crate::domain::book::claims::{Given, owed_to_seller, refund_owed};
use crate::domain::book::facts::{Car, Movement, Sale};
use crate::domain::days::day::LAST_DAY;
use crate::domain::refusal::Refusal;
use crate::domain::refusal::deal_refusal::DealRefusal;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::Purpose;
use chrono::NaiveDate;

/// Checks the money of a car's purchase, its sales and its take-backs.
pub(super) fn check_deals(car: &Car) -> Result<(), Breach> {
    for settlement in &car.settlements {
        check_day(car, settlement)?;
    }
    for off in &car.write_offs {
        check_day_of_sale(car, (off.on, off.entry))?;
    }
    let owed = owed_to_seller(car, LAST_DAY);
    check_not_overpaid(car, Purpose::Purchase, owed, || format!("for {}", car.label()))?;
    for sale in &car.sales {
        check_sale(car, sale)?;
    }
    let owed = refund_owed(car, LAST_DAY);
    let handed_over = last_entry(car, Purpose::Refund).filter(|last| last.amount.is_positive());
    if handed_over.is_some() && owed.is_zero() {
        return Ok(());
    }
    check_not_overpaid(car, Purpose::Refund, owed, || format!("to the buyer who brought {} back", car.label()))
}

/// Money for a car is not paid before the deal it is for.
fn check_day(car: &Car, settlement: &Movement) -> Result<(), Breach> {
    let deal = match settlement.purpose {
        Purpose::Purchase | Purpose::Deposit => Some(car.bought_on),
        Purpose::Sale => return check_day_of_sale(car, (settlement.on, settlement.entry)),
        Purpose::Refund => car.sales.iter().filter_map(|sale| sale.taken_back.as_ref()).map(|back| back.on).min(),
        _ => return Ok(()),
    };
    let breach = |why| Err(Breach { entry: settlement.entry, why });
    match deal {
        None => breach(Refusal::NotSold { car: car.label() }),
        Some(deal) if settlement.on < deal => {
            breach(Refusal::BeforeTheDeal { car: car.label(), given: settlement.on, deal })
        }
        Some(_) => Ok(()),
    }
}

/// Money of a sale, or a balance written off, is dated between the sale and the car's coming back.
fn check_day_of_sale(car: &Car, (on, entry): (NaiveDate, EntryNo)) -> Result<(), Breach> {
    let Some(first) = car.sales.first() else {
        return Err(Breach { entry, why: Refusal::NotSold { car: car.label() } });
    };
    let sale = car.sales.iter().rev().find(|sale| sale.on <= on && sale.entry <= entry);
    match sale.map(|sale| sale.taken_back.as_ref()) {
        None => {
            let deal = car.sales.iter().rev().find(|sale| sale.entry <= entry).unwrap_or(first).on;
            Err(Breach { entry, why: Refusal::BeforeTheDeal { car: car.label(), given: on, deal } })
        }
        Some(Some(back)) if on > back.on => Err(Breach { entry, why: Refusal::NotSold { car: car.label() } }),
        Some(_) => Ok(()),
    }
}

/// No more was given for a sale than its price, and its take-back settles what was given.
fn check_sale(car: &Car, sale: &Sale) -> Result<(), Breach> {
    let given = Given::for_sale(car, sale);
    let left = given.left_of(sale.selling_price);
    if let Some(back) = &sale.taken_back {
        let kept = given.total() - back.refund - back.returned;
        let settled = left == back.lapsed && kept == back.kept_back;
        let why = Refusal::from(DealRefusal::TakeBackUnsettled { car: car.label() });
        let entry = Given::entries_for(car, sale).chain([back.entry]).max().unwrap_or(back.entry);
        return if settled { Ok(()) } else { Err(Breach { entry, why }) };
    }
    if !left.is_negative() {
        return Ok(());
    }
    let last_off = car.write_offs.iter().max_by_key(|off| off.entry).map(|off| (off.entry, off.amount));
    let last_paid = last_entry(car, Purpose::Sale).map(|last| (last.entry, last.amount));
    let paid = last_off.into_iter().chain(last_paid).filter(|(_, amount)| amount.is_positive());
    let (entry, amount) = paid.max_by_key(|(entry, _)| *entry).unwrap_or((sale.entry, given.total()));
    Err(Breach { entry, why: too_much(amount, left, format!("by the buyer of {}", car.label())) })
}

/// Too much paid is put down to the entry recorded last: what stood before it did not overpay.
fn check_not_overpaid(car: &Car, purpose: Purpose, owed: Pence, who: impl Fn() -> String) -> Result<(), Breach> {
    match last_entry(car, purpose) {
        Some(last) if owed.is_negative() => {
            Err(Breach { entry: last.entry, why: too_much(last.amount.abs(), owed, who()) })
        }
        _ => Ok(()),
    }
}

fn last_entry(car: &Car, purpose: Purpose) -> Option<&Movement> {
    car.settlements.iter().filter(|settlement| settlement.purpose == purpose).max_by_key(|last| last.entry)
}

/// Checks that at the end of no day more had gone of a deposit than had come in, that none is taken
/// while the car is away, and that none is left once it has gone.
pub(super) fn check_deposits(car: &Car) -> Result<(), Breach> {
    let moved = car.settlements.iter().filter(|settlement| settlement.purpose == Purpose::Deposit);
    let ended = car.deposit_ends.iter().map(|end| (end.on, end.entry, -end.amount));
    let mut events: Vec<(NaiveDate, EntryNo, Pence)> =
        moved.map(|moved| (moved.on, moved.entry, moved.amount)).chain(ended).collect();
    if events.is_empty() {
        return Ok(());
    }
    // On one day what comes in comes first.
    events.sort_by_key(|(on, _, amount)| (*on, amount.is_negative()));
    let mut held = Pence::ZERO;
    for (n, (on, entry, amount)) in events.iter().enumerate() {
        held += *amount;
        if held.is_negative() {
            let last = events.iter().take(n + 1).map(|(_, entry, _)| *entry).max().unwrap_or(*entry);
            let before = (held + amount.abs()).max(Pence::ZERO);
            let later = events.iter().skip(n + 1).find(|(_, _, amount)| amount.is_positive());
            let why = match later.filter(|_| before.is_zero()) {
                Some((deposit, ..)) => {
                    DealRefusal::BeforeTheDeposit { car: car.label(), given: *on, deposit: *deposit }
                }
                None => DealRefusal::MoreThanHeld { given: amount.abs(), held: before },
            };
            return Err(Breach { entry: last, why: why.into() });
        }
        let away = car.left_by(*on).filter(|left| left.on() < *on);
        if let Some(left) = away.filter(|_| amount.is_positive()) {
            let why = match left.disposal() {
                Some(disposal) => Refusal::Disposed { car: car.label(), how: disposal.how, on: disposal.on },
                None => Refusal::SoldAlready { car: car.label(), on: left.on() },
            };
            return Err(Breach { entry: *entry, why });
        }
    }
    match (car.left(), held.is_positive()) {
        (Some(left), true) => {
            // What was recorded last is what the rest left no room for.
            let entry = events.iter().map(|(_, entry, _)| *entry).chain([left.entry()]).max().unwrap_or(car.entry);
            Err(Breach { entry, why: Refusal::from(DealRefusal::DepositHeld { car: car.label(), held }) })
        }
        _ => Ok(()),
    }
}

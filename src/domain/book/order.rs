//! The order of events: what must hold of the facts about a car, a vehicle, a bill and a loan,
//! however they came to be recorded. Recording checks it before anything is kept; undo and amend
//! check it on what would remain, and name the entry that stands in the way.

use crate::domain::book::breach::{Breach, too_much};
use crate::domain::book::deal_order::{check_deals, check_deposits};
use crate::domain::book::facts::{Car, Line, Movement};
use crate::domain::book::standing::Standing;
use crate::domain::refusal::Refusal;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;

/// Checks one car: in and out of stock in turn, and nobody paid more than agreed.
pub fn check_car(car: &Car) -> Result<(), Breach> {
    check_comings_and_goings(car)?;
    check_deals(car)?;
    check_deposits(car)
}

/// Bought, sold or disposed of, taken back, in that order and never two at once.
fn check_comings_and_goings(car: &Car) -> Result<(), Breach> {
    let gone = car.sales.iter().position(|sale| sale.taken_back.is_none());
    let after_gone = |n: usize| car.sales.get(n + 1).map(|sale| sale.entry);
    if let Some((n, sale)) = gone.and_then(|n| Some((n, car.sales.get(n)?)))
        && let Some(entry) = after_gone(n).or(car.disposal.as_ref().map(|disposal| disposal.entry))
    {
        return Err(Breach { entry, why: Refusal::SoldAlready { car: car.label(), on: sale.on } });
    }
    for (n, stretch) in car.stretches().enumerate() {
        let Some(left) = stretch.left else { break };
        let entry = left.entry();
        if left.on() < stretch.from {
            return Err(Breach { entry, why: too_early(car, left.on(), n > 0) });
        }
        if let Some(back) = left.sale().and_then(|sale| sale.taken_back.as_ref()).filter(|back| back.on < left.on()) {
            let why = Refusal::BeforeTheDeal { car: car.label(), given: back.on, deal: left.on() };
            return Err(Breach { entry: back.entry, why });
        }
    }
    Ok(())
}

fn too_early(car: &Car, given: NaiveDate, came_back: bool) -> Refusal {
    if came_back {
        Refusal::BeforeItCameBack { car: car.label(), given, back: car.last_in_from() }
    } else {
        Refusal::BeforePurchase { car: car.label(), given, bought: car.bought_on }
    }
}

/// Checks the stays of one vehicle, in any order: each has left stock before the next begins.
pub fn check_stays(stays: &[Car]) -> Result<(), Breach> {
    let mut stays: Vec<&Car> = stays.iter().collect();
    stays.sort_by_key(|car| (car.bought_on, car.stock_no));
    for (earlier, later) in stays.iter().zip(stays.iter().skip(1)) {
        let apart = earlier.left().is_some_and(|left| left.on() <= later.bought_on);
        if !apart {
            let why = Refusal::StaysOverlap { earlier: earlier.label(), later: later.label() };
            return Err(Breach { entry: later.entry, why });
        }
    }
    Ok(())
}

/// Checks that no other car in stock carries the same mark or VIN.
pub fn check_one_in_stock(car: &Car, others: &[Car]) -> Result<(), Breach> {
    let alike = |other: &&Car| {
        other.stock_no != car.stock_no
            && other.left().is_none()
            && ((car.mark.is_some() && other.mark == car.mark)
                || (car.vehicle.vin.is_some() && other.vehicle.vin == car.vehicle.vin))
    };
    match others.iter().find(alike) {
        Some(other) if car.left().is_none() => {
            let (later, earlier) = if car.entry > other.entry { (car, other) } else { (other, car) };
            Err(Breach { entry: later.entry, why: Refusal::InStockAlready { car: earlier.label() } })
        }
        _ => Ok(()),
    }
}

/// Checks that no two standing costs of one name run at the same time.
pub fn check_standings(standings: &[Standing]) -> Result<(), Breach> {
    for (n, later) in standings.iter().enumerate() {
        let clash = standings[..n].iter().find(|earlier| {
            earlier.name.to_lowercase() == later.name.to_lowercase()
                && earlier.until.is_none_or(|until| until >= later.first_on)
                && later.until.is_none_or(|until| until >= earlier.first_on)
        });
        if clash.is_some() {
            let why = Refusal::NameTaken { what: "standing cost", name: later.name.clone() };
            return Err(Breach { entry: later.entry, why });
        }
    }
    Ok(())
}

/// Checks a car taken in as part payment against the sale it was taken in for.
pub fn check_taken_in(car: &Car, sold: &Car) -> Result<(), Breach> {
    let allowed = sold.sales.iter().filter(|sale| sale.on == car.bought_on).any(|sale| {
        sale.part_exchanges.iter().any(|part| part.stock_no == car.stock_no && part.allowance == car.purchase_price)
    });
    if allowed {
        return Ok(());
    }
    let why = Refusal::AtOdds {
        what: "another price or day",
        with: "a car taken in as part payment: it is bought on the day of that sale, at its allowance",
    };
    Err(Breach { entry: car.entry, why })
}

/// What is owed to somebody for bills recorded unpaid.
pub fn owed_for_bills(bills: &[Line], paid: &[Movement]) -> Pence {
    let billed: Pence = bills.iter().map(|line| line.amount).sum();
    billed + paid.iter().map(|movement| movement.amount).sum()
}

/// Checks that no more was paid against somebody's bills than they came to.
pub fn check_bills(party: &str, bills: &[Line], paid: &[Movement]) -> Result<(), Breach> {
    let owed = owed_for_bills(bills, paid);
    match paid.iter().max_by_key(|last| last.entry) {
        Some(last) if owed.is_negative() => {
            Err(Breach { entry: last.entry, why: too_much(-last.amount, owed, format!("to {party} for bills")) })
        }
        _ => Ok(()),
    }
}

/// Checks that no more of a loan was paid back than was borrowed.
pub fn check_loan(lender: &str, movements: &[Movement]) -> Result<(), Breach> {
    let owed: Pence = movements.iter().map(|movement| movement.amount).sum();
    match movements.iter().filter(|movement| movement.amount.is_negative()).max_by_key(|last| last.entry) {
        Some(last) if owed.is_negative() => {
            Err(Breach { entry: last.entry, why: too_much(last.amount.abs(), owed, format!("to {lender}")) })
        }
        _ => Ok(()),
    }
}

//! The order of events: what must hold of the facts about a car, a vehicle, a bill and a loan,
//! however they came to be recorded. Recording checks it before anything is kept; undo and amend
//! check it on what would remain, and name the entry that stands in the way.

use crate::domain::car_figures::{owed_by_buyer, owed_to_seller};
use crate::domain::day::LAST_DAY;
use crate::domain::facts::{Car, EntryNo, Line, Movement};
use crate::domain::pence::Pence;
use crate::domain::refusal::Refusal;
use crate::domain::standing::Standing;
use crate::domain::words::Purpose;

/// A fact that cannot stand beside the others: the entry that recorded it and why not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Breach {
    /// The entry whose fact is out of order.
    pub entry: EntryNo,
    /// Why.
    pub why: Refusal,
}

/// Checks one car: bought before it is sold, and neither side paid more than agreed.
pub fn check_car(car: &Car) -> Result<(), Breach> {
    if let Some(sale) = &car.sale
        && sale.on < car.bought_on
    {
        let why = Refusal::BeforePurchase { car: car.label(), given: sale.on, bought: car.bought_on };
        return Err(Breach { entry: sale.entry, why });
    }
    for settlement in &car.settlements {
        check_day(car, settlement)?;
    }
    let seller = (owed_to_seller(car, LAST_DAY), format!("for {}", car.label()));
    check_not_overpaid(car, Purpose::Purchase, seller)?;
    check_not_overpaid(car, Purpose::Sale, (owed_by_buyer(car, LAST_DAY), format!("by the buyer of {}", car.label())))
}

/// Money for a car is not paid before the deal it is for.
fn check_day(car: &Car, settlement: &Movement) -> Result<(), Breach> {
    let refuse = |why| Err(Breach { entry: settlement.entry, why });
    let deal = match (settlement.purpose, &car.sale) {
        (Purpose::Purchase, _) => car.bought_on,
        (Purpose::Sale, Some(sale)) => sale.on,
        (Purpose::Sale, None) => return refuse(Refusal::NotSold { car: car.label() }),
        _ => return Ok(()),
    };
    if settlement.on < deal {
        return refuse(Refusal::BeforeTheDeal { car: car.label(), given: settlement.on, deal });
    }
    Ok(())
}

/// Too much paid is put down to the entry recorded last: what stood before it did not overpay.
fn check_not_overpaid(car: &Car, purpose: Purpose, (owed, who): (Pence, String)) -> Result<(), Breach> {
    let last = car.settlements.iter().filter(|settlement| settlement.purpose == purpose).max_by_key(|last| last.entry);
    match last {
        Some(last) if owed.is_negative() && (purpose == Purpose::Purchase || last.amount.is_positive()) => {
            Err(Breach { entry: last.entry, why: too_much(last.amount.abs(), owed, who) })
        }
        _ => Ok(()),
    }
}

/// `balance` is what is owed once `given` is paid; below nothing means too much was.
fn too_much(given: Pence, balance: Pence, who: String) -> Refusal {
    Refusal::MoreThanOwed { given, owed: (given + balance).max(Pence::ZERO), who }
}

/// Checks the stays of one vehicle, in any order: each is sold before the next begins.
pub fn check_stays(stays: &[Car]) -> Result<(), Breach> {
    let mut stays: Vec<&Car> = stays.iter().collect();
    stays.sort_by_key(|car| (car.bought_on, car.stock_no));
    for (earlier, later) in stays.iter().zip(stays.iter().skip(1)) {
        let apart = earlier.sale.as_ref().is_some_and(|sale| sale.on <= later.bought_on);
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
            && other.sale.is_none()
            && ((car.mark.is_some() && other.mark == car.mark)
                || (car.vehicle.vin.is_some() && other.vehicle.vin == car.vehicle.vin))
    };
    match others.iter().find(alike) {
        Some(other) if car.sale.is_none() => {
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
    let allowed = sold.sale.as_ref().is_some_and(|sale| {
        sale.on == car.bought_on && sale.part_exchanges.iter().any(|part| part.allowance == car.purchase_price)
    });
    if allowed {
        return Ok(());
    }
    let why = Refusal::DoesNotGoWith {
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

//! The order of events: what must hold of the facts about a car, a vehicle, a bill and a loan,
//! however they came to be recorded. Recording checks it before anything is kept; undo and amend
//! check it on what would remain, and name the entry that stands in the way.

use crate::domain::car_figures::{owed_by_buyer, owed_to_seller};
use crate::domain::day::LAST_DAY;
use crate::domain::facts::{Car, EntryNo, Line, Movement};
use crate::domain::pence::Pence;
use crate::domain::refusal::Refusal;
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
        check_settlement(car, settlement)?;
    }
    Ok(())
}

fn check_settlement(car: &Car, settlement: &Movement) -> Result<(), Breach> {
    let refuse = |why| Err(Breach { entry: settlement.entry, why });
    match settlement.purpose {
        Purpose::Purchase => {
            if settlement.on < car.bought_on {
                return refuse(Refusal::BeforePurchase {
                    car: car.label(),
                    given: settlement.on,
                    bought: car.bought_on,
                });
            }
            let owed = owed_to_seller(car, LAST_DAY);
            if owed.is_negative() {
                return refuse(too_much(-settlement.amount, owed, format!("for {}", car.label())));
            }
        }
        Purpose::Sale => {
            let Some(sale) = &car.sale else { return refuse(Refusal::NotSold { car: car.label() }) };
            if settlement.on < sale.on {
                return refuse(Refusal::BeforePurchase { car: car.label(), given: settlement.on, bought: sale.on });
            }
            let owed = owed_by_buyer(car, LAST_DAY);
            if owed.is_negative() && settlement.amount.is_positive() {
                return refuse(too_much(settlement.amount, owed, format!("by the buyer of {}", car.label())));
            }
        }
        _ => {}
    }
    Ok(())
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
    match paid.last() {
        Some(last) if owed.is_negative() => {
            Err(Breach { entry: last.entry, why: too_much(-last.amount, owed, format!("to {party} for bills")) })
        }
        _ => Ok(()),
    }
}

/// Checks that no more of a loan was paid back than was borrowed.
pub fn check_loan(lender: &str, movements: &[Movement]) -> Result<(), Breach> {
    let owed: Pence = movements.iter().map(|movement| movement.amount).sum();
    match movements.last() {
        Some(last) if owed.is_negative() => {
            Err(Breach { entry: last.entry, why: too_much(last.amount.abs(), owed, format!("to {lender}")) })
        }
        _ => Ok(()),
    }
}

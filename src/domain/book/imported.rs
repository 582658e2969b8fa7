//! What stands in the book from earlier imports, so that a row of the same file is not taken in twice. A row
//! is known by every column's meaning as it was read. Twins are told by their count: each standing row can be
//! met once.

use crate::domain::book::import_sheet::CarRow;
use crate::domain::value::mark::Mark;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::BoughtMark;
use crate::domain::value::vin::Vin;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Direction, PaidBy, Pocket, Via};
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// Money of an import, without its day and without how it was paid.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ImportedMoney {
    /// The vehicle it was about, whichever stay of it the mark meant; none for the yard.
    pub vehicle_no: Option<i64>,
    /// Spent or received.
    pub direction: Direction,
    /// What for.
    pub heading: String,
    /// As paid.
    pub amount: Pence,
    /// What it would normally cost.
    pub usual_price: Option<Pence>,
    /// VAT in it.
    pub vat: Pence,
    /// Who was paid or paid.
    pub party: Option<String>,
    /// A note.
    pub note: Option<String>,
}

/// The money of one day that stands from earlier imports and was not met yet.
#[derive(Debug, Default)]
pub struct StandingMoney {
    pockets: BTreeMap<ImportedMoney, Vec<Pocket>>,
}

impl StandingMoney {
    /// All of a day.
    pub fn new(lines: impl IntoIterator<Item = (ImportedMoney, Pocket)>) -> Self {
        let mut pockets: BTreeMap<ImportedMoney, Vec<Pocket>> = BTreeMap::new();
        for (money, pocket) in lines {
            pockets.entry(money).or_default().push(pocket);
        }
        Self { pockets }
    }

    /// Whether the row stands, which can be said of each standing one once. A row that does not say how it
    /// was paid is met by any, by one paid as things are when not said first: what is usual may have been
    /// another way then.
    pub fn meets(&mut self, money: &ImportedMoney, paid: Option<Pocket>, usual: Pocket) -> bool {
        let Some(pockets) = self.pockets.get_mut(money) else { return false };
        let wanted = pockets.iter().position(|pocket| *pocket == paid.unwrap_or(usual));
        let any = (paid.is_none() && !pockets.is_empty()).then_some(0);
        wanted.or(any).map(|at| pockets.swap_remove(at)).is_some()
    }
}

/// A car of an import, and what the vehicle is.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each field is the column of its name")]
pub struct ImportedCar {
    pub mark: Option<Mark>,
    pub purchase_price: Pence,
    pub via: Via,
    pub from: Option<String>,
    pub vin: Option<Vin>,
    pub make: Option<String>,
    pub model: Option<String>,
    pub year: Option<i32>,
    pub colour: Option<String>,
    pub fuel: Option<String>,
    pub miles: Option<u32>,
    pub mot_until: Option<NaiveDate>,
    pub paid: Option<Pocket>,
    pub sale: Option<(NaiveDate, Pence)>,
    pub to: Option<String>,
    pub note: Option<String>,
}

impl ImportedCar {
    /// Whether it is what the row says. What a vehicle is may be known from elsewhere, so a row that is
    /// silent about that is met too.
    fn is(&self, row: &CarRow) -> bool {
        let mark = match &row.mark {
            BoughtMark::Mark(mark) => Some(mark),
            BoughtMark::None => None,
        };
        let vehicle = is_or_silent(row.vin.as_ref(), self.vin.as_ref())
            && is_or_silent(row.make.as_ref().map(Wording::as_str), self.make.as_deref())
            && is_or_silent(row.model.as_ref().map(Wording::as_str), self.model.as_deref())
            && is_or_silent(row.year.map(|year| year.0).as_ref(), self.year.as_ref())
            && is_or_silent(row.colour.as_ref().map(Wording::as_str), self.colour.as_deref())
            && is_or_silent(row.fuel.as_ref().map(Wording::as_str), self.fuel.as_deref());
        let purchase = mark == self.mark.as_ref()
            && row.purchase_price == self.purchase_price
            && row.via.unwrap_or(Via::Private) == self.via
            && row.from.as_ref().map(Wording::as_str) == self.from.as_deref()
            && is_or_silent(row.paid.map(PaidBy::pocket).as_ref(), self.paid.as_ref())
            && row.miles.map(|miles| miles.0) == self.miles
            && row.mot_until == self.mot_until
            && row.note.as_ref().map(Wording::as_str) == self.note.as_deref();
        vehicle
            && purchase
            && row.sale == self.sale
            && (row.sale.is_none() || row.to.as_ref().map(Wording::as_str) == self.to.as_deref())
    }
}

fn is_or_silent<T: PartialEq + ?Sized>(said: Option<&T>, known: Option<&T>) -> bool {
    said.is_none() || said == known
}

/// The cars of one day that stand from earlier imports and were not met yet.
#[derive(Debug, Default)]
pub struct StandingCars {
    cars: Vec<ImportedCar>,
}

impl StandingCars {
    /// All bought on a day.
    pub const fn new(cars: Vec<ImportedCar>) -> Self {
        Self { cars }
    }

    /// Whether the row stands, which can be said of each standing car once.
    pub fn meets(&mut self, row: &CarRow) -> bool {
        let at = self.cars.iter().position(|car| car.is(row));
        at.map(|at| self.cars.swap_remove(at)).is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn money(party: Option<&str>) -> ImportedMoney {
        ImportedMoney {
            vehicle_no: None,
            direction: Direction::Cost,
            heading: "parts".into(),
            amount: Pence::new(2_750),
            usual_price: None,
            vat: Pence::ZERO,
            party: party.map(str::to_owned),
            note: None,
        }
    }

    #[test]
    fn twins_are_met_as_often_as_they_stand() {
        let (bank, cash) = (Pocket::Bank, Pocket::Cash);
        let mut standing = StandingMoney::new([(money(None), bank), (money(None), bank), (money(Some("Ash")), cash)]);
        let mut meets = |party, paid| standing.meets(&money(party), paid, bank);
        assert!(meets(None, None) && meets(None, Some(bank)) && !meets(None, None));
        assert!(!meets(Some("Hob"), None) && !meets(Some("Ash"), Some(bank)));
        assert!(meets(Some("Ash"), None), "what is not said is met however it was paid then");
        assert!(!meets(Some("Ash"), None));
    }
}

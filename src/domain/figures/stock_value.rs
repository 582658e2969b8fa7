//! What the cars in stock are worth in traditional accounts: the lower of what each stands in at and
//! what it should fetch, car by car (HMRC, BIM33100 and BIM33115: stock at the lower of cost and net
//! realisable value, item by item). A fall in value not yet sold is a loss of the year it came in.

use crate::domain::book::facts::{Car, Facts, Showing};
use crate::domain::figures::car_figures::{in_stock, stands_in};
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// One car in stock on a day.
#[derive(Clone, Debug)]
pub struct CarValue<'a> {
    /// The car.
    pub car: &'a Car,
    /// What it stands in at.
    pub stands_in: Pence,
    /// What it should fetch, less the VAT due on that; none when no price was asked.
    pub should_fetch: Option<Pence>,
}

impl CarValue<'_> {
    /// The lower of both; what it stands in at when nothing else is known.
    pub fn value(&self) -> Pence {
        self.should_fetch.map_or(self.stands_in, |fetch| fetch.min(self.stands_in))
    }

    /// What it stands in at above that.
    pub fn written_down(&self) -> Pence {
        self.stands_in - self.value()
    }
}

/// The stock on a day.
#[derive(Clone, Debug, Default)]
pub struct StockValue<'a> {
    /// Every car in it, by stock number.
    pub cars: Vec<CarValue<'a>>,
}

impl StockValue<'_> {
    /// The stock at what it stands in at.
    pub fn at_cost(&self) -> Pence {
        self.cars.iter().map(|car| car.stands_in).sum()
    }

    /// The stock as it is valued.
    pub fn value(&self) -> Pence {
        self.cars.iter().map(CarValue::value).sum()
    }

    /// How much of the cost is written down.
    pub fn written_down(&self) -> Pence {
        self.cars.iter().map(CarValue::written_down).sum()
    }
}

/// The stock at the end of `day`, given what was asked for each car by then: the lowest price that
/// would be taken if one was said, else the asking price.
pub fn stock_value<'a>(facts: &'a Facts, showing: &BTreeMap<StockNo, Showing>, day: NaiveDate) -> StockValue<'a> {
    let registration = &facts.registration;
    let valued = |car: &'a Car| {
        let asked = showing.get(&car.stock_no).and_then(|shown| shown.lowest_price.or(shown.asking_price));
        let less_vat = |asked| asked - registration.on_sale(car.purchase_price, asked, car.vat_invoice, day);
        CarValue { car, stands_in: stands_in(car, day, registration), should_fetch: asked.map(less_vat) }
    };
    StockValue { cars: facts.cars.iter().filter(|car| in_stock(car, day)).map(valued).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::fixture::bought;

    #[test]
    fn the_lower_of_the_two_car_by_car() {
        let car = |stands_in: i64, fetch: Option<i64>| (Pence::new(stands_in), fetch.map(Pence::new));
        let some = bought(1, "2026-05-01", 5);
        let cars = [car(500, Some(400)), car(300, Some(900)), car(200, None), car(-10, Some(0))]
            .map(|(stands_in, should_fetch)| CarValue { car: &some, stands_in, should_fetch });
        let stock = StockValue { cars: cars.to_vec() };
        // A gain on one car never makes up for a fall in another.
        assert_eq!([stock.at_cost(), stock.value(), stock.written_down()], [990, 890, 100].map(Pence::new));
    }
}

//! Cars that have left stock but still have an open item of `due`.

use crate::commands::steps::due_items::leave_out_dealt_with;
use crate::domain::book::facts::Car;
use crate::domain::days::day::LAST_DAY;
use crate::domain::due::gone_items;
use crate::domain::value::car_ref::StockNo;
use crate::error::Error;
use crate::store::{Reader, Recording};
use std::collections::{BTreeMap, BTreeSet};

/// Marks those of these cars that have left stock but still have an open item, and no other of them; `cars` are those
/// of the numbers that the book holds.
pub fn keep_open_departures(recording: &Recording<'_>, stock_nos: &[StockNo], cars: &[Car]) -> Result<(), Error> {
    let open = open_on_leaving(recording.read(), cars)?;
    for stock_no in stock_nos {
        recording.set_open_departure(*stock_no, open.contains(stock_no))?;
    }
    Ok(())
}

/// Those of these cars that have left stock, have an open item and are not marked: `due` would pass them by.
pub fn departures_passed_by(reader: Reader<'_>, cars: &[StockNo]) -> Result<Vec<StockNo>, Error> {
    let mut passed_by = Vec::new();
    let kept = reader.open_departures()?;
    for cars in cars.chunks(CARS_AT_ONCE) {
        let cars = reader.cars(cars, LAST_DAY)?;
        passed_by.extend(open_on_leaving(reader, &cars)?.into_iter().filter(|car| !kept.contains(car)));
    }
    Ok(passed_by)
}

/// So many cars are read together; every car there ever was would be a whole book in memory.
const CARS_AT_ONCE: usize = 500;

/// Which of these cars are out of stock with something still open.
fn open_on_leaving(reader: Reader<'_>, cars: &[Car]) -> Result<BTreeSet<StockNo>, Error> {
    let left: Vec<&Car> = cars.iter().filter(|car| car.left().is_some()).collect();
    let numbers: Vec<StockNo> = left.iter().map(|car| car.stock_no).collect();
    let tax = if numbers.is_empty() { BTreeMap::new() } else { reader.tax_events(&numbers, LAST_DAY)? };
    let mut open = BTreeSet::new();
    for car in left {
        let mut items = gone_items(car, tax.get(&car.stock_no).map_or(&[], Vec::as_slice), LAST_DAY);
        leave_out_dealt_with(&mut items, reader, LAST_DAY)?;
        if !items.is_empty() {
            open.insert(car.stock_no);
        }
    }
    Ok(open)
}

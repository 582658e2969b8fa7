//! What stands from earlier imports, a day at a time: an undone import's rows are gone, so they are not met.

use crate::domain::book::imported::{ImportedCar, ImportedMoney};
use crate::domain::value::words::Pocket;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::values::day_if_any;
use chrono::NaiveDate;

impl Reader<'_> {
    /// The money of a day that imports recorded, and how it was paid.
    pub fn imported_money(&self, on: NaiveDate) -> Result<Vec<(ImportedMoney, Pocket)>, BookError> {
        let mut lines = self.connection.prepare_cached(
            "SELECT car.vehicle_no, line.direction, line.heading, line.amount, line.usual_price, line.vat, line.party,
                 line.note, line.pocket
             FROM line CROSS JOIN entry USING (entry_no) LEFT JOIN car USING (stock_no)
             WHERE line.dated = ?1 AND entry.command = 'import' AND line.pocket IS NOT NULL",
        )?;
        let read = lines.query_map([on], |row| {
            let money = ImportedMoney {
                vehicle_no: row.get(0)?,
                direction: row.get(1)?,
                heading: row.get(2)?,
                amount: row.get(3)?,
                usual_price: row.get(4)?,
                vat: row.get(5)?,
                party: row.get(6)?,
                note: row.get(7)?,
            };
            Ok((money, row.get(8)?))
        })?;
        Ok(read.collect::<Result<_, _>>()?)
    }

    /// The cars bought on a day that imports recorded, each with what its row said.
    pub fn imported_cars(&self, on: NaiveDate) -> Result<Vec<ImportedCar>, BookError> {
        let mut cars = self.connection.prepare_cached(
            "SELECT c.mark_at_purchase, c.purchase_price, c.via, c.seller, v.vin, v.make, v.model, v.year, v.colour,
                 v.fuel,
                 (SELECT miles FROM reading r
                  WHERE r.vehicle_no = c.vehicle_no AND r.dated = c.bought_on AND r.entry_no = c.entry_no),
                 (SELECT until FROM mot_certificate m
                  WHERE m.vehicle_no = c.vehicle_no AND m.dated = c.bought_on AND m.entry_no = c.entry_no),
                 (SELECT pocket FROM movement p
                  WHERE p.stock_no = c.stock_no AND p.dated = c.bought_on AND +p.entry_no = c.entry_no
                      AND p.purpose = 'purchase'),
                 s.sold_on, s.selling_price, s.buyer,
                 (SELECT wording FROM note n
                  WHERE n.stock_no = c.stock_no AND n.dated = c.bought_on AND n.entry_no = c.entry_no)
             FROM car c CROSS JOIN entry e USING (entry_no) CROSS JOIN vehicle v USING (vehicle_no)
                 LEFT JOIN sale s ON s.stock_no = c.stock_no AND s.entry_no = c.entry_no
             WHERE c.bought_on = ?1 AND e.command = 'import'",
        )?;
        let read = cars.query_map([on], |row| {
            Ok(ImportedCar {
                mark: row.get(0)?,
                purchase_price: row.get(1)?,
                via: row.get(2)?,
                from: row.get(3)?,
                vin: row.get(4)?,
                make: row.get(5)?,
                model: row.get(6)?,
                year: row.get(7)?,
                colour: row.get(8)?,
                fuel: row.get(9)?,
                miles: row.get(10)?,
                mot_until: day_if_any(row, 11)?,
                paid: row.get(12)?,
                sale: day_if_any(row, 13)?.zip(row.get(14)?),
                to: row.get(15)?,
                note: row.get(16)?,
            })
        })?;
        Ok(read.collect::<Result<_, _>>()?)
    }
}

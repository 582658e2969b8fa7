//! Vehicles, their marks, readings and MOT certificates, and their stays in stock as cars.

use crate::domain::book::facts::Car;
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::domain::value::mark::Mark;
use crate::domain::value::pence::Pence;
use crate::domain::value::vin::Vin;
use crate::domain::value::words::{Kind, Via};
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::facts::facts::json_list;
use crate::store::keep::entries::Recording;
use crate::store::values::day;
use chrono::NaiveDate;
use rusqlite::{OptionalExtension, params};
use std::collections::BTreeMap;

/// A vehicle not in the book before, or what is newly known of one that is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NewVehicle {
    /// Car, van or motorcycle; a car when not said.
    pub kind: Option<Kind>,
    /// VIN or chassis number.
    pub vin: Option<Vin>,
    /// Maker's name.
    pub make: Option<String>,
    /// Model name.
    pub model: Option<String>,
    /// Model year.
    pub year: Option<i32>,
    /// Colour.
    pub colour: Option<String>,
    /// Fuel.
    pub fuel: Option<String>,
    /// First registration.
    pub first_registered: Option<NaiveDate>,
}

/// A purchase.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewCar {
    /// The vehicle bought.
    pub vehicle_no: i64,
    /// Mark it carried.
    pub mark: Option<Mark>,
    /// Day bought.
    pub bought_on: NaiveDate,
    /// Price agreed.
    pub purchase_price: Pence,
    /// Part of it owed to a lender.
    pub finance: Pence,
    /// VAT on the invoice.
    pub vat: Pence,
    /// Bought on an invoice showing VAT.
    pub vat_invoice: bool,
    /// Where it came from.
    pub via: Via,
    /// Who sold it.
    pub seller: Option<String>,
    /// His invoice number.
    pub purchase_invoice: Option<String>,
    /// Keys handed over.
    pub keys: Option<u32>,
}

/// A vehicle the book knows already.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VehicleFound {
    /// Its number.
    pub vehicle_no: i64,
    /// Its VIN, if known.
    pub vin: Option<Vin>,
    /// The car it is in stock as, if it is.
    pub in_stock_as: Option<StockNo>,
}

impl Reader<'_> {
    /// The car meant by a stock number or a mark: the stay now in stock, else the latest.
    pub fn find_car(&self, car: &CarRef) -> Result<Option<StockNo>, BookError> {
        let found = match car {
            CarRef::StockNo(stock_no) => self
                .connection
                .prepare_cached("SELECT stock_no FROM car WHERE stock_no = ?1")?
                .query_row([stock_no], |row| row.get(0)),
            CarRef::Mark(mark) => self
                .connection
                .prepare_cached(
                    "SELECT c.stock_no FROM mark m JOIN car c USING (vehicle_no) WHERE m.mark = ?1
                     ORDER BY (SELECT w.left_on IS NOT NULL FROM whereabouts w WHERE w.stock_no = c.stock_no),
                         c.stock_no DESC LIMIT 1",
                )?
                .query_row([mark], |row| row.get(0)),
        };
        Ok(found.optional()?)
    }

    /// The vehicle whose latest mark this is; one that has since been given another mark is not
    /// meant.
    pub fn vehicle_by_mark(&self, mark: &Mark) -> Result<Option<VehicleFound>, BookError> {
        self.vehicle_where(
            "vehicle_no = (SELECT max(m.vehicle_no) FROM mark m WHERE m.mark = ?1 AND NOT EXISTS (
                SELECT 1 FROM mark n WHERE n.vehicle_no = m.vehicle_no AND (n.dated, n.mark_no) > (m.dated, m.mark_no)))",
            mark,
        )
    }

    /// The vehicle with a VIN.
    pub fn vehicle_by_vin(&self, vin: &Vin) -> Result<Option<VehicleFound>, BookError> {
        self.vehicle_where("vin = ?1", vin)
    }

    fn vehicle_where(&self, condition: &str, value: impl rusqlite::ToSql) -> Result<Option<VehicleFound>, BookError> {
        let sql = format!(
            "SELECT vehicle_no, vin,
                 (SELECT c.stock_no FROM car c WHERE c.vehicle_no = v.vehicle_no
                  AND NOT EXISTS (SELECT 1 FROM departure d WHERE d.stock_no = c.stock_no AND d.back_on IS NULL))
             FROM vehicle v WHERE {condition}"
        );
        let found = self
            .connection
            .prepare_cached(&sql)?
            .query_row([value], |row| {
                Ok(VehicleFound { vehicle_no: row.get(0)?, vin: row.get(1)?, in_stock_as: row.get(2)? })
            })
            .optional()?;
        Ok(found)
    }

    /// Every car's stock number and every mark its vehicle carries or carried, for near misses.
    pub fn every_mark(&self) -> Result<Vec<(StockNo, Mark)>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT c.stock_no, m.mark FROM car c JOIN mark m USING (vehicle_no) ORDER BY c.stock_no",
        )?;
        let marks = found.query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
        Ok(marks)
    }

    /// The mark each of these cars carried on a day; a car without one is left out.
    pub fn marks_on(&self, cars: &[StockNo], day: NaiveDate) -> Result<BTreeMap<StockNo, Mark>, BookError> {
        if cars.is_empty() {
            return Ok(BTreeMap::new());
        }
        let mut found = self.connection.prepare_cached(
            "SELECT c.stock_no, m.mark FROM json_each(?1) CROSS JOIN car c ON c.stock_no = value
                 JOIN mark m USING (vehicle_no)
             WHERE m.mark_no = (SELECT n.mark_no FROM mark n WHERE n.vehicle_no = c.vehicle_no AND n.dated <= ?2
                 ORDER BY n.dated DESC, n.mark_no DESC LIMIT 1)",
        )?;
        let marks = found.query_map(params![json_list(cars), day], |row| Ok((row.get(0)?, row.get(1)?)))?;
        Ok(marks.collect::<Result<_, _>>()?)
    }

    /// The stays of the vehicle that car is a stay of, this one included.
    pub fn stays(&self, car: StockNo) -> Result<Vec<StockNo>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT stock_no FROM car WHERE vehicle_no = (SELECT vehicle_no FROM car WHERE stock_no = ?1) ORDER BY stock_no",
        )?;
        let stays = found.query_map([car], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(stays)
    }

    /// Cars of other vehicles, in stock, whose latest mark or VIN is this car's.
    pub fn in_stock_alike(&self, car: &Car) -> Result<Vec<StockNo>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT c.stock_no
             FROM (SELECT vehicle_no FROM mark WHERE mark = ?2 UNION SELECT vehicle_no FROM vehicle WHERE vin = ?3) v
                 CROSS JOIN car c USING (vehicle_no)
             WHERE c.vehicle_no <> ?1
                 AND NOT EXISTS (SELECT 1 FROM departure d WHERE d.stock_no = c.stock_no AND d.back_on IS NULL)",
        )?;
        let cars = found
            .query_map(params![car.vehicle.vehicle_no, car.mark, car.vehicle.vin], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        Ok(cars)
    }

    /// The car sold when this one was taken in as part payment.
    pub fn taken_in_for(&self, car: StockNo) -> Result<Option<StockNo>, BookError> {
        let found = self
            .connection
            .prepare_cached("SELECT s.stock_no FROM part_exchange p JOIN sale s USING (sale_no) WHERE p.stock_no = ?1")?
            .query_row([car], |row| row.get(0))
            .optional()?;
        Ok(found)
    }

    /// The latest odometer reading dated on or before `on`.
    pub fn latest_reading(&self, vehicle_no: i64, on: NaiveDate) -> Result<Option<(NaiveDate, u32)>, BookError> {
        let found = self
            .connection
            .prepare_cached(
                "SELECT dated, miles FROM reading WHERE vehicle_no = ?1 AND dated <= ?2
                 ORDER BY dated DESC, reading_no DESC LIMIT 1",
            )?
            .query_row(params![vehicle_no, on], |row| Ok((day(row, 0)?, row.get(1)?)))
            .optional()?;
        Ok(found)
    }
}

impl Recording<'_> {
    /// Adds a vehicle.
    pub fn add_vehicle(&self, vehicle: &NewVehicle) -> Result<i64, BookError> {
        self.transaction
            .prepare_cached(
                "INSERT INTO vehicle (entry_no, kind, vin, make, model, year, colour, fuel, first_registered)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            )?
            .execute(params![
                self.entry(),
                vehicle.kind.unwrap_or(Kind::Car),
                vehicle.vin,
                vehicle.make,
                vehicle.model,
                vehicle.year,
                vehicle.colour,
                vehicle.fuel,
                vehicle.first_registered
            ])?;
        Ok(self.transaction.last_insert_rowid())
    }

    /// Adds what is newly known of a vehicle; what is not said stays as it was.
    pub fn complete_vehicle(&self, vehicle_no: i64, vehicle: &NewVehicle) -> Result<(), BookError> {
        if *vehicle == NewVehicle::default() {
            return Ok(());
        }
        self.transaction
            .prepare_cached(
                "UPDATE vehicle SET kind = coalesce(?2, kind), vin = coalesce(?3, vin), make = coalesce(?4, make),
                     model = coalesce(?5, model), year = coalesce(?6, year), colour = coalesce(?7, colour),
                     fuel = coalesce(?8, fuel), first_registered = coalesce(?9, first_registered)
                 WHERE vehicle_no = ?1",
            )?
            .execute(params![
                vehicle_no,
                vehicle.kind,
                vehicle.vin,
                vehicle.make,
                vehicle.model,
                vehicle.year,
                vehicle.colour,
                vehicle.fuel,
                vehicle.first_registered
            ])?;
        Ok(())
    }

    /// Puts a mark on a vehicle from a day.
    pub fn add_mark(&self, vehicle_no: i64, mark: &Mark, from: NaiveDate) -> Result<(), BookError> {
        self.transaction
            .prepare_cached("INSERT INTO mark (entry_no, vehicle_no, mark, dated) VALUES (?1, ?2, ?3, ?4)")?
            .execute(params![self.entry(), vehicle_no, mark, from])?;
        Ok(())
    }

    /// Adds an odometer reading.
    pub fn add_reading(&self, vehicle_no: i64, on: NaiveDate, miles: u32, taken_at: &str) -> Result<(), BookError> {
        self.transaction
            .prepare_cached(
                "INSERT INTO reading (entry_no, vehicle_no, dated, miles, taken_at) VALUES (?1, ?2, ?3, ?4, ?5)",
            )?
            .execute(params![self.entry(), vehicle_no, on, miles, taken_at])?;
        Ok(())
    }

    /// Adds an MOT certificate known from a day.
    pub fn add_mot_certificate(&self, vehicle_no: i64, known_on: NaiveDate, until: NaiveDate) -> Result<(), BookError> {
        self.transaction
            .prepare_cached("INSERT INTO mot_certificate (entry_no, vehicle_no, dated, until) VALUES (?1, ?2, ?3, ?4)")?
            .execute(params![self.entry(), vehicle_no, known_on, until])?;
        Ok(())
    }

    /// Adds a purchase under the next stock number.
    pub fn add_car(&self, car: &NewCar) -> Result<StockNo, BookError> {
        self.transaction
            .prepare_cached(
                "INSERT INTO car (entry_no, vehicle_no, mark_at_purchase, bought_on, purchase_price, finance, vat,
                     vat_invoice, via, seller, purchase_invoice, keys)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)",
            )?
            .execute(params![
                self.entry(),
                car.vehicle_no,
                car.mark,
                car.bought_on,
                car.purchase_price,
                car.finance,
                car.vat,
                car.vat_invoice,
                car.via,
                car.seller,
                car.purchase_invoice,
                car.keys
            ])?;
        Ok(StockNo::new(u32::try_from(self.transaction.last_insert_rowid()).unwrap_or(u32::MAX)))
    }

    /// Writes a note on a car.
    pub fn add_note(&self, car: StockNo, on: NaiveDate, wording: &str) -> Result<(), BookError> {
        self.transaction
            .prepare_cached("INSERT INTO note (entry_no, stock_no, dated, wording) VALUES (?1, ?2, ?3, ?4)")?
            .execute(params![self.entry(), car, on, wording])?;
        Ok(())
    }

    /// Logs own hours on a car.
    pub fn add_own_hours(
        &self,
        car: StockNo,
        on: NaiveDate,
        minutes: u32,
        note: Option<&str>,
    ) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO own_hours (entry_no, stock_no, dated, minutes, note) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![self.entry(), car, on, minutes, note],
        )?;
        Ok(())
    }

    /// Sets the asking price from a day, and perhaps the lowest that would still be taken.
    pub fn add_asking_price(
        &self,
        car: StockNo,
        on: NaiveDate,
        amount: Pence,
        lowest: Option<Pence>,
    ) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO asking_price (entry_no, stock_no, dated, amount, lowest) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![self.entry(), car, on, amount, lowest],
        )?;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::dealing::Settlement;
    use crate::domain::value::words::Outcome;
    use crate::store::facts::deals::{NewDisposal, NewSale};
    use crate::store::schema::opening::open_blank;
    use chrono::{DateTime, Days};
    use std::rc::Rc;
    use std::sync::Arc;
    use std::sync::atomic::{AtomicU32, Ordering};

    /// A car looked for, bought, sold, taken back and scrapped, with what is asked to check it; never two alike.
    fn one_car(recording: &Recording<'_>, n: u32) {
        let reader = recording.read();
        let (mark, vin): (Mark, Vin) = (format!("QX{n}").parse().unwrap(), format!("BRNDLEX{n:010}").parse().unwrap());
        let on = NaiveDate::from_ymd_opt(2020, 1, 1).unwrap() + Days::new(n.into());
        assert_eq!((reader.vehicle_by_vin(&vin).unwrap(), reader.vehicle_by_mark(&mark).unwrap()), (None, None));
        let vehicle = NewVehicle { vin: Some(vin), ..NewVehicle::default() };
        let vehicle_no = recording.add_vehicle(&vehicle).unwrap();
        recording.add_mark(vehicle_no, &mark, on).unwrap();
        let bought = NewCar {
            vehicle_no,
            mark: Some(mark.clone()),
            bought_on: on,
            purchase_price: Pence::new(54_000),
            finance: Pence::ZERO,
            vat: Pence::ZERO,
            vat_invoice: false,
            via: Via::Private,
            seller: None,
            purchase_invoice: None,
            keys: None,
        };
        let stock_no = recording.add_car(&bought).unwrap();
        let sale = NewSale {
            stock_no,
            sold_on: on,
            selling_price: Pence::new(99_500),
            buyer: None,
            address: None,
            to_trade: false,
            delivered_on: None,
            distance: false,
        };
        let sale_no = recording.add_sale(&sale).unwrap();
        let nothing = Pence::ZERO;
        let settled = Settlement { refund: nothing, lapsed: nothing, returned: nothing, kept_back: nothing };
        recording.add_take_back(sale_no, on, &settled, None).unwrap();
        let scrapped = NewDisposal { on, how: Outcome::Scrapped, value: Pence::ZERO, party: None, certificate: None };
        recording.add_disposal(stock_no, &scrapped).unwrap();
        let car = reader.car(stock_no, on).unwrap().unwrap();
        assert_eq!(reader.stays(stock_no).unwrap(), [stock_no]);
        assert_eq!((reader.in_stock_alike(&car).unwrap(), reader.taken_in_for(stock_no).unwrap()), (vec![], None));
        assert_eq!(reader.find_car(&CarRef::Mark(mark)).unwrap(), Some(stock_no));
        recording.set_open_departure(stock_no, true).unwrap();
        recording.set_open_departure(stock_no, false).unwrap();
        assert_eq!(reader.cars_gone_with_dates(on, on).unwrap(), [stock_no]);
    }

    #[test]
    fn cars_are_read_again_only_once_something_was_written() {
        let mut book = open_blank().unwrap();
        let recording = book.begin("fill", "fill", DateTime::UNIX_EPOCH).unwrap();
        one_car(&recording, 0);
        one_car(&recording, 1);
        let [first, other] = [StockNo::new(1), StockNo::new(2)];
        let before = recording.cars(&[first]).unwrap();
        assert!(Rc::ptr_eq(&before, &recording.cars(&[first]).unwrap()));
        assert_eq!(recording.cars(&[other]).unwrap()[0].stock_no, other);
        let on = NaiveDate::from_ymd_opt(2020, 1, 9).unwrap();
        recording.add_mark(before[0].vehicle.vehicle_no, &"QX77".parse().unwrap(), on).unwrap();
        let after = recording.cars(&[first]).unwrap();
        assert_eq!([&before[0], &after[0]].map(|car| car.mark.as_ref().map(Mark::as_str)), [Some("QX0"), Some("QX77")]);
        let marks = |day: &str| recording.read().marks_on(&[first, other], day.parse().unwrap()).unwrap();
        let on_day = |day: &str| marks(day).values().map(|mark| mark.as_str().to_owned()).collect::<Vec<_>>();
        assert_eq!(on_day("2020-01-08"), ["QX0", "QX1"]);
        assert_eq!(on_day("2020-01-09"), ["QX77", "QX1"]);
        assert_eq!(on_day("2019-12-31"), [""; 0]);
    }

    /// The steps SQLite's machine takes over one car more in a book of so many: the work, whatever the clock says.
    fn steps_of_one_more(cars: u32) -> u32 {
        let mut book = open_blank().unwrap();
        let recording = book.begin("fill", "fill", DateTime::UNIX_EPOCH).unwrap();
        (0..cars).for_each(|n| one_car(&recording, n));
        recording.keep().unwrap();
        let steps = Arc::new(AtomicU32::new(0));
        let counted = Arc::clone(&steps);
        let count = move || {
            counted.fetch_add(1, Ordering::Relaxed);
            false
        };
        book.connection.progress_handler(1, Some(count)).unwrap();
        one_car(&book.begin("buy", "buy", DateTime::UNIX_EPOCH).unwrap(), cars);
        steps.load(Ordering::Relaxed)
    }

    #[test]
    fn one_car_more_is_as_much_work_however_many_there_have_been() {
        let (few, many) = (steps_of_one_more(10), steps_of_one_more(500));
        assert!(few > 1_000 && many < few + few / 20, "{few} steps with 10 cars, {many} with 500");
    }
}

//! Loads slices of facts: the cars a span of days is about, whole; what is on the yard in those
//! days; and plain sums for everything before. What it costs grows with the span, not the history.

use crate::domain::book::dated_facts::MotStanding;
use crate::domain::book::facts::{AuctionPurchase, Car, Facts, Line, Movement, Opening, Showing, Vehicle};
use crate::domain::law::registration::Registration;
use crate::domain::value::car_ref::StockNo;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::facts::lines::{LINE_COLUMNS, MOVEMENT_COLUMNS, line_from_row, movement_from_row};
use crate::store::values::{day, day_if_any};
use chrono::NaiveDate;
use rusqlite::{Row, named_params, params};
use std::collections::BTreeMap;

const CARS: &str = "
    SELECT c.stock_no, c.entry_no, c.mark_at_purchase, c.bought_on, c.purchase_price, c.finance, c.vat,
        c.vat_invoice, c.via, c.seller, c.purchase_invoice, c.keys,
        v.vehicle_no, v.kind, v.vin, v.make, v.model, v.year, v.colour, v.fuel, v.first_registered,
        (SELECT m.mark FROM mark m WHERE m.vehicle_no = v.vehicle_no AND m.dated <= ?2
         ORDER BY m.dated DESC, m.mark_no DESC LIMIT 1),
        (SELECT p.allowance - c.finance FROM part_exchange p WHERE p.stock_no = c.stock_no),
        a.hammer_price, a.buyers_fee
    FROM car c JOIN vehicle v USING (vehicle_no) LEFT JOIN auction_purchase a USING (stock_no)
    WHERE c.stock_no IN (SELECT value FROM json_each(?1)) ORDER BY c.stock_no";

/// Cars in stock on any day of the span, or with a line, settlement or write-off in it, or paid
/// ahead on. Departures are asked of their tables, not the view, which would be gone through whole; the `+`
/// and the CROSS JOIN keep to the search by car, or by day.
const CARS_OF_SPAN: &str = "
    SELECT c.stock_no FROM car c WHERE c.stock_no IN (SELECT stock_no FROM whereabouts WHERE left_on IS NULL
            UNION ALL SELECT stock_no FROM whereabouts WHERE left_on >= :from)
        AND +c.bought_on <= :to
        AND NOT EXISTS (SELECT 1 FROM sale s LEFT JOIN take_back t USING (sale_no)
            WHERE s.stock_no = c.stock_no AND +s.sold_on < :from AND (t.dated IS NULL OR t.dated > :to))
        AND NOT EXISTS (SELECT 1 FROM disposal d WHERE d.stock_no = c.stock_no AND +d.dated < :from)
    UNION SELECT stock_no FROM line WHERE dated BETWEEN :from AND :to AND +stock_no IS NOT NULL
    UNION SELECT stock_no FROM movement WHERE dated BETWEEN :from AND :to AND +stock_no IS NOT NULL
    UNION SELECT stock_no FROM write_off WHERE dated BETWEEN :from AND :to
    UNION SELECT l.stock_no FROM car c CROSS JOIN line l USING (stock_no)
        WHERE c.bought_on >= :from AND l.dated < c.bought_on AND l.dated <= :to";

impl Reader<'_> {
    /// The cars named, with every fact dated on or before `to`; numbers not in the book are left out.
    pub fn cars(&self, stock_nos: &[StockNo], to: NaiveDate) -> Result<Vec<Car>, BookError> {
        if stock_nos.is_empty() {
            return Ok(Vec::new());
        }
        let list = json_list(stock_nos);
        let mut found = self.connection.prepare_cached(CARS)?;
        let mut cars: Vec<Car> = found.query_map(params![list, to], car_from_row)?.collect::<Result<_, _>>()?;
        let mut lines = self.lines_on_cars(&list, to)?;
        let mut settlements = self.movements_on_cars(&list, to)?;
        let mut sales = self.sales_of_cars(&list, to)?;
        let mut disposals = self.disposals_of_cars(&list, to)?;
        let mut deposit_ends = self.deposit_ends_on_cars(&list, to)?;
        let mut write_offs = self.write_offs_on_cars(&list, to)?;
        let mut minutes = self.own_minutes_on_cars(&list, to)?;
        for car in &mut cars {
            car.lines = lines.remove(&car.stock_no).unwrap_or_default();
            car.settlements = settlements.remove(&car.stock_no).unwrap_or_default();
            car.sales = sales.remove(&car.stock_no).unwrap_or_default();
            car.disposal = disposals.remove(&car.stock_no);
            car.deposit_ends = deposit_ends.remove(&car.stock_no).unwrap_or_default();
            car.write_offs = write_offs.remove(&car.stock_no).unwrap_or_default();
            car.own_minutes = minutes.remove(&car.stock_no).unwrap_or_default();
        }
        Ok(cars)
    }

    /// One car, if it is in the book.
    pub fn car(&self, stock_no: StockNo, to: NaiveDate) -> Result<Option<Car>, BookError> {
        Ok(self.cars(&[stock_no], to)?.pop())
    }

    fn lines_on_cars(&self, list: &str, to: NaiveDate) -> Result<BTreeMap<StockNo, Vec<Line>>, BookError> {
        let mut found = self.connection.prepare_cached(&format!(
            "SELECT {LINE_COLUMNS} FROM line WHERE stock_no IN (SELECT value FROM json_each(?1)) AND dated <= ?2
             ORDER BY stock_no, dated, line_no"
        ))?;
        let lines = found.query_map(params![list, to], line_from_row)?;
        grouped(lines, |line| line.stock_no)
    }

    fn movements_on_cars(&self, list: &str, to: NaiveDate) -> Result<BTreeMap<StockNo, Vec<Movement>>, BookError> {
        let mut found = self.connection.prepare_cached(&format!(
            "SELECT {MOVEMENT_COLUMNS} FROM movement WHERE stock_no IN (SELECT value FROM json_each(?1))
             AND dated <= ?2 ORDER BY stock_no, dated, movement_no"
        ))?;
        let movements = found.query_map(params![list, to], movement_from_row)?;
        grouped(movements, |movement| movement.stock_no)
    }

    fn own_minutes_on_cars(
        &self,
        list: &str,
        to: NaiveDate,
    ) -> Result<BTreeMap<StockNo, Vec<(NaiveDate, u32)>>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT stock_no, dated, minutes FROM own_hours WHERE stock_no IN (SELECT value FROM json_each(?1))
             AND dated <= ?2 ORDER BY stock_no, dated",
        )?;
        let mut rows = found.query(params![list, to])?;
        let mut minutes: BTreeMap<StockNo, Vec<(NaiveDate, u32)>> = BTreeMap::new();
        while let Some(row) = rows.next()? {
            minutes.entry(row.get(0)?).or_default().push((day(row, 1)?, row.get(2)?));
        }
        Ok(minutes)
    }

    /// What a car shows the world on a day: asking price, MOT, mileage, for each car named.
    pub fn showing(&self, stock_nos: &[StockNo], to: NaiveDate) -> Result<BTreeMap<StockNo, Showing>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT c.stock_no, a.amount, a.lowest, r.dated, r.miles,
                 (SELECT m.until FROM mot_certificate m WHERE m.vehicle_no = c.vehicle_no AND m.dated <= ?2
                  ORDER BY m.dated DESC, m.mot_certificate_no DESC LIMIT 1),
                 t.result = 'fail',
                 (SELECT d.level FROM mot_defect d WHERE d.mot_test_no = t.mot_test_no
                  ORDER BY instr('dangerous major minor advisory', d.level) LIMIT 1),
                 (SELECT h.hold_until FROM deposit_hold h WHERE h.stock_no = c.stock_no AND h.dated <= ?2
                  ORDER BY h.dated DESC, h.deposit_hold_no DESC LIMIT 1)
             FROM car c
             LEFT JOIN mot_test t ON t.mot_test_no = (SELECT x.mot_test_no FROM mot_test x
                 WHERE x.vehicle_no = c.vehicle_no AND x.dated <= ?2 ORDER BY x.dated DESC, x.mot_test_no DESC LIMIT 1)
             LEFT JOIN asking_price a ON a.asking_price_no = (SELECT x.asking_price_no FROM asking_price x
                 WHERE x.stock_no = c.stock_no AND x.dated <= ?2 ORDER BY x.dated DESC, x.asking_price_no DESC LIMIT 1)
             LEFT JOIN reading r ON r.reading_no = (SELECT x.reading_no FROM reading x
                 WHERE x.vehicle_no = c.vehicle_no AND x.dated <= ?2 ORDER BY x.dated DESC, x.reading_no DESC LIMIT 1)
             WHERE c.stock_no IN (SELECT value FROM json_each(?1))",
        )?;
        let showing = found
            .query_map(params![json_list(stock_nos), to], |row| {
                let (read_on, miles): (_, Option<u32>) = (day_if_any(row, 3)?, row.get(4)?);
                let showing = Showing {
                    asking_price: row.get(1)?,
                    lowest_price: row.get(2)?,
                    mileage: read_on.zip(miles),
                    hold_until: day_if_any(row, 8)?,
                    mot: MotStanding {
                        until: day_if_any(row, 5)?,
                        failed: row.get::<_, Option<bool>>(6)?.unwrap_or_default(),
                        worst_defect: row.get(7)?,
                    },
                };
                Ok((row.get(0)?, showing))
            })?
            .collect::<Result<_, _>>()?;
        Ok(showing)
    }

    /// Notes on a car, oldest first.
    pub fn notes(&self, car: StockNo, to: NaiveDate) -> Result<Vec<(NaiveDate, String)>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT dated, wording FROM note WHERE stock_no = ?1 AND dated <= ?2 ORDER BY dated, note_no",
        )?;
        let notes =
            found.query_map(params![car, to], |row| Ok((day(row, 0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
        Ok(notes)
    }

    /// The facts of the days from `from` to `to`; standing costs may count up to `standing_to`.
    pub fn facts(
        &self,
        from: NaiveDate,
        to: NaiveDate,
        standing_to: NaiveDate,
        registration: Registration,
    ) -> Result<Facts, BookError> {
        let mut found = self.connection.prepare_cached(CARS_OF_SPAN)?;
        let stock_nos: Vec<StockNo> =
            found.query_map(named_params! {":from": from, ":to": to}, |row| row.get(0))?.collect::<Result<_, _>>()?;
        let mut yard = self.connection.prepare_cached(&format!(
            "SELECT {LINE_COLUMNS} FROM line WHERE dated BETWEEN ?1 AND ?2 AND stock_no IS NULL ORDER BY dated, line_no"
        ))?;
        let mut others = self.connection.prepare_cached(&format!(
            "SELECT {MOVEMENT_COLUMNS} FROM movement WHERE dated BETWEEN ?1 AND ?2 AND stock_no IS NULL
             ORDER BY dated, movement_no"
        ))?;
        Ok(Facts {
            from,
            to,
            standing_to,
            first_day: self.first_day()?,
            registration,
            opening: self.opening(from, &registration)?,
            cars: self.cars(&stock_nos, to)?,
            yard_lines: yard.query_map(params![from, to], line_from_row)?.collect::<Result<_, _>>()?,
            movements: others.query_map(params![from, to], movement_from_row)?.collect::<Result<_, _>>()?,
            standings: self.standings()?,
        })
    }

    /// The cars in stock on a day, with nothing else of the book: enough for what they stand in at and what
    /// is to be done about them.
    pub fn facts_of_stock(&self, day: NaiveDate, registration: Registration) -> Result<Facts, BookError> {
        let mut found = self.connection.prepare_cached(CARS_OF_SPAN)?;
        let stock_nos: Vec<StockNo> =
            found.query_map(named_params! {":from": day, ":to": day}, |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(Facts {
            from: day,
            to: day,
            standing_to: day,
            first_day: None,
            registration,
            opening: Opening::default(),
            cars: self.cars(&stock_nos, day)?,
            yard_lines: Vec::new(),
            movements: Vec::new(),
            standings: self.standings()?,
        })
    }

    /// The first day anything in the book is dated.
    pub fn first_day(&self) -> Result<Option<NaiveDate>, BookError> {
        Ok(self
            .connection
            .prepare_cached(
                "SELECT min(day) FROM (SELECT min(bought_on) AS day FROM car UNION ALL SELECT min(dated) FROM line
                 UNION ALL SELECT min(dated) FROM movement UNION ALL SELECT min(first_on) FROM standing)",
            )?
            .query_row([], |row| day_if_any(row, 0))?)
    }
}

fn car_from_row(row: &Row<'_>) -> rusqlite::Result<Car> {
    Ok(Car {
        stock_no: row.get(0)?,
        entry: row.get(1)?,
        mark_at_purchase: row.get(2)?,
        bought_on: day(row, 3)?,
        purchase_price: row.get(4)?,
        finance: row.get(5)?,
        vat: row.get(6)?,
        vat_invoice: row.get(7)?,
        via: row.get(8)?,
        seller: row.get(9)?,
        purchase_invoice: row.get(10)?,
        keys: row.get(11)?,
        vehicle: Vehicle {
            vehicle_no: row.get(12)?,
            kind: row.get(13)?,
            vin: row.get(14)?,
            make: row.get(15)?,
            model: row.get(16)?,
            year: row.get(17)?,
            colour: row.get(18)?,
            fuel: row.get(19)?,
            first_registered: day_if_any(row, 20)?,
        },
        // A car with lines paid ahead is not yet bought; the mark it will be bought under names it.
        mark: row.get::<_, Option<_>>(21)?.or(row.get(2)?),
        taken_in_at: row.get(22)?,
        auction: match row.get(23)? {
            Some(hammer_price) => Some(AuctionPurchase { hammer_price, buyers_fee: row.get(24)? }),
            None => None,
        },
        sales: Vec::new(),
        disposal: None,
        lines: Vec::new(),
        settlements: Vec::new(),
        deposit_ends: Vec::new(),
        write_offs: Vec::new(),
        own_minutes: Vec::new(),
    })
}

pub(crate) fn json_list(stock_nos: &[StockNo]) -> String {
    let numbers: Vec<String> = stock_nos.iter().map(|stock_no| stock_no.get().to_string()).collect();
    format!("[{}]", numbers.join(","))
}

/// Puts rows that come car by car under their cars.
fn grouped<T>(
    rows: impl Iterator<Item = rusqlite::Result<T>>,
    car: impl Fn(&T) -> Option<StockNo>,
) -> Result<BTreeMap<StockNo, Vec<T>>, BookError> {
    let mut groups: BTreeMap<StockNo, Vec<T>> = BTreeMap::new();
    for row in rows {
        let row = row?;
        if let Some(stock_no) = car(&row) {
            groups.entry(stock_no).or_default().push(row);
        }
    }
    Ok(groups)
}

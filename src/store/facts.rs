//! Loads slices of facts: the cars a span of days is about, whole; what is on the yard in those
//! days; and plain sums for everything before. What it costs grows with the span, not the history.

use crate::domain::car_ref::StockNo;
use crate::domain::dated_facts::MotStanding;
use crate::domain::day::LAST_DAY;
use crate::domain::facts::{Car, Facts, Line, Movement, Opening, PartExchange, Sale, Showing, Vehicle};
use crate::domain::pence::Pence;
use crate::domain::registration::Registration;
use crate::store::lines::{LINE_COLUMNS, MOVEMENT_COLUMNS, line_from_row, movement_from_row};
use crate::store::{BookError, Reader};
use chrono::NaiveDate;
use rusqlite::{Row, named_params, params};
use std::collections::BTreeMap;

const CARS: &str = "
    SELECT c.stock_no, c.entry_no, c.mark_at_purchase, c.bought_on, c.purchase_price, c.finance, c.vat,
        c.vat_invoice, c.via, c.seller, c.purchase_invoice, c.keys,
        v.vehicle_no, v.kind, v.vin, v.make, v.model, v.year, v.colour, v.fuel, v.first_registered,
        (SELECT m.mark FROM mark m WHERE m.vehicle_no = v.vehicle_no AND m.dated <= ?2
         ORDER BY m.dated DESC, m.mark_no DESC LIMIT 1),
        (SELECT p.allowance FROM part_exchange p WHERE p.stock_no = c.stock_no)
    FROM car c JOIN vehicle v USING (vehicle_no)
    WHERE c.stock_no IN (SELECT value FROM json_each(?1)) ORDER BY c.stock_no";

/// Cars in stock on any day of the span, or with a line or settlement in it, or paid ahead on.
const CARS_OF_SPAN: &str = "
    SELECT c.stock_no FROM car c LEFT JOIN sale s USING (stock_no)
        WHERE c.bought_on <= :to AND (s.sold_on IS NULL OR s.sold_on >= :from)
    UNION SELECT stock_no FROM line WHERE dated BETWEEN :from AND :to AND stock_no IS NOT NULL
    UNION SELECT stock_no FROM movement WHERE dated BETWEEN :from AND :to AND stock_no IS NOT NULL
    UNION SELECT l.stock_no FROM car c JOIN line l USING (stock_no)
        WHERE c.bought_on >= :from AND l.dated < c.bought_on AND l.dated <= :to";

impl Reader<'_> {
    /// The cars named, with every fact dated on or before `to`; numbers not in the book are left out.
    pub fn cars(&self, stock_nos: &[StockNo], to: NaiveDate) -> Result<Vec<Car>, BookError> {
        let list = json_list(stock_nos);
        let mut found = self.connection.prepare_cached(CARS)?;
        let mut cars: Vec<Car> = found.query_map(params![list, to], car_from_row)?.collect::<Result<_, _>>()?;
        let mut lines = group(self.lines_on_cars(&list, to)?, |line| line.stock_no);
        let mut settlements = group(self.movements_on_cars(&list, to)?, |movement| movement.stock_no);
        let mut sales = self.sales_of_cars(&list, to)?;
        let mut minutes = self.own_minutes_on_cars(&list, to)?;
        for car in &mut cars {
            car.lines = lines.remove(&car.stock_no).unwrap_or_default();
            car.settlements = settlements.remove(&car.stock_no).unwrap_or_default();
            car.sale = sales.remove(&car.stock_no);
            car.own_minutes = minutes.remove(&car.stock_no).unwrap_or_default();
        }
        Ok(cars)
    }

    /// One car, if it is in the book.
    pub fn car(&self, stock_no: StockNo, to: NaiveDate) -> Result<Option<Car>, BookError> {
        Ok(self.cars(&[stock_no], to)?.pop())
    }

    fn lines_on_cars(&self, list: &str, to: NaiveDate) -> Result<Vec<Line>, BookError> {
        let mut found = self.connection.prepare_cached(&format!(
            "SELECT {LINE_COLUMNS} FROM line WHERE stock_no IN (SELECT value FROM json_each(?1)) AND dated <= ?2
             ORDER BY stock_no, dated, line_no"
        ))?;
        let lines = found.query_map(params![list, to], line_from_row)?.collect::<Result<_, _>>()?;
        Ok(lines)
    }

    fn movements_on_cars(&self, list: &str, to: NaiveDate) -> Result<Vec<Movement>, BookError> {
        let mut found = self.connection.prepare_cached(&format!(
            "SELECT {MOVEMENT_COLUMNS} FROM movement WHERE stock_no IN (SELECT value FROM json_each(?1))
             AND dated <= ?2 ORDER BY stock_no, dated, movement_no"
        ))?;
        let movements = found.query_map(params![list, to], movement_from_row)?.collect::<Result<_, _>>()?;
        Ok(movements)
    }

    fn sales_of_cars(&self, list: &str, to: NaiveDate) -> Result<BTreeMap<StockNo, Sale>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT stock_no, sale_no, entry_no, sold_on, selling_price, buyer, address, to_trade, delivered_on, distance
             FROM sale WHERE stock_no IN (SELECT value FROM json_each(?1)) AND sold_on <= ?2",
        )?;
        let mut sales: BTreeMap<StockNo, Sale> = found
            .query_map(params![list, to], |row| {
                let sale = Sale {
                    sale_no: row.get(1)?,
                    entry: row.get(2)?,
                    on: row.get(3)?,
                    selling_price: row.get(4)?,
                    buyer: row.get(5)?,
                    address: row.get(6)?,
                    to_trade: row.get(7)?,
                    delivered_on: row.get(8)?,
                    distance: row.get(9)?,
                    part_exchanges: Vec::new(),
                };
                Ok((row.get(0)?, sale))
            })?
            .collect::<Result<_, _>>()?;
        let mut parts = self.connection.prepare_cached(
            "SELECT s.stock_no, p.stock_no, p.allowance FROM part_exchange p JOIN sale s USING (sale_no)
             WHERE s.stock_no IN (SELECT value FROM json_each(?1)) AND s.sold_on <= ?2 ORDER BY p.part_exchange_no",
        )?;
        let mut rows = parts.query(params![list, to])?;
        while let Some(row) = rows.next()? {
            let sold: StockNo = row.get(0)?;
            if let Some(sale) = sales.get_mut(&sold) {
                sale.part_exchanges.push(PartExchange { stock_no: row.get(1)?, allowance: row.get(2)? });
            }
        }
        Ok(sales)
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
            minutes.entry(row.get(0)?).or_default().push((row.get(1)?, row.get(2)?));
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
                  ORDER BY instr('dangerous major minor advisory', d.level) LIMIT 1)
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
                let (read_on, miles): (Option<NaiveDate>, Option<u32>) = (row.get(3)?, row.get(4)?);
                let showing = Showing {
                    asking_price: row.get(1)?,
                    lowest_price: row.get(2)?,
                    mileage: read_on.zip(miles),
                    mot: MotStanding {
                        until: row.get(5)?,
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
            found.query_map(params![car, to], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
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

    /// The first day anything in the book is dated.
    pub fn first_day(&self) -> Result<Option<NaiveDate>, BookError> {
        Ok(self
            .connection
            .prepare_cached(
                "SELECT min(day) FROM (SELECT min(bought_on) AS day FROM car UNION ALL SELECT min(dated) FROM line
                 UNION ALL SELECT min(dated) FROM movement UNION ALL SELECT min(first_on) FROM standing)",
            )?
            .query_row([], |row| row.get(0))?)
    }

    fn opening(&self, from: NaiveDate, registration: &Registration) -> Result<Opening, BookError> {
        let sum = |sql: &str| -> Result<Pence, BookError> {
            Ok(self
                .connection
                .prepare_cached(sql)?
                .query_row([from], |row| row.get::<_, Option<Pence>>(0))?
                .unwrap_or_default())
        };
        let pocket = |pocket: &str| -> Result<Pence, BookError> {
            let spent = format!(
                "SELECT sum(CASE direction WHEN 'cost' THEN -amount ELSE amount END) FROM line
                 WHERE pocket = '{pocket}' AND dated < ?1"
            );
            let moved = format!("SELECT sum(amount) FROM movement WHERE pocket = '{pocket}' AND dated < ?1");
            Ok(sum(&spent)? + sum(&moved)?)
        };
        let settled = |purpose: &str| {
            sum(&format!("SELECT sum(amount) FROM movement WHERE purpose = '{purpose}' AND dated < ?1"))
        };
        let sold = sum("SELECT sum(selling_price) FROM sale WHERE sold_on < ?1")?;
        let allowed =
            sum("SELECT sum(p.allowance) FROM part_exchange p JOIN sale s USING (sale_no) WHERE s.sold_on < ?1")?;
        let bought = sum("SELECT sum(purchase_price) FROM car WHERE bought_on < ?1")?;
        let taken_in =
            sum("SELECT sum(p.allowance) FROM part_exchange p JOIN car c USING (stock_no) WHERE c.bought_on < ?1")?;
        Ok(Opening {
            cash: pocket("cash")?,
            bank: pocket("bank")?,
            owed_by_buyers: sold - allowed - settled("sale")?,
            owed_to_sellers: bought - taken_in + settled("purchase")?,
            bills: sum("SELECT sum(amount) FROM line WHERE pocket IS NULL AND dated < ?1")? + settled("bill")?,
            loans: settled("loan")?,
            vat_owed: self.vat_before(from, registration)? + settled("vat")?,
        })
    }

    /// VAT on sales and receipts less VAT reclaimed, on registered days before `from`.
    fn vat_before(&self, from: NaiveDate, registration: &Registration) -> Result<Pence, BookError> {
        let Some(registered) = registration.from.filter(|registered| *registered < from) else {
            return Ok(Pence::ZERO);
        };
        let until = registration.until.unwrap_or(LAST_DAY).min(from.pred_opt().unwrap_or(from));
        let span = params![registered, until];
        let mut vat: Pence = self
            .connection
            .prepare_cached(
                "SELECT sum(CASE direction WHEN 'cost' THEN -vat ELSE vat END) FROM line WHERE vat > 0 AND dated BETWEEN ?1 AND ?2",
            )?
            .query_row(span, |row| row.get::<_, Option<Pence>>(0))?
            .unwrap_or_default();
        vat -= self
            .connection
            .prepare_cached("SELECT sum(vat) FROM car WHERE vat_invoice = 1 AND bought_on BETWEEN ?1 AND ?2")?
            .query_row(span, |row| row.get::<_, Option<Pence>>(0))?
            .unwrap_or_default();
        let mut sales = self.connection.prepare_cached(
            "SELECT c.purchase_price, s.selling_price, c.vat_invoice, s.sold_on FROM sale s JOIN car c USING (stock_no)
             WHERE s.sold_on BETWEEN ?1 AND ?2",
        )?;
        let mut rows = sales.query(span)?;
        while let Some(row) = rows.next()? {
            vat += registration.on_sale(row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?);
        }
        Ok(vat)
    }
}

fn car_from_row(row: &Row<'_>) -> rusqlite::Result<Car> {
    Ok(Car {
        stock_no: row.get(0)?,
        entry: row.get(1)?,
        mark_at_purchase: row.get(2)?,
        bought_on: row.get(3)?,
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
            first_registered: row.get(20)?,
        },
        // A car with lines paid ahead is not yet bought; the mark it will be bought under names it.
        mark: row.get::<_, Option<_>>(21)?.or(row.get(2)?),
        taken_in_at: row.get(22)?,
        sale: None,
        lines: Vec::new(),
        settlements: Vec::new(),
        own_minutes: Vec::new(),
    })
}

pub(super) fn json_list(stock_nos: &[StockNo]) -> String {
    let numbers: Vec<String> = stock_nos.iter().map(|stock_no| stock_no.get().to_string()).collect();
    format!("[{}]", numbers.join(","))
}

fn group<T>(rows: Vec<T>, car: impl Fn(&T) -> Option<StockNo>) -> BTreeMap<StockNo, Vec<T>> {
    let mut groups: BTreeMap<StockNo, Vec<T>> = BTreeMap::new();
    for row in rows {
        if let Some(stock_no) = car(&row) {
            groups.entry(stock_no).or_default().push(row);
        }
    }
    groups
}

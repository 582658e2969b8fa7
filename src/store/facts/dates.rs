//! What lapses: MOT tests and defects, vehicle tax, the pre-sale list, papers, dates dealt with.

use crate::domain::book::bills::Bills;
use crate::domain::book::dated_facts::{CarCheck, MotTest, Paper, TaxEvent, TaxKind};
use crate::domain::law::mot::Defect;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::checklist::CheckState;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::Purpose;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::facts::facts::json_list;
use crate::store::keep::entries::Recording;
use crate::store::values::{day, day_if_any};
use chrono::NaiveDate;
use rusqlite::{Row, params};
use std::collections::{BTreeMap, BTreeSet};

impl Reader<'_> {
    /// The tests of a vehicle by `to`, oldest first, with their defects.
    pub fn mot_tests(&self, vehicle_no: i64, to: NaiveDate) -> Result<Vec<MotTest>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT mot_test_no, entry_no, dated, result = 'pass', until, miles FROM mot_test
             WHERE vehicle_no = ?1 AND dated <= ?2 ORDER BY dated, mot_test_no",
        )?;
        let mut tests = found
            .query_map(params![vehicle_no, to], |row| {
                Ok(MotTest {
                    mot_test_no: row.get(0)?,
                    entry: row.get(1)?,
                    on: day(row, 2)?,
                    passed: row.get(3)?,
                    until: day_if_any(row, 4)?,
                    miles: row.get(5)?,
                    defects: Vec::new(),
                })
            })?
            .collect::<Result<Vec<_>, _>>()?;
        let mut defects = self
            .connection
            .prepare_cached("SELECT level, wording FROM mot_defect WHERE mot_test_no = ?1 ORDER BY mot_defect_no")?;
        for test in &mut tests {
            test.defects = defects
                .query_map([test.mot_test_no], |row| Ok(Defect { level: row.get(0)?, text: row.get(1)? }))?
                .collect::<Result<_, _>>()?;
        }
        Ok(tests)
    }

    /// The last day of the certificate known by `to`, if any.
    pub fn mot_until(&self, vehicle_no: i64, to: NaiveDate) -> Result<Option<NaiveDate>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT until FROM mot_certificate WHERE vehicle_no = ?1 AND dated <= ?2
             ORDER BY dated DESC, mot_certificate_no DESC LIMIT 1",
        )?;
        let mut rows = found.query(params![vehicle_no, to])?;
        Ok(rows.next()?.map(|row| day(row, 0)).transpose()?)
    }

    /// What was done about the vehicle tax of each car by `to`, oldest first.
    pub fn tax_events(&self, cars: &[StockNo], to: NaiveDate) -> Result<BTreeMap<StockNo, Vec<TaxEvent>>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT stock_no, vehicle_tax_no, entry_no, dated, status, starts, until, annual_rate FROM vehicle_tax
             WHERE stock_no IN (SELECT value FROM json_each(?1)) AND dated <= ?2
             ORDER BY stock_no, dated, vehicle_tax_no",
        )?;
        let mut events: BTreeMap<StockNo, Vec<TaxEvent>> = BTreeMap::new();
        let mut rows = found.query(params![json_list(cars), to])?;
        while let Some(row) = rows.next()? {
            events.entry(row.get(0)?).or_default().push(tax_event(row)?);
        }
        Ok(events)
    }

    /// The latest word on each item of a car's pre-sale list by `to`.
    pub fn car_checks(&self, car: StockNo, to: NaiveDate) -> Result<Vec<CarCheck>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT item, state, dated, note, entry_no FROM car_check c WHERE stock_no = ?1 AND dated <= ?2
             AND NOT EXISTS (SELECT 1 FROM car_check n WHERE n.stock_no = c.stock_no AND n.item = c.item
                 AND n.dated <= ?2 AND (n.dated, n.car_check_no) > (c.dated, c.car_check_no))",
        )?;
        let checks = found
            .query_map(params![car, to], |row| {
                Ok(CarCheck {
                    item: row.get(0)?,
                    entry: row.get(4)?,
                    state: row.get(1)?,
                    on: day(row, 2)?,
                    note: row.get(3)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(checks)
    }

    /// The papers kept, soonest first.
    pub fn papers(&self) -> Result<Vec<Paper>, BookError> {
        let mut found = self
            .connection
            .prepare_cached("SELECT paper_no, entry_no, name, until, remind_days FROM paper ORDER BY until, name")?;
        let papers = found
            .query_map([], |row| {
                Ok(Paper {
                    paper_no: row.get(0)?,
                    entry: row.get(1)?,
                    name: row.get(2)?,
                    until: day(row, 3)?,
                    remind_days: row.get(4)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(papers)
    }

    /// Cars out of stock that are kept in mind because something is still open on them.
    pub fn open_departures(&self) -> Result<BTreeSet<StockNo>, BookError> {
        let mut found = self.connection.prepare_cached("SELECT stock_no FROM open_departure")?;
        let cars = found.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(cars)
    }

    /// Which of these items were marked as dealt with by `to`.
    pub fn dealt_with(&self, items: &[i64], to: NaiveDate) -> Result<BTreeSet<i64>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT item FROM dealt_with WHERE item IN (SELECT value FROM json_each(?1)) AND dated <= ?2",
        )?;
        let list = format!("[{}]", items.iter().map(ToString::to_string).collect::<Vec<_>>().join(","));
        let items = found.query_map(params![list, to], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(items)
    }

    /// Cars that left stock from `since` to `to`, and those with something still open today.
    pub fn cars_gone_with_dates(&self, since: NaiveDate, to: NaiveDate) -> Result<Vec<StockNo>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT stock_no FROM departure WHERE left_on BETWEEN ?1 AND ?2
             UNION SELECT stock_no FROM open_departure o
                 WHERE EXISTS (SELECT 1 FROM departure d WHERE d.stock_no = o.stock_no AND d.left_on <= ?2)",
        )?;
        let cars = found.query_map(params![since, to], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(cars)
    }

    /// Bills recorded unpaid by `to` and the payments against them, of those names alone that are not
    /// paid in full: of a long past, few are.
    pub fn bills_left(&self, to: NaiveDate) -> Result<Bills, BookError> {
        let mut owed = self.connection.prepare_cached(
            "SELECT party FROM line l WHERE pocket IS NULL AND party IS NOT NULL AND dated <= ?1
             GROUP BY party COLLATE NOCASE
             HAVING sum(amount) + coalesce((SELECT sum(m.amount) FROM movement m
                 WHERE m.purpose = 'bill' AND m.party = l.party COLLATE NOCASE AND m.dated <= ?1), 0) <> 0",
        )?;
        let names: Vec<String> = owed.query_map([to], |row| row.get(0))?.collect::<Result<_, _>>()?;
        let mut left = Bills::default();
        for name in names {
            left.lines.extend(self.bills_of(&name)?.into_iter().filter(|line| line.on <= to));
            let paid = self.movements_with(Purpose::Bill, &name)?;
            left.payments.extend(paid.into_iter().filter(|payment| payment.on <= to));
        }
        Ok(left)
    }

    /// When the book's first entry was recorded: what tells one book from another.
    pub fn begun_at(&self) -> Result<Option<String>, BookError> {
        let mut found = self.connection.prepare_cached("SELECT recorded_at FROM entry ORDER BY entry_no LIMIT 1")?;
        let mut rows = found.query([])?;
        Ok(rows.next()?.map(|row| row.get(0)).transpose()?)
    }
}

fn tax_event(row: &Row<'_>) -> rusqlite::Result<TaxEvent> {
    Ok(TaxEvent {
        vehicle_tax_no: row.get(1)?,
        entry: row.get(2)?,
        on: day(row, 3)?,
        kind: row.get(4)?,
        starts: day(row, 5)?,
        until: day_if_any(row, 6)?,
        annual_rate: row.get(7)?,
    })
}

impl Recording<'_> {
    /// Adds a test, with the certificate it gave when passed.
    pub fn add_mot_test(
        &self,
        vehicle_no: i64,
        on: NaiveDate,
        until: Option<NaiveDate>,
        miles: Option<u32>,
        defects: &[Defect],
    ) -> Result<(), BookError> {
        let result = if until.is_some() { "pass" } else { "fail" };
        self.transaction.execute(
            "INSERT INTO mot_test (entry_no, vehicle_no, dated, result, until, miles) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![self.entry(), vehicle_no, on, result, until, miles],
        )?;
        let test = self.transaction.last_insert_rowid();
        for defect in defects {
            self.transaction.execute(
                "INSERT INTO mot_defect (entry_no, mot_test_no, level, wording) VALUES (?1, ?2, ?3, ?4)",
                params![self.entry(), test, defect.level, defect.text],
            )?;
        }
        if let Some(until) = until {
            self.add_mot_certificate(vehicle_no, on, until)?;
        }
        if let Some(miles) = miles {
            self.add_reading(vehicle_no, on, miles, "mot")?;
        }
        Ok(())
    }

    /// Adds what was done about a car's vehicle tax.
    pub fn add_tax_event(
        &self,
        car: StockNo,
        on: NaiveDate,
        kind: TaxKind,
        starts: NaiveDate,
        until: Option<NaiveDate>,
        annual_rate: Option<Pence>,
    ) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO vehicle_tax (entry_no, stock_no, dated, status, starts, until, annual_rate)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            params![self.entry(), car, on, kind, starts, until, annual_rate],
        )?;
        Ok(())
    }

    /// Adds a word on an item of a car's pre-sale list.
    pub fn add_car_check(
        &self,
        car: StockNo,
        on: NaiveDate,
        item: &str,
        state: CheckState,
        note: Option<&str>,
    ) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO car_check (entry_no, stock_no, dated, item, state, note) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
            params![self.entry(), car, on, item, state, note],
        )?;
        Ok(())
    }

    /// Adds a paper.
    pub fn add_paper(&self, name: &str, until: NaiveDate, remind_days: Option<i64>) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO paper (entry_no, name, until, remind_days) VALUES (?1, ?2, ?3, ?4)",
            params![self.entry(), name, until, remind_days],
        )?;
        Ok(())
    }

    /// Gives a paper another last day.
    pub fn renew_paper(&self, paper_no: i64, until: NaiveDate) -> Result<(), BookError> {
        self.transaction.execute("UPDATE paper SET until = ?2 WHERE paper_no = ?1", params![paper_no, until])?;
        Ok(())
    }

    /// Takes a paper out; the history keeps it.
    pub fn remove_paper(&self, paper_no: i64) -> Result<(), BookError> {
        self.transaction.execute("DELETE FROM paper WHERE paper_no = ?1", [paper_no])?;
        Ok(())
    }

    /// Keeps in mind, or lets go, that something is still open on a car that has left stock.
    pub fn set_open_departure(&self, car: StockNo, open: bool) -> Result<(), BookError> {
        let sql = if open {
            "INSERT OR IGNORE INTO open_departure (stock_no) VALUES (?1)"
        } else {
            "DELETE FROM open_departure WHERE stock_no = ?1"
        };
        self.transaction.prepare_cached(sql)?.execute([car])?;
        Ok(())
    }

    /// Marks an item as dealt with.
    pub fn add_dealt_with(&self, item: i64, on: NaiveDate) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO dealt_with (entry_no, item, dated) VALUES (?1, ?2, ?3)",
            params![self.entry(), item, on],
        )?;
        Ok(())
    }
}

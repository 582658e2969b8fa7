//! The programme as it was set, and the cars its decisions look back on.

use crate::domain::law::mot::DefectLevel;
use crate::domain::plan::programme::Programme;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::target::Multiple;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::keep::entries::Recording;
use crate::store::values::KeptMonth;
use chrono::NaiveDate;
use rusqlite::params;
use std::collections::BTreeMap;

impl Reader<'_> {
    /// Every setting of the programme, in the order it was set.
    pub fn programmes(&self) -> Result<Vec<Programme>, BookError> {
        let mut found = self
            .connection
            .prepare_cached("SELECT from_month, cars, budget, multiple FROM programme ORDER BY programme_no")?;
        let set = found
            .query_map([], |row| {
                let (KeptMonth(from), Multiple(multiple)) = (row.get(0)?, row.get(3)?);
                Ok(Programme { from, cars: row.get(1)?, budget: row.get(2)?, multiple })
            })?
            .collect::<Result<_, _>>()?;
        Ok(set)
    }

    /// Cars bought from `from` to `to` that fill a slot: all but those taken in.
    pub fn slots_filled(&self, from: NaiveDate, to: NaiveDate) -> Result<u32, BookError> {
        let mut found = self
            .connection
            .prepare_cached("SELECT count(*) FROM car WHERE bought_on BETWEEN ?1 AND ?2 AND via <> 'part-exchange'")?;
        Ok(found.query_row(params![from, to], |row| row.get(0))?)
    }

    /// Every car bought by `day`.
    pub fn every_car(&self, day: NaiveDate) -> Result<Vec<StockNo>, BookError> {
        let mut found =
            self.connection.prepare_cached("SELECT stock_no FROM car WHERE bought_on <= ?1 ORDER BY stock_no")?;
        let cars = found.query_map([day], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(cars)
    }

    /// The latest cars that left stock by `day` and did not come back by then, the latest first.
    pub fn latest_gone(&self, day: NaiveDate, most: u32) -> Result<Vec<StockNo>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT stock_no FROM departure WHERE left_on <= ?1 AND (back_on IS NULL OR back_on > ?1)
             ORDER BY left_on DESC, stock_no DESC LIMIT ?2",
        )?;
        let cars = found.query_map(params![day, most], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(cars)
    }

    /// Miles at purchase of every car bought by `day`, where known.
    pub fn miles_when_bought(&self, day: NaiveDate) -> Result<BTreeMap<StockNo, u32>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT c.stock_no, r.miles FROM car c JOIN reading r ON r.reading_no = (SELECT x.reading_no FROM reading x
                 WHERE x.vehicle_no = c.vehicle_no AND x.dated <= c.bought_on ORDER BY x.dated DESC, x.reading_no DESC LIMIT 1)
             WHERE c.bought_on <= ?1",
        )?;
        let miles = found.query_map([day], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
        Ok(miles)
    }

    /// The gravest defect tests found on each car while it was in stock and by `day`; none where they
    /// found nothing. Cars not known to be tested then are left out.
    pub fn faults_found(&self, day: NaiveDate) -> Result<BTreeMap<StockNo, Option<DefectLevel>>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT c.stock_no, (SELECT d.level FROM mot_defect d JOIN mot_test x USING (mot_test_no)
                 WHERE x.vehicle_no = c.vehicle_no AND x.dated BETWEEN c.bought_on AND min(?1, coalesce(l.left_on, ?1))
                 ORDER BY instr('dangerous major minor advisory', d.level) LIMIT 1)
             FROM car c LEFT JOIN (SELECT stock_no, max(left_on) AS left_on FROM departure WHERE left_on <= ?1
                 GROUP BY stock_no) l USING (stock_no)
             WHERE EXISTS (SELECT 1 FROM mot_test t WHERE t.vehicle_no = c.vehicle_no
                 AND t.dated BETWEEN c.bought_on AND min(?1, coalesce(l.left_on, ?1)))",
        )?;
        let faults = found.query_map([day], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
        Ok(faults)
    }
}

impl Recording<'_> {
    /// Sets the programme from a month on.
    pub fn add_programme(&self, programme: &Programme) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO programme (entry_no, from_month, cars, budget, multiple) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![
                self.entry(),
                programme.from.iso(),
                programme.cars,
                programme.budget,
                programme.multiple.to_string()
            ],
        )?;
        Ok(())
    }
}

//! Standing costs as kept: what, how often, from when, how much, which days were let off.

use crate::domain::book::standing::{Standing, StandingAmount};
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Every, Pocket};
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::keep::entries::Recording;
use crate::store::values::{day, day_if_any};
use chrono::NaiveDate;
use rusqlite::params;

impl Reader<'_> {
    /// Every standing cost, stopped ones included, with its amounts and skips.
    pub fn standings(&self) -> Result<Vec<Standing>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT standing_no, entry_no, name, heading, every, first_on, until, pocket FROM standing ORDER BY standing_no",
        )?;
        let mut standings = found
            .query_map([], |row| {
                Ok(Standing {
                    standing_no: row.get(0)?,
                    entry: row.get(1)?,
                    name: row.get(2)?,
                    heading: row.get(3)?,
                    every: row.get(4)?,
                    first_on: day(row, 5)?,
                    until: day_if_any(row, 6)?,
                    pocket: row.get(7)?,
                    amounts: Vec::new(),
                    skipped: Vec::new(),
                })
            })?
            .collect::<Result<Vec<_>, _>>()?;
        for standing in &mut standings {
            standing.amounts = self
                .connection
                .prepare_cached(
                    "SELECT dated, amount, vat FROM standing_amount WHERE standing_no = ?1 ORDER BY dated, standing_amount_no",
                )?
                .query_map([standing.standing_no], |row| {
                    Ok(StandingAmount { from: day(row, 0)?, amount: row.get(1)?, vat: row.get(2)? })
                })?
                .collect::<Result<_, _>>()?;
            standing.skipped = self
                .connection
                .prepare_cached("SELECT dated FROM standing_skip WHERE standing_no = ?1 ORDER BY dated")?
                .query_map([standing.standing_no], |row| day(row, 0))?
                .collect::<Result<_, _>>()?;
        }
        Ok(standings)
    }
}

impl Recording<'_> {
    /// Adds a standing cost and gives its number; its first amount is added beside it.
    pub fn add_standing(
        &self,
        name: &str,
        heading: &str,
        every: Every,
        first_on: NaiveDate,
        until: Option<NaiveDate>,
        pocket: Pocket,
    ) -> Result<i64, BookError> {
        self.transaction.execute(
            "INSERT INTO standing (entry_no, name, heading, every, first_on, until, pocket)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            params![self.entry(), name, heading, every, first_on, until, pocket],
        )?;
        Ok(self.transaction.last_insert_rowid())
    }

    /// Adds an amount in force from a day.
    pub fn add_standing_amount(
        &self,
        standing_no: i64,
        from: NaiveDate,
        amount: Pence,
        vat: Pence,
    ) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO standing_amount (entry_no, standing_no, dated, amount, vat) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![self.entry(), standing_no, from, amount, vat],
        )?;
        Ok(())
    }

    /// Lets one due day off.
    pub fn add_standing_skip(&self, standing_no: i64, on: NaiveDate) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO standing_skip (entry_no, standing_no, dated) VALUES (?1, ?2, ?3)",
            params![self.entry(), standing_no, on],
        )?;
        Ok(())
    }

    /// Sets the last day a standing cost can fall due.
    pub fn stop_standing(&self, standing_no: i64, until: NaiveDate) -> Result<(), BookError> {
        self.transaction
            .execute("UPDATE standing SET until = ?2 WHERE standing_no = ?1", params![standing_no, until])?;
        Ok(())
    }
}

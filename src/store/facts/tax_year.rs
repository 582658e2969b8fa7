//! What a tax year needs beside the facts of its days: journeys, bills from the first day on, and what
//! came in altogether.

use crate::domain::book::bills::Bills;
use crate::domain::book::journey::{Distance, Journey};
use crate::domain::value::pence::Pence;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::facts::lines::{LINE_COLUMNS, MOVEMENT_COLUMNS, line_from_row, movement_from_row};
use crate::store::keep::entries::Recording;
use crate::store::values::day;
use chrono::NaiveDate;
use rusqlite::params;

impl Reader<'_> {
    /// Journeys of the days from `from` to `to`, by day.
    pub fn journeys(&self, from: NaiveDate, to: NaiveDate) -> Result<Vec<Journey>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT entry_no, dated, tenths, purpose FROM journey WHERE dated BETWEEN ?1 AND ?2
             ORDER BY dated, journey_no",
        )?;
        let journeys = found
            .query_map(params![from, to], |row| {
                let distance = Distance::from_tenths(row.get(2)?);
                Ok(Journey { entry: row.get(0)?, on: day(row, 1)?, distance, purpose: row.get(3)? })
            })?
            .collect::<Result<_, _>>()?;
        Ok(journeys)
    }

    /// Every bill recorded unpaid by `to`, and every payment against bills by then.
    pub fn bills(&self, to: NaiveDate) -> Result<Bills, BookError> {
        let mut lines = self.connection.prepare_cached(&format!(
            "SELECT {LINE_COLUMNS} FROM line WHERE pocket IS NULL AND dated <= ?1 ORDER BY dated, line_no"
        ))?;
        let mut payments = self.connection.prepare_cached(&format!(
            "SELECT {MOVEMENT_COLUMNS} FROM movement WHERE purpose = 'bill' AND dated <= ?1 ORDER BY dated, movement_no"
        ))?;
        Ok(Bills {
            lines: lines.query_map([to], line_from_row)?.collect::<Result<_, _>>()?,
            payments: payments.query_map([to], movement_from_row)?.collect::<Result<_, _>>()?,
        })
    }

    /// Income on the cash basis of the days from `from` to `to`, VAT included, as plain sums: enough to
    /// tell who is far below a threshold without looking at every car.
    pub fn takings(&self, from: NaiveDate, to: NaiveDate) -> Result<Pence, BookError> {
        let sum = |sql: &str| -> Result<Pence, BookError> {
            let mut found = self.connection.prepare_cached(sql)?;
            Ok(found.query_row(params![from, to], |row| row.get::<_, Option<Pence>>(0))?.unwrap_or_default())
        };
        Ok(sum("SELECT sum(amount) FROM movement WHERE purpose IN ('sale', 'deposit', 'refund')
             AND dated BETWEEN ?1 AND ?2")?
            + sum("SELECT sum(p.allowance - c.finance) FROM sale s JOIN part_exchange p USING (sale_no)
             JOIN car c ON c.stock_no = p.stock_no WHERE s.sold_on BETWEEN ?1 AND ?2")?
            + sum("SELECT sum(amount) FROM line WHERE direction = 'receipt' AND dated BETWEEN ?1 AND ?2")?
            - sum("SELECT sum(value) FROM disposal WHERE how = 'returned' AND dated BETWEEN ?1 AND ?2")?)
    }
}

impl Recording<'_> {
    /// Adds a journey.
    pub fn add_journey(&self, on: NaiveDate, distance: Distance, purpose: &str) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO journey (entry_no, dated, tenths, purpose) VALUES (?1, ?2, ?3, ?4)",
            params![self.entry(), on, distance.tenths(), purpose],
        )?;
        Ok(())
    }
}

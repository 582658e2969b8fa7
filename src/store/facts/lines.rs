//! Lines (money spent or received) and movements (money that settles something).

use crate::domain::book::facts::{Line, Movement};
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Direction, Pocket, Purpose, Shared};
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::keep::entries::Recording;
use crate::store::values::day;
use chrono::NaiveDate;
use rusqlite::{Row, params};

/// A line to record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewLine {
    /// The car; none for the yard.
    pub stock_no: Option<StockNo>,
    /// Spent or received.
    pub direction: Direction,
    /// The day.
    pub on: NaiveDate,
    /// What for.
    pub heading: String,
    /// As paid.
    pub amount: Pence,
    /// What it would normally cost.
    pub usual_price: Option<Pence>,
    /// VAT in it.
    pub vat: Pence,
    /// The pocket; none for an unpaid bill.
    pub pocket: Option<Pocket>,
    /// Whole, equal share or typed part.
    pub shared: Shared,
    /// Who was paid or paid.
    pub party: Option<String>,
    /// A note.
    pub note: Option<String>,
}

/// A movement to record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewMovement {
    /// The day.
    pub on: NaiveDate,
    /// The pocket.
    pub pocket: Pocket,
    /// Signed: into the pocket positive.
    pub amount: Pence,
    /// What it settles.
    pub purpose: Purpose,
    /// The car of a purchase or sale.
    pub stock_no: Option<StockNo>,
    /// Lender, or who was owed a bill.
    pub party: Option<String>,
    /// A note.
    pub note: Option<String>,
}

pub(crate) const LINE_COLUMNS: &str =
    "line_no, entry_no, stock_no, direction, dated, heading, amount, usual_price, vat, pocket, shared, party, note";
pub(crate) const MOVEMENT_COLUMNS: &str =
    "movement_no, entry_no, dated, pocket, amount, purpose, stock_no, party, note";

pub(crate) fn line_from_row(row: &Row<'_>) -> rusqlite::Result<Line> {
    Ok(Line {
        line_no: row.get(0)?,
        entry: row.get(1)?,
        stock_no: row.get(2)?,
        direction: row.get(3)?,
        on: day(row, 4)?,
        heading: row.get(5)?,
        amount: row.get(6)?,
        usual_price: row.get(7)?,
        vat: row.get(8)?,
        pocket: row.get(9)?,
        shared: row.get(10)?,
        party: row.get(11)?,
        note: row.get(12)?,
    })
}

pub(crate) fn movement_from_row(row: &Row<'_>) -> rusqlite::Result<Movement> {
    Ok(Movement {
        movement_no: row.get(0)?,
        entry: row.get(1)?,
        on: day(row, 2)?,
        pocket: row.get(3)?,
        amount: row.get(4)?,
        purpose: row.get(5)?,
        stock_no: row.get(6)?,
        party: row.get(7)?,
        note: row.get(8)?,
    })
}

impl Recording<'_> {
    /// Adds a line, and gives it back as it stands.
    pub fn add_line(&self, line: NewLine) -> Result<Line, BookError> {
        self.transaction
            .prepare_cached(
                "INSERT INTO line (entry_no, stock_no, direction, dated, heading, amount, usual_price, vat, pocket,
                     shared, party, note)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)",
            )?
            .execute(params![
                self.entry(),
                line.stock_no,
                line.direction,
                line.on,
                line.heading,
                line.amount,
                line.usual_price,
                line.vat,
                line.pocket,
                line.shared,
                line.party,
                line.note
            ])?;
        let NewLine { stock_no, direction, on, heading, amount, usual_price, vat, pocket, shared, party, note } = line;
        Ok(Line {
            line_no: self.transaction.last_insert_rowid(),
            entry: self.entry(),
            stock_no,
            direction,
            on,
            heading,
            amount,
            usual_price,
            vat,
            pocket,
            shared,
            party,
            note,
        })
    }

    /// Adds a movement; one of nothing is not written.
    pub fn add_movement(&self, movement: &NewMovement) -> Result<(), BookError> {
        if movement.amount.is_zero() {
            return Ok(());
        }
        self.transaction
            .prepare_cached(
                "INSERT INTO movement (entry_no, dated, pocket, amount, purpose, stock_no, party, note)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            )?
            .execute(params![
                self.entry(),
                movement.on,
                movement.pocket,
                movement.amount,
                movement.purpose,
                movement.stock_no,
                movement.party,
                movement.note
            ])?;
        Ok(())
    }
}

impl Reader<'_> {
    /// The lines an entry recorded.
    pub fn lines_of_entry(&self, entry: EntryNo) -> Result<Vec<Line>, BookError> {
        self.lines_where("entry_no = ?1 ORDER BY line_no", entry)
    }

    /// Bills recorded unpaid to somebody, whatever the case of the name.
    pub fn bills_of(&self, party: &str) -> Result<Vec<Line>, BookError> {
        self.lines_where("pocket IS NULL AND party = ?1 COLLATE NOCASE ORDER BY dated, line_no", party)
    }

    fn lines_where(&self, condition: &str, value: impl rusqlite::ToSql) -> Result<Vec<Line>, BookError> {
        let mut found =
            self.connection.prepare_cached(&format!("SELECT {LINE_COLUMNS} FROM line WHERE {condition}"))?;
        let lines = found.query_map([value], line_from_row)?.collect::<Result<_, _>>()?;
        Ok(lines)
    }

    /// What is owed on `day` to each lender of whom anything is, in order of name. The months there were loans in
    /// are known from the totals, so that no others are read.
    pub fn lenders(&self, day: NaiveDate) -> Result<Vec<(String, Pence)>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT m.party, sum(m.amount) AS owed
             FROM (SELECT DISTINCT month FROM movement_total WHERE purpose = 'loan') t
                 CROSS JOIN movement m ON m.dated BETWEEN t.month || '-01' AND t.month || '-31'
             WHERE m.purpose = 'loan' AND m.party IS NOT NULL AND m.dated <= ?1
             GROUP BY m.party COLLATE NOCASE HAVING owed <> 0 ORDER BY m.party COLLATE NOCASE",
        )?;
        let lenders = found.query_map([day], |row| Ok((row.get(0)?, row.get(1)?)))?.collect::<Result<_, _>>()?;
        Ok(lenders)
    }

    /// Movements of one purpose with somebody, whatever the case of the name.
    pub fn movements_with(&self, purpose: Purpose, party: &str) -> Result<Vec<Movement>, BookError> {
        let mut found = self.connection.prepare_cached(&format!(
            "SELECT {MOVEMENT_COLUMNS} FROM movement WHERE purpose = ?1 AND party = ?2 COLLATE NOCASE ORDER BY dated, movement_no"
        ))?;
        let movements = found.query_map(params![purpose, party], movement_from_row)?.collect::<Result<_, _>>()?;
        Ok(movements)
    }
}

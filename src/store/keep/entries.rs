//! Entries: one recording command, one transaction, one entry. Nothing is kept until `keep`.

use crate::domain::book::facts::Car;
use crate::domain::days::day::LAST_DAY;
use crate::domain::law::rate_table::Rates;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::numbers::EntryNo;
use crate::store::book::{Book, Reader};
use crate::store::book_error::BookError;
use crate::store::keep::receipt_files::PendingCopies;
use chrono::{DateTime, Utc};
use rusqlite::{Row, Transaction, TransactionBehavior, params};
use std::cell::RefCell;
use std::path::Path;
use std::rc::Rc;

/// A recording under way. Dropped without `keep`, it leaves no trace.
#[derive(Debug)]
pub struct Recording<'b> {
    // Dropped first: what it copied goes while the write lock is still held.
    pub(crate) copies: PendingCopies,
    pub(crate) transaction: Transaction<'b>,
    entry: EntryNo,
    path: &'b Path,
    rates: Rates,
    loaded: RefCell<Option<Loaded>>,
}

/// Cars as they stood after so many changes of this connection.
#[derive(Debug)]
struct Loaded {
    after: u64,
    stock_nos: Vec<StockNo>,
    cars: Rc<[Car]>,
}

impl Book {
    /// Begins an entry: `typed` is the command as run. The write lock is taken at once, so that
    /// what is read here is still true when it is written.
    pub fn begin(&mut self, command: &str, typed: &str, at: DateTime<Utc>) -> Result<Recording<'_>, BookError> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        transaction.execute(
            "INSERT INTO entry (recorded_at, command, typed, summary) VALUES (?1, ?2, ?3, '')",
            params![at.format("%Y-%m-%dT%H:%M:%SZ").to_string(), command, typed],
        )?;
        let entry = transaction.last_insert_rowid();
        Ok(Recording {
            copies: PendingCopies::default(),
            transaction,
            entry,
            path: &self.path,
            rates: self.rates,
            loaded: RefCell::new(None),
        })
    }
}

impl Recording<'_> {
    /// The number of the entry being written.
    pub fn entry(&self) -> EntryNo {
        self.entry
    }

    /// For reading inside the transaction, the rows just written included.
    pub fn read(&self) -> Reader<'_> {
        Reader { connection: &self.transaction, path: self.path, rates: self.rates }
    }

    /// The cars named with every fact in the book, whatever its day. They are read once, and again only after
    /// something was written.
    pub fn cars(&self, stock_nos: &[StockNo]) -> Result<Rc<[Car]>, BookError> {
        let after = self.transaction.total_changes();
        if let Some(loaded) = self.loaded.borrow().as_ref()
            && loaded.after == after
            && loaded.stock_nos == stock_nos
        {
            return Ok(Rc::clone(&loaded.cars));
        }
        let cars: Rc<[Car]> = self.read().cars(stock_nos, LAST_DAY)?.into();
        let loaded = Loaded { after, stock_nos: stock_nos.to_vec(), cars: Rc::clone(&cars) };
        *self.loaded.borrow_mut() = Some(loaded);
        Ok(cars)
    }

    /// Says in words what was recorded and which cars it is about.
    pub fn describe(&self, summary: &str, cars: &[StockNo]) -> Result<(), BookError> {
        self.transaction.execute("UPDATE entry SET summary = ?1 WHERE entry_no = ?2", params![summary, self.entry])?;
        let mut about =
            self.transaction.prepare_cached("INSERT OR IGNORE INTO entry_car (entry_no, stock_no) VALUES (?1, ?2)")?;
        for car in cars {
            about.execute(params![self.entry, car])?;
        }
        Ok(())
    }

    /// Commits, with full durability: once this returns, the entry is in the book.
    pub fn keep(self) -> Result<(), BookError> {
        let kept = self.transaction.commit().map_err(BookError::from);
        // After an error of the disk the entry may be in the book all the same, and then its receipts are needed.
        if matches!(kept, Ok(()) | Err(BookError::Disk(_))) {
            self.copies.keep();
        }
        kept
    }
}

/// An entry as listed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntryRow {
    /// Its number.
    pub entry: EntryNo,
    /// When, UTC.
    pub recorded_at: String,
    /// The command's name.
    pub command: String,
    /// The command as typed.
    pub typed: String,
    /// What it recorded, in words.
    pub summary: String,
    /// The entry it undoes, when it is an undo.
    pub undoes: Option<EntryNo>,
    /// The undo that stands against it.
    pub undone_by: Option<EntryNo>,
}

impl EntryRow {
    const COLUMNS: &'static str = "e.entry_no, e.recorded_at, e.command, e.typed, e.summary, e.undoes, e.undone_by";

    fn from_row(row: &Row<'_>) -> rusqlite::Result<Self> {
        Ok(Self {
            entry: row.get(0)?,
            recorded_at: row.get(1)?,
            command: row.get(2)?,
            typed: row.get(3)?,
            summary: row.get(4)?,
            undoes: row.get(5)?,
            undone_by: row.get(6)?,
        })
    }
}

impl Reader<'_> {
    /// One entry.
    pub fn entry(&self, entry: EntryNo) -> Result<Option<EntryRow>, BookError> {
        let sql = format!("SELECT {} FROM entry e WHERE entry_no = ?1", EntryRow::COLUMNS);
        let mut found = self.connection.prepare_cached(&sql)?;
        let mut rows = found.query_map([entry], EntryRow::from_row)?;
        Ok(rows.next().transpose()?)
    }

    /// The latest `count` entries, newest first; all about one car when it is named.
    pub fn entries(&self, car: Option<StockNo>, count: u32) -> Result<Vec<EntryRow>, BookError> {
        let columns = EntryRow::COLUMNS;
        let mut rows = Vec::new();
        if let Some(car) = car {
            let mut found = self.connection.prepare_cached(&format!(
                "SELECT {columns} FROM entry_car a JOIN entry e USING (entry_no)
                 WHERE a.stock_no = ?1 ORDER BY e.entry_no DESC LIMIT ?2"
            ))?;
            for row in found.query_map(params![car, count], EntryRow::from_row)? {
                rows.push(row?);
            }
        } else {
            let mut found = self
                .connection
                .prepare_cached(&format!("SELECT {columns} FROM entry e ORDER BY e.entry_no DESC LIMIT ?1"))?;
            for row in found.query_map([count], EntryRow::from_row)? {
                rows.push(row?);
            }
        }
        Ok(rows)
    }

    /// The latest entry before `this` that still stands, is neither an undo, a closing nor a forgetting, and was
    /// not forgotten whole.
    pub fn latest_standing_entry(&self, this: EntryNo) -> Result<Option<EntryNo>, BookError> {
        Ok(self.connection.query_row(
            "SELECT max(entry_no) FROM entry e WHERE entry_no < ?1 AND undone_by IS NULL AND undoes IS NULL
                 AND command NOT IN ('close', 'forget')
                 AND (EXISTS (SELECT 1 FROM history h WHERE h.entry_no = e.entry_no)
                     OR NOT EXISTS (SELECT 1 FROM entry f WHERE f.entry_no > e.entry_no AND f.command = 'forget'))",
            [this],
            |row| row.get(0),
        )?)
    }

    /// The latest cars bought or spent on, in entries that still stand, the latest first.
    pub fn latest_handled(&self, most: u32) -> Result<Vec<StockNo>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT a.stock_no FROM entry e CROSS JOIN entry_car a USING (entry_no)
             WHERE e.command IN ('buy', 'spend') AND e.undone_by IS NULL
             ORDER BY e.entry_no DESC, a.stock_no LIMIT ?1",
        )?;
        let cars = found.query_map([most], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(cars)
    }

    /// The cars an entry was about.
    pub fn cars_of_entry(&self, entry: EntryNo) -> Result<Vec<StockNo>, BookError> {
        let mut found =
            self.connection.prepare_cached("SELECT stock_no FROM entry_car WHERE entry_no = ?1 ORDER BY stock_no")?;
        let cars = found.query_map([entry], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(cars)
    }
}

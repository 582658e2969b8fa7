//! The whole book as rows of plain text, out and in again: every table but what follows from the rest.
//! Its history comes along, so that an undo can still be made in the book it is read back into.

use crate::domain::book::tables::{Rows, TABLES};
use crate::store::book::{Book, Reader};
use crate::store::book_error::BookError;
use crate::store::fault::Fault;
use crate::store::schema::derived::{LINE_TOTALS, MOVEMENT_TOTALS, WHEREABOUTS};
use crate::store::schema::migrating::apply;
use crate::store::schema::soundness::{ColumnRead, columns_read};
use crate::store::schema::versions::{LADDER, Ladder, drop_triggers, version};
use rusqlite::types::{Value, ValueRef};
use rusqlite::{Transaction, TransactionBehavior, params_from_iter};
use std::collections::BTreeMap;
use std::path::Path;
use thiserror::Error;

/// Tables that follow from others, or say nothing of the trade, as SQL lists them.
fn left_out() -> String {
    let left_out = TABLES.iter().filter(|table| matches!(table.rows, Rows::Derived | Rows::Aside));
    left_out.map(|table| format!("'{}'", table.name)).collect::<Vec<_>>().join(", ")
}

/// SQLite's own table of the last number given in each table; read in after all others.
const NEXT_NUMBERS: &str = "sqlite_sequence";

/// A table and its columns, in order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableShape {
    /// Its name.
    pub name: String,
    /// Its columns: the name, and whether it may be empty.
    pub columns: Vec<(String, bool)>,
}

impl Reader<'_> {
    /// The version of the book.
    pub fn version(&self) -> Result<i64, BookError> {
        Ok(version(self.connection)?)
    }

    /// Every table a whole book is made of, those others point at first.
    pub fn table_shapes(&self) -> Result<Vec<TableShape>, BookError> {
        let mut found = self.connection.prepare(&format!(
            "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT IN ({})
             ORDER BY name = '{NEXT_NUMBERS}', rowid",
            left_out()
        ))?;
        let names: Vec<String> = found.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
        names
            .into_iter()
            .map(|name| {
                let mut found =
                    self.connection.prepare("SELECT name, \"notnull\" = 0 FROM pragma_table_info(?1) ORDER BY cid")?;
                let columns = found
                    .query_map([&name], |row| Ok((row.get(0)?, row.get(1)?)))?
                    .collect::<Result<_, rusqlite::Error>>()?;
                Ok(TableShape { name, columns })
            })
            .collect()
    }

    /// Hands over every row of a table, each value as text; nothing where nothing is known.
    pub fn each_row<E: From<BookError>>(
        &self,
        table: &TableShape,
        mut take: impl FnMut(&[Option<String>]) -> Result<(), E>,
    ) -> Result<(), E> {
        let sql = format!("SELECT {} FROM {} ORDER BY 1", names(table), table.name);
        let mut found = self.connection.prepare(&sql).map_err(BookError::from)?;
        let mut rows = found.query([]).map_err(BookError::from)?;
        while let Some(row) = rows.next().map_err(BookError::from)? {
            let values: Vec<Option<String>> = (0..table.columns.len())
                .map(|at| match row.get_ref(at)? {
                    ValueRef::Null => Ok(None),
                    ValueRef::Integer(number) => Ok(Some(number.to_string())),
                    ValueRef::Text(text) => Ok(Some(String::from_utf8_lossy(text).into_owned())),
                    ValueRef::Real(_) | ValueRef::Blob(_) => {
                        Err(BookError::Foreign(format!("a value in {}", table.name)))
                    }
                })
                .collect::<Result<_, BookError>>()?;
            take(&values)?;
        }
        Ok(())
    }
}

fn names(table: &TableShape) -> String {
    table.columns.iter().map(|(name, _)| format!("\"{name}\"")).collect::<Vec<_>>().join(", ")
}

/// A new book being filled with the rows of another. Dropped without `finish`, it stays as it was.
#[derive(Debug)]
pub struct Filling<'b> {
    transaction: Transaction<'b>,
    path: &'b Path,
    triggers: Vec<String>,
    columns: BTreeMap<String, Vec<ColumnRead>>,
    ladder: Ladder,
}

/// Why a book was not filled.
#[derive(Debug, Error)]
pub enum FillingError {
    /// What a row holds will not do.
    #[error("{0}")]
    Row(String),
    /// The rows do not belong together.
    #[error("{0}")]
    Whole(Fault),
    /// The book itself failed.
    #[error(transparent)]
    Book(#[from] BookError),
}

impl Book {
    /// Begins to fill a book in which nothing was recorded, of whatever version it is.
    pub fn begin_filling(&mut self) -> Result<Filling<'_>, BookError> {
        self.begin_filling_as(LADDER)
    }

    pub(crate) fn begin_filling_as(&mut self, ladder: Ladder) -> Result<Filling<'_>, BookError> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        transaction.pragma_update(None, "defer_foreign_keys", true)?;
        let triggers = drop_triggers(&transaction)?;
        let mut columns = BTreeMap::new();
        for table in Reader::on(&transaction, &self.path).table_shapes()? {
            transaction.execute(&format!("DELETE FROM {}", table.name), [])?;
            columns.insert(table.name.clone(), columns_read(&transaction, &table.name)?);
        }
        Ok(Filling { transaction, path: &self.path, triggers, columns, ladder })
    }
}

impl Filling<'_> {
    /// The tables to fill.
    pub fn table_shapes(&self) -> Result<Vec<TableShape>, BookError> {
        Reader::on(&self.transaction, self.path).table_shapes()
    }

    /// Adds a row, its values in the order of the table's columns.
    pub fn add_row(&self, table: &TableShape, values: &[Option<String>]) -> Result<(), FillingError> {
        let columns = self.columns.get(&table.name).map_or(&[][..], Vec::as_slice);
        let mut stored = Vec::with_capacity(values.len());
        for (text, column) in values.iter().zip(columns) {
            let value = match text {
                None => Value::Null,
                Some(text) => match text.parse().ok().filter(|_| column.is_whole) {
                    Some(number) => Value::Integer(number),
                    None => Value::Text(text.clone()),
                },
            };
            if let Some(fault) = column.fault((&value).into()) {
                return Err(FillingError::Row(fault));
            }
            stored.push(value);
        }
        if table.name == NEXT_NUMBERS {
            // The rows read so far had SQLite count on; what counts is how far it had counted where they came from.
            let mut delete = self
                .transaction
                .prepare_cached("DELETE FROM sqlite_sequence WHERE name = ?1")
                .map_err(BookError::from)?;
            delete.execute(params_from_iter(stored.first())).map_err(BookError::from)?;
        }
        let places: Vec<String> = (1..=table.columns.len()).map(|n| format!("?{n}")).collect();
        let sql = format!("INSERT INTO {} ({}) VALUES ({})", table.name, names(table), places.join(", "));
        let mut insert = self.transaction.prepare_cached(&sql).map_err(BookError::from)?;
        match insert.execute(params_from_iter(stored)).map_err(BookError::from) {
            Ok(_) => Ok(()),
            Err(BookError::Unreadable(why)) => Err(FillingError::Row(why)),
            Err(error) => Err(error.into()),
        }
    }

    /// Checks that the rows belong together, and keeps it all, brought up to this program's version: every row points
    /// at rows that are there, and the history that came along leads to them.
    pub fn finish(self) -> Result<(), FillingError> {
        for sql in &self.triggers {
            self.transaction.execute_batch(sql).map_err(BookError::from)?;
        }
        let reader = Reader::on(&self.transaction, self.path);
        refuse_first(reader.rows_pointing_nowhere()?)?;
        if reader.version()? < self.ladder.newest() {
            apply(&self.transaction, self.ladder)?;
        }
        self.work_out_derived()?;
        refuse_first(reader.ledger_faults()?)?;
        refuse_first(reader.replayed()?)?;
        match reader.file_faults()?.into_iter().next() {
            Some(fault) => Err(BookError::Damaged(fault).into()),
            None => Ok(self.transaction.commit().map_err(BookError::from)?),
        }
    }

    fn work_out_derived(&self) -> Result<(), BookError> {
        Ok(self.transaction.execute_batch(&format!(
            "DELETE FROM open_departure; INSERT INTO open_departure (stock_no) SELECT DISTINCT stock_no FROM departure;
             DELETE FROM line_total; INSERT INTO line_total (month, pocket, lines, amount, vat) {LINE_TOTALS};
             DELETE FROM movement_total; INSERT INTO movement_total (month, pocket, purpose, movements, amount) {MOVEMENT_TOTALS};
             DELETE FROM whereabouts; INSERT INTO whereabouts (stock_no, left_on) {WHEREABOUTS};
             -- What is left out begins to count anew.
             DELETE FROM sqlite_sequence WHERE name IN ({});",
            left_out()
        ))?)
    }
}

fn refuse_first(faults: Vec<Fault>) -> Result<(), FillingError> {
    faults.into_iter().next().map_or(Ok(()), |fault| Err(FillingError::Whole(fault)))
}

//! The whole book as rows of plain text, out and in again: every table but what follows from the rest.
//! Its history comes along, so that an undo can still be made in the book it is read back into.

use crate::store::opening_sums::{LINE_TOTALS, MOVEMENT_TOTALS, WHEREABOUTS};
use crate::store::schema;
use crate::store::{Book, BookError, Reader};
use rusqlite::types::ValueRef;
use rusqlite::{Transaction, TransactionBehavior, params_from_iter};
use std::path::Path;

/// Tables that follow from others, or say nothing of the trade.
const LEFT_OUT: &str = "'backup_made', 'line_total', 'movement_total', 'open_departure', 'whereabouts'";

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
        Ok(schema::version(self.connection)?)
    }

    /// Every table a whole book is made of, those others point at first.
    pub fn table_shapes(&self) -> Result<Vec<TableShape>, BookError> {
        let mut found = self.connection.prepare(&format!(
            "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT IN ({LEFT_OUT}) ORDER BY rowid"
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
}

impl Book {
    /// Begins to fill a book in which nothing was recorded.
    pub fn begin_filling(&mut self) -> Result<Filling<'_>, BookError> {
        let transaction = self.connection.transaction_with_behavior(TransactionBehavior::Immediate)?;
        transaction.pragma_update(None, "defer_foreign_keys", true)?;
        let triggers: Vec<(String, String)> = transaction
            .prepare("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger'")?
            .query_map([], |row| Ok((row.get(0)?, row.get(1)?)))?
            .collect::<Result<_, _>>()?;
        for (name, _) in &triggers {
            transaction.execute_batch(&format!("DROP TRIGGER {name}"))?;
        }
        for table in Reader::of(&transaction, &self.path).table_shapes()? {
            transaction.execute(&format!("DELETE FROM {}", table.name), [])?;
        }
        Ok(Filling { transaction, path: &self.path, triggers: triggers.into_iter().map(|(_, sql)| sql).collect() })
    }
}

impl Filling<'_> {
    /// The tables to fill.
    pub fn table_shapes(&self) -> Result<Vec<TableShape>, BookError> {
        Reader::of(&self.transaction, self.path).table_shapes()
    }

    /// Adds a row, its values in the order of the table's columns.
    pub fn add_row(&self, table: &TableShape, values: &[Option<String>]) -> Result<(), BookError> {
        let places: Vec<String> = (1..=table.columns.len()).map(|n| format!("?{n}")).collect();
        let sql = format!("INSERT INTO {} ({}) VALUES ({})", table.name, names(table), places.join(", "));
        self.transaction.prepare_cached(&sql)?.execute(params_from_iter(values))?;
        Ok(())
    }

    /// Checks that every row points at rows that are there, and keeps it all.
    pub fn finish(self) -> Result<(), BookError> {
        self.transaction.execute_batch(&format!(
            "DELETE FROM open_departure; INSERT INTO open_departure (stock_no) SELECT DISTINCT stock_no FROM departure;
             DELETE FROM line_total; INSERT INTO line_total (month, pocket, lines, amount, vat) {LINE_TOTALS};
             DELETE FROM movement_total; INSERT INTO movement_total (month, pocket, purpose, movements, amount) {MOVEMENT_TOTALS};
             DELETE FROM whereabouts; INSERT INTO whereabouts (stock_no, left_on) {WHEREABOUTS};"
        ))?;
        for sql in &self.triggers {
            self.transaction.execute_batch(sql)?;
        }
        let faults = Reader::of(&self.transaction, self.path).file_faults()?;
        match faults.first() {
            Some(fault) => Err(BookError::Damaged(fault.clone())),
            None => Ok(self.transaction.commit()?),
        }
    }
}

//! The history: every row's before and after, kept by triggers, and rows put back from it.

use crate::domain::book::closing::Value as Stored;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::words::Purpose;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::keep::entries::Recording;
use crate::store::schema::history_triggers::{column_names, row_as_json};
use crate::store::values::LARGEST_KEPT;
use rusqlite::types::{ToSqlOutput, Value};
use rusqlite::{Connection, OptionalExtension, ToSql, params, params_from_iter};
use serde_json::Map;
use std::collections::BTreeMap;

/// One row of one table as an entry left it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Change {
    /// The table.
    pub table: String,
    /// The row's number in it.
    pub row: i64,
    /// The row before, as JSON; none when the entry added it.
    pub before: Option<String>,
    /// The row after, as JSON; none when the entry removed it.
    pub after: Option<String>,
}

impl ToSql for Stored {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(match self {
            Self::Nothing => ToSqlOutput::Owned(Value::Null),
            Self::Number(number) => (*number).into(),
            Self::Text(text) => text.as_str().into(),
        })
    }
}

/// A row as it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredRow {
    /// Its table.
    pub table: String,
    /// Its number.
    pub row: i64,
    columns: BTreeMap<String, Stored>,
}

impl StoredRow {
    /// One column's value.
    pub fn get(&self, column: &str) -> Stored {
        self.columns.get(column).cloned().unwrap_or(Stored::Nothing)
    }

    /// One column's number; none for anything else.
    pub fn number(&self, column: &str) -> Option<i64> {
        match self.columns.get(column) {
            Some(Stored::Number(number)) => Some(*number),
            _ => None,
        }
    }
}

/// A table's columns, the row number first.
#[derive(Clone, Debug)]
pub(crate) struct Columns {
    table: String,
    names: Vec<String>,
    /// Each column as it ends a row's JSON when nothing is known of it.
    empty_at_end: Vec<String>,
}

impl Columns {
    /// Reads them from the schema; only a table that is there has any, so a name from the history
    /// never reaches a statement unchecked.
    pub(crate) fn of_table(connection: &Connection, table: &str) -> Result<Self, BookError> {
        let names = column_names(connection, table)?;
        if names.is_empty() || !table.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'_') {
            return Err(BookError::Foreign(format!("the history names a table '{table}'")));
        }
        let empty_at_end = names.iter().map(|name| format!(",\"{name}\":null")).collect();
        Ok(Self { table: table.to_owned(), names, empty_at_end })
    }

    pub(crate) fn row_number(&self) -> &str {
        &self.names[0]
    }

    /// The SQL of a row as JSON, as the triggers write it.
    pub(crate) fn as_json(&self) -> String {
        row_as_json(&self.names, "")
    }

    /// A row's JSON up to the last column of which something is known. A column that a later version added is not
    /// in what an earlier one wrote, and nothing is known of it then.
    pub(crate) fn known_part<'j>(&self, json: &'j [u8]) -> &'j [u8] {
        let Some(mut known) = json.strip_suffix(b"}") else { return json };
        for empty in self.empty_at_end.iter().rev() {
            known = known.strip_suffix(empty.as_bytes()).unwrap_or(known);
        }
        known
    }

    /// The row as it stands, in the same JSON the triggers write.
    pub(crate) fn row_now(&self, connection: &Connection, row: i64) -> Result<Option<String>, BookError> {
        let sql = format!("SELECT {} FROM {} WHERE {} = ?1", self.as_json(), self.table, self.row_number());
        Ok(connection.prepare_cached(&sql)?.query_row([row], |found| found.get(0)).optional()?)
    }

    /// Makes the row what `wanted` says: removed when none, else added or overwritten.
    pub(crate) fn put(&self, connection: &Connection, row: i64, wanted: Option<&str>) -> Result<(), BookError> {
        let Some(wanted) = wanted else {
            let sql = format!("DELETE FROM {} WHERE {} = ?1", self.table, self.row_number());
            connection.prepare_cached(&sql)?.execute([row])?;
            return Ok(());
        };
        let values = self.values(wanted)?;
        let assignments: Vec<String> =
            self.names.iter().enumerate().map(|(n, name)| format!("{name} = ?{}", n + 1)).collect();
        let update = format!("UPDATE {} SET {} WHERE {} = ?1", self.table, assignments.join(", "), self.row_number());
        if connection.prepare_cached(&update)?.execute(params_from_iter(&values))? == 0 {
            let places: Vec<String> = (1..=self.names.len()).map(|n| format!("?{n}")).collect();
            let insert =
                format!("INSERT INTO {} ({}) VALUES ({})", self.table, self.names.join(", "), places.join(", "));
            connection.prepare_cached(&insert)?.execute(params_from_iter(&values))?;
        }
        Ok(())
    }

    fn values(&self, json: &str) -> Result<Vec<Stored>, BookError> {
        let row = parse(json)?;
        self.names.iter().map(|name| stored(row.get(name))).collect()
    }
}

pub(crate) fn stored(value: Option<&serde_json::Value>) -> Result<Stored, BookError> {
    match value {
        None | Some(serde_json::Value::Null) => Ok(Stored::Nothing),
        Some(serde_json::Value::String(text)) => Ok(Stored::Text(text.clone())),
        Some(other) => {
            let number = other.as_i64().filter(|number| (-LARGEST_KEPT..=LARGEST_KEPT).contains(number));
            number.map(Stored::Number).ok_or_else(|| BookError::Foreign(format!("{other} in the history")))
        }
    }
}

pub(crate) fn parse(json: &str) -> Result<Map<String, serde_json::Value>, BookError> {
    serde_json::from_str(json).map_err(|error| BookError::Foreign(format!("history row: {error}")))
}

/// A column that points at another table's: its table, itself, the column it points at.
pub(crate) type Link = (String, String, String);

impl Reader<'_> {
    /// What an entry changed, in the order it did.
    pub fn changes(&self, entry: EntryNo) -> Result<Vec<Change>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT table_name, row_no, before, after FROM history WHERE entry_no = ?1 ORDER BY history_no",
        )?;
        let changes = found
            .query_map([entry], |row| {
                Ok(Change { table: row.get(0)?, row: row.get(1)?, before: row.get(2)?, after: row.get(3)? })
            })?
            .collect::<Result<_, _>>()?;
        Ok(changes)
    }

    /// The rows an entry added that are still there, as they stand.
    pub fn rows_added(&self, entry: EntryNo) -> Result<Vec<StoredRow>, BookError> {
        self.needs_whole_history(entry)?;
        let mut rows = Vec::new();
        for change in self.changes(entry)?.into_iter().filter(|change| change.before.is_none()) {
            rows.extend(self.row(&change.table, change.row)?);
        }
        Ok(rows)
    }

    /// One row as it stands.
    pub fn row(&self, table: &str, row: i64) -> Result<Option<StoredRow>, BookError> {
        let columns = Columns::of_table(self.connection, table)?;
        let Some(json) = columns.row_now(self.connection, row)? else { return Ok(None) };
        let columns = parse(&json)?
            .iter()
            .map(|(name, value)| Ok((name.clone(), stored(Some(value))?)))
            .collect::<Result<_, BookError>>()?;
        Ok(Some(StoredRow { table: table.to_owned(), row, columns }))
    }

    /// Whose bills and loans an entry touched: an unpaid line, or money against one, before or after.
    pub fn parties_of_entry(&self, entry: EntryNo) -> Result<Vec<(Purpose, String)>, BookError> {
        let mut parties = Vec::new();
        for change in self.changes(entry)? {
            for row in change.before.iter().chain(&change.after) {
                let row = parse(row)?;
                let text = |key: &str| row.get(key).and_then(serde_json::Value::as_str);
                let purpose = match (change.table.as_str(), text("purpose"), text("pocket")) {
                    ("line", _, None) | ("movement", Some("bill"), _) => Purpose::Bill,
                    ("movement", Some("loan"), _) => Purpose::Loan,
                    _ => continue,
                };
                parties.extend(text("party").map(|party| (purpose, party.to_owned())));
            }
        }
        Ok(parties)
    }

    /// The entry after `entry` whose undo comes first when a row is to be as `entry` left it: the latest that
    /// stands and is no undo itself, for each amendment is undone before the one it was made upon.
    pub(crate) fn later_entry_on(&self, entry: EntryNo, table: &str, row: i64) -> Result<Option<EntryNo>, BookError> {
        Ok(self
            .connection
            .prepare_cached(
                "SELECT coalesce(max(h.entry_no) FILTER (WHERE e.undoes IS NULL), min(h.entry_no))
                 FROM history h JOIN entry e USING (entry_no)
                 WHERE h.entry_no > ?1 AND h.table_name = ?2 AND h.row_no = ?3 AND e.undone_by IS NULL",
            )?
            .query_row(params![entry, table, row], |found| found.get(0))?)
    }

    /// What points at rows of `table`: the table it is in, its column, and the column it points at.
    pub(crate) fn links_to(&self, table: &str) -> Result<Vec<Link>, BookError> {
        let mut children = self.connection.prepare_cached(
            "SELECT s.name, k.\"from\", k.\"to\" FROM sqlite_schema s, pragma_foreign_key_list(s.name) k
             WHERE s.type = 'table' AND k.\"table\" = ?1 ORDER BY s.name",
        )?;
        let links = children
            .query_map([table], |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)))?
            .collect::<Result<_, _>>()?;
        Ok(links)
    }

    /// The earliest entry whose rows point at a row, by what points at rows of its table.
    pub(crate) fn entry_depending_on(&self, change: &Change, links: &[Link]) -> Result<Option<EntryNo>, BookError> {
        let Some(row) = change.after.as_deref().filter(|_| !links.is_empty()) else { return Ok(None) };
        let row = parse(row)?;
        let mut earliest: Option<EntryNo> = None;
        for (child, column, parent_column) in links {
            let sql = format!("SELECT min(entry_no) FROM {child} WHERE {column} = ?1");
            let key = match row.get(parent_column) {
                Some(serde_json::Value::String(text)) => Value::Text(text.clone()),
                _ => Value::Integer(change.row),
            };
            let found: Option<EntryNo> = self.connection.prepare_cached(&sql)?.query_row([key], |row| row.get(0))?;
            earliest = match (earliest, found) {
                (Some(one), Some(other)) => Some(one.min(other)),
                (one, other) => one.or(other),
            };
        }
        Ok(earliest)
    }
}

impl Recording<'_> {
    pub(crate) fn columns(&self, table: &str) -> Result<Columns, BookError> {
        Columns::of_table(&self.transaction, table)
    }

    /// Overwrites one column of one row; the history keeps what it was.
    pub fn amend_row(&self, row: &StoredRow, column: &str, value: &Stored) -> Result<(), BookError> {
        let columns = self.columns(&row.table)?;
        if !columns.names.iter().any(|name| name == column) {
            return Err(BookError::Foreign(format!("no column '{column}' in '{}'", row.table)));
        }
        let sql = format!("UPDATE {} SET {column} = ?2 WHERE {} = ?1", row.table, columns.row_number());
        self.transaction.prepare_cached(&sql)?.execute(params![row.row, value])?;
        Ok(())
    }

    /// Removes one row; the history keeps it.
    pub fn remove_row(&self, row: &StoredRow) -> Result<(), BookError> {
        self.columns(&row.table)?.put(&self.transaction, row.row, None)
    }
}

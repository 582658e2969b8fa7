//! Values no command can have written: which row of which table holds them, and why they will not do. Every
//! column is read here as the commands read it.

use crate::domain::book::dated_facts::TaxKind;
use crate::domain::law::mot::DefectLevel;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::checklist::CheckState;
use crate::domain::value::mark::Mark;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::Multiple;
use crate::domain::value::vin::Vin;
use crate::domain::value::words::{Direction, Every, Kind, Outcome, Pocket, Purpose, Shared, Via};
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::fault::Fault;
use crate::store::schema::opening::connect_to_look;
use crate::store::schema::versions::{LADDER, drop_triggers};
use crate::store::values::{KeptDay, KeptMonth, KeptTime, Whole, why_not};
use rusqlite::types::{FromSql, FromSqlResult, ToSqlOutput, Value, ValueRef};
use rusqlite::{Connection, params_from_iter};
use std::path::Path;

/// How a column's value is read.
pub(crate) type Reads = fn(ValueRef<'_>) -> FromSqlResult<()>;

fn reads<T: FromSql>(value: ValueRef<'_>) -> FromSqlResult<()> {
    T::column_result(value).map(|_| ())
}

/// Text, which is only looked at: there is a great deal of it.
fn text(value: ValueRef<'_>) -> FromSqlResult<()> {
    value.as_str().map(|_| ())
}

/// How each column is read. Words, days and amounts are told by the column; none: nobody has said yet.
pub(crate) fn reading_of(table: &str, column: &str, declared: &str) -> Option<Reads> {
    Some(match (table, column) {
        (_, "stock_no") => reads::<StockNo>,
        (_, "direction") => reads::<Direction>,
        (_, "every") => reads::<Every>,
        ("vehicle", "kind") => reads::<Kind>,
        ("disposal", "how") => reads::<Outcome>,
        // Bills not paid are totalled under no pocket.
        ("line_total", "pocket") => text,
        (_, "pocket") => reads::<Pocket>,
        ("movement" | "movement_total", "purpose") => reads::<Purpose>,
        (_, "shared") => reads::<Shared>,
        (_, "via") => reads::<Via>,
        (_, "status") => reads::<TaxKind>,
        (_, "level") => reads::<DefectLevel>,
        (_, "state") => reads::<CheckState>,
        (_, "vin") => reads::<Vin>,
        (_, "mark" | "mark_at_purchase") => reads::<Mark>,
        (_, "multiple") => reads::<Multiple>,
        (_, "month" | "from_month") => reads::<KeptMonth>,
        (_, "recorded_at" | "made_at") => reads::<KeptTime>,
        (_, column) if DAYS.contains(&column) => reads::<KeptDay>,
        (_, column) if AMOUNTS.contains(&column) => reads::<Pence>,
        ("disposal", "value") => reads::<Pence>,
        (_, column) if COUNTS.contains(&column) => reads::<u32>,
        (_, column) if ANSWERS.contains(&column) => reads::<bool>,
        (_, column) if declared == "INTEGER" && is_number(column) => reads::<Whole>,
        ("sqlite_sequence", "seq") | ("dealt_with", "item") => reads::<Whole>,
        _ if declared == "TEXT" || (table, column) == ("sqlite_sequence", "name") => text,
        _ => return None,
    })
}

const DAYS: &[&str] = &[
    "dated",
    "bought_on",
    "sold_on",
    "delivered_on",
    "first_on",
    "until",
    "starts",
    "hold_until",
    "left_on",
    "first_registered",
];
const AMOUNTS: &[&str] = &[
    "purchase_price",
    "finance",
    "vat",
    "selling_price",
    "allowance",
    "amount",
    "usual_price",
    "lowest",
    "hammer_price",
    "buyers_fee",
    "refund",
    "lapsed",
    "returned",
    "kept_back",
    "annual_rate",
    "budget",
];
const COUNTS: &[&str] = &["miles", "keys", "minutes", "year", "cars", "remind_days", "tenths"];
const ANSWERS: &[&str] = &["vat_invoice", "to_trade", "distance"];

/// Numbers of rows, and how many there are of something.
fn is_number(column: &str) -> bool {
    column.ends_with("_no")
        || matches!(column, "undoes" | "undone_by" | "of_entry" | "last_entry" | "bytes" | "lines" | "movements")
}

/// One column of a table and how it is read.
#[derive(Clone, Debug)]
pub(crate) struct ColumnRead {
    pub(crate) name: String,
    pub(crate) may_be_empty: bool,
    pub(crate) is_whole: bool,
    reads: Reads,
}

impl ColumnRead {
    /// What is wrong with a value in this column.
    pub(crate) fn fault(&self, value: ValueRef<'_>) -> Option<String> {
        if matches!(value, ValueRef::Null) {
            return (!self.may_be_empty).then(|| format!("its {} is empty", self.name));
        }
        (self.reads)(value).err().map(|error| format!("its {} {}", self.name, why_not(value, &error)))
    }
}

/// The columns of a table, in order.
pub(crate) fn columns_read(connection: &Connection, table: &str) -> Result<Vec<ColumnRead>, BookError> {
    let mut found =
        connection.prepare("SELECT name, type, \"notnull\" = 0 AND pk = 0 FROM pragma_table_info(?1) ORDER BY cid")?;
    let columns = found
        .query_map([table], |row| {
            let (name, declared): (String, String) = (row.get(0)?, row.get(1)?);
            let known = reading_of(table, &name, &declared);
            let reads = known.unwrap_or(reads::<Value>);
            let is_whole = declared == "INTEGER" || (table, name.as_str()) == ("sqlite_sequence", "seq");
            Ok(ColumnRead { name, may_be_empty: row.get(2)?, is_whole, reads })
        })?
        .collect::<Result<_, _>>()?;
    Ok(columns)
}

fn quoted(columns: &[ColumnRead]) -> String {
    columns.iter().map(|column| format!("\"{}\"", column.name)).collect::<Vec<_>>().join(", ")
}

/// The number a row goes by: its first column.
fn row_number(value: ValueRef<'_>) -> Option<i64> {
    match value {
        ValueRef::Integer(number) => Some(number),
        _ => None,
    }
}

impl Reader<'_> {
    /// Every table of the book, in order of name.
    pub fn every_table(&self) -> Result<Vec<String>, BookError> {
        let mut found = self.connection.prepare(
            "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite^_stat%' ESCAPE '^' ORDER BY name",
        )?;
        let names = found.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(names)
    }

    /// Every value that cannot be read as what it should be, row by row.
    pub fn strange_values(&self) -> Result<Vec<Fault>, BookError> {
        let mut faults = Vec::new();
        for table in self.every_table()? {
            self.each_strange(&table, &mut |fault| {
                faults.push(fault);
                true
            })?;
        }
        Ok(faults)
    }

    /// Hands over what is wrong with the values of a table until told to stop; says whether it came to the end.
    fn each_strange(&self, table: &str, take: &mut impl FnMut(Fault) -> bool) -> Result<bool, BookError> {
        let columns = columns_read(self.connection, table)?;
        let mut found = self.connection.prepare(&format!("SELECT {} FROM {table}", quoted(&columns)))?;
        let mut rows = found.query([])?;
        while let Some(row) = rows.next()? {
            for (at, column) in columns.iter().enumerate() {
                if let Some(what) = column.fault(row.get_ref(at)?)
                    && !take(Fault::new(table, row_number(row.get_ref(0)?), what))
                {
                    return Ok(false);
                }
            }
        }
        Ok(true)
    }

    /// The rows of a table that the table itself would not take, tried one by one on a table made anew.
    pub fn rows_refused(&self, table: &str) -> Result<Vec<Fault>, BookError> {
        let anew = Connection::open_in_memory()?;
        LADDER.make(&anew)?;
        anew.pragma_update(None, "foreign_keys", false)?;
        drop_triggers(&anew)?;
        anew.execute(&format!("DELETE FROM {table}"), [])?;
        let columns = columns_read(self.connection, table)?;
        let places = vec!["?"; columns.len()].join(", ");
        let mut insert = anew.prepare(&format!("INSERT INTO {table} ({}) VALUES ({places})", quoted(&columns)))?;
        let mut found = self.connection.prepare(&format!("SELECT {} FROM {table}", quoted(&columns)))?;
        let mut rows = found.query([])?;
        let mut faults = Vec::new();
        while let Some(row) = rows.next()? {
            let values = (0..columns.len())
                .map(|at| row.get_ref(at).map(ToSqlOutput::Borrowed))
                .collect::<Result<Vec<_>, _>>()?;
            if let Err(error) = insert.execute(params_from_iter(values)) {
                faults.push(Fault::new(table, row_number(row.get_ref(0)?), error.to_string()));
            }
        }
        Ok(faults)
    }
}

/// The first strange value of the book at `path`, for an error that could not say where it met it.
fn first_strange_value(path: &Path) -> Result<Option<Fault>, BookError> {
    let connection = connect_to_look(path)?;
    let reader = Reader::on(&connection, path);
    let mut first = None;
    for table in reader.every_table()? {
        let whole = reader.each_strange(&table, &mut |fault| {
            first = Some(fault);
            false
        })?;
        if !whole {
            break;
        }
    }
    Ok(first)
}

/// The same error, naming the row where one holds a value that cannot be read.
pub fn naming_the_row(error: BookError, path: &Path) -> BookError {
    if !matches!(error, BookError::Foreign(_) | BookError::Unreadable(_)) {
        return error;
    }
    match first_strange_value(path) {
        Ok(Some(fault)) => BookError::Foreign(fault.to_string()),
        // What was met first is what is told.
        Ok(None) | Err(_) => error,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::open_blank;

    /// A new column has to be read as something, or damage in it would go unseen.
    #[test]
    fn every_column_is_read_as_something() {
        let book = open_blank().unwrap();
        let mut columns = 0;
        for table in book.read().every_table().unwrap() {
            let mut found = book.connection.prepare("SELECT name, type FROM pragma_table_info(?1)").unwrap();
            let rows = found.query_map([&table], |row| Ok((row.get(0)?, row.get(1)?))).unwrap();
            for row in rows {
                let (name, declared): (String, String) = row.unwrap();
                assert!(reading_of(&table, &name, &declared).is_some(), "{table}.{name}");
                columns += 1;
            }
        }
        assert!(columns > 200, "{columns}");
    }

    /// What the schema itself limits to some words, and days, is read as such here too.
    #[test]
    fn columns_of_words_and_days_are_not_read_as_any_text() {
        let book = open_blank().unwrap();
        for table in book.read().every_table().unwrap() {
            for column in columns_read(&book.connection, &table).unwrap() {
                let sql: String = book
                    .connection
                    .query_row("SELECT sql FROM sqlite_schema WHERE name = ?1", [&table], |row| row.get(0))
                    .unwrap();
                let limited = sql.lines().any(|line| {
                    line.trim_start().starts_with(&format!("{} ", column.name))
                        && line.contains("TEXT")
                        && (line.contains(" IN (") || line.contains("date("))
                });
                // Two are asked about as they are read: what a reading was taken at, what a test came to.
                if limited && !matches!(column.name.as_str(), "taken_at" | "result") {
                    assert!(column.fault(ValueRef::Text(b"no such word")).is_some(), "{table}.{}", column.name);
                }
                if !column.may_be_empty {
                    assert!(column.fault(ValueRef::Null).is_some(), "{table}.{}", column.name);
                }
                assert!(column.fault(ValueRef::Text(b"\xFF")).is_some(), "{table}.{}", column.name);
                assert!(column.fault(ValueRef::Blob(b"1")).is_some(), "{table}.{}", column.name);
            }
        }
    }
}

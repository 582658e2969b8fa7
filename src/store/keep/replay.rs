//! The history told again from the first change to the last: it must lead to the rows that stand. Every change
//! is kept twice, as what one entry left and as what the next one found, so what happened to one of the two shows.

use crate::domain::value::numbers::EntryNo;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::fault::Fault;
use crate::store::keep::history::Columns;
use crate::store::schema::history_triggers::fact_tables;
use crate::store::schema::versions::LADDER;
use rusqlite::types::ValueRef;
use rusqlite::{Connection, OptionalExtension, Row, params};
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::hash::{DefaultHasher, Hash, Hasher};

/// Rows of one table named one by one; of more than these it is said how many.
const NAMED: usize = 100;

/// A row as far as the history got: what it said, or that it is gone.
type State = Option<u64>;

/// The rows of every table of facts, by table and number, as the history leaves them.
struct Replay {
    tables: BTreeMap<String, usize>,
    columns: Vec<Columns>,
    rows: HashMap<(usize, i64), State>,
    faults: Faults,
}

/// What is wrong, and how often beyond what is named.
#[derive(Default)]
struct Faults {
    named: Vec<Fault>,
    counts: BTreeMap<String, usize>,
}

impl Faults {
    fn add(&mut self, table: &str, row: impl Into<Option<i64>>, what: &str) {
        let count = self.counts.entry(table.to_owned()).or_default();
        *count += 1;
        if *count <= NAMED {
            self.named.push(Fault::new(table, row, what));
        }
    }

    fn told(mut self) -> Vec<Fault> {
        for (table, count) in self.counts.into_iter().filter(|(_, count)| *count > NAMED) {
            self.named.push(Fault::new(
                &table,
                None,
                format!("{} more rows are not as the history says", count - NAMED),
            ));
        }
        self.named
    }
}

impl Reader<'_> {
    /// Where the history and the rows that stand tell different things, and what is wrong with the history's
    /// own order.
    pub fn replayed(&self) -> Result<Vec<Fault>, BookError> {
        let tables = fact_tables(self.connection)?;
        let numbers = tables.iter().cloned().zip(0..).collect();
        let columns = tables.iter().map(|table| Columns::of_table(self.connection, table)).collect::<Result<_, _>>()?;
        let mut replay = Replay { tables: numbers, columns, rows: HashMap::new(), faults: Faults::default() };
        replay.begin(&tables)?;
        replay.tell(self)?;
        replay.compare(&tables, self.connection)?;
        Ok(replay.faults.told())
    }
}

impl Replay {
    /// The rows every book begins with, before there was a history: its headings.
    fn begin(&mut self, tables: &[String]) -> Result<(), BookError> {
        let fresh = Connection::open_in_memory()?;
        LADDER.make(&fresh)?;
        for (at, table) in tables.iter().enumerate() {
            each_row(&fresh, table, |number, text| {
                self.rows.insert((at, number), Some(text));
            })?;
        }
        Ok(())
    }

    fn tell(&mut self, reader: &Reader<'_>) -> Result<(), BookError> {
        let rows_go = reader.first_forgetting()?.is_some();
        let undoing = reader.entries_undoing()?;
        let mut about = reader.connection.prepare("SELECT 1 FROM entry_car WHERE entry_no = ?1 AND stock_no = ?2")?;
        let mut found = reader.connection.prepare(
            "SELECT history_no, entry_no, table_name, row_no, before, after FROM history ORDER BY history_no",
        )?;
        let mut rows = found.query([])?;
        let (mut last, mut last_entry, mut known) = (0, 0, (0, 0));
        while let Some(row) = rows.next()? {
            let (number, entry): (i64, EntryNo) = (row.get(0)?, row.get(1)?);
            if number != last + 1 && !rows_go {
                self.faults.add("history", number, "what came before it is missing");
            }
            if entry < last_entry {
                self.faults.add("history", number, "its entry is earlier than that of the change before it");
            }
            (last, last_entry) = (number, entry);
            self.change(number, row)?;
            let (before, after) = (bytes(row, 4)?, bytes(row, 5)?);
            if let (None, Some(after)) = (before, after)
                && number_in(after, b"\"entry_no\":").is_some_and(|of| of != entry)
                && !undoing.contains(&entry)
            {
                self.faults.add("history", number, "the row it added is of another entry");
            }
            for car in before.into_iter().chain(after).filter_map(|text| number_in(text, b"\"stock_no\":")) {
                if known != (entry, car) && !about.exists([entry, car])? {
                    self.faults.add(
                        "entry_car",
                        entry,
                        &format!("it changed something of car {car}, and is not said to be about it"),
                    );
                }
                known = (entry, car);
            }
        }
        Ok(())
    }

    /// One change: what it found must be what the change before it left.
    fn change(&mut self, number: i64, row: &Row<'_>) -> Result<(), BookError> {
        let (table, of): (String, i64) = (row.get(2)?, row.get(3)?);
        let Some(at) = self.tables.get(&table).copied() else {
            self.faults.add("history", number, &format!("there is no table '{table}' of facts"));
            return Ok(());
        };
        let columns = &self.columns[at];
        let [before, after] = [bytes(row, 4)?, bytes(row, 5)?].map(|json| json.map(|json| hash(columns, json)));
        if before.is_none() && after.is_none() {
            self.faults.add("history", number, "it holds no change");
        }
        let stood = self.rows.insert((at, of), after).flatten();
        if stood != before {
            let entry: EntryNo = row.get(1)?;
            self.faults.add(&table, of, &format!("entry {entry} found it other than the history had left it"));
        }
        Ok(())
    }

    fn compare(&mut self, tables: &[String], connection: &Connection) -> Result<(), BookError> {
        for (at, table) in tables.iter().enumerate() {
            each_row(connection, table, |number, text| match self.rows.remove(&(at, number)).flatten() {
                Some(told) if told == text => {}
                Some(_) => self.faults.add(table, number, "it is not as the history left it"),
                None => self.faults.add(table, number, "the history does not know it"),
            })?;
        }
        let mut gone: Vec<(usize, i64)> =
            self.rows.iter().filter(|(_, state)| state.is_some()).map(|(row, _)| *row).collect();
        gone.sort_unstable();
        for (at, number) in gone {
            if let Some(table) = tables.get(at) {
                self.faults.add(table, number, "the history has it, and it is not there");
            }
        }
        Ok(())
    }
}

/// Hands over every row of a table with the hash of its JSON as the triggers write it.
fn each_row(connection: &Connection, table: &str, mut take: impl FnMut(i64, u64)) -> Result<(), BookError> {
    let columns = Columns::of_table(connection, table)?;
    let mut found =
        connection.prepare(&format!("SELECT {}, {} FROM {table}", columns.row_number(), columns.as_json()))?;
    let mut rows = found.query([])?;
    while let Some(row) = rows.next()? {
        take(row.get(0)?, bytes(row, 1)?.map_or(0, |json| hash(&columns, json)));
    }
    Ok(())
}

fn bytes<'r>(row: &'r Row<'_>, column: usize) -> Result<Option<&'r [u8]>, BookError> {
    match row.get_ref(column)? {
        ValueRef::Null => Ok(None),
        ValueRef::Text(text) => Ok(Some(text)),
        _ => Err(BookError::Foreign("a row of the history that is no text".to_owned())),
    }
}

fn hash(columns: &Columns, json: &[u8]) -> u64 {
    let mut hasher = DefaultHasher::new();
    columns.known_part(json).hash(&mut hasher);
    hasher.finish()
}

/// The whole number after a key of a row's JSON. Quotes within a value are written `\"`, so only a key is found.
fn number_in(json: &[u8], key: &[u8]) -> Option<i64> {
    let at = json.windows(key.len()).position(|window| window == key)? + key.len();
    let mut digits = json[at..].iter().take_while(|byte| byte.is_ascii_digit());
    digits.try_fold(None, |number: Option<i64>, digit| {
        Some(Some(number.unwrap_or_default().checked_mul(10)?.checked_add(i64::from(digit - b'0'))?))
    })?
}

impl Reader<'_> {
    /// The earliest entry that forgot somebody: it may have taken rows out of the history for good.
    pub(crate) fn first_forgetting(&self) -> Result<Option<EntryNo>, BookError> {
        Ok(self
            .connection
            .query_row("SELECT min(entry_no) FROM entry WHERE command = 'forget'", [], |row| row.get(0))?)
    }

    fn entries_undoing(&self) -> Result<BTreeSet<EntryNo>, BookError> {
        let mut found = self.connection.prepare("SELECT entry_no FROM entry WHERE undoes IS NOT NULL")?;
        let entries = found.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(entries)
    }

    /// Refuses an entry of which the history does not hold everything: what would be put back, or put right, is
    /// not known.
    pub(crate) fn needs_whole_history(&self, entry: EntryNo) -> Result<(), BookError> {
        if self.has_whole_history(entry)? {
            return Ok(());
        }
        Err(BookError::Unreadable(format!("the history does not hold what entry {entry} changed")))
    }

    /// Its rows are numbered one after the other, so one that is gone leaves a gap, unless somebody was forgotten
    /// since.
    fn has_whole_history(&self, entry: EntryNo) -> Result<bool, BookError> {
        if self.first_forgetting()?.is_some_and(|forgetting| forgetting > entry) {
            return Ok(true);
        }
        let (count, first, last): (i64, Option<i64>, Option<i64>) = self.connection.query_row(
            "SELECT count(*), min(history_no), max(history_no) FROM history WHERE entry_no = ?1",
            [entry],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
        )?;
        let Some((first, last)) = first.zip(last) else { return Ok(false) };
        let is_there = |number: i64| {
            self.connection.prepare_cached("SELECT 1 FROM history WHERE history_no = ?1")?.exists([number])
        };
        let latest: i64 = self.connection.query_row("SELECT max(history_no) FROM history", [], |row| row.get(0))?;
        let joins_on = first == 1 || is_there(first - 1)? || self.first_forgetting()?.is_some();
        let goes_on = if last == latest { !self.added_unseen(entry)? } else { is_there(last + 1)? };
        Ok(count == last - first + 1 && joins_on && goes_on)
    }

    /// Whether an entry added a row the history does not know. Of the latest entry no gap would show it; its rows
    /// are the last of their tables.
    fn added_unseen(&self, entry: EntryNo) -> Result<bool, BookError> {
        let mut known =
            self.connection.prepare("SELECT 1 FROM history WHERE entry_no = ?1 AND table_name = ?2 AND row_no = ?3")?;
        for table in fact_tables(self.connection)? {
            let last = self
                .connection
                .query_row(&format!("SELECT rowid, entry_no FROM {table} ORDER BY rowid DESC LIMIT 1"), [], |row| {
                    Ok((row.get::<_, i64>(0)?, row.get::<_, Option<EntryNo>>(1)?))
                })
                .optional()?;
            if let Some((row, Some(of))) = last
                && of == entry
                && !known.exists(params![entry, table, row])?
            {
                return Ok(true);
            }
        }
        Ok(false)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_found_after_its_key_and_not_in_what_somebody_wrote() {
        let row = br#"{"line_no":7,"note":"the \"stock_no\":12 plate","stock_no":34,"vat":null}"#;
        assert_eq!(number_in(row, b"\"stock_no\":"), Some(34));
        assert_eq!(number_in(row, b"\"vat\":"), None);
        assert_eq!(number_in(row, b"\"car\":"), None);
        assert_eq!(number_in(br#"{"stock_no":99999999999999999999}"#, b"\"stock_no\":"), None);
    }
}

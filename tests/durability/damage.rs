//! Ways a book comes to harm, by a seed: bits and pages of the file, words and numbers of its rows, rows and
//! tables that go or come.

use rusqlite::config::DbConfig;
use rusqlite::types::Value;
use rusqlite::{Connection, params};
use std::fs;
use std::path::Path;

/// Numbers that look drawn at random and are the same each time (`SplitMix64`).
pub struct Draw(u64);

impl Draw {
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    pub fn below(&mut self, most: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(most.max(1)).unwrap()).unwrap()
    }

    pub fn one<'t, T>(&mut self, of: &'t [T]) -> &'t T {
        &of[self.below(of.len())]
    }
}

type Way = fn(&Path, &mut Draw) -> String;

/// Each does its harm to a book and says what it did.
pub const WAYS: &[Way] = &[
    flipped_bits,
    flipped_bit_in_a_row,
    cut,
    zeroed_page,
    page_in_another_place,
    strange_word,
    strange_word,
    strange_number,
    strange_number,
    wrong_kind,
    overflowing_sums,
    row_gone,
    history_gone,
    row_twice,
    schema_changed,
    another_day,
];

fn flipped_bits(book: &Path, draw: &mut Draw) -> String {
    let mut bytes = fs::read(book).unwrap();
    let mut said = Vec::new();
    for _ in 0..=draw.below(4) {
        let (at, bit) = (draw.below(bytes.len()), draw.below(8));
        bytes[at] ^= 1 << bit;
        said.push(format!("bit {bit} of byte {at}"));
    }
    fs::write(book, bytes).unwrap();
    format!("flipped {}", said.join(", "))
}

/// A bit within text that is in use, where nothing of SQLite's own bookkeeping shows it.
fn flipped_bit_in_a_row(book: &Path, draw: &mut Draw) -> String {
    let mut bytes = fs::read(book).unwrap();
    let words: Vec<usize> = bytes
        .windows(4)
        .enumerate()
        .filter(|(_, four)| four.iter().all(u8::is_ascii_alphanumeric))
        .map(|(at, _)| at)
        .collect();
    let (at, bit) = (*draw.one(&words), draw.below(8));
    bytes[at] ^= 1 << bit;
    fs::write(book, bytes).unwrap();
    format!("flipped bit {bit} of byte {at}, within a word")
}

fn cut(book: &Path, draw: &mut Draw) -> String {
    let bytes = fs::read(book).unwrap();
    let kept = draw.below(bytes.len());
    fs::write(book, &bytes[..kept]).unwrap();
    format!("cut to {kept} bytes")
}

fn zeroed_page(book: &Path, draw: &mut Draw) -> String {
    let mut bytes = fs::read(book).unwrap();
    let page = draw.below(bytes.len() / 4096);
    bytes[page * 4096..(page + 1) * 4096].fill(0);
    fs::write(book, bytes).unwrap();
    format!("zeroed page {page}")
}

fn page_in_another_place(book: &Path, draw: &mut Draw) -> String {
    let mut bytes = fs::read(book).unwrap();
    let (from, to) = (draw.below(bytes.len() / 4096), draw.below(bytes.len() / 4096));
    bytes.copy_within(from * 4096..(from + 1) * 4096, to * 4096);
    fs::write(book, bytes).unwrap();
    format!("page {from} where page {to} was")
}

/// The book with no rule in force and no trigger noting what is done to it.
fn unguarded(book: &Path) -> Connection {
    let book = Connection::open(book).unwrap();
    book.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_TRIGGER, false).unwrap();
    book.set_db_config(DbConfig::SQLITE_DBCONFIG_DEFENSIVE, false).unwrap();
    book.execute_batch("PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON; PRAGMA writable_schema = ON")
        .unwrap();
    book
}

fn texts(book: &Connection, sql: &str) -> Vec<String> {
    book.prepare(sql).unwrap().query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
}

/// A table with rows, one of its columns of that kind, and the first column of one of its rows.
fn a_place(book: &Connection, kind: &str, draw: &mut Draw) -> (String, String, String, i64) {
    loop {
        let tables = texts(book, "SELECT name FROM sqlite_schema WHERE type = 'table' AND sql LIKE '%STRICT'");
        let table = draw.one(&tables).clone();
        let columns = texts(book, &format!("SELECT name FROM pragma_table_info('{table}') WHERE type = '{kind}'"));
        let key = texts(book, &format!("SELECT name FROM pragma_table_info('{table}') WHERE cid = 0")).remove(0);
        let rows: u32 = book.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get(0)).unwrap();
        if columns.is_empty() || rows == 0 {
            continue;
        }
        let at = draw.below(usize::try_from(rows).unwrap());
        let sql = format!("SELECT {key} FROM {table} ORDER BY {key} LIMIT 1 OFFSET {at}");
        if let Ok(row) = book.query_row(&sql, [], |row| row.get(0)) {
            return (table, draw.one(&columns).clone(), key, row);
        }
    }
}

fn strange_word(book: &Path, draw: &mut Draw) -> String {
    let book = unguarded(book);
    let (table, column, key, row) = a_place(&book, "TEXT", draw);
    let words = [
        "'bnak'",
        "''",
        "CAST(x'4AFF41' AS TEXT)",
        "char(0)",
        "'2026-02-31'",
        "'9026-11-25'",
        "'0026-11-25'",
        "printf('%.9000c', 'x')",
        "'{\"a\":'",
        "NULL",
    ];
    let word = draw.one(&words);
    let done = book.execute(&format!("UPDATE OR IGNORE {table} SET {column} = {word} WHERE {key} = {row}"), []);
    format!("{table}.{column} = {word} where {key} = {row}: {done:?}")
}

fn strange_number(book: &Path, draw: &mut Draw) -> String {
    let book = unguarded(book);
    let (table, column, key, row) = a_place(&book, "INTEGER", draw);
    let numbers = [
        "9223372036854775807",
        "-9223372036854775808",
        "-1",
        "0",
        "10000000000000",
        "10000000000001",
        "4294967296",
        "NULL",
    ];
    let flipped = format!("{column} + {}", 1_i64 << draw.below(40));
    let number = if draw.below(3) == 0 { flipped.as_str() } else { draw.one(&numbers) };
    let done = book.execute(&format!("UPDATE OR IGNORE {table} SET {column} = {number} WHERE {key} = {row}"), []);
    format!("{table}.{column} = {number} where {key} = {row}: {done:?}")
}

/// A number where text belongs and the other way round: what a flipped bit before a row's values does.
fn wrong_kind(path: &Path, draw: &mut Draw) -> String {
    let book = unguarded(path);
    let kind = *draw.one(&["TEXT", "INTEGER"]);
    let (table, column, key, row) = a_place(&book, kind, draw);
    let value = *draw.one(&["x'31FF'", "2.5", "12", "'twelve'"]);
    let strict = "UPDATE sqlite_schema SET sql = replace(sql, ') STRICT', ')') WHERE name = ?1";
    book.execute(strict, params![table]).unwrap();
    drop(book);
    let book = unguarded(path);
    let done = book.execute(&format!("UPDATE OR IGNORE {table} SET {column} = {value} WHERE {key} = {row}"), []);
    book.execute(
        "UPDATE sqlite_schema SET sql = sql || ' STRICT' WHERE name = ?1 AND sql NOT LIKE '%WITHOUT ROWID'",
        params![table],
    )
    .unwrap();
    book.execute("UPDATE sqlite_schema SET sql = replace(sql, ') WITHOUT', ') STRICT, WITHOUT') WHERE name = ?1 AND sql NOT LIKE '%STRICT%'", params![table]).unwrap();
    format!("{table}.{column} = {value} where {key} = {row}: {done:?}")
}

fn overflowing_sums(book: &Path, draw: &mut Draw) -> String {
    let book = unguarded(book);
    let places = [
        "line SET amount",
        "movement SET amount",
        "car SET purchase_price",
        "sale SET selling_price",
        "standing_amount SET amount",
        "take_back SET refund",
        "deposit_end SET amount",
        "line_total SET amount",
        "movement_total SET amount",
        "asking_price SET amount",
        "own_hours SET minutes",
        "reading SET miles",
        "line SET usual_price",
        "offer SET amount",
    ];
    let (place, sum) = (draw.one(&places), draw.one(&["9223372036854775807", "10000000000000", "-10000000000000"]));
    let done = book.execute(&format!("UPDATE {place} = {sum}"), []);
    format!("{place} = {sum}: {done:?}")
}

fn row_gone(book: &Path, draw: &mut Draw) -> String {
    let book = unguarded(book);
    let (table, _, key, row) = a_place(&book, "INTEGER", draw);
    let done = book.execute(&format!("DELETE FROM {table} WHERE {key} = {row}"), []);
    format!("row {row} of {table} gone: {done:?}")
}

fn history_gone(book: &Path, draw: &mut Draw) -> String {
    let book = unguarded(book);
    let last: i64 = book.query_row("SELECT max(history_no) FROM history", [], |row| row.get(0)).unwrap();
    let from = i64::try_from(draw.below(usize::try_from(last).unwrap())).unwrap();
    let to = *draw.one(&[from + 1, from + 5, last]);
    let done = book.execute("DELETE FROM history WHERE history_no > ?1 AND history_no <= ?2", [from, to]);
    format!("history after {from} up to {to} gone: {done:?}")
}

fn row_twice(book: &Path, draw: &mut Draw) -> String {
    let book = unguarded(book);
    let (table, _, key, row) = a_place(&book, "INTEGER", draw);
    let columns = texts(&book, &format!("SELECT name FROM pragma_table_info('{table}') WHERE cid > 0")).join(", ");
    let sql = format!(
        "INSERT OR IGNORE INTO {table} ({key}, {columns}) SELECT (SELECT max({key}) + 1 FROM {table}), {columns} FROM {table} WHERE {key} = {row} LIMIT 1"
    );
    let done = book.execute(&sql, []);
    format!("row {row} of {table} twice: {done:?}")
}

fn another_day(book: &Path, draw: &mut Draw) -> String {
    let book = unguarded(book);
    let days = [
        "line.dated",
        "movement.dated",
        "car.bought_on",
        "sale.sold_on",
        "standing.first_on",
        "mot_test.dated",
        "mot_certificate.until",
        "take_back.dated",
        "reading.dated",
        "mark.dated",
        "closed_month.month",
    ];
    let (table, column) = draw.one(&days).split_once('.').unwrap();
    let day = draw.one(&["1900-01-01", "2200-12-31", "2026-11-26", "1999-02-28", "2100-06-30", "2026-11"]);
    let rows: Vec<i64> = book
        .prepare(&format!("SELECT rowid FROM {table}"))
        .unwrap()
        .query_map([], |row| row.get(0))
        .unwrap()
        .map(Result::unwrap)
        .collect();
    let row = if rows.is_empty() { 0 } else { *draw.one(&rows) };
    let done = book.execute(&format!("UPDATE {table} SET {column} = ?1 WHERE rowid = ?2"), params![day, row]);
    format!("{table}.{column} = {day} in row {row}: {done:?}")
}

fn schema_changed(book: &Path, draw: &mut Draw) -> String {
    let book = unguarded(book);
    let of = |kind: &str| {
        texts(
            &book,
            &format!(
                "SELECT name FROM sqlite_schema WHERE type = '{kind}' AND sql IS NOT NULL AND name NOT LIKE 'sqlite%'"
            ),
        )
    };
    let (triggers, tables, indexes) = (of("trigger"), of("table"), of("index"));
    let (trigger, table, index) = (draw.one(&triggers), draw.one(&tables), draw.one(&indexes));
    let ways = [
        format!("DROP TRIGGER {trigger}"),
        format!("DROP INDEX {index}"),
        format!("DROP TABLE {table}"),
        format!("CREATE TRIGGER mine AFTER INSERT ON {table} BEGIN DELETE FROM note; END"),
        format!("ALTER TABLE {table} ADD COLUMN mine TEXT"),
        format!("ALTER TABLE {table} RENAME TO mine; CREATE VIEW {table} AS SELECT * FROM mine"),
        format!("DROP TRIGGER {trigger}; CREATE TRIGGER {trigger} AFTER INSERT ON note BEGIN SELECT 1; END"),
        "DROP VIEW departure; CREATE VIEW departure (stock_no, left_on, back_on) AS SELECT 1, '2026-01-01', NULL WHERE false".to_owned(),
        "CREATE TABLE mine (anything)".to_owned(),
        "CREATE VIEW mine AS SELECT * FROM car; CREATE INDEX mine_too ON car (seller)".to_owned(),
        "PRAGMA user_version = 6".to_owned(),
        "PRAGMA user_version = -7".to_owned(),
        "PRAGMA user_version = 0".to_owned(),
        format!("UPDATE sqlite_schema SET sql = replace(sql, 'e', 'x') WHERE name = '{table}'"),
        format!("UPDATE sqlite_schema SET rootpage = rootpage + 1 WHERE name = '{table}'"),
        format!("UPDATE sqlite_schema SET sql = NULL WHERE name = '{index}'"),
        format!("DELETE FROM sqlite_schema WHERE name = '{table}'"),
    ];
    let way = draw.one(&ways);
    let done = book.execute_batch(way);
    format!("{way}: {done:?}")
}

/// Everything a book says: its schema and every row, byte for byte; none where it cannot be read.
pub fn everything(path: &Path) -> Option<Vec<(String, String)>> {
    let book = Connection::open(path).ok()?;
    book.set_db_config(DbConfig::SQLITE_DBCONFIG_TRUSTED_SCHEMA, true).ok()?;
    let whole: String = book.query_row("PRAGMA integrity_check", [], |row| row.get(0)).ok()?;
    if whole != "ok" {
        return None;
    }
    let mut rows = Vec::new();
    for part in ["user_version", "application_id"] {
        let number: i64 = book.pragma_query_value(None, part, |row| row.get(0)).ok()?;
        rows.push((part.to_owned(), number.to_string()));
    }
    let mut tables = book.prepare("SELECT name FROM sqlite_schema WHERE type = 'table'").ok()?;
    let mut tables: Vec<String> = tables.query_map([], |row| row.get(0)).ok()?.collect::<Result<_, _>>().ok()?;
    tables.push("sqlite_schema".to_owned());
    for table in tables {
        let mut all = book.prepare(&format!("SELECT * FROM \"{table}\"")).ok()?;
        let names: Vec<String> = all.column_names().map(str::to_owned).collect();
        let mut found = all.query([]).ok()?;
        while let Some(row) = found.next().ok()? {
            let mut values = Vec::new();
            for (at, name) in names.iter().enumerate() {
                let value = match row.get_ref(at).ok()? {
                    rusqlite::types::ValueRef::Text(text) => format!("text {text:?}"),
                    other => format!("{:?}", Value::try_from(other).ok()?),
                };
                values.push(format!("{name} {value}"));
            }
            rows.push((table.clone(), values.join("\n")));
        }
    }
    rows.sort();
    Some(rows)
}

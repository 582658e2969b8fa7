//! Books as earlier versions of the program made them.

use rusqlite::types::Value;
use rusqlite::{Connection, params_from_iter};
use std::fs;
use std::path::{Path, PathBuf};

/// What `RUNA` in ASCII comes to: every book says it is one.
const APPLICATION_ID: i64 = 0x5255_4E41;

/// The migrations, in order.
pub fn migrations() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("migrations");
    let mut files: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()).collect();
    files.sort();
    files
}

/// The first column of what is asked.
pub fn texts(book: &Connection, sql: &str) -> Vec<String> {
    book.prepare(sql).unwrap().query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
}

/// Makes a book of an old version at `path` with the rows of `today`, entry by entry, so that the old
/// version's own triggers write its history.
pub fn made_by_version(version: usize, today: &Path, path: &Path) {
    let old = Connection::open(path).unwrap();
    for script in &migrations()[..version] {
        old.execute_batch(&fs::read_to_string(script).unwrap()).unwrap();
    }
    old.pragma_update(None, "application_id", APPLICATION_ID).unwrap();
    old.pragma_update(None, "user_version", i64::try_from(version).unwrap()).unwrap();
    old.execute("ATTACH ?1 AS today", [today.to_str().unwrap()]).unwrap();
    let tables = texts(
        &old,
        "SELECT name FROM main.sqlite_schema JOIN today.sqlite_schema USING (type, name)
         WHERE type = 'table' AND name <> 'history' ORDER BY main.sqlite_schema.rowid",
    );
    let with_entry: Vec<(String, Vec<String>)> = tables
        .into_iter()
        .map(|table| {
            let columns = texts(
                &old,
                &format!(
                    "SELECT name FROM pragma_table_info('{table}', 'main')
                     JOIN pragma_table_info('{table}', 'today') USING (name)"
                ),
            );
            (table, columns)
        })
        .filter(|(_, columns)| columns.contains(&"entry_no".to_owned()))
        .collect();
    assert!(with_entry.len() >= 18, "{with_entry:?}");
    old.execute_batch("BEGIN; PRAGMA defer_foreign_keys = ON").unwrap();
    let entries: i64 = old.query_row("SELECT max(entry_no) FROM today.entry", [], |row| row.get(0)).unwrap();
    for entry in 1..=entries {
        for (table, columns) in &with_entry {
            let names = columns.join(", ");
            let mut found =
                old.prepare(&format!("SELECT {names} FROM today.{table} WHERE entry_no = ?1 ORDER BY 1")).unwrap();
            let mut rows = found.query([entry]).unwrap();
            while let Some(row) = rows.next().unwrap() {
                let values: Vec<Value> = (0..columns.len()).map(|at| row.get(at).unwrap()).collect();
                let places = vec!["?"; columns.len()].join(", ");
                old.execute(&format!("INSERT INTO main.{table} ({names}) VALUES ({places})"), params_from_iter(values))
                    .unwrap();
            }
        }
    }
    // What the program kept beside the facts from version 3 on, by no trigger.
    if !texts(&old, "SELECT name FROM main.sqlite_schema WHERE name = 'open_departure'").is_empty() {
        old.execute_batch("INSERT INTO main.open_departure SELECT stock_no FROM today.open_departure").unwrap();
    }
    old.execute_batch("COMMIT; DETACH today").unwrap();
}

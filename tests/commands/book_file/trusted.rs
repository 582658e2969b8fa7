//! What is believed of a book: that it is made as this program makes it, that its history leads to its rows, that
//! its values can be read. What is not so is told by table and row.

use crate::common::Yard;
use rusqlite::Connection;
use rusqlite::config::DbConfig;
use std::fs;

/// The book, with no trigger noting what is done to it and no rule in force.
fn unguarded(yard: &Yard) -> Connection {
    let book = Connection::open(yard.book()).unwrap();
    book.set_db_config(DbConfig::SQLITE_DBCONFIG_ENABLE_TRIGGER, false).unwrap();
    book.execute_batch("PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON").unwrap();
    book
}

fn texts(book: &Connection, sql: &str) -> Vec<String> {
    book.prepare(sql).unwrap().query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
}

/// The tables whose rows belong to an entry and have any.
fn filled_tables(book: &Connection) -> Vec<String> {
    let mut tables = texts(
        book,
        "SELECT s.name FROM sqlite_schema s, pragma_table_info(s.name) c WHERE s.type = 'table' AND c.name = 'entry_no'
             AND s.name NOT IN ('entry', 'entry_car', 'history') ORDER BY s.name",
    );
    tables.retain(|table| {
        book.query_row(&format!("SELECT count(*) FROM {table}"), [], |row| row.get::<_, i64>(0)).unwrap() > 0
    });
    tables
}

/// The first column of a table: what its rows go by.
fn key(book: &Connection, table: &str) -> String {
    texts(book, &format!("SELECT name FROM pragma_table_info('{table}') WHERE cid = 0")).remove(0)
}

#[test]
fn whatever_is_missing_of_a_book_is_named() {
    let yard = Yard::filled();
    let whole = fs::read(yard.book()).unwrap();
    let book = Connection::open(yard.book()).unwrap();
    let named = |kind: &str| {
        texts(
            &book,
            &format!("SELECT name FROM sqlite_schema WHERE type = '{kind}' AND name NOT LIKE 'sqlite^_%' ESCAPE '^'"),
        )
    };
    let objects: Vec<(&str, String)> = ["trigger", "index", "view", "table"]
        .into_iter()
        .flat_map(|kind| named(kind).into_iter().map(move |name| (kind, name)))
        .collect();
    drop(book);
    assert!(objects.len() > 150, "{}", objects.len());
    // One in seven of them, another seventh of each kind: all are told by one rule.
    for (kind, name) in objects.iter().step_by(7) {
        fs::write(yard.book(), &whole).unwrap();
        unguarded(&yard).execute_batch(&format!("PRAGMA legacy_alter_table = ON; DROP {kind} {name}")).unwrap();
        let damaged = fs::read(yard.book()).unwrap();
        for line in ["stock", "spend 12.50 phone --overhead", "undo", "verify", "backup"] {
            let ran = yard.run(line);
            assert_eq!((ran.code, ran.out.as_str()), (4, ""), "`{line}` without {kind} {name}: {}", ran.err);
            // What goes with a table may be met first.
            assert!(ran.err.contains(&format!("'{name}")) || *kind == "table", "{kind} {name}: {}", ran.err);
            assert!(ran.err.contains("is missing") && ran.err.contains("runabout restore FILE"), "{}", ran.err);
        }
        assert_eq!(fs::read(yard.book()).unwrap(), damaged, "{kind} {name}");
    }
}

#[test]
fn what_somebody_else_put_in_a_book_is_named_unless_it_changes_nothing() {
    let yard = Yard::filled();
    let whole = fs::read(yard.book()).unwrap();
    for (does, name) in [
        ("CREATE TRIGGER tidy AFTER INSERT ON line BEGIN DELETE FROM note; END", "trigger 'tidy'"),
        ("CREATE TABLE mine (anything)", "table 'mine'"),
        (
            "DROP TRIGGER note_added; CREATE TRIGGER note_added AFTER INSERT ON note BEGIN SELECT 1; END",
            "trigger 'note_added'",
        ),
        ("ALTER TABLE note RENAME TO old; CREATE VIEW note AS SELECT * FROM old", "'note' is a view"),
        ("ALTER TABLE note ADD COLUMN colour TEXT", "table 'note'"),
        ("DROP INDEX line_by_car; CREATE INDEX line_by_car ON line (dated)", "index 'line_by_car'"),
        ("PRAGMA user_version = 5", "from an early version of Runabout"),
    ] {
        fs::write(yard.book(), &whole).unwrap();
        Connection::open(yard.book()).unwrap().execute_batch(does).unwrap();
        for line in ["cash", "pay-in 54.85"] {
            let ran = yard.run(line);
            assert_eq!(ran.code, 4, "{does}: {}{}", ran.out, ran.err);
            assert!(ran.err.contains(name), "{does}: {}", ran.err);
        }
        assert_eq!(fs::read_dir(yard.folder()).unwrap().count(), 1, "{does}: something was made beside it");
    }
    fs::write(yard.book(), &whole).unwrap();
    let own = "CREATE VIEW cheap AS SELECT * FROM car WHERE purchase_price < 32000; CREATE INDEX by_seller ON car (seller); ANALYZE";
    Connection::open(yard.book()).unwrap().execute_batch(own).unwrap();
    yard.ok("pay-in 54.85");
    let told = yard.ok("verify").out;
    assert!(
        told.contains("All is well") && told.contains("view 'cheap'") && told.contains("index 'by_seller'"),
        "{told}"
    );
}

/// An entry whose history is gone is not said to be taken back.
#[test]
fn an_undo_without_its_history_is_refused_and_changes_nothing() {
    let yard = Yard::filled();
    let whole = fs::read(yard.book()).unwrap();
    for gone in [
        "DELETE FROM history",
        "DELETE FROM history WHERE entry_no = (SELECT max(entry_no) FROM entry)",
        "DELETE FROM history WHERE history_no = (SELECT max(history_no) FROM history)",
        "DELETE FROM history WHERE history_no = (SELECT max(history_no) - 1 FROM history)",
    ] {
        fs::write(yard.book(), &whole).unwrap();
        unguarded(&yard).execute_batch(gone).unwrap();
        let before = yard.dump();
        let ran = yard.run("undo");
        assert_eq!((ran.code, ran.out.as_str()), (4, ""), "{gone}: {}", ran.err);
        assert!(ran.err.contains("the history does not hold what entry"), "{}", ran.err);
        let entry: i64 = Connection::open(yard.book())
            .unwrap()
            .query_row("SELECT max(entry_no) FROM entry", [], |row| row.get(0))
            .unwrap();
        let ran = yard.run(&format!("amend {entry} amount 54.85"));
        assert!(ran.code == 4 && ran.err.contains("does not hold what entry"), "{}{}", ran.out, ran.err);
        assert_eq!(yard.dump(), before, "{gone}");
        let told = yard.run("verify");
        assert_eq!(told.code, 3, "{}{}", told.out, told.err);
        assert!(told.out.contains("row ") && told.out.contains("the history"), "{}", told.out);
    }
}

/// Every table of facts: a row changed, gone or come behind the history's back is named.
#[test]
fn a_row_that_the_history_does_not_lead_to_is_named() {
    let yard = Yard::filled();
    let whole = fs::read(yard.book()).unwrap();
    let tables = filled_tables(&Connection::open(yard.book()).unwrap());
    assert!(tables.len() > 20, "{tables:?}");
    for (at, table) in tables.iter().enumerate() {
        fs::write(yard.book(), &whole).unwrap();
        let book = unguarded(&yard);
        let key = key(&book, table);
        let row: i64 = book.query_row(&format!("SELECT max({key}) FROM {table}"), [], |row| row.get(0)).unwrap();
        let harm = match at % 3 {
            0 => format!("DELETE FROM {table} WHERE {key} = {row}"),
            1 => format!("UPDATE {table} SET entry_no = entry_no + 1 WHERE {key} = {row}"),
            _ => {
                let columns = texts(&book, &format!("SELECT name FROM pragma_table_info('{table}') WHERE cid > 0"));
                let columns = columns.join(", ");
                format!(
                    "UPDATE {table} SET {key} = {row} + 1 WHERE {key} = {row}; INSERT OR IGNORE INTO {table} ({key}, {columns}) SELECT {row}, {columns} FROM {table} WHERE {key} = {row} + 1"
                )
            }
        };
        book.execute_batch(&harm).unwrap();
        drop(book);
        let told = yard.run("verify --format json");
        assert_eq!(told.code, 3, "{harm}: {}{}", told.out, told.err);
        let named = [format!("row {row} of {table}: "), format!("row {} of {table}: ", row + 1)];
        assert!(named.iter().any(|named| told.out.contains(named)), "{harm}: {}", told.out);
    }
}

#[test]
fn what_cannot_be_read_is_told_by_table_and_row() {
    let yard = Yard::filled();
    let whole = fs::read(yard.book()).unwrap();
    for (harm, line, row) in [
        ("UPDATE car SET seller = CAST(x'41FF42' AS TEXT) WHERE stock_no = 13", "car 13", "row 13 of car: its seller"),
        ("UPDATE car SET via = 'bnak' WHERE stock_no = 15", "stock", "row 15 of car: its via 'bnak'"),
        (
            "UPDATE car SET bought_on = '0026-05-01' WHERE stock_no = 13",
            "results",
            "row 13 of car: its bought_on '0026-05-01'",
        ),
        (
            "UPDATE line SET amount = 9223372036854775807 WHERE line_no IN (7, 9)",
            "month dec 2025",
            "row 7 of line: its amount",
        ),
        ("UPDATE line_total SET amount = 9223372036854775807", "cash", "line_total: its amount"),
        ("UPDATE setting SET value = 'soon' WHERE key = 'age-bands'", "stock", "age bands"),
        ("UPDATE sale SET buyer = CAST(x'FF' AS TEXT) WHERE sale_no = 1", "car 1", "row 1 of sale: its buyer"),
        (
            "UPDATE entry SET summary = CAST(x'FF' AS TEXT) WHERE entry_no = 15",
            "log --last 200",
            "entry 15: its summary",
        ),
        ("UPDATE programme SET multiple = 'much'", "programme", "row 1 of programme: its multiple 'much'"),
        ("UPDATE history SET after = '{' WHERE history_no = (SELECT max(history_no) FROM history)", "undo", "history"),
    ] {
        fs::write(yard.book(), &whole).unwrap();
        if unguarded(&yard).execute(harm, []).unwrap() == 0 {
            // The test yard leaves that setting as it came.
            yard.ok("settings set age-bands 20,40,80");
            assert_eq!(unguarded(&yard).execute(harm, []).unwrap(), 1, "{harm}");
        }
        for format in ["table", "json", "csv"] {
            let format = if line.starts_with("undo") { String::new() } else { format!(" --format {format}") };
            let ran = yard.run(&format!("{line}{format}"));
            assert_eq!((ran.code, ran.out.as_str()), (4, ""), "`{line}` after {harm}: {}", ran.err);
            assert!(ran.err.contains(row), "`{line}` after {harm}: {}", ran.err);
            assert!(!ran.err.contains("report this"), "{}", ran.err);
        }
        let told = yard.run("verify --format json");
        assert_eq!(told.code, 3, "{harm}: {}{}", told.out, told.err);
        assert!(told.out.contains(row), "{harm}: {}", told.out);
    }
}

/// Where questions are asked first, they meet the damage first.
#[test]
fn a_question_met_by_damage_tells_the_row_too() {
    let yard = Yard::filled();
    unguarded(&yard).execute("UPDATE car SET via = 'bnak' WHERE stock_no = 15", []).unwrap();
    let ran = yard.run_answering("sell 15", &["1250", "", "", "", ""]);
    assert_eq!(ran.code, 4, "{}{}", ran.out, ran.err);
    assert!(ran.err.contains("row 15 of car: its via 'bnak'"), "{}", ran.err);
}

/// A rule of a table that is broken is told with the row, which SQLite's own check does not say.
#[test]
fn a_row_its_table_would_not_take_is_named() {
    let yard = Yard::filled();
    let harm = "UPDATE reading SET taken_at = 'auction' WHERE reading_no = 5";
    unguarded(&yard).execute(harm, []).unwrap();
    let told = yard.run("verify --format json");
    assert_eq!(told.code, 3, "{}", told.err);
    assert!(told.out.contains("row 5 of reading: CHECK constraint failed"), "{}", told.out);
}

/// A folder with a whole book in it: any cell that is not as it was written is refused with its file and line.
#[test]
fn a_cell_that_will_not_do_is_told_by_file_and_line() {
    let yard = Yard::filled();
    let book = Connection::open(yard.book()).unwrap();
    let folder = yard.folder().join("whole");
    yard.ok(&format!("export \"{}\"", folder.display()));
    let mut tried = 0;
    for table in filled_tables(&book) {
        let path = folder.join(format!("{table}.csv"));
        let whole = fs::read_to_string(&path).unwrap();
        let columns = texts(&book, &format!("SELECT name FROM pragma_table_info('{table}')"));
        // The second row where there is one: line 3.
        let broken = usize::from(whole.lines().count() > 2);
        for kind in ["INTEGER", "TEXT"] {
            let sql = format!("SELECT max(cid) FROM pragma_table_info('{table}') WHERE type = '{kind}' AND cid > 0");
            let Some(column) = book.query_row(&sql, [], |row| row.get::<_, Option<u32>>(0)).unwrap() else { continue };
            let column = usize::try_from(column).unwrap();
            let mut rows = csv::ReaderBuilder::new().from_reader(whole.as_bytes());
            let mut written = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
            written.write_record(rows.headers().unwrap()).unwrap();
            for (at, row) in rows.records().enumerate() {
                let row = row.unwrap();
                let cells = row
                    .iter()
                    .enumerate()
                    .map(|(cell, text)| if at == broken && cell == column { "bnak" } else { text });
                written.write_record(cells).unwrap();
            }
            fs::write(&path, written.into_inner().unwrap()).unwrap();
            let new = yard.folder().join("new.book");
            let ran = yard.run(&format!("import \"{}\" --book \"{}\"", folder.display(), new.display()));
            let what = format!("{table}.{}: {}{}", columns[column], ran.out, ran.err);
            assert_eq!((ran.code, ran.out.as_str()), (1, ""), "{what}");
            assert!(ran.err.contains(&format!("{table}.csv', line {}: ", broken + 2)), "{what}");
            assert!(!new.exists(), "{what}");
            tried += 1;
        }
        fs::write(&path, whole).unwrap();
    }
    assert!(tried > 40, "{tried}");
    let new = yard.folder().join("new.book");
    yard.ok(&format!("import \"{}\" --book \"{}\"", folder.display(), new.display()));
    assert_eq!(yard.run(&format!("verify --book \"{}\"", new.display())).code, 0);
}

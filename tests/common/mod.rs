//! A hermetic trader: runs the program in this process on a book of its own, on a day that is
//! said, with nothing of the machine's environment.
//!
//! `tests/common/lines.rs` makes command lines from clap's tree. `tests/commands/line/exit_codes.rs` gives every option
//! of every command a value that cannot be read, `tests/commands/looking/looking_ahead.rs` every date option a day without
//! its year, and `tests/properties/command_lines.rs` types 600 lines at random: `RUNABOUT_LINES=20000 cargo test
//! --test properties command_lines -- --nocapture` types more, some half an hour, and says what came of them. A
//! value of a new kind gets its words there.

#![allow(dead_code, reason = "each test binary uses its own part")]
#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

pub mod early;
pub mod lines;
pub mod page_read;

use chrono::{NaiveDate, NaiveTime};
use runabout::env::Env;
use serde_json::Value;
use std::cell::RefCell;
use std::ffi::OsString;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::OnceLock;
use tempfile::TempDir;

/// What was typed in the test yard, a day and a command a line; the last line says what day it is.
const TEST_YARD: &str = include_str!("test_yard.txt");

/// Every way of looking at the test yard, as typed.
pub const LOOKS: &[&str] = &[
    "",
    "stock",
    "car 13",
    "car 15",
    "car 17",
    "car 1",
    "month",
    "month last",
    "month sep 2026",
    "results",
    "cash",
    "due",
    "due --within 365",
    "lessons",
    "lessons --by fault",
    "programme",
    "forecast",
    "bid --sells-for 1200",
    "bid --sells-for 1200 --auction marl-cross-auctions",
    "standing list",
    "paper list",
    "stock-book",
    "stock-book --from 1/7/2026 --to 30/9/2026",
    "vat --from 1/7/2026 --to 30/9/2026",
    "vat --watch",
    "tax-year",
    "tax-year 2025-26",
    "rates",
    "log",
    "log 15",
    "log --last 200",
    "verify",
    "settings",
    "settings headings",
];

/// A book in a folder of its own, and the day it is.
pub struct Yard {
    folder: TempDir,
    today: NaiveDate,
}

/// What a command answered.
#[derive(Debug)]
pub struct Ran {
    /// Exit code.
    pub code: u8,
    /// Standard output.
    pub out: String,
    /// Standard error.
    pub err: String,
}

#[derive(Clone, Default)]
struct Kept(Rc<RefCell<Vec<u8>>>);

impl Write for Kept {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.borrow_mut().extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

impl Kept {
    fn text(&self) -> String {
        String::from_utf8(self.0.borrow().clone()).expect("the program writes UTF-8")
    }
}

impl Yard {
    /// A yard without a book yet, on a day.
    pub fn new(today: &str) -> Self {
        Self { folder: tempfile::tempdir().expect("a temporary folder"), today: day(today) }
    }

    /// The test yard as it stands on its last day, every line replayed once for all tests of a binary.
    pub fn filled() -> Self {
        static BOOK: OnceLock<Vec<u8>> = OnceLock::new();
        let (last, _) = TEST_YARD.lines().last().and_then(|line| line.split_once(' ')).expect("a last day");
        let yard = Self::new(last);
        let book = BOOK.get_or_init(|| {
            yard.replay(TEST_YARD);
            std::fs::read(yard.book()).expect("the book replayed")
        });
        std::fs::write(yard.book(), book).expect("a copy of the book");
        yard
    }

    /// Types every line of a script at nine on its day. Blank lines, remarks and `today` record nothing.
    fn replay(&self, script: &str) {
        let nine = NaiveTime::from_hms_opt(9, 0, 0).expect("nine");
        for line in script.lines().filter(|line| !line.is_empty() && !line.starts_with('#')) {
            let (on, command) = line.split_once(' ').unwrap_or_else(|| panic!("no day and command: {line}"));
            if command == "today" {
                continue;
            }
            let words = shlex::split(command).unwrap_or_else(|| panic!("not a command line: {line}"));
            let (out, err) = (Kept::default(), Kept::default());
            let mut env = self.env(&words, &out, &err);
            env.clock_day = day(on);
            env.clock = day(on).and_time(nine).and_utc();
            assert_eq!(runabout::app::run(&mut env), 0, "`{line}` was refused: {}", err.text());
        }
    }

    /// Lets the day be another.
    pub fn turn_to(&mut self, today: &str) {
        self.today = day(today);
    }

    /// Where the book is.
    pub fn book(&self) -> PathBuf {
        self.folder.path().join("yard.book")
    }

    /// The folder the book is in.
    pub fn folder(&self) -> &Path {
        self.folder.path()
    }

    /// Runs a command line as a shell would split it.
    pub fn run(&self, line: &str) -> Ran {
        let words = shlex::split(line).unwrap_or_else(|| panic!("not a command line: {line}"));
        self.run_words(&words)
    }

    /// Runs words as they are.
    pub fn run_words(&self, words: &[String]) -> Ran {
        let (out, err) = (Kept::default(), Kept::default());
        let mut env = self.env(words, &out, &err);
        let code = runabout::app::run(&mut env);
        // Folded lines are read as the sentences they are.
        Ran { code, out: out.text(), err: err.text().replace("\n  ", " ") }
    }

    /// Runs a command line where `RUNABOUT_TODAY` is set.
    pub fn run_on_day(&self, line: &str, today: &str) -> Ran {
        let words = shlex::split(line).unwrap_or_else(|| panic!("not a command line: {line}"));
        let (out, err) = (Kept::default(), Kept::default());
        let mut env = self.env(&words, &out, &err);
        env.today = Some(today.to_owned());
        let code = runabout::app::run(&mut env);
        Ran { code, out: out.text(), err: err.text() }
    }

    /// Runs a command line on a terminal of that many columns; what was written stays as it was folded.
    pub fn run_at(&self, line: &str, width: usize) -> Ran {
        let words = shlex::split(line).unwrap_or_else(|| panic!("not a command line: {line}"));
        let (out, err) = (Kept::default(), Kept::default());
        let mut env = self.env(&words, &out, &err);
        env.width = width;
        let code = runabout::app::run(&mut env);
        Ran { code, out: out.text(), err: err.text() }
    }

    /// Runs a command line on a terminal where somebody answers each question in turn.
    pub fn run_answering(&self, line: &str, answers: &[&str]) -> Ran {
        let words = shlex::split(line).unwrap_or_else(|| panic!("not a command line: {line}"));
        let (out, err) = (Kept::default(), Kept::default());
        let mut env = self.env(&words, &out, &err);
        let mut answers: Vec<String> = answers.iter().rev().map(|answer| (*answer).to_owned()).collect();
        env.answer = Some(Box::new(move || answers.pop()));
        let code = runabout::app::run(&mut env);
        Ran { code, out: out.text(), err: err.text().replace("\n  ", " ") }
    }

    /// Runs a command line in a world that is changed in some way.
    pub fn run_in(&self, line: &str, change: impl FnOnce(&mut Env)) -> Ran {
        let words = shlex::split(line).unwrap_or_else(|| panic!("not a command line: {line}"));
        let (out, err) = (Kept::default(), Kept::default());
        let mut env = self.env(&words, &out, &err);
        change(&mut env);
        let code = runabout::app::run(&mut env);
        Ran { code, out: out.text(), err: err.text().replace("\n  ", " ") }
    }

    /// Another yard with the same files in it.
    pub fn copy(&self) -> Self {
        let copy = Self { folder: tempfile::tempdir().expect("a temporary folder"), today: self.today };
        for file in std::fs::read_dir(self.folder.path()).expect("the yard's folder") {
            let file = file.expect("a file of the yard");
            std::fs::copy(file.path(), copy.folder.path().join(file.file_name())).expect("a copy");
        }
        copy
    }

    fn env(&self, words: &[String], out: &Kept, err: &Kept) -> Env {
        let noon = NaiveTime::from_hms_opt(12, 0, 0).expect("noon");
        Env {
            arguments: std::iter::once("runabout".to_owned())
                .chain(words.iter().cloned())
                .map(OsString::from)
                .collect(),
            book: Some(self.book()),
            rates: None,
            today: None,
            completing: None,
            completing_index: None,
            completing_word: None,
            folder: Some(self.folder.path().to_owned()),
            home: None,
            clock_day: self.today,
            clock: self.today.and_time(noon).and_utc(),
            data_folder: None,
            temporary_folder: self.folder.path().to_owned(),
            terminal: false,
            colour: false,
            unicode: true,
            width: 80,
            answer: None,
            progress: Rc::new(|_| {}),
            process_ends: false,
            out: Box::new(out.clone()),
            err: Box::new(err.clone()),
        }
    }

    /// Runs a command that must be carried out.
    pub fn ok(&self, line: &str) -> Ran {
        let ran = self.run(line);
        assert_eq!(ran.code, 0, "`{line}` was refused: {}", ran.err);
        ran
    }

    /// Runs a command that must be carried out, as typed on another day.
    pub fn ok_on(&self, on: &str, line: &str) -> Ran {
        self.ok(&format!("{line} --as-of {on}"))
    }

    /// Runs a command that must be refused, and checks that nothing changed.
    pub fn refused(&self, line: &str) -> Ran {
        let before = self.dump();
        let ran = self.run(line);
        assert!(ran.code == 1 || ran.code == 2, "`{line}` gave {}: {}{}", ran.code, ran.out, ran.err);
        assert_eq!(ran.out, "", "`{line}` was refused and still answered");
        assert_eq!(self.dump(), before, "`{line}` was refused and still changed the book");
        ran
    }

    /// The JSON answer of a command.
    pub fn json(&self, line: &str) -> Value {
        let ran = self.ok(&format!("{line} --format json"));
        serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("`{line}`: {error} in {}", ran.out))
    }

    /// Every row of every table of the book; empty without one.
    pub fn dump(&self) -> Vec<String> {
        self.dump_except(&[])
    }

    /// Every row of every table but some.
    pub fn dump_except(&self, left_out: &[&str]) -> Vec<String> {
        rows_of(&self.book(), left_out)
    }
}

/// That an object of JSON has every key named.
pub fn has_keys(value: &Value, keys: &str) {
    let object = value.as_object().unwrap_or_else(|| panic!("not an object: {value}"));
    for key in keys.split_whitespace() {
        assert!(object.contains_key(key), "no key {key} in {value}");
    }
}

/// Every row of every table of a book but some; empty without one.
pub fn rows_of(book: &Path, left_out: &[&str]) -> Vec<String> {
    if book.exists() { readable_rows_of(book, left_out).expect("the book is readable") } else { Vec::new() }
}

/// Every row of every table of a book but some, or why it cannot be read.
pub fn readable_rows_of(book: &Path, left_out: &[&str]) -> rusqlite::Result<Vec<String>> {
    let book = rusqlite::Connection::open(book)?;
    let mut tables = book.prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name")?;
    let names = tables.query_map([], |row| row.get(0))?.collect::<rusqlite::Result<Vec<String>>>()?;
    let mut rows = Vec::new();
    for name in names.iter().filter(|name| !left_out.contains(&name.as_str())) {
        let mut all = book.prepare(&format!("SELECT * FROM {name}"))?;
        let width = all.column_count();
        let mut found = all.query([])?;
        while let Some(row) = found.next()? {
            let value = |n| Ok(format!("{:?}", row.get::<_, rusqlite::types::Value>(n)?));
            let values = (0..width).map(value).collect::<rusqlite::Result<Vec<String>>>()?;
            rows.push(format!("{name}: {}", values.join(", ")));
        }
    }
    rows.sort();
    Ok(rows)
}

fn day(text: &str) -> NaiveDate {
    text.parse().unwrap_or_else(|_| panic!("not a day: {text}"))
}

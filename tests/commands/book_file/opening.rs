//! Files the program will not use: exit 4, a plain sentence, what to do, and the file as it was byte for byte.

use crate::common::{Ran, Yard};
use rusqlite::Connection;
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

const LOOKING: &str = "stock";
const RECORDING: &str = "spend 12.50 phone --overhead";

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 3000 --on 1/10/2026");
    yard.ok("buy KX42RTO 465 --on 3/10/2026 --from \"R Ashdown\"");
    yard.ok("spend 35 labour --car 1 --on 4/10/2026");
    yard
}

/// Runs a line that must find the book unusable, saying each of the words and changing no byte.
fn unusable(yard: &Yard, line: &str, words: &[&str]) -> Ran {
    let file = |path: &Path| path.is_file().then(|| fs::read(path).unwrap());
    let (before, beside) = (file(&yard.book()), names(yard.folder()));
    let ran = yard.run(line);
    assert_eq!(ran.code, 4, "`{line}`: {}{}", ran.out, ran.err);
    assert_eq!(ran.out, "", "`{line}` answered all the same");
    for word in words {
        assert!(ran.err.contains(word), "`{line}` should say {word:?}, said: {}", ran.err);
    }
    for not_plain in ["Sqlite", "SQLITE", "Error {", "os error"] {
        assert!(!ran.err.contains(not_plain), "`{line}` says {not_plain:?}: {}", ran.err);
    }
    assert_eq!(file(&yard.book()), before, "`{line}` changed the file");
    assert_eq!(names(yard.folder()), beside, "`{line}` left something beside the file");
    ran
}

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        fs::read_dir(folder).unwrap().map(|file| file.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn a_file_of_another_kind_is_left_as_it_is() {
    let yard = Yard::new("2026-11-25");
    for text in ["Dear Sir,\nthe Harrow is sold.\n".to_owned(), "mark,price\r\n".repeat(400), "x".into(), "no".into()] {
        fs::write(yard.book(), text).unwrap();
        for line in [LOOKING, RECORDING, "verify", "undo", "backup"] {
            unusable(&yard, line, &["yard.book' is not a Runabout book", "left as it is", "--book FILE"]);
        }
    }
}

#[test]
fn another_programs_database_is_left_as_it_is() {
    let yard = Yard::new("2026-11-25");
    // With a version of its own or none, with tables or none: what tells is who it says it belongs to.
    for made_by in [
        "CREATE TABLE entry (entry_no INTEGER); INSERT INTO entry VALUES (1)",
        "CREATE TABLE entry (entry_no INTEGER); PRAGMA user_version = 3",
        "CREATE TABLE entry (entry_no INTEGER); PRAGMA application_id = 7; PRAGMA user_version = 99",
        "PRAGMA application_id = 7",
    ] {
        let _ = fs::remove_file(yard.book());
        let other = Connection::open(yard.book()).unwrap();
        other.execute_batch(made_by).unwrap();
        drop(other);
        for line in [LOOKING, RECORDING, "verify"] {
            unusable(&yard, line, &["is not a Runabout book", "left as it is", "--book FILE"]);
        }
    }
}

#[test]
fn an_empty_file_is_no_book_until_something_is_recorded_in_it() {
    let yard = Yard::new("2026-11-25");
    fs::write(yard.book(), "").unwrap();
    for line in [LOOKING, "verify", "cash", "backup"] {
        unusable(&yard, line, &["there is no book at", "`runabout buy MARK PRICE` starts a book"]);
    }
    assert!(yard.ok(RECORDING).err.contains("started a new book"));
}

#[test]
fn a_book_cut_short_is_damaged() {
    let whole = fs::read(yard().book()).unwrap();
    let yard = Yard::new("2026-11-25");
    for kept in [whole.len() / 2, 8192, 4096, 1000, 60] {
        fs::write(yard.book(), &whole[..kept]).unwrap();
        for line in [LOOKING, RECORDING, "verify"] {
            unusable(&yard, line, &["puts a copy in its place"]);
        }
    }
    // Too short to hold even the words every book begins with.
    fs::write(yard.book(), &whole[..10]).unwrap();
    unusable(&yard, LOOKING, &["is not a Runabout book"]);
}

#[test]
fn damaged_pages_are_said_and_never_read_as_figures() {
    let yard = yard();
    let whole = fs::read(yard.book()).unwrap();
    let pages = whole.len() / 4096;
    let well = yard.run("verify").out;
    let mut seen = 0;
    for page in 1..pages {
        let mut damaged = whole.clone();
        damaged[page * 4096..page * 4096 + 400].fill(0xA5);
        fs::write(yard.book(), &damaged).unwrap();
        let checked = yard.run("verify");
        match checked.code {
            4 => assert!(checked.err.contains("the book is damaged"), "page {page}: {}", checked.err),
            3 => assert!(checked.out.contains("file"), "page {page}: {}", checked.out),
            other => panic!("page {page}: verify gave {other}: {}{}", checked.out, checked.err),
        }
        assert_ne!(checked.out, well);
        let looked = yard.run(LOOKING);
        if looked.code != 0 {
            unusable(&yard, LOOKING, &["the book is damaged", "puts a copy in its place"]);
            seen += 1;
        }
        assert_eq!(fs::read(yard.book()).unwrap(), damaged, "looking changed the file");
    }
    assert!(pages > 20 && seen > 0, "{seen} of {pages}");
}

#[test]
fn a_newer_book_is_left_for_the_newer_program() {
    let yard = yard();
    let book = Connection::open(yard.book()).unwrap();
    let known: i64 = book.pragma_query_value(None, "user_version", |row| row.get(0)).unwrap();
    book.pragma_update(None, "user_version", known + 1).unwrap();
    drop(book);
    let (found, known) = (format!("version {}", known + 1), format!("up to {known}"));
    for line in [LOOKING, RECORDING, "verify", "undo", "backup"] {
        unusable(&yard, line, &[&found, &known, "left as it is", "use the newer program"]);
    }
}

/// The wait is five seconds by design, so both waits of this test run side by side.
#[test]
fn a_book_somebody_else_is_writing_is_waited_for_and_then_given_up() {
    let held = |how: &str| {
        let yard = yard();
        let other = Connection::open(yard.book()).unwrap();
        other.execute_batch(how).unwrap();
        (yard, other)
    };
    let gives_up = |yard: &Yard, line: &str| {
        let began = Instant::now();
        unusable(yard, line, &["being written by another program", "try again in a moment"]);
        assert!(began.elapsed() >= Duration::from_secs(4), "`{line}` did not wait");
    };
    std::thread::scope(|both| {
        both.spawn(|| {
            let (yard, other) = held("BEGIN IMMEDIATE");
            yard.ok(LOOKING);
            let before = fs::read(yard.book()).unwrap();
            let ran = yard.run(RECORDING);
            assert_eq!(ran.code, 4, "{}{}", ran.out, ran.err);
            assert!(ran.err.contains("try again in a moment"), "{}", ran.err);
            assert_eq!(fs::read(yard.book()).unwrap(), before);
            other.execute_batch("ROLLBACK").unwrap();
            yard.ok(RECORDING);
        });
        both.spawn(|| {
            let (yard, _other) = held("BEGIN EXCLUSIVE");
            gives_up(&yard, LOOKING);
        });
    });
}

/// Nothing is read-only to root: there, this proves no more than that looking works.
#[cfg(unix)]
#[test]
fn what_cannot_be_written_can_be_looked_at_and_is_not_recorded_in() {
    use std::os::unix::fs::PermissionsExt;
    let set = |path: &Path, mode| fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
    let words = ["cannot be written to", "check who owns the file and its folder"];

    let yard = yard();
    let before = yard.ok(LOOKING).out;
    set(&yard.book(), 0o400);
    assert_eq!(yard.ok(LOOKING).out, before);
    if fs::OpenOptions::new().append(true).open(yard.book()).is_err() {
        unusable(&yard, RECORDING, &words);
    }
    set(&yard.book(), 0o600);

    set(yard.folder(), 0o500);
    assert_eq!(yard.ok(LOOKING).out, before);
    let elsewhere = yard.folder().join("tried");
    if fs::write(&elsewhere, "").is_err() {
        unusable(&yard, RECORDING, &words);
        let nowhere = yard.run(&format!("pay-in 5 --book {}", yard.folder().join("new.book").display()));
        assert_eq!(nowhere.code, 4, "{}", nowhere.err);
        assert!(nowhere.err.contains("check who owns the file and its folder"), "{}", nowhere.err);
    }
    set(yard.folder(), 0o700);
    yard.ok(RECORDING);
}

#[test]
fn looking_makes_neither_a_book_nor_a_folder() {
    let yard = Yard::new("2026-11-25");
    let book = yard.folder().join("not/there/yard.book");
    for line in ["stock", "car 1", "month", "cash", "verify", "log", "due", "stock-book"] {
        let ran = yard.run(&format!("{line} --book {}", book.display()));
        assert_eq!(ran.code, 4, "`{line}`: {}", ran.err);
        assert!(ran.err.contains("there is no book at") && ran.err.contains("starts a book"), "{}", ran.err);
        assert_eq!(names(yard.folder()), Vec::<String>::new(), "`{line}`");
    }
}

#[test]
fn nothing_is_put_over_a_file_that_is_there() {
    let yard = yard();
    let before = fs::read(yard.book()).unwrap();
    let ran = yard.refused(&format!("backup {}", yard.book().display()));
    assert!(ran.err.contains("there is a file at") && ran.err.contains("never written over"), "{}", ran.err);
    assert_eq!(fs::read(yard.book()).unwrap(), before);
}

#[test]
fn a_folder_is_not_a_book() {
    let yard = Yard::new("2026-11-25");
    fs::create_dir(yard.book()).unwrap();
    for line in [LOOKING, RECORDING, "verify", "backup"] {
        unusable(&yard, line, &["is not a Runabout book", "--book FILE"]);
    }
    assert_eq!(names(&yard.book()), Vec::<String>::new());
}

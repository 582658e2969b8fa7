//! Books made by the program of earlier days, kept in `books/` with what it answered then: those of version 7 open
//! and give the same answers still; earlier ones are refused in words before anything is copied or changed.
//!
//! `books/deals` has a row in every table, entries undone, closed months and receipts; the lines of `books/drawn`
//! were drawn at random. `told.txt` is what was typed and answered next, in order; pages of 512 bytes keep them small.

use crate::common::Yard;
use crate::common::early::made_by_version;
use rusqlite::Connection;
use std::fs;
use std::path::{Path, PathBuf};

/// The day every answer was given on.
const TODAY: &str = "2026-11-25";

fn kept(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/commands/books").join(name)
}

/// A yard with a copy of a kept book and its receipts.
fn yard_of(name: &str) -> Yard {
    let yard = Yard::new(TODAY);
    fs::copy(kept(name).join("yard.book"), yard.book()).unwrap();
    if let Ok(receipts) = fs::read_dir(kept(name).join("yard.receipts")) {
        let folder = yard.folder().join("yard.receipts");
        fs::create_dir(&folder).unwrap();
        for receipt in receipts.map(Result::unwrap) {
            fs::copy(receipt.path(), folder.join(receipt.file_name())).unwrap();
        }
    }
    yard
}

/// What is beside the book, by name.
fn beside(yard: &Yard) -> Vec<String> {
    let files = fs::read_dir(yard.folder()).unwrap();
    let mut names: Vec<String> = files.map(|file| file.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.retain(|name| name != "yard.book" && name != "yard.receipts");
    names.sort();
    names
}

#[test]
fn a_kept_book_gives_the_answers_it_gave() {
    for name in ["deals", "drawn"] {
        let yard = yard_of(name);
        let told = fs::read_to_string(kept(name).join("told.txt")).unwrap();
        let told: Vec<(&str, &str)> =
            told.split("$ ").skip(1).map(|part| part.split_once('\n').expect("a line and its answer")).collect();
        assert!(told.len() >= 40, "{name}: {}", told.len());
        assert!(told.iter().filter(|(line, _)| line.starts_with("undo")).count() >= 2, "{name}");
        for (line, answer) in told {
            let now = yard.ok(&format!("{line} --format json")).out;
            let now = now.replace(&*yard.folder().to_string_lossy(), "FOLDER");
            assert!(now == answer, "{name}: `{line}` answers otherwise:\n{now}");
        }
        assert_eq!(yard.run("verify").code, 0, "{name}");
        assert_eq!(beside(&yard), [""; 0], "{name}: it is of today's version and was copied");
    }
}

/// A kept book read out and in again, copied and put back, and recorded in.
#[test]
fn a_kept_book_goes_out_and_in_and_takes_more_entries() {
    for name in ["deals", "drawn"] {
        let yard = yard_of(name);
        let reports = |yard: &Yard| ["stock", "results", "log --last 500"].map(|line| yard.json(line));
        let as_it_was = reports(&yard);
        let (out, copy) = (yard.folder().join("out"), yard.folder().join("copy.book"));
        yard.ok(&format!("export {}", out.display()));
        yard.ok(&format!("backup {}", copy.display()));
        yard.ok("spend 54.85 phone --overhead");
        yard.ok("undo");
        assert_eq!(yard.run("verify").code, 0, "{name}");
        yard.ok(&format!("restore {}", copy.display()));
        assert_eq!(reports(&yard), as_it_was, "{name}");
        let read = Yard::new(TODAY);
        read.ok(&format!("import {}", out.display()));
        assert_eq!(reports(&read), as_it_was, "{name}");
        assert_eq!(read.run("verify").code, 0, "{name}");
    }
}

#[test]
fn a_book_from_before_version_7_is_refused_in_words_and_left_as_it_is() {
    for version in 1..7 {
        let yard = Yard::new(TODAY);
        made_by_version(version, &yard.book());
        let as_it_was = fs::read(yard.book()).unwrap();
        for line in ["", "stock", "spend 27.50 fuel --overhead", "undo", "verify", "backup", "export out", "close last"]
        {
            let ran = yard.run(line);
            assert_eq!((ran.code, ran.out.as_str()), (4, ""), "`{line}` of version {version}: {}", ran.err);
            for said in [
                format!("error: this book is of version {version}, from an early version of Runabout"),
                "this program opens books of version 7 and later".to_owned(),
                "so it was left as it is".to_owned(),
                "hint: keep it as it is; the program that made it still opens it".to_owned(),
            ] {
                assert!(ran.err.contains(&said), "`{line}` of version {version}: {}", ran.err);
            }
        }
        assert_eq!(fs::read(yard.book()).unwrap(), as_it_was, "version {version}");
        assert_eq!(beside(&yard), [""; 0], "version {version}");
    }
}

/// Also a whole book whose mark alone was changed: the version is asked before the schema is.
#[test]
fn only_the_mark_of_an_early_version_is_enough() {
    let yard = yard_of("deals");
    Connection::open(yard.book()).unwrap().pragma_update(None, "user_version", 3).unwrap();
    let ran = yard.run("stock");
    assert_eq!(ran.code, 4);
    assert!(ran.err.contains("version 3, from an early version"), "{}", ran.err);
    assert_eq!(beside(&yard), [""; 0]);
}

#[test]
fn an_early_book_is_not_put_in_the_place_of_another() {
    let yard = yard_of("deals");
    let as_it_was = fs::read(yard.book()).unwrap();
    let early = Yard::new(TODAY);
    made_by_version(6, &early.book());
    let ran = yard.run(&format!("restore {} --yes", early.book().display()));
    assert_eq!((ran.code, ran.out.as_str()), (4, ""), "{}", ran.err);
    assert!(ran.err.contains("the copy is of version 6, from an early version of Runabout"), "{}", ran.err);
    assert_eq!(fs::read(yard.book()).unwrap(), as_it_was);
    assert_eq!((beside(&yard), beside(&early)), (vec![], vec![]));
}

#[test]
fn a_folder_of_another_version_makes_no_book() {
    let yard = yard_of("deals");
    let out = yard.folder().join("out");
    yard.ok(&format!("export {}", out.display()));
    for (version, said) in [
        ("3", "the folder holds a book of version 3, from an early version of Runabout"),
        ("6", "this program opens books of version 7 and later"),
        ("99", "the folder holds a book of version 99; this program reads version 7"),
        ("0", "the folder holds a book of version 0; this program reads version 7"),
        ("seven", "the folder holds a book of version seven; this program reads version 7"),
    ] {
        fs::write(out.join("book-version.txt"), format!("{version}\n")).unwrap();
        let read = Yard::new(TODAY);
        let ran = read.run(&format!("import {}", out.display()));
        assert_eq!((ran.code, ran.out.as_str()), (4, ""), "{version}: {}", ran.err);
        assert!(ran.err.contains(said), "{version}: {}", ran.err);
        assert_eq!(fs::read_dir(read.folder()).unwrap().count(), 0, "{version}");
    }
}

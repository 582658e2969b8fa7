//! Copies made and put back: every receipt with them or said to be missing, nothing that was kept written over,
//! and the book replaced last of all.

use crate::common::Yard;
use serde_json::Value;
use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Takes nothing, as a disk that is full.
struct Full;

impl Write for Full {
    fn write(&mut self, _: &[u8]) -> io::Result<usize> {
        Err(io::Error::from(io::ErrorKind::StorageFull))
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    fs::write(yard.folder().join("bill.pdf"), b"%PDF-1.7 a bill").unwrap();
    yard.ok("pay-in 3000 --on 1/10/2026");
    yard.ok("buy KX12RTO 480 --on 3/10/2026");
    yard.ok(&format!("spend 36 fuel --car 1 --receipt {}", yard.folder().join("bill.pdf").display()));
    yard
}

fn names(folder: &Path) -> Vec<String> {
    let Ok(found) = fs::read_dir(folder) else { return Vec::new() };
    let mut names: Vec<String> = found.map(|file| file.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn receipt(book: &Path) -> PathBuf {
    let folder = book.with_extension("receipts");
    folder.join(names(&folder).first().expect("a receipt"))
}

/// The latest entry of the book at `path`.
fn latest(yard: &Yard, path: &Path) -> Value {
    yard.json(&format!("log --last 1 --book '{}'", path.display()))["entries"][0]["entry"].clone()
}

#[test]
fn two_restores_and_two_backups_in_one_second_are_two_each() {
    let yard = yard();
    let copy = yard.folder().join("stick.book");
    yard.ok(&format!("backup {}", copy.display()));
    let mut kept = Vec::new();
    for count in 1..=3 {
        yard.ok(&format!("pay-in {count}"));
        kept.push(yard.json(&format!("restore {}", copy.display()))["kept_as"].as_str().unwrap().to_owned());
    }
    assert_eq!(kept.iter().collect::<std::collections::BTreeSet<_>>().len(), 3, "{kept:?}");
    for (kept, pay_in) in kept.iter().zip(["£1.00", "£2.00", "£3.00"]) {
        assert!(yard.ok(&format!("log --book '{kept}'")).out.contains(pay_in), "{kept}");
    }
    yard.ok("backup");
    yard.ok("pay-in 27.50");
    yard.ok("backup");
    let copies = names(&yard.folder().join("yard.backups"));
    assert_eq!(copies, ["receipts", "yard-20261125-120000-2.book", "yard-20261125-120000.book"]);
    let second = yard.folder().join("yard.backups/yard-20261125-120000-2.book");
    assert_eq!(latest(&yard, &second), 4);
}

#[cfg(unix)]
#[test]
fn a_book_that_is_a_link_is_followed() {
    let yard = yard();
    let copy = yard.folder().join("stick.book");
    yard.ok(&format!("backup {}", copy.display()));
    yard.ok("pay-in 27.50");
    let link = yard.folder().join("desk").join("link.book");
    fs::create_dir(link.parent().unwrap()).unwrap();
    std::os::unix::fs::symlink("../yard.book", &link).unwrap();
    let told = yard.json(&format!("restore {} --book {}", copy.display(), link.display()));
    assert!(link.is_symlink());
    assert_eq!((latest(&yard, &yard.book()), latest(&yard, &link)), (3.into(), 3.into()));
    let kept = PathBuf::from(told["kept_as"].as_str().unwrap());
    assert!(!kept.is_symlink() && kept.parent() == Some(&*yard.folder().canonicalize().unwrap()), "{kept:?}");
    assert_eq!(latest(&yard, &kept), 4);
    assert_eq!(names(link.parent().unwrap()), ["link.book"], "nothing is kept beside the link");
    assert_eq!(yard.run(&format!("verify --book {}", link.display())).code, 0);
    // A link to nothing, and the book itself, are no places to put a copy.
    let nowhere = yard.folder().join("nowhere.book");
    std::os::unix::fs::symlink("not-there.book", &nowhere).unwrap();
    let ran = yard.run(&format!("restore {} --book {}", copy.display(), nowhere.display()));
    assert!(ran.code == 1 && ran.err.contains("a link to a file that is not there"), "{}", ran.err);
    for itself in [&link, &yard.book()] {
        let ran = yard.run(&format!("restore {}", itself.display()));
        assert!(ran.code == 1 && ran.err.contains("is the book itself"), "{}", ran.err);
    }
}

#[test]
fn receipts_that_cannot_come_keep_the_book_as_it_is() {
    let yard = yard();
    let copy = yard.folder().join("stick.book");
    yard.ok(&format!("backup {}", copy.display()));
    fs::remove_dir_all(yard.book().with_extension("receipts")).unwrap();
    yard.ok("pay-in 27.50");
    let before = fs::read(yard.book()).unwrap();
    let there = names(yard.folder());
    let fails = |why: &str| {
        let ran = yard.run(&format!("restore {}", copy.display()));
        assert_eq!((ran.code, ran.out.as_str()), (4, ""), "{why}: {}", ran.err);
        assert_eq!(fs::read(yard.book()).unwrap(), before, "{why}");
        ran.err
    };
    // The receipt of the copy is something that cannot be read.
    let of_copy = receipt(&copy);
    fs::remove_file(&of_copy).unwrap();
    fs::create_dir(&of_copy).unwrap();
    let said = fails("not a file");
    assert!(said.contains("bill.pdf of entry 3") && said.contains("it is not a file"), "{said}");
    assert_eq!(names(yard.folder()), there);
    fs::remove_dir(&of_copy).unwrap();
    fs::write(&of_copy, b"%PDF-1.7 a bill").unwrap();
    // There is no room for receipts beside the book.
    fs::write(yard.book().with_extension("receipts"), "a file").unwrap();
    fails("no folder can be made");
    fs::remove_file(yard.book().with_extension("receipts")).unwrap();
    yard.ok(&format!("restore {}", copy.display()));
    assert_eq!(yard.run("verify").code, 0);
    // One that is in neither place is said; the book is worth having without it.
    fs::remove_file(&of_copy).unwrap();
    fs::remove_dir_all(yard.book().with_extension("receipts")).unwrap();
    let said = yard.ok(&format!("restore {}", copy.display())).err;
    assert!(said.contains("bill.pdf of entry 3: the file is missing"), "{said}");
}

#[test]
fn what_is_done_is_said_to_be_done_when_the_answer_cannot_be_written() {
    let yard = yard();
    let copy = yard.folder().join("stick.book");
    let folder = yard.folder().display().to_string();
    let mut entry = 3;
    for (line, records) in [
        ("pay-in 5", true),
        ("pay-in 5 --format json", true),
        ("undo", true),
        ("close oct", true),
        ("settings set trader-name \"Wend Lane Motors\"", true),
        (&format!("backup {}", copy.display()), false),
        (&format!("export {folder}/whole"), false),
        (&format!("import {folder}/whole --book {folder}/second.book"), false),
        (&format!("restore {}", copy.display()), false),
    ] {
        let ran = yard.run_in(line, |env| env.out = Box::new(Full));
        assert_eq!(ran.code, 0, "`{line}`: {}", ran.err);
        assert!(ran.err.contains("the answer could not be written"), "`{line}`: {}", ran.err);
        if records {
            entry += 1;
            assert!(ran.err.contains(&format!("entry {entry} is in the book")), "`{line}`: {}", ran.err);
        } else {
            assert!(ran.err.contains("it is done all the same: "), "`{line}`: {}", ran.err);
        }
        if line.starts_with("restore") {
            let kept = names(yard.folder()).into_iter().find(|name| name.contains("-replaced-")).unwrap();
            assert!(ran.err.contains(&kept), "what was there is named: {}", ran.err);
        }
    }
    assert_eq!(latest(&yard, &yard.book()), entry);
    assert_eq!(latest(&yard, &yard.folder().join("second.book")), entry);
    // What only looks, or only tries, has not been done.
    for line in ["stock", "pay-in 5 --dry-run", "verify", "calendar"] {
        let ran = yard.run_in(line, |env| env.out = Box::new(Full));
        assert!(ran.code == 1 && ran.err.starts_with("error: the answer could not be written"), "{line}: {}", ran.err);
    }
}

#[test]
fn a_copy_without_a_receipt_is_marked_and_not_called_done() {
    let yard = yard();
    let (copy, mark) = (yard.folder().join("stick.book"), yard.folder().join("stick.incomplete.txt"));
    let of_book = receipt(&yard.book());
    let content = fs::read(&of_book).unwrap();
    let fails = |code: u8, why: &str| {
        let ran = yard.run(&format!("backup {}", copy.display()));
        assert_eq!((ran.code, ran.out.as_str()), (code, ""), "{}", ran.err);
        assert!(ran.err.contains("bill.pdf of entry 3") && ran.err.contains(why), "{}", ran.err);
        let marked = fs::read_to_string(&mark).unwrap();
        assert!(marked.contains("bill.pdf of entry 3") && marked.contains(why), "{marked}");
        assert_eq!(latest(&yard, &copy), 3, "the book itself is copied");
        fs::remove_file(&copy).unwrap();
    };
    fs::remove_file(&of_book).unwrap();
    fails(1, "the file is missing");
    fs::write(&of_book, b"%PDF-1.7 a bilk").unwrap();
    fails(1, "changed since it was kept");
    fs::remove_file(&of_book).unwrap();
    fs::create_dir(&of_book).unwrap();
    fails(4, "it is not a file");
    fs::remove_dir_all(of_book.parent().unwrap()).unwrap();
    fs::write(of_book.parent().unwrap(), "a file").unwrap();
    fails(4, "cannot be read");
    // Nothing but the receipts of the book is taken along, and once all is well nothing is marked.
    fs::remove_file(of_book.parent().unwrap()).unwrap();
    fs::create_dir(of_book.parent().unwrap()).unwrap();
    fs::write(&of_book, &content).unwrap();
    fs::write(of_book.with_file_name("private.txt"), "mine").unwrap();
    yard.ok(&format!("backup {}", copy.display()));
    assert!(!mark.exists());
    let receipts = names(&copy.with_extension("receipts"));
    assert_eq!(receipts, [of_book.file_name().unwrap().to_str().unwrap()]);
    // Missing beside the book, in the copies from before: nothing is lost, and it is said.
    yard.ok("backup");
    fs::remove_file(&of_book).unwrap();
    let ran = yard.run("backup");
    assert!(ran.code == 1 && ran.err.contains("from an earlier copy"), "{}", ran.err);
    assert!(!names(&yard.folder().join("yard.backups")).iter().any(|name| name.contains("incomplete")));
    // An export says the same.
    let ran = yard.run(&format!("export {}/whole", yard.folder().display()));
    assert!(ran.code == 1 && ran.err.contains("the file is missing"), "{}", ran.err);
    assert!(yard.folder().join("whole/incomplete.txt").exists() && yard.folder().join("whole/entry.csv").exists());
}

#[test]
fn the_copy_just_made_never_goes_and_nor_does_what_somebody_put_there() {
    let yard = yard();
    yard.ok("settings set backup-keep 1");
    let backups = yard.folder().join("yard.backups");
    fs::create_dir(&backups).unwrap();
    // By a clock that was wrong, and by hand.
    for name in ["yard-20310101-090000.book", "yard-before-the-audit.book", "notes.txt"] {
        fs::copy(yard.book(), backups.join(name)).unwrap();
    }
    let made = PathBuf::from(yard.json("backup")["file"].as_str().unwrap());
    assert!(made.exists());
    assert_eq!(
        names(&backups),
        ["notes.txt", "receipts", "yard-20261125-120000.book", "yard-before-the-audit.book"],
        "what was asked to be kept is one"
    );
}

#[test]
fn an_imported_folder_brings_the_receipts_of_its_book_and_nothing_else() {
    let yard = yard();
    let folder = yard.folder().join("whole");
    yard.ok(&format!("export {}", folder.display()));
    let receipts = folder.join("receipts");
    let name = names(&receipts)[0].clone();
    fs::write(yard.folder().join("secret.txt"), "mine").unwrap();
    fs::write(receipts.join("other.pdf"), b"%PDF-1.7 another").unwrap();
    let read_into = |book: &str| {
        let path = yard.folder().join(book);
        let said = yard.ok(&format!("import {} --book {}", folder.display(), path.display())).err;
        (said, names(&path.with_extension("receipts")))
    };
    assert_eq!(read_into("one.book").1, [&*name]);
    #[cfg(unix)]
    {
        use std::os::unix::fs::symlink;
        symlink(yard.folder().join("secret.txt"), receipts.join(format!("{}.txt", "a".repeat(64)))).unwrap();
        fs::remove_file(receipts.join(&name)).unwrap();
        symlink(yard.folder().join("secret.txt"), receipts.join(&name)).unwrap();
        let (said, brought) = read_into("two.book");
        assert_eq!(brought, Vec::<String>::new(), "{said}");
        assert!(said.contains("bill.pdf of entry 3: the file cannot be read: it is a link"), "{said}");
        fs::remove_dir_all(&receipts).unwrap();
        symlink(yard.folder(), &receipts).unwrap();
        assert_eq!(read_into("three.book").1, Vec::<String>::new());
        fs::remove_file(&receipts).unwrap();
    }
    // What is there is not what the book remembers.
    let _ = fs::remove_dir_all(&receipts);
    fs::create_dir(&receipts).unwrap();
    fs::write(receipts.join(&name), b"%PDF-1.7 a bilk").unwrap();
    let (said, brought) = read_into("four.book");
    assert!(brought.is_empty() && said.contains("changed since it was kept"), "{said}");
    assert_eq!(yard.run(&format!("verify --book {}", yard.folder().join("four.book").display())).code, 3);
}

#[test]
fn a_whole_book_read_in_is_there_whole_or_not_at_all() {
    let yard = yard();
    let folder = yard.folder().join("whole");
    yard.ok(&format!("export {}", folder.display()));
    fs::remove_file(folder.join("sale.csv")).unwrap();
    let there = names(yard.folder());
    for book in ["second.book", "not/there/yet/third.book"] {
        let book = yard.folder().join(book);
        let ran = yard.run(&format!("import {} --book {}", folder.display(), book.display()));
        assert!(ran.code == 1 && !book.exists(), "{}", ran.err);
    }
    assert_eq!(names(yard.folder()).into_iter().filter(|name| name != "not").collect::<Vec<_>>(), there);
    // A journal without its book would be played into the new one.
    fs::write(folder.join("sale.csv"), "").unwrap();
    fs::write(yard.folder().join("second.book-journal"), "left").unwrap();
    let ran = yard.run(&format!("import {} --book {}/second.book", folder.display(), yard.folder().display()));
    assert!(ran.code == 1 && ran.err.contains("second.book-journal"), "{}", ran.err);
}

#[cfg(target_os = "linux")]
#[test]
fn a_path_that_is_not_text_is_a_path_like_any_other() {
    use std::os::unix::ffi::OsStringExt;
    let yard = yard();
    let copy = yard.folder().join("stick.book");
    yard.ok(&format!("backup {}", copy.display()));
    let folder = yard.folder().join(std::ffi::OsString::from_vec(b"caf\xE9".to_vec()));
    fs::create_dir(&folder).unwrap();
    let book = folder.join(std::ffi::OsString::from_vec(b"y\xE4rd.book".to_vec()));
    let here = names(Path::new("."));
    let ok = |line: &str| {
        let ran = yard.run_in(line, |env| env.book = Some(book.clone()));
        assert_eq!(ran.code, 0, "`{line}`: {}", ran.err);
    };
    ok("pay-in 3000");
    ok("buy KX12RTO 480");
    ok(&format!("receipt 2 {}", yard.folder().join("bill.pdf").display()));
    ok("backup");
    ok("pay-in 27.50");
    ok("backup");
    ok(&format!("restore {}", copy.display()));
    ok("verify");
    ok(&format!("page --out {}/yard.html", yard.folder().display()));
    let beside = |ending: &str| fs::read_dir(book.with_extension(ending)).unwrap().count();
    assert_eq!((beside("receipts"), beside("backups")), (1, 3), "two copies and the folder of their receipts");
    assert_eq!(fs::read_dir(&folder).unwrap().count(), 4, "the book, both folders and what was replaced");
    assert_eq!(names(Path::new(".")), here, "nothing went where the program was started");
}

#[test]
fn a_place_no_book_can_be_in_is_told_of_as_such() {
    let yard = yard();
    let long = "x".repeat(300);
    for book in [
        ".".to_owned(),
        "..".to_owned(),
        "/".to_owned(),
        yard.folder().display().to_string(),
        format!("{}/yard.book/inside.book", yard.folder().display()),
        format!("{}/{long}.book", yard.folder().display()),
    ] {
        for line in ["stock", "pay-in 5", "backup", "verify", "calendar", "export whole", "rates", ""] {
            let ran = yard.run(&format!("{line} --book {book}"));
            assert_eq!((ran.code, ran.out.as_str()), (4, ""), "`{line}` in {book}: {}", ran.err);
            assert!(ran.err.contains(&*book) && !ran.err.contains(".rates"), "`{line}` in {book}: {}", ran.err);
        }
    }
    // The longest name a file can have leaves no room for the longer one of a file of rates.
    let longest = format!("{}/{}.book", yard.folder().display(), "y".repeat(250));
    assert_eq!(yard.run(&format!("stock --book {longest}")).code, 4);
    assert!(yard.run(&format!("stock --book {longest}")).err.contains("there is no book at"));
}

//! Photos and PDFs of bills, kept beside the book.

use crate::common::Yard;
use serde_json::json;
use std::fs;
use std::path::PathBuf;

const PDF: &[u8] = b"%PDF-1.7 parts\n";
const JPEG: &[u8] = b"\xFF\xD8\xFF\xE0 a slip";
const PNG: &[u8] = b"\x89PNG\r\n\x1A\n a bill";

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 2000 --on 1/9/2026");
    yard.ok("buy KX42RTO 435 --on 3/9/2026");
    yard.ok("spend 58.60 parts --car 1 --on 5/9/2026");
    yard
}

/// A file to keep, outside the folder of receipts; gives its path in quotes.
fn file(yard: &Yard, name: &str, content: &[u8]) -> String {
    let path = yard.folder().join(name);
    fs::write(&path, content).unwrap();
    format!("\"{}\"", path.display())
}

/// The names beside the book, sorted.
fn kept(yard: &Yard) -> Vec<String> {
    let Ok(folder) = fs::read_dir(yard.folder().join("yard.receipts")) else { return Vec::new() };
    let mut names: Vec<String> = folder.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

#[test]
fn a_receipt_is_copied_under_its_hash_and_only_for_its_owner() {
    let yard = yard();
    let slip = file(&yard, "Parts Bill.PDF", PDF);
    let said = yard.json(&format!("receipt 3 {slip}"));
    assert_eq!(said["command"], "receipt");
    assert_eq!(said["cars"][0]["stock_no"], 1);
    let summary = said["summary"].as_str().unwrap();
    assert!(
        summary.contains("Parts Bill.PDF") && summary.contains("entry 3") && summary.contains("£58.60"),
        "{summary}"
    );
    // Reckoned with `printf '%%PDF-1.7 parts\n' | sha256sum`.
    let name = "bb0e5270e9e49eb5173644eb00e9acf7f2cd1223a8950d98836f783ee317df34.pdf";
    assert_eq!(kept(&yard), [name]);
    let path = yard.folder().join("yard.receipts").join(name);
    assert_eq!(fs::read(&path).unwrap(), PDF);
    // What was kept is a copy.
    fs::remove_file(yard.folder().join("Parts Bill.PDF")).unwrap();
    assert_eq!(fs::read(&path).unwrap(), PDF);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
        assert_eq!(fs::metadata(path.parent().unwrap()).unwrap().permissions().mode() & 0o777, 0o700);
    }
}

#[test]
fn a_car_lists_its_receipts() {
    let yard = yard();
    let (bill, photo) = (file(&yard, "bill.pdf", PDF), file(&yard, "photo.jpeg", JPEG));
    yard.ok(&format!("receipt 3 {bill}"));
    yard.ok(&format!("receipt 3 {photo}"));
    yard.ok("buy AB91CDE 345 --on 5/9/2026");
    let receipts = yard.json("car 1")["receipts"].clone();
    assert_eq!(receipts.as_array().unwrap().len(), 2, "{receipts}");
    assert_eq!(receipts[0]["entry"], 3);
    assert_eq!(receipts[0]["file"], "bill.pdf");
    assert_eq!(receipts[1]["file"], "photo.jpeg");
    for receipt in receipts.as_array().unwrap() {
        assert!(PathBuf::from(receipt["path"].as_str().unwrap()).is_file(), "{receipt}");
    }
    assert_eq!(yard.json("car 2")["receipts"], json!([]));
    let table = yard.ok("car 1").out;
    assert!(table.contains("bill.pdf") && table.contains("photo.jpeg") && table.contains("Entry 3"), "{table}");
}

#[test]
fn receipts_are_kept_while_recording() {
    let yard = yard();
    let (slip, bill, photo) =
        (file(&yard, "slip.jpg", JPEG), file(&yard, "bill.pdf", PDF), file(&yard, "form.png", PNG));
    let said = yard.json(&format!("buy AB91CDE 345 --on 6/9/2026 --receipt {slip}"));
    assert!(said["notes"].to_string().contains("slip.jpg"), "{said}");
    assert_eq!(kept(&yard).len(), 1);
    yard.ok(&format!("spend 54.85 mot --car 2 --on 7/9/2026 --receipt {bill} --receipt {photo}"));
    assert_eq!(kept(&yard).len(), 3);
    yard.ok(&format!("sell 2 690 --on 10/9/2026 --receipt {bill}"));
    assert_eq!(kept(&yard).len(), 3, "the same file is kept once");
    let receipts = yard.json("car 2")["receipts"].clone();
    let files: Vec<_> =
        receipts.as_array().unwrap().iter().map(|row| (row["entry"].clone(), row["file"].clone())).collect();
    assert_eq!(
        files,
        [
            (json!(4), json!("slip.jpg")),
            (json!(5), json!("bill.pdf")),
            (json!(5), json!("form.png")),
            (json!(6), json!("bill.pdf"))
        ]
    );
}

#[test]
fn a_shared_bill_is_listed_with_each_of_its_cars_and_an_overheads_with_none() {
    let yard = yard();
    yard.ok("buy AB91CDE 345 --on 6/9/2026");
    let (bill, rent) = (file(&yard, "bill.pdf", PDF), file(&yard, "rent.png", PNG));
    yard.ok(&format!("spend 27.50 fuel --share 1,2 --on 7/9/2026 --receipt {bill}"));
    yard.ok(&format!("spend 95 rent --overhead --on 7/9/2026 --receipt {rent}"));
    for car in ["car 1", "car 2"] {
        let receipts = yard.json(car)["receipts"].clone();
        assert_eq!(receipts.as_array().unwrap().len(), 1, "{receipts}");
        assert_eq!(receipts[0]["file"], "bill.pdf");
    }
    assert_eq!(kept(&yard).len(), 2);
}

#[test]
fn what_cannot_be_a_receipt() {
    let yard = yard();
    let good = file(&yard, "bill.pdf", PDF);
    fs::create_dir(yard.folder().join("folder.pdf")).unwrap();
    for (line, words) in [
        (format!("receipt 3 {}", file(&yard, "bill.txt", b"parts 58.60")), &["bill.txt", "jpg", "pdf"][..]),
        (format!("receipt 3 {}", file(&yard, "bill", PDF)), &["bill", "pdf"]),
        (format!("receipt 3 {}", file(&yard, "bill.svg", b"<svg/>")), &["bill.svg", "png"]),
        (format!("receipt 3 {}", file(&yard, "empty.pdf", b"")), &["empty.pdf", "empty"]),
        (format!("receipt 3 {}", file(&yard, "fake.jpg", PDF)), &["fake.jpg", "a PDF"]),
        (format!("receipt 3 {}", file(&yard, "fake.pdf", b"MZ\x90\0")), &["fake.pdf", "something else"]),
        (format!("receipt 3 \"{}\"", yard.folder().join("folder.pdf").display()), &["folder.pdf", "not a file"]),
        (format!("receipt 3 \"{}\"", yard.folder().join("none.pdf").display()), &["none.pdf", "no file"]),
        (format!("receipt 99 {good}"), &["no entry 99"]),
        (format!("receipt 4 {good}"), &["no entry 4"]),
    ] {
        let said = yard.refused(&line);
        assert_eq!(said.code, 1, "`{line}`: {}", said.err);
        for word in words {
            assert!(said.err.contains(word), "`{line}` should say {word:?}, said: {}", said.err);
        }
        assert_eq!(kept(&yard), Vec::<String>::new(), "`{line}`");
    }
    yard.ok("undo 3");
    let said = yard.refused(&format!("receipt 3 {good}")).err;
    assert!(said.contains("undone already"), "{said}");
}

#[test]
fn a_recording_refused_or_only_tried_leaves_no_file() {
    let yard = yard();
    let (bill, bad) = (file(&yard, "bill.pdf", PDF), file(&yard, "bad.txt", b"no"));
    // Refused before, by and after the receipt itself.
    yard.refused(&format!("buy KX42RTO 435 --receipt {bill}"));
    yard.refused(&format!("sell 1 895 --on 1/9/2026 --receipt {bill}"));
    yard.refused(&format!("spend 54.85 mot --car 1 --receipt {bill} --receipt {bad}"));
    yard.refused(&format!("buy AB91CDE 345 --receipt {bad}"));
    assert_eq!(kept(&yard), Vec::<String>::new());
    for line in [
        format!("receipt 3 {bill} --dry-run"),
        format!("buy AB91CDE 345 --receipt {bill} --dry-run"),
        format!("spend 54.85 mot --car 1 --receipt {bill} --dry-run"),
        format!("sell 1 895 --receipt {bill} --dry-run"),
    ] {
        let before = yard.dump();
        yard.json(&line);
        assert_eq!(yard.dump(), before, "`{line}`");
        assert_eq!(kept(&yard), Vec::<String>::new(), "`{line}`");
    }
    // One kept before stays when the next is refused.
    yard.ok(&format!("receipt 3 {bill}"));
    yard.refused(&format!("buy KX42RTO 435 --receipt {bill}"));
    yard.ok(&format!("sell 1 895 --receipt {bill} --dry-run"));
    assert_eq!(kept(&yard).len(), 1);
}

#[test]
fn a_refused_first_recording_leaves_neither_book_nor_file() {
    let yard = Yard::new("2026-11-25");
    let bill = file(&yard, "bill.pdf", PDF);
    assert_eq!(yard.run(&format!("spend 54.85 mot --car KX42RTO --receipt {bill}")).code, 1);
    assert_eq!(yard.run(&format!("buy KX42RTO 435 --receipt {bill} --dry-run")).code, 0);
    assert!(!yard.book().exists());
    assert_eq!(kept(&yard), Vec::<String>::new());
}

/// Undone, a receipt is no longer listed; its file stays, for the undo of the undo.
#[test]
fn undo_takes_a_receipt_away_and_brings_it_back() {
    let yard = yard();
    let bill = file(&yard, "bill.pdf", PDF);
    yard.ok(&format!("receipt 3 {bill}"));
    let listed = yard.json("car 1")["receipts"].clone();
    yard.ok("undo");
    assert_eq!(yard.json("car 1")["receipts"], json!([]));
    yard.ok("undo 5");
    assert_eq!(yard.json("car 1")["receipts"], listed);
    assert!(PathBuf::from(listed[0]["path"].as_str().unwrap()).is_file());
    // One kept while recording goes and comes with its entry.
    yard.ok(&format!("spend 54.85 mot --car 1 --on 7/9/2026 --receipt {bill}"));
    assert_eq!(yard.json("car 1")["receipts"].as_array().unwrap().len(), 2);
    yard.ok("undo 7");
    assert_eq!(yard.json("car 1")["receipts"], listed);
    yard.ok("undo 8");
    assert_eq!(yard.json("car 1")["receipts"].as_array().unwrap().len(), 2);
}

/// Either the receipt stands in the way, or it goes from the list with its entry and comes back.
#[test]
fn a_receipt_of_an_entry_that_was_undone_is_not_listed() {
    let yard = yard();
    yard.ok(&format!("receipt 3 {}", file(&yard, "bill.pdf", PDF)));
    let listed = yard.json("car 1")["receipts"].clone();
    let ran = yard.run("undo 3");
    if ran.code == 0 {
        assert_eq!(yard.json("car 1")["receipts"], json!([]), "entry 3 is undone");
        yard.ok("undo 5");
    } else {
        assert!(ran.err.contains("entry 4") && ran.err.contains("bill.pdf"), "{}", ran.err);
    }
    assert_eq!(yard.json("car 1")["receipts"], listed);
}

#[test]
fn the_same_receipt_twice_with_one_entry_changes_nothing() {
    let yard = yard();
    let bill = file(&yard, "bill.pdf", PDF);
    yard.ok(&format!("receipt 3 {bill}"));
    let said = yard.refused(&format!("receipt 3 {bill}")).err;
    assert!(said.contains("bill.pdf"), "{said}");
    assert_eq!(kept(&yard).len(), 1);
}

#[test]
fn a_receipt_may_be_added_in_a_closed_month() {
    let yard = yard();
    yard.ok("close oct");
    yard.ok(&format!("receipt 3 {}", file(&yard, "bill.pdf", PDF)));
    assert_eq!(yard.json("car 1")["receipts"].as_array().unwrap().len(), 1);
    assert_eq!(yard.json("month sep")["differences"], json!([]));
}

#[test]
fn a_name_that_would_act_on_a_terminal_is_made_harmless() {
    let yard = yard();
    let bill = file(&yard, "a\u{1b}[31mbill.pdf", PDF);
    let said = yard.ok(&format!("receipt 3 {bill}")).out + &yard.ok("car 1").out;
    assert!(!said.contains('\u{1b}'), "{said:?}");
}

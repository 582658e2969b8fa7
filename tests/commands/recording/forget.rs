//! Forgetting a name: refused while a rule needs it, gone from every byte of the file afterwards.

use crate::common::{Ran, Yard};
use serde_json::{Value, json};
use std::fs;

/// Deals of 2014 with one person, whose name is hard on quotes.
const NAME: &str = "Pat \"Dot\" O'Dell-Ågård";

/// Long over: the last record of 2014-15 was needed until 31 January 2021.
fn old_yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for (on, line) in [
        ("2014-05-01", "pay-in 5000"),
        ("2014-05-02", r#"buy KX42RTO 420 --from "Pat \"Dot\" O'Dell-Ågård""#),
        ("2014-05-03", r#"buy AB91CDE 345 --from "B Marsh""#),
        ("2014-05-04", r#"spend 38.60 parts --car 1 --to "PAT \"Dot\"  o'dell-ågård""#),
        ("2014-05-05", r#"note 1 "Pat \"Dot\" O'Dell-Ågård has the spare key""#),
        ("2014-05-20", r#"sell 1 925 --to "C Lowther" --address "4 Hob Lane""#),
        ("2014-06-01", r#"deposit 2 55 --by "Pat \"Dot\" O'Dell-Ågård""#),
        ("2014-06-02", r#"sell 2 745 --to "Pat \"Dot\" O'Dell-Ågård" --address "2 Ash Row, Wend \"Green\"""#),
    ] {
        yard.ok_on(on, line);
    }
    yard
}

fn forget(yard: &Yard, options: &[&str]) -> Ran {
    let words = ["forget", NAME].into_iter().chain(options.iter().copied());
    yard.run_words(&words.map(str::to_owned).collect::<Vec<_>>())
}

/// How often the bytes of a text are in the book's file, whatever the capitals.
fn in_file(yard: &Yard, text: &str) -> usize {
    let bytes = fs::read(yard.book()).unwrap();
    let lower = |bytes: &[u8]| String::from_utf8_lossy(bytes).to_lowercase();
    lower(&bytes).matches(&text.to_lowercase()).count()
}

/// The pieces of his name and address that are in nobody else's, and what a shell makes of them.
const PIECES: &[&str] = &["dell-ågård", "ågård", "\"dot\"", "\\\"dot\\\"", "ash row", "wend \\\"green", "wend \"green"];

#[test]
fn nothing_of_the_name_is_left_in_the_file_and_the_rest_is_as_it_was() {
    let yard = old_yard();
    // What an undo took away is in the history, and was in pages no longer used.
    yard.ok(r#"note 2 "rang Pat \"Dot\" O'Dell-Ågård of 2 Ash Row, Wend \"Green\"""#);
    yard.ok("undo");
    for piece in ["dell-ågård", "ash row"] {
        assert!(in_file(&yard, piece) > 0, "{piece} is not there to begin with");
    }
    let (cash, month) = (yard.json("cash"), yard.json("month jun 2014"));
    let everything = yard.dump();
    let tried = forget(&yard, &["--notes", "--dry-run"]);
    assert_eq!(tried.code, 0, "{}", tried.err);
    assert!(tried.out.starts_with("Dry run, nothing kept: forgot a name"), "{}", tried.out);
    assert_eq!(yard.dump(), everything);

    let ran = forget(&yard, &["--notes"]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert!(
        ran.out.starts_with("Entry 11: forgot a name, which is 'forgotten-11' now: 1 purchase, 1 sale, "),
        "{}",
        ran.out
    );
    assert!(ran.out.contains("It cannot be undone.") && !ran.out.contains("runabout undo"), "{}", ran.out);
    assert!(ran.err.contains("backups, exports and copies made before today still hold the name"), "{}", ran.err);
    for piece in PIECES {
        assert_eq!(in_file(&yard, piece), 0, "{piece}");
    }
    assert!(!yard.folder().join("yard.book-journal").exists());
    assert_eq!(yard.json("cash"), cash);
    assert_eq!(yard.json("month jun 2014")["profit"], month["profit"]);
    assert_eq!(yard.ok("verify").code, 0);
    // The others are as they were.
    for piece in ["b marsh", "c lowther", "4 hob lane"] {
        assert!(in_file(&yard, piece) > 0, "{piece}");
    }
    // What was typed still parses as it was typed.
    assert!(yard.dump().iter().any(|row| row.contains("buy KX42RTO 420 --from forgotten-11")));
    assert!(yard.ok("log").out.contains("forgotten-11"));
}

#[test]
fn free_text_is_listed_and_stays_unless_asked() {
    let yard = old_yard();
    let told: Value = serde_json::from_str(&forget(&yard, &["--format", "json"]).out).unwrap();
    assert_eq!(told["command"], "forget");
    assert_eq!(told["mentions_changed"], false);
    let mention = json!([{"entry": 5, "what": "note", "text": format!("{NAME} has the spare key")}]);
    assert_eq!(told["mentions"], mention);
    assert!(in_file(&yard, "has the spare key") > 0);
    // Nobody of that name is left in a field of names.
    let again = forget(&yard, &[]);
    assert!(again.code == 1 && again.err.contains("nobody is named"), "{}", again.err);
}

#[test]
fn a_rule_that_needs_the_name_is_told_with_its_last_day() {
    let yard = Yard::new("2026-11-25");
    for (on, line) in [
        ("2020-03-01", "pay-in 5000"),
        ("2020-04-05", "buy KX42RTO 430 --from \"R Ashdown\""),
        ("2020-04-05", "sell 1 935 --to \"C Lowther\""),
        ("2020-04-06", "spend 32 parts --overhead --to \"T Wren\""),
        ("2020-04-06", "buy AB91CDE 355 --from \"B Marsh\""),
    ] {
        yard.ok_on(on, line);
    }
    let on = |day: &str, name: &str| yard.run(&format!("forget \"{name}\" --dry-run --as-of {day}"));
    // 2019-20: until 31 January 2026. 2020-21: until 31 January 2027.
    for (name, last, first) in [
        ("R Ashdown", "2026-01-31", "2026-02-01"),
        ("C Lowther", "2026-01-31", "2026-02-01"),
        ("T Wren", "2027-01-31", "2027-02-01"),
    ] {
        let refused = on(last, name);
        assert_eq!(refused.code, 1, "{name}");
        assert!(refused.err.contains("years after 31 Jan 202"), "{}", refused.err);
        assert!(refused.err.contains("hint: it can be forgotten from 1 Feb 202"), "{}", refused.err);
        assert_eq!(on(first, name).code, 0, "{name}: {}", on(first, name).err);
    }
    // Registered for VAT on the day: six years, until 5 April 2026.
    yard.ok("settings set vat-registered-from 2020-04-01");
    let refused = on("2026-04-05", "R Ashdown");
    assert!(
        refused.code == 1 && refused.err.contains("until 5 Apr 2026 (VAT records are kept 6 years)"),
        "{}",
        refused.err
    );
    assert_eq!(on("2026-04-06", "R Ashdown").code, 0);
    // A car in stock keeps its seller, however long.
    let refused = on("2060-01-01", "B Marsh");
    assert!(refused.code == 1 && refused.err.contains("the purchase of 2 AB91 CDE"), "{}", refused.err);
    assert!(refused.err.contains("until it is sold"), "{}", refused.err);
    assert!(!refused.err.contains("hint"), "{}", refused.err);
    yard.refused("forget \"b marsh\"");
    yard.refused("forget \"T Wren\"");
}

#[test]
fn money_still_open_needs_the_name_too() {
    let yard = Yard::new("2026-11-25");
    for (on, line) in [
        ("2014-05-01", "pay-in 5000"),
        ("2014-05-01", "pay-in 480 --loan \"Aunt Wyn\""),
        ("2014-05-02", "spend 32 parts --overhead --unpaid --to \"T Wren\""),
        ("2014-05-03", "buy KX42RTO 440 --paid-amount 385 --from \"R Ashdown\""),
        ("2014-05-04", "sell 1 945 --paid-amount 885 --to \"C Lowther\""),
    ] {
        yard.ok_on(on, line);
    }
    for (name, said) in [
        ("Aunt Wyn", "£480.00 of a loan is not paid back"),
        ("T Wren", "£32.00 is owed for bills"),
        ("R Ashdown", "£55.00 is open on the purchase of 1 KX42 RTO"),
        ("C Lowther", "£60.00 is open on the sale of 1 KX42 RTO"),
    ] {
        let refused = yard.refused(&format!("forget \"{name}\""));
        assert!(refused.code == 1 && refused.err.contains(said), "{}", refused.err);
    }
    yard.ok_on("2014-05-05", "receive 60 balance --car 1");
    yard.ok_on("2014-05-06", "take-back 1 --unpaid");
    let refused = yard.refused("forget \"C Lowther\"");
    assert!(refused.err.contains("£945.00 is to be refunded for 1 KX42 RTO"), "{}", refused.err);
    yard.ok_on("2014-05-07", "deposit 1 65 --by \"D Farrow\"");
    let refused = yard.refused("forget \"D Farrow\"");
    assert!(refused.err.contains("£65.00 is held as a deposit on 1 KX42 RTO"), "{}", refused.err);
    yard.ok_on("2014-06-01", "spend 32 balance --to \"T Wren\"");
    yard.ok_on("2014-06-01", "draw 480 --loan \"Aunt Wyn\"");
    yard.ok("forget \"T Wren\"");
    yard.ok("forget \"Aunt Wyn\"");
    assert_eq!(yard.ok("verify").code, 0);
}

#[test]
fn undo_of_a_forgetting_is_refused_and_bare_undo_steps_over_it() {
    let yard = old_yard();
    assert_eq!(forget(&yard, &["--notes"]).code, 0);
    let refused = yard.refused("undo 9");
    assert!(refused.err.contains("entry 9 forgot a name, which is for good"), "{}", refused.err);
    // Bare undo takes back the sale before it, and its undo brings it back, name blanked.
    let before = yard.dump_except(&["entry", "entry_car", "history", "sqlite_sequence"]);
    for entry in (2..=8).rev() {
        let undone = yard.json("undo");
        assert!(undone["summary"].as_str().unwrap().contains(&format!("entry {entry},")), "{undone}");
    }
    for undo in (10..=16).rev() {
        yard.ok(&format!("undo {undo}"));
    }
    assert_eq!(yard.dump_except(&["entry", "entry_car", "history", "sqlite_sequence"]), before);
    for piece in PIECES {
        assert_eq!(in_file(&yard, piece), 0, "{piece}");
    }
}

#[test]
fn the_guards_of_the_history_are_back() {
    let yard = old_yard();
    let guards = |yard: &Yard| -> Vec<String> {
        let book = rusqlite::Connection::open(yard.book()).unwrap();
        let mut found = book
            .prepare("SELECT sql FROM sqlite_schema WHERE type = 'trigger' AND tbl_name = 'history' ORDER BY name")
            .unwrap();
        found.query_map([], |row| row.get(0)).unwrap().map(Result::unwrap).collect()
    };
    let before = guards(&yard);
    assert_eq!(before.len(), 2);
    assert_eq!(forget(&yard, &["--notes"]).code, 0);
    assert_eq!(guards(&yard), before);
    assert!(!yard.dump().iter().any(|row| row.starts_with("history: ") && row.contains(", Integer(9), Text(")));
    let book = rusqlite::Connection::open(yard.book()).unwrap();
    for sql in ["UPDATE history SET before = NULL", "DELETE FROM history"] {
        let error = book.execute(sql, []).unwrap_err().to_string();
        assert!(error.contains("the history is never rewritten"), "{error}");
    }
}

#[test]
fn receipts_are_listed_and_go_only_when_asked() {
    for asked in [false, true] {
        let yard = old_yard();
        let slip = yard.folder().join("slip.pdf");
        fs::write(&slip, b"%PDF-1.7 of his").unwrap();
        yard.ok(&format!("receipt 4 \"{}\"", slip.display()));
        let shared = yard.folder().join("both.pdf");
        fs::write(&shared, b"%PDF-1.7 of both").unwrap();
        yard.ok(&format!("receipt 2 \"{}\"", shared.display()));
        yard.ok(&format!("receipt 1 \"{}\"", shared.display()));
        let kept = || fs::read_dir(yard.folder().join("yard.receipts")).unwrap().count();
        assert_eq!(kept(), 2);
        let options: &[&str] = if asked { &["--receipts", "-f", "json"] } else { &["-f", "json"] };
        let ran = forget(&yard, options);
        let told: Value = serde_json::from_str(&ran.out).unwrap_or_else(|error| panic!("{error}: {}", ran.err));
        assert_eq!(told["receipts_removed"], asked);
        let expected = json!([{"entry": 2, "file_name": "both.pdf"}, {"entry": 4, "file_name": "slip.pdf"}]);
        assert_eq!(told["receipts"], expected);
        // One of them is another entry's too, and stays.
        assert_eq!(kept(), if asked { 1 } else { 2 });
        assert_eq!(yard.ok("verify").code, 0);
        if asked {
            // Nothing is left of the entry that kept it; it is not said to be taken back, and `undo` alone passes it.
            let ran = yard.refused("undo 9");
            assert!(ran.err.contains("all that entry 9 recorded was forgotten since"), "{}", ran.err);
            assert!(!yard.ok("undo").out.contains("entry 9"));
        } else {
            yard.ok("undo 9");
        }
        assert_eq!(yard.run("verify").code, 0);
    }
}

#[test]
fn a_receipt_that_would_not_go_goes_with_the_next_try() {
    let yard = old_yard();
    let slip = yard.folder().join("slip.pdf");
    fs::write(&slip, b"%PDF-1.7 of theirs").unwrap();
    yard.ok(&format!("receipt 4 \"{}\"", slip.display()));
    let folder = yard.folder().join("yard.receipts");
    let kept = fs::read_dir(&folder).unwrap().next().unwrap().unwrap().path();
    // What no file's removal removes stands in its place.
    fs::remove_file(&kept).unwrap();
    fs::create_dir(&kept).unwrap();
    let ran = forget(&yard, &["--receipts"]);
    assert_eq!((ran.code, ran.out.as_str()), (1, ""), "{}", ran.err);
    assert!(ran.err.contains("is in the book and no row holds the name any more"), "{}", ran.err);
    assert!(ran.err.contains(&kept.display().to_string()) && ran.err.contains("same command again"), "{}", ran.err);
    fs::remove_dir(&kept).unwrap();
    fs::copy(&slip, &kept).unwrap();
    let ran = forget(&yard, &["--receipts"]);
    assert_eq!(ran.code, 1, "{}", ran.err);
    assert!(ran.err.contains("nobody"), "{}", ran.err);
    assert_eq!(
        fs::read_dir(&folder).unwrap().count(),
        0,
        "the receipt goes, and nothing is left of what was to be done"
    );
    assert_eq!(yard.run("verify").code, 0);
}

#[test]
fn a_name_is_matched_whole_and_a_longer_one_stays() {
    let yard = Yard::new("2026-11-25");
    for (on, line) in [
        ("2014-05-01", "pay-in 5000"),
        ("2014-05-02", "spend 32 parts --overhead --to Ash"),
        ("2014-05-02", "spend 64 tyres --overhead --to \"Ash Tyres\""),
        ("2014-05-03", "buy KX42RTO 460 --from Mark"),
        ("2014-05-04", "mark 1 AB91CDE --on 2014-05-04"),
        ("2014-05-05", "sell 1 955"),
    ] {
        yard.ok_on(on, line);
    }
    yard.ok("forget ash");
    let log = yard.ok("log").out;
    assert!(log.contains("Ash Tyres"), "{log}");
    assert!(log.contains("forgotten-7"), "{log}");
    yard.ok("forget mark");
    let dump = yard.dump().join("\n");
    assert!(dump.contains("mark 1 AB91CDE"), "a command is no name: {dump}");
    assert!(!dump.contains("Mark\""), "{dump}");
    let near = yard.refused("forget \"Ash Tyre\"");
    assert!(near.code == 1 && near.err.contains("did you mean 'Ash Tyres'?"), "{}", near.err);
}

/// A misspelling put right is in the history; it is pointed out, for only the trader knows who it was.
#[test]
fn what_once_stood_in_the_same_place_is_pointed_out() {
    let yard = Yard::new("2026-11-25");
    yard.ok_on("2014-05-01", "pay-in 5000");
    yard.ok_on("2014-05-02", "buy KX42RTO 470 --from \"R Ashdwn\"");
    yard.ok_on("2014-05-02", "amend 2 from \"R Ashdown\"");
    yard.ok_on("2014-05-05", "sell 1 965");
    let ran = yard.ok("forget \"R Ashdown\"");
    assert!(ran.err.contains("`runabout forget \"R Ashdwn\"` if it was the same person"), "{}", ran.err);
    yard.ok("forget \"R Ashdwn\"");
    assert_eq!(in_file(&yard, "ashdwn") + in_file(&yard, "ashdown"), 0);
    yard.ok("undo 3");
}

#[test]
fn closed_months_do_not_hold_a_name() {
    let yard = old_yard();
    yard.ok("close jun 2014");
    assert_eq!(forget(&yard, &[]).code, 0);
    let told = yard.json("month jun 2014");
    assert_eq!((&told["closed"], &told["differences"]), (&true.into(), &json!([])));
}

/// Where the file could not be made anew, the same command does it later, though the name is gone.
#[test]
fn the_same_command_again_makes_the_file_anew() {
    let yard = old_yard();
    assert_eq!(forget(&yard, &["--notes"]).code, 0);
    let size = || fs::metadata(yard.book()).unwrap().len();
    let before = size();
    let book = rusqlite::Connection::open(yard.book()).unwrap();
    book.execute_batch(
        "CREATE TABLE left_over (x TEXT); INSERT INTO left_over VALUES ('O''Dell-Ågård' || hex(randomblob(40000)));
         DROP TABLE left_over",
    )
    .unwrap();
    drop(book);
    assert!(size() > before && in_file(&yard, "dell-ågård") > 0);
    assert_eq!(forget(&yard, &[]).code, 1);
    assert_eq!((size(), in_file(&yard, "dell-ågård")), (before, 0));
}

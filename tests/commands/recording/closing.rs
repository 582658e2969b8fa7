//! Months closed: their figures kept, everything up to their last day guarded, opened again.

use crate::common::Yard;
use serde_json::{Value, json};

/// Tables that say what was typed and changed, and so go on growing.
const LOG: &[&str] = &["entry", "entry_car", "history", "sqlite_sequence"];

/// September: 1 KX42 RTO bought at £470, £55 spent, sold at £940 with £105 still owed; 2 AB91 CDE
/// and 3 TU98 KLM bought, a deposit of £85 on 3, rent of £95 a month. October: 4 LX95 VWN bought.
fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 3000 --on 1/9/2026",
        "buy KX42RTO 470 --on 3/9/2026 --from \"R Ashdown\" --miles 82000",
        "spend 55 parts --car 1 --on 5/9/2026 --to \"Hob Lane Spares\"",
        "sell 1 940 --on 10/9/2026 --to \"D Farrow\" --paid-amount 835",
        "buy AB91CDE 355 --on 12/9/2026",
        "buy TU98KLM 385 --on 13/9/2026",
        "deposit 3 85 --by \"P Lowther\" --on 14/9/2026",
        "standing add \"yard rent\" 95 --every month --from 2026-09-15 --heading rent",
        "buy LX95VWN 430 --on 5/10/2026",
        "spend 64 tyres --car 4 --on 6/10/2026",
    ] {
        yard.ok(line);
    }
    yard
}

fn closed(yard: &Yard, month: &str) -> Value {
    yard.json(&format!("month {month}"))["closed"].clone()
}

#[test]
fn closing_prints_the_month_and_keeps_its_figures() {
    let yard = yard();
    assert_eq!(closed(&yard, "sep"), false);
    let report = yard.json("month sep");
    let said = yard.json("close sep");
    assert_eq!(said["command"], "close");
    assert_eq!(said["entry"], 11);
    assert!(said["summary"].as_str().unwrap().contains("Sep 2026"), "{said}");
    let shown = &said["closed_month"];
    for key in ["month", "sales", "profit", "stock_at_cost", "bridge", "cars_sold", "overheads_total"] {
        assert_eq!(shown[key], report[key], "{key}");
    }
    // 940 - 525 - 95 of rent = 320.
    assert_eq!(shown["profit"], "320.00");
    assert_eq!(closed(&yard, "sep"), true);
    assert_eq!(closed(&yard, "oct"), false);
    assert_eq!(yard.json("month sep")["differences"], json!([]));
    // For people too.
    assert!(yard.ok("month sep").out.to_lowercase().contains("closed"), "{}", yard.ok("month sep").out);
    let again = yard.refused("close sep").err;
    assert!(again.contains("Sep 2026 is closed already"), "{again}");
}

#[test]
fn every_writing_command_dated_in_the_closed_month_is_refused() {
    let yard = yard();
    yard.ok("close sep");
    let mut wrong = Vec::new();
    for line in [
        "spend 54.85 mot --car 2 --on 30/9/2026",
        "spend 27.50 fuel --share 2,3 --on 15/9/2026",
        "spend 36 fuel --split 4=21 --split overhead=15 --on 15/9/2026",
        "spend 15 storage --overhead --on 1/9/2026",
        "spend 15 parts --car 2 --unpaid --to \"Hob Lane Spares\" --on 15/9/2026",
        "receive 30 wheels-sold --car 2 --on 15/9/2026",
        "receive 105 balance --car 1 --on 15/9/2026",
        "spend 20 vat --on 15/9/2026",
        "buy NB43HTX 545 --on 30/9/2026",
        "sell 2 500 --on 20/9/2026",
        "sell 3 500 --on 30/9/2026",
        "take-back 1 --on 20/9/2026",
        "dispose 2 scrapped --on 20/9/2026",
        "write-off 1 50 --on 20/9/2026",
        "ask 2 500 --on 20/9/2026",
        "offer 2 455 --on 20/9/2026",
        "deposit 2 50 --on 20/9/2026",
        "deposit 3 --give-back --on 20/9/2026",
        "deposit 3 --keep --on 20/9/2026",
        "mot 2 pass --on 20/9/2026 --fee 54.85",
        "tax 2 --sorn --on 20/9/2026",
        "hours 2 2 --on 20/9/2026",
        "pay-in 100 --on 20/9/2026",
        "draw 100 --on 20/9/2026",
        "move 100 bank cash --on 20/9/2026",
        "standing add storage 20 --every month --from 2026-09-20",
        "standing change \"yard rent\" 100 --from 2026-09-15",
        "standing skip \"yard rent\" --on 2026-09-15",
        "standing stop \"yard rent\" --on 2026-09-15",
        "settings set vat-registered-from 2026-09-30",
        "settings set vat-registered-from 2026-01-01",
        "amend 2 price 480",
        "amend 2 on 4/9/2026",
        "amend 5 on 4/10/2026",
        "amend 3 amount 58",
        "amend 3 car 2",
        "amend 3 heading tyres",
        "amend 3 usual 80",
        "amend 3 paid cash",
        "amend 4 price 965",
        "amend 4 on 2/10/2026",
        "amend 10 on 30/9/2026",
        "undo 1",
        "undo 3",
        "undo 7",
        "undo 8",
    ] {
        let before = yard.dump();
        let said = yard.run(line);
        let whole = [
            "in a closed month",
            "up to 30 Sep 2026",
            "`runabout close --reopen 2026-09`",
            "dated the day it is found",
        ]
        .iter()
        .all(|word| said.err.contains(word));
        if said.code != 1 || !whole || yard.dump() != before {
            wrong.push(format!("`{line}` gave {}: {}{}", said.code, said.out, said.err));
            if said.code == 0 {
                yard.ok("undo");
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn what_changes_no_figure_may_still_be_put_right() {
    let yard = yard();
    yard.ok("close sep");
    let before = yard.json("month sep");
    for line in [
        "amend 2 from \"Roy Ashdown\"",
        "amend 2 miles 82500",
        "amend 2 make Brindle",
        "amend 2 colour green",
        "amend 2 keys 2",
        "amend 2 purchase-invoice \"A 17\"",
        "amend 3 to \"Hob Lane Motor Spares\"",
        "amend 3 note \"front pads\"",
        "amend 4 to \"Della Farrow\"",
        "amend 4 address \"3 Tarn Row\"",
        "amend 4 miles 82600",
        "amend 7 by \"Pat Lowther\"",
        "note 1 \"sold with two keys\"",
        "note 1 \"seen again\" --on 20/9/2026",
    ] {
        yard.ok(line);
    }
    // And what is dated after the month.
    for line in [
        "spend 12 fuel --car 1 --on 1/10/2026",
        "receive 60 balance --car 1 --on 2/10/2026",
        "write-off 1 45 --on 3/10/2026",
        "take-back 1 --on 4/10/2026",
        "deposit 3 --keep --on 5/10/2026",
        "sell 2 500 --on 1/10/2026",
        "standing change \"yard rent\" 100 --from 2026-10-15",
        "standing stop \"yard rent\" --on 2026-11-15",
        "amend 10 amount 70",
        "undo",
    ] {
        yard.ok(line);
    }
    let after = yard.json("month sep");
    assert_eq!(after["differences"], json!([]));
    for key in ["profit", "stock_at_cost", "bridge", "sales", "overheads_total", "money_in", "cash_tied_up"] {
        assert_eq!(after[key], before[key], "{key}");
    }
}

/// Registered from October, the trader may not come to be registered otherwise in September.
#[test]
fn the_registration_for_vat_is_guarded() {
    let yard = yard();
    yard.ok("settings set vat-registered-from 2026-10-01");
    yard.ok("close oct");
    for line in [
        "settings set vat-registered-from 2026-09-15",
        "settings set vat-registered-from 2026-10-02",
        "settings set vat-registered-from 2026-11-01",
        "settings set vat-registered-from none",
        "settings set vat-registered-until 2026-10-15",
        "settings set vat-registered-until 2026-10-30",
    ] {
        let said = yard.refused(line).err;
        assert!(said.contains("registration for VAT") && said.contains("31 Oct 2026"), "`{line}`: {said}");
    }
    // The first day without it is the first after the closed month.
    yard.ok("settings set vat-registered-until 2026-10-31");
    yard.ok("settings set vat-registered-until 2026-11-15");
    yard.ok("settings set trader-name \"Marsh End Cars\"");
    yard.ok("settings set default-paid cash");
    assert_eq!(yard.json("month oct")["differences"], json!([]));
}

#[test]
fn several_months_are_closed_at_once_and_opened_from_one_on() {
    let yard = yard();
    let said = yard.json("close oct");
    assert!(said["summary"].as_str().unwrap().contains("Sep 2026"), "{said}");
    assert_eq!(said["closed_month"]["month"], "2026-10");
    assert_eq!((closed(&yard, "sep"), closed(&yard, "oct")), (json!(true), json!(true)));
    yard.refused("spend 54.85 mot --car 2 --on 31/10/2026");
    yard.ok("spend 54.85 mot --car 2 --on 1/11/2026");
    let said = yard.refused("close sep").err;
    assert!(said.contains("Sep 2026 is closed already") && said.contains("Oct 2026"), "{said}");

    yard.ok("close --reopen oct");
    assert_eq!((closed(&yard, "sep"), closed(&yard, "oct")), (json!(true), json!(false)));
    yard.ok("spend 15 fuel --car 2 --on 31/10/2026");
    yard.refused("spend 15 fuel --car 2 --on 30/9/2026");
    yard.ok("close last");
    assert_eq!(closed(&yard, "oct"), true);
    yard.ok("close --reopen 2026-09");
    assert_eq!((closed(&yard, "sep"), closed(&yard, "oct")), (json!(false), json!(false)));
    yard.ok("spend 15 fuel --car 2 --on 30/9/2026");
    let said = yard.refused("close --reopen sep").err;
    assert!(said.contains("Sep 2026 is not closed"), "{said}");
}

#[test]
fn months_that_cannot_be_closed() {
    let mut yard = Yard::new("2026-11-25");
    let said = yard.run("close oct");
    assert_ne!(said.code, 0, "{}", said.out);
    yard = self::yard();
    for (line, words) in [
        ("close nov", &["Nov 2026 is not over", "1 Dec 2026"][..]),
        ("close this", &["Nov 2026 is not over"]),
        ("close dec 2026", &["Dec 2026"]),
        ("close aug", &["Aug 2026", "before the book begins", "1 Sep 2026"]),
        ("close --reopen sep", &["Sep 2026 is not closed"]),
        ("close brumaire", &["'brumaire'"]),
    ] {
        let said = yard.refused(line).err;
        assert!(words.iter().all(|word| said.contains(word)), "`{line}` should say {words:?}, said: {said}");
    }
    // Its last day is not over on that day.
    yard.turn_to("2026-11-30");
    yard.refused("close nov");
    yard.turn_to("2026-12-01");
    yard.ok("close nov");
}

#[test]
fn a_bare_undo_skips_closings_and_a_closing_can_be_undone_by_number() {
    let yard = yard();
    let open = yard.dump_except(LOG);
    yard.ok("close sep");
    let shut = yard.dump_except(LOG);
    assert_ne!(open, shut);
    // The latest is the closing, entry 11: entry 10 goes.
    let undone = yard.json("undo");
    assert!(undone["summary"].as_str().unwrap().contains("entry 10, which said:"), "{undone}");
    assert_eq!(closed(&yard, "sep"), true);
    yard.ok("undo 12");
    assert_eq!(yard.dump_except(LOG), shut);
    // By number it is opened, and closed again with what was kept.
    yard.ok("undo 11");
    assert_eq!(yard.dump_except(LOG), open);
    assert_eq!(closed(&yard, "sep"), false);
    yard.ok("undo 14");
    assert_eq!(yard.dump_except(LOG), shut);
    yard.ok("close --reopen sep");
    assert_eq!(yard.dump_except(LOG), open);
    let undone = yard.json("undo");
    assert!(undone["summary"].as_str().unwrap().contains("entry 10,"), "an opening is skipped too: {undone}");
    yard.ok("undo 16");
    assert_eq!(closed(&yard, "sep"), true);
}

#[test]
fn a_bare_undo_that_comes_to_a_closed_month_is_refused() {
    let yard = yard();
    yard.ok("close sep");
    yard.ok("undo");
    yard.ok("undo");
    let said = yard.refused("undo").err;
    assert!(said.contains("in a closed month") && said.contains("--reopen 2026-09"), "{said}");
}

#[test]
fn an_undo_of_what_was_undone_before_closing_is_guarded() {
    let yard = yard();
    yard.ok("undo 3");
    yard.ok("close sep");
    let said = yard.refused("undo 11").err;
    assert!(said.contains("5 Sep 2026") && said.contains("closed month"), "{said}");
}

#[test]
fn a_book_altered_from_outside_shows_what_differs() {
    let yard = yard();
    yard.ok("close sep");
    let book = rusqlite::Connection::open(yard.book()).unwrap();
    // £55 of parts becomes £65: the sold car stood in at £535, and £10 more went out.
    let changed = book.execute("UPDATE line SET amount = 6500 WHERE heading = 'parts' AND amount = 5500", []).unwrap();
    assert_eq!(changed, 1);
    drop(book);
    let report = yard.json("month sep");
    assert_eq!(report["closed"], true);
    assert_eq!(report["profit"], "310.00");
    let differences = report["differences"].as_array().unwrap();
    for (figure, kept, now) in [
        ("cost_of_cars_sold", "525.00", "535.00"),
        ("gross_profit", "415.00", "405.00"),
        ("profit", "320.00", "310.00"),
        ("money_out", "1360.00", "1370.00"),
        // 3000 + 835 + 85 - 470 - 55 - 355 - 385 - 95 = 2560.
        ("float_at_end", "2560.00", "2550.00"),
    ] {
        let there = json!({"figure": figure, "kept": kept, "now": now});
        assert!(differences.contains(&there), "{there} is not in {differences:#?}");
    }
    assert!(!differences.iter().any(|row| row["figure"] == "sales"), "{differences:#?}");
    let said = yard.ok("month sep").out;
    assert!(said.contains("320.00") && said.contains("310.00"), "{said}");
}

#[test]
fn a_dry_run_of_closing_keeps_nothing() {
    let yard = yard();
    let before = yard.dump();
    let said = yard.json("close sep --dry-run");
    assert_eq!(said["closed_month"]["profit"], "320.00");
    assert_eq!(yard.dump(), before);
    yard.ok("close sep");
    let before = yard.dump();
    yard.json("close --reopen sep --dry-run");
    assert_eq!(yard.dump(), before);
}

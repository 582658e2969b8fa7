//! Copies of the book, the whole book out and in again, rows taken in from a spreadsheet.

use crate::common::Yard;
use std::fs;
use std::path::{Path, PathBuf};

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    fs::write(yard.folder().join("bill.pdf"), b"%PDF-1.7 a bill").unwrap();
    for line in [
        "pay-in 3000 --on 1/10/2026".to_owned(),
        "buy KX42RTO 465 --on 3/10/2026 --from \"R Ashdown\" --miles 82000".into(),
        format!("spend 35 labour --car 1 --on 4/10/2026 --receipt {}", yard.folder().join("bill.pdf").display()),
        "spend 12.50 phone --overhead --on 4/10/2026 --note \"=1+1\"".into(),
        "sell 1 925 --on 20/10/2026 --to \"D Farrow\" --part-exchange AB91CDE=215 --paid-amount 640".into(),
        "take-back 1 --on 1/11/2026 --refund 540".into(),
        "close oct 2026".into(),
        "spend 5 mot --car 1".into(),
        "undo".into(),
    ] {
        yard.ok(&line);
    }
    yard
}

/// Reports that must be the same in a copy, byte for byte.
fn reports(yard: &Yard, book: &Path) -> Vec<String> {
    ["stock", "car 1", "month oct", "month", "cash", "results", "log"]
        .iter()
        .map(|line| {
            let told = yard.ok(&format!("{line} --format json --book {}", book.display())).out;
            // Where a receipt lies is the copy's own.
            let receipts = book.with_extension("receipts");
            told.replace(&*receipts.to_string_lossy(), "RECEIPTS")
        })
        .collect()
}

#[test]
fn a_copy_holds_the_same_and_can_be_put_back() {
    let yard = yard();
    let before = reports(&yard, &yard.book());
    let copy = yard.folder().join("stick.book");
    let said = yard.ok(&format!("backup {}", copy.display())).out.replace('\n', " ");
    assert!(said.contains("Copied 9 entries") && said.contains("1 receipt new to it"), "{said}");
    assert_eq!(reports(&yard, &copy), before);
    assert_eq!(yard.run(&format!("backup {}", copy.display())).code, 1, "never over a file that is there");
    yard.ok("spend 99 tools --overhead");
    let told = yard.json(&format!("restore {}", copy.display()));
    assert_eq!(reports(&yard, &yard.book()), before);
    let kept = PathBuf::from(told["kept_as"].as_str().unwrap());
    assert!(yard.ok(&format!("log --book {}", kept.display())).out.contains("£99.00"), "what was replaced is kept");
    assert_eq!(yard.run("verify").code, 0);
}

#[test]
fn a_restore_needs_no_book_and_takes_only_a_whole_one() {
    let yard = yard();
    let copy = yard.folder().join("stick.book");
    yard.ok(&format!("backup {}", copy.display()));
    let whole = fs::read(yard.book()).unwrap();
    fs::write(yard.folder().join("torn.book"), &whole[..whole.len() / 2]).unwrap();
    fs::write(yard.folder().join("letter.book"), b"Dear Sir").unwrap();
    for bad in ["torn.book", "letter.book", "nowhere.book"] {
        let ran = yard.run(&format!("restore {}", yard.folder().join(bad).display()));
        assert_eq!(ran.code, 4, "{bad}: {}", ran.err);
        assert_eq!(fs::read(yard.book()).unwrap(), whole, "{bad}");
    }
    fs::remove_file(yard.book()).unwrap();
    yard.ok(&format!("restore {}", copy.display()));
    assert_eq!(yard.run("verify").code, 0);
    // Nor does what is there have to be a book that opens.
    fs::write(yard.book(), b"torn to pieces").unwrap();
    yard.ok(&format!("restore {}", copy.display()));
    assert_eq!(yard.run("verify").code, 0);
}

#[test]
fn dated_copies_are_kept_to_a_number_and_a_reminder_comes_when_the_last_is_old() {
    let mut yard = yard();
    yard.ok("settings set backup-keep 2");
    yard.ok("settings set backup-days 7");
    for day in ["2026-11-25", "2026-11-26", "2026-11-27"] {
        yard.turn_to(day);
        yard.ok("backup");
    }
    let copies: Vec<_> =
        fs::read_dir(yard.folder().join("yard.backups")).unwrap().map(|file| file.unwrap().file_name()).collect();
    assert_eq!(copies.iter().filter(|name| name.to_string_lossy().ends_with(".book")).count(), 2, "{copies:?}");
    yard.turn_to("2026-12-20");
    let reminders = |yard: &Yard| yard.json("due --kind backup")["items"].as_array().unwrap().len();
    assert_eq!(reminders(&yard), 0, "nothing was recorded since");
    yard.ok("pay-in 1");
    assert_eq!(yard.json("due --kind backup")["items"][0]["due_on"], "2026-12-04");
    assert_eq!(yard.run("due --check").code, 3);
    yard.ok("backup");
    assert_eq!(reminders(&yard), 0);
}

#[test]
fn the_whole_book_goes_out_and_comes_in_again() {
    let yard = yard();
    let (folder, read_back) = (yard.folder().join("whole"), yard.folder().join("second.book"));
    yard.ok(&format!("export {}", folder.display()));
    let lines = fs::read_to_string(folder.join("line.csv")).unwrap();
    assert!(lines.contains(",'=1+1"), "a formula is guarded: {lines}");
    yard.ok(&format!("import {} --book {}", folder.display(), read_back.display()));
    assert_eq!(reports(&yard, &read_back), reports(&yard, &yard.book()));
    // Its history came along: an undo can still be undone, and the guard of October still stands.
    yard.ok(&format!("undo 9 --book {}", read_back.display()));
    assert_eq!(yard.run(&format!("spend 5 mot --car 1 --on 5/10/2026 --book {}", read_back.display())).code, 1);
    assert_eq!(yard.run(&format!("verify --book {}", read_back.display())).code, 0);
    // Never into a book that is there, nor over a folder that is.
    assert_eq!(yard.run(&format!("import {}", folder.display())).code, 1);
    assert_eq!(yard.run(&format!("export {}", folder.display())).code, 1);
    fs::remove_file(folder.join("sale.csv")).unwrap();
    let third = yard.folder().join("third.book");
    assert_eq!(yard.run(&format!("import {} --book {}", folder.display(), third.display())).code, 1);
    assert!(!third.exists(), "a book nothing was read into is taken away");
}

fn import(yard: &Yard, name: &str, text: &str, options: &str) -> crate::common::Ran {
    let file = yard.folder().join(name);
    fs::write(&file, text).unwrap();
    yard.run(&format!("import {} {options}", file.display()))
}

#[test]
fn cars_come_in_from_a_spreadsheet_in_order_of_their_days() {
    let yard = Yard::new("2026-11-25");
    let ran = import(
        &yard,
        "cars.csv",
        "Registration,Date bought,Price,Seller,Make,Mileage,MOT,sold_on,selling_price,Buyer\r\n\
         AB91 CDE,5/10/2026,\"1,200.50\",Ann Oake,Pell,\"82,000\",2027-03-01,,,\r\n\
         KX42 RTO,1/9/2026,£475,R Ashdown,Brindle,,,20/9/2026,925,D Farrow\r\n",
        "",
    );
    assert_eq!(ran.code, 0, "{}", ran.err);
    // By day: the car bought first has the lower number.
    let sold = yard.json("car 1");
    assert_eq!(
        (&sold["mark"], &sold["profit"], &sold["sold_to"]),
        (&"KX42 RTO".into(), &"450.00".into(), &"D Farrow".into())
    );
    let stock = yard.json("stock");
    assert_eq!((&stock["cars"][0]["stands_in"], &stock["cars"][0]["mileage"]), (&"1200.50".into(), &82_000.into()));
    assert_eq!(yard.json("cash")["bank"], "-750.50");
    yard.ok("undo");
    assert_eq!(yard.json("stock")["count"], 0);
}

#[test]
fn the_order_of_events_holds_for_every_car_of_a_file() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 5000 --on 1/8/2026");
    yard.ok("close aug");
    let before = yard.dump();
    let header = "mark,vin,bought_on,purchase_price,sold_on,selling_price";
    let fine = "KX42RTO,,1/9/2026,455,20/9/2026,905";
    for (rows, told) in [
        // Gone before it comes again, or the stays overlap, whichever row it is.
        ("KX42RTO,,10/9/2026,455,12/9/2026,905", "KX42 RTO"),
        ("KX42RTO,,20/9/2026,455,,\nKX42RTO,,21/9/2026,455,,", "line 4: 2 KX42 RTO is in stock already"),
        // One VIN under two marks.
        ("AB91CDE,BRNDLEX0000000001,2/9/2026,5,,\nTU09GLE,BRNDLEX0000000001,3/9/2026,5,,", "line 4: 2 AB91 CDE"),
        ("AB91CDE,,3/9/2026,455,2/9/2026,905", "line 3: "),
        ("AB91CDE,,31/8/2026,455,,", "closed"),
    ] {
        let ran = import(&yard, "cars.csv", &format!("{header}\n{fine}\n{rows}\n"), "");
        assert!(ran.code == 1 && ran.err.contains(told), "{rows}: {}", ran.err);
        assert_eq!(yard.dump(), before, "{rows}: nothing was taken in");
    }
    let again = "KX42RTO,,20/9/2026,455,25/9/2026,735\nKX42RTO,,26/9/2026,345,,";
    let ran = import(&yard, "cars.csv", &format!("{header}\n{fine}\n{again}\n"), "");
    assert_eq!(ran.code, 0, "{}", ran.err);
    assert_eq!((&yard.json("stock")["count"], yard.run("verify").code), (&1.into(), 0));
    yard.ok("undo");
    assert_eq!((&yard.json("stock")["count"], yard.run("verify").code), (&0.into(), 0));
}

#[test]
fn money_comes_in_under_its_headings() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 485 --on 1/9/2026");
    let ran = import(
        &yard,
        "money.csv",
        "date,amount,category,car,name,note\n3/9/2026,54.85,mot,kx42 rto,Pell Street,\n2/9/2026,55,wheels sold,1,,'=spare set\n\
         4/9/2026,12,phone,,,\n",
        "",
    );
    assert_eq!(ran.code, 0, "{}", ran.err);
    let car = yard.json("car 1");
    assert_eq!((&car["costs"], &car["income"]), (&"54.85".into(), &"55.00".into()));
    assert_eq!(car["lines"][1]["note"], "=spare set", "exactly the guarding mark is taken off");
    assert_eq!(yard.json("month sep")["overheads_total"], "12.00");
}

#[test]
fn all_rows_or_none_and_every_bad_one_is_told() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 5");
    let before = yard.dump();
    let ran = import(
        &yard,
        "money.csv",
        "on,amount,heading\n1/9/2026,5,mot\n31/9/2026,5,mot\n2/9/2026,-5,mot\n3/9/2026,5,mott\n",
        "",
    );
    assert_eq!(ran.code, 1);
    // What cannot be read and what cannot be recorded are told together, each on a line of its own.
    for told in ["3 rows will not do", "\nline 3: on: ", "\nline 4: amount: ", "\nline 5: no heading"] {
        assert!(ran.err.contains(told), "{told}: {}", ran.err);
    }
    // Lines are counted as an editor counts them, whatever ends them and wherever a cell goes over two.
    let ran = import(
        &yard,
        "money.csv",
        "on,amount,heading,note\r\n1/9/2026,5,mot,\"two\r\nlines\"\r\n\r\n2/9/2026,x,mot,\r\n3/9/2026,y,mot,\r\n",
        "",
    );
    for told in ["\nline 5: amount", "\nline 6: amount"] {
        assert!(ran.err.contains(told), "{told}: {}", ran.err);
    }
    let ran = import(&yard, "money.csv", "on,amount,heading\n1/9/2026,5,mot\n3/9/2026,5,mott\n2/9/2026,5,part\n", "");
    for told in ["line 3: ", "line 4: ", "did you mean 'mot'"] {
        assert!(ran.err.contains(told), "{told}: {}", ran.err);
    }
    let ran = import(&yard, "cars.csv", "mark,bought_on,purchase_price\nKX42RTO,1/9/2026,5\nKX42RTO,2/9/2026,5\n", "");
    assert!(ran.code == 1 && ran.err.contains("line 3: ") && ran.err.contains("in stock already"), "{}", ran.err);
    assert_eq!(yard.dump(), before, "nothing was taken in");
    let ran = import(&yard, "money.csv", "on,amount,heading,wheels\n1/9/2026,5,mot,4\n", "");
    assert!(ran.code == 1 && ran.err.contains("no column 'wheels'"), "{}", ran.err);
    assert_eq!(
        import(&yard, "money.csv", "on,amount,heading,wheels\n1/9/2026,5,mot,4\n", "--ignore-unknown --dry-run").code,
        0
    );
    assert_eq!(yard.dump(), before, "and nothing by a dry run");
}

#[test]
fn cars_sold_long_ago_leave_no_notices_to_send() {
    let yard = Yard::new("2026-11-25");
    let rows = "mark,bought_on,purchase_price,sold_on,selling_price\n\
        KX42RTO,1/3/2026,420,2/4/2026,845\nAB91CDE,1/11/2026,345,20/11/2026,735\nST99WEM,2/11/2026,365,,\n";
    let ran = import(&yard, "cars.csv", rows, "");
    assert!(ran.err.contains("DVLA is taken to know of 1 car sold more than 30 days ago"), "{}", ran.err);
    let due = yard.json("due --kind keeper-notice");
    let cars: Vec<_> = due["items"].as_array().unwrap().iter().map(|item| item["stock_no"].as_i64().unwrap()).collect();
    // Of the car sold five days ago that it came and that it went; of the one in stock that it came.
    assert_eq!(cars, [2, 3, 2]);
    assert!(yard.json("verify")["findings"].as_array().unwrap().is_empty());
}

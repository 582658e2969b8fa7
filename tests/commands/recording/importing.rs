//! Sheets taken in: a row that is not what it seems, the same file again, and files that are none.

use crate::common::{Ran, Yard};
use serde_json::Value;
use std::fs;

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy QX12345 480 --on 1/9/2026");
    yard
}

fn import(yard: &Yard, text: &str, options: &str) -> Ran {
    let file = yard.folder().join("sheet.csv");
    fs::write(&file, text).unwrap();
    yard.run(&format!("import {} {options}", file.display()))
}

fn taken_in(yard: &Yard, text: &str, options: &str) -> Value {
    let ran = import(yard, text, &format!("{options} -f json"));
    assert_eq!(ran.code, 0, "{}", ran.err);
    serde_json::from_str(&ran.out).unwrap()
}

/// How many lines of money there are on the car and the yard.
fn lines(yard: &Yard) -> usize {
    yard.dump().iter().filter(|row| row.starts_with("line:")).count()
}

const MONEY: &str = "on,amount,heading,car,party,note\n3/9/2026,54.85,mot,QX12345,Pell Street,\n\
                     4/9/2026,12.40,parts,1,,bulbs\n4/9/2026,12.40,parts,1,,bulbs\n5/9/2026,36,fuel,,,\n";

#[test]
fn an_amount_that_came_apart_at_its_comma_is_refused_with_its_line() {
    let yard = yard();
    let before = yard.dump();
    for (sheet, told) in [
        (
            "on,heading,amount\n1/10/2026,parts,36\n1/10/2026,parts,1,250.00\n",
            "line 3: has 4 cells where the header has 3",
        ),
        ("on,amount,heading,note\n1/10/2026,1,250.00,parts\n", "as \"1,250.00\""),
        ("mark,bought_on,purchase_price\nQX10001,1/10/2026,1,385\n", "line 2: has 4 cells"),
    ] {
        let ran = import(&yard, sheet, "");
        let cause = ran.err.contains("needs quotes around it") || ran.err.contains("come apart at its comma");
        assert!(ran.code == 1 && cause && ran.err.contains(told), "{}", ran.err);
        assert_eq!(yard.dump(), before);
    }
    // A row that ends early leaves out the cells at its end; an empty one beyond leaves nothing out.
    assert_eq!(import(&yard, "on,amount,heading,note\n1/10/2026,36,fuel\n2/10/2026,36,fuel,,\n", "").code, 0);
}

#[test]
fn the_same_money_again_is_passed_over_and_counted() {
    let yard = yard();
    assert_eq!(taken_in(&yard, MONEY, "")["passed_over"], 0);
    assert_eq!(lines(&yard), 4, "a row that is there twice counts twice");
    let entries = yard.json("log")["entries"].as_array().unwrap().len();
    let again = taken_in(&yard, MONEY, "");
    assert_eq!((&again["passed_over"], &again["entry"], lines(&yard)), (&4.into(), &Value::Null, 4));
    assert_eq!(yard.json("log")["entries"].as_array().unwrap().len(), entries, "nothing to record is no entry");
    let told = import(&yard, MONEY, "");
    assert!(told.out.contains("Nothing to record: 4 rows stand from an earlier import"), "{}", told.out);
    assert!(told.err.contains("--again"), "{}", told.err);
    // A third twin is new, and so is a row that differs in anything.
    let longer =
        format!("{MONEY}4/9/2026,12.40,parts,1,,bulbs\n4/9/2026,12.40,parts,1,,bulb\n4/9/2026,12.40,parts,,,bulbs\n");
    let more = taken_in(&yard, &longer, "");
    assert_eq!((&more["passed_over"], lines(&yard)), (&4.into(), 7));
    // The same row typed by hand is no row of an import.
    yard.ok("spend 15 waste --overhead --on 6/9/2026");
    assert_eq!(taken_in(&yard, "on,amount,heading\n6/9/2026,15,waste\n", "")["passed_over"], 0);
    assert_eq!(taken_in(&yard, MONEY, "--again")["passed_over"], 0);
    assert_eq!(lines(&yard), 13);
    assert_eq!(yard.run("verify").code, 0);
}

#[test]
fn an_undone_import_goes_in_again_and_a_dry_run_says_what_would() {
    let yard = yard();
    taken_in(&yard, MONEY, "");
    yard.ok("undo");
    assert_eq!(lines(&yard), 0);
    assert_eq!(taken_in(&yard, MONEY, "--dry-run")["passed_over"], 0);
    assert_eq!((&taken_in(&yard, MONEY, "")["passed_over"], lines(&yard)), (&0.into(), 4));
    assert_eq!((&taken_in(&yard, MONEY, "--dry-run")["passed_over"], lines(&yard)), (&4.into(), 4));
}

/// What a row says stays what it said, whatever has been set since.
#[test]
fn how_things_are_paid_and_which_stay_a_mark_means_may_change_between() {
    let yard = yard();
    taken_in(&yard, MONEY, "");
    yard.ok("settings set default-paid cash");
    yard.ok("sell 1 880 --on 10/9/2026");
    yard.ok("buy QX12345 320 --on 1/10/2026");
    assert_eq!((&taken_in(&yard, MONEY, "")["passed_over"], lines(&yard)), (&4.into(), 4));
    // Nothing that stands needs its month open again.
    yard.ok("close sep");
    assert_eq!(taken_in(&yard, MONEY, "")["passed_over"], 4);
}

#[test]
fn the_same_cars_again_are_passed_over() {
    let yard = Yard::new("2026-11-25");
    let cars = "mark,bought_on,purchase_price,from,make,miles,mot_until,sold_on,selling_price,to,note\n\
                QX12345,1/9/2026,480,R Ashdown,Brindle,82000,1/3/2027,20/9/2026,790,D Farrow,two keys\n\
                QX12346,1/9/2026,520,,,,,,,,\n";
    assert_eq!(taken_in(&yard, cars, "")["passed_over"], 0);
    let again = taken_in(&yard, cars, "");
    assert_eq!((&again["passed_over"], &again["cars"]), (&2.into(), &serde_json::json!([])));
    // Sold by hand since, it still is the car of its row.
    yard.ok("sell 2 880 --on 1/10/2026");
    let more = taken_in(&yard, &format!("{cars}QX12347,2/9/2026,385,,,,,,,,\n"), "");
    assert_eq!((&more["passed_over"], &yard.json("stock")["count"]), (&2.into(), &1.into()));
    // Another price is another row, and the car is in stock.
    let ran = import(&yard, "mark,bought_on,purchase_price\nQX12347,2/9/2026,395\n", "");
    assert!(ran.code == 1 && ran.err.contains("in stock already"), "{}", ran.err);
    assert_eq!(yard.run("verify").code, 0);
}

#[test]
fn a_mark_at_the_beginning_of_a_file_is_no_part_of_it() {
    let yard = yard();
    assert_eq!(import(&yard, "\u{feff}on,amount,heading\n1/10/2026,36,fuel\n", "").code, 0);
    assert_eq!(import(&yard, "\u{feff}\"on\",amount,heading\n2/10/2026,36,fuel\n", "").code, 0);
    let fees = yard.folder().join("fees.txt");
    fs::write(&fees, "\u{feff}0=54.85\n200=115\n").unwrap();
    yard.ok(&format!("bid --sells-for 1,200 --prep 250 --fees {}", fees.display()));
    let rates = yard.folder().join("own.rates");
    fs::write(&rates, "\u{feff}vat-standard-rate 2027-04-01 20\n").unwrap();
    yard.ok(&format!("rates --rates {}", rates.display()));
}

/// Everything that is read but the book: a folder, a device without end, a pipe nobody writes to, a file that
/// is longer than it can be.
#[test]
#[cfg(unix)]
fn only_files_are_read_and_no_more_than_they_can_be() {
    let yard = yard();
    let pipe = yard.folder().join("pipe");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let long = yard.folder().join("long");
    fs::File::create(&long).unwrap().set_len(1 << 40).unwrap();
    let folder = yard.folder().join("folder");
    fs::create_dir(&folder).unwrap();
    let before = yard.dump();
    for name in ["/dev/zero", pipe.to_str().unwrap(), long.to_str().unwrap(), folder.to_str().unwrap()] {
        for line in [
            format!("import {name} --kind money"),
            format!("bid --sells-for 1,200 --prep 250 --fees {name}"),
            format!("stock --rates {name}"),
            format!("spend 36 fuel --car 1 --receipt {name}"),
        ] {
            let ran = yard.run(&line);
            assert!(matches!(ran.code, 1 | 4) && ran.out.is_empty(), "`{line}` gave {}: {}", ran.code, ran.err);
        }
    }
    // A table of an exported book is a file too.
    let whole = yard.folder().join("whole");
    yard.ok(&format!("export {}", whole.display()));
    fs::remove_file(whole.join("car.csv")).unwrap();
    std::os::unix::fs::symlink("/dev/zero", whole.join("car.csv")).unwrap();
    let ran = yard.run(&format!("import {} --book {}", whole.display(), yard.folder().join("new.book").display()));
    assert!(ran.code == 1 && ran.err.contains("car.csv"), "{}", ran.err);
    assert_eq!(yard.dump(), before);
}

//! Damaged books: whatever happened to the file, no command is at fault, none hangs, and `verify` says all is
//! well of no book that says something else than it did.
//!
//! `RUNABOUT_DAMAGED=1000 cargo test --test durability damaged -- --nocapture` tries so many books, every command
//! in every format on each; without it a small part is tried. `RUNABOUT_DAMAGED_FROM=437` begins with that one.

use crate::common::{LOOKS, Yard};
use crate::damage::{Draw, WAYS, everything};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc;
use std::time::Duration;

/// Books tried when nothing else is said.
const BOOKS: u64 = 150;

/// No command may take longer, on a slow machine with others at work.
const LONGEST: Duration = Duration::from_secs(60);

/// What is looked at beside the screens: papers, pages, and what is silent when all is well.
const MORE: &[&str] = &["due --check", "forecast --runs 20", "invoice 1"];

/// What is always written in one way.
const PAGES: &[&str] = &["stock-book --html", "page", "calendar", "month --page"];

const FORMATS: &[&str] = &["table", "json", "csv"];

/// Each on a copy of its own.
const RECORDS: &[&str] = &[
    "spend 12.50 phone --overhead",
    "spend 27.50 fuel --share 13,15",
    "pay-in 54.85",
    "note 13 \"a note\"",
    "ask 13 1095",
    "sell 13 1250 --yes",
    "undo",
    "undo 20",
    "undo 5",
    "close sep 2026",
    "amend 12 note changed",
    "hours 13 2h30",
    "mot 13 pass --until 2027-11-01",
    "forget \"Nobody Here\"",
    "backup copy.book",
    "export whole",
    "import rows.csv",
    "standing add \"yard phone\" 15 --every month --from 2026-11-01",
    "done 131",
    "take-back 15",
    "mark 13 SK58XQZ",
    "deposit 13 50",
    "settings set remind-days 20",
];

/// What has no second telling: a change to one of these leaves a book that could have been written as it is.
fn is_told_once(table: &str, row: &str, other: &str) -> bool {
    let differing = || row.lines().zip(other.lines()).filter(|(one, other)| one != other);
    let only = |columns: &[&str]| {
        row.lines().count() == other.lines().count()
            && differing().all(|(one, _)| columns.iter().any(|column| one.starts_with(&format!("{column} "))))
    };
    match table {
        // A setting set once more takes a number and gives it to no row, so the next one may be any higher one.
        "sqlite_sequence" => {
            let named = |name: &str| row.starts_with(&format!("name text {:?}\n", name.as_bytes()));
            (named("setting") || named("heading")) && only(&["seq"])
        }
        "entry" => only(&["recorded_at", "typed", "summary"]),
        // An entry may be about a car of which it changed nothing; a car looked at again for nothing is only
        // looked at.
        "backup_made" | "entry_car" | "open_departure" => true,
        _ => false,
    }
}

/// What differs and should have been found; none when the book says what it said. A view and an index of somebody's
/// own are let be, and named in what `verify` told.
fn differs(before: &[(String, String)], after: Option<Vec<(String, String)>>, told: &str) -> Option<String> {
    let Some(mut after) = after else { return Some("it cannot be read through".to_owned()) };
    if told.contains("view 'mine'") && told.contains("index 'mine_too'") {
        let is_named = |row: &str| {
            ["mine", "mine_too"].iter().any(|name| row.contains(&format!("\nname text {:?}\n", name.as_bytes())))
        };
        after.retain(|(table, row)| table != "sqlite_schema" || !is_named(row));
    }
    let (gone, come): (Vec<_>, Vec<_>) = (
        before.iter().filter(|row| !after.contains(row)).collect(),
        after.iter().filter(|row| !before.contains(row)).collect(),
    );
    if gone.len() != come.len() && !gone.iter().chain(&come).all(|(table, _)| is_told_once(table, "", "")) {
        return Some(format!("{gone:?} became {come:?}"));
    }
    gone.iter()
        .zip(&come)
        .find(|((table, row), (other_table, other))| table != other_table || !is_told_once(table, row, other))
        .map(|(one, other)| format!("{one:?} became {other:?}"))
}

/// What one command did that none may do.
fn wrong(yard: &Yard, line: &str) -> (u8, Option<String>) {
    match catch_unwind(AssertUnwindSafe(|| yard.run(line))) {
        Err(_) => (70, Some(format!("`{line}` panicked"))),
        Ok(ran) if ran.code == 70 => (70, Some(format!("`{line}` gave 70: {}", ran.err))),
        Ok(ran) if ran.code == 2 => (2, Some(format!("`{line}` is not a command line: {}", ran.err))),
        Ok(ran) if ran.code == 4 && ran.err.contains("report this") => (4, Some(format!("`{line}`: {}", ran.err))),
        Ok(ran) => (ran.code, None),
    }
}

/// Harms one book and tries it; gives what was wrong.
fn tried(seed: u64, every: bool) -> Vec<String> {
    let whole = Yard::filled();
    let before = everything(&whole.book()).expect("the book is well");
    let mut draw = Draw::new(seed);
    let way = WAYS[usize::try_from(seed).unwrap() % WAYS.len()];
    let did = way(&whole.book(), &mut draw);
    let mut found = Vec::new();
    let (code, fault) = wrong(&whole, "verify");
    found.extend(fault);
    if code == 0
        && let Some(what) = differs(&before, everything(&whole.book()), &whole.run("verify").out)
    {
        found.push(format!("verify says all is well, and {what:.2000}"));
    }
    if !matches!(code, 0 | 3 | 4) {
        found.push(format!("verify gave {code}"));
    }
    // A forecast as long as usual takes longer than all the rest.
    for line in LOOKS.iter().filter(|line| **line != "forecast").chain(MORE) {
        for format in FORMATS {
            if every || draw.below(12) == 0 {
                found.extend(wrong(&whole, &format!("{line} --format {format}")).1);
            }
        }
    }
    found.extend(PAGES.iter().filter(|_| every || draw.below(4) == 0).filter_map(|line| wrong(&whole, line).1));
    for line in RECORDS.iter().filter(|_| every || draw.below(8) == 0) {
        let copy = whole.copy();
        std::fs::write(copy.folder().join("rows.csv"), "on,amount,heading,car\n2026-11-20,27.50,fuel,13\n").unwrap();
        let line = line
            .replace("copy.book", &copy.folder().join("copy.book").display().to_string())
            .replace("export whole", &format!("export {}", copy.folder().join("whole").display()))
            .replace("rows.csv", &copy.folder().join("rows.csv").display().to_string());
        found.extend(wrong(&copy, &line).1);
    }
    found.into_iter().map(|what| format!("book {seed} ({did}): {what}")).collect()
}

#[test]
fn no_damaged_book_is_our_fault_hangs_or_is_said_to_be_well() {
    let number = |name: &str| std::env::var(name).ok().and_then(|number| number.parse::<u64>().ok());
    let (asked, from) = (number("RUNABOUT_DAMAGED"), number("RUNABOUT_DAMAGED_FROM").unwrap_or_default());
    let mut wrong = Vec::new();
    for seed in from..from + asked.unwrap_or(BOOKS) {
        // A thread of its own, so that one that does not come back is named.
        let (done, back) = mpsc::channel();
        let every = asked.is_some();
        std::thread::spawn(move || done.send(tried(seed, every)));
        match back.recv_timeout(LONGEST) {
            Ok(found) => wrong.extend(found),
            Err(_) => wrong.push(format!("book {seed} did not come back")),
        }
    }
    assert!(wrong.is_empty(), "{} faults:\n{}", wrong.len(), wrong.join("\n"));
}

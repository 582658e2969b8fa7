//! What bringing in 100,000 lines of money in one go costs: one entry, every check, the history kept.

use crate::filling::{Filled, day, fill};
use crate::measuring::{DURABLE, has_shell, median, runabout, say_ratio, shell, time};
use std::fmt::Write;
use std::path::Path;
use std::time::Duration;

const ROWS: u32 = 100_000;
const RUNS: usize = 5;

pub fn measure() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (empty, sheet) = (folder.path().join("empty.book"), folder.path().join("money.csv"));
    fill(&empty, Filled { sold: 0, in_stock: 100, lines_a_car: 8, yard_lines: 0 });
    std::fs::write(&sheet, rows()).expect("the file to import");
    let file = sheet.to_str().expect("a path of letters");
    let book = folder.path().join("full.book");
    let ours = over_and_over(&empty, &book, || time(&mut runabout(&book, &["import", file])));
    let a_second = f64::from(ROWS) / ours.as_secs_f64();
    println!(
        "`import` of {ROWS} lines, half of them on cars: {:.2} s, {a_second:.0} lines a second",
        ours.as_secs_f64()
    );
    if has_shell() {
        let sql = format!(
            "{DURABLE} CREATE TABLE sheet (\"on\", amount, heading, car, party, note);
            BEGIN IMMEDIATE;\n.import --csv --skip 1 {file} sheet\nCOMMIT;"
        );
        let theirs = over_and_over(&empty, &book, || {
            let script = folder.path().join("import.sql");
            std::fs::write(&script, &sql).expect("the script");
            time(&mut shell(&book, &format!(".read {}", script.display())))
        });
        say_ratio("the same against the shell's `.import` into a plain table", ("runabout", ours), ("shell", theirs));
    }
}

/// The median time, each run on a fresh copy of the book.
fn over_and_over(empty: &Path, book: &Path, run: impl Fn() -> Duration) -> Duration {
    let times = (0..RUNS).map(|_| {
        std::fs::copy(empty, book).expect("a fresh copy");
        run()
    });
    median(times.collect())
}

fn rows() -> String {
    let mut text = "on,amount,heading,car,party,note\n".to_owned();
    let headings = ["parts", "tyres", "tools", "fuel"];
    for n in 0..ROWS {
        let on = day("2026-10-06") + chrono::Days::new(u64::from(n % 50));
        let car = if n % 2 == 0 { (1 + n / 2 % 100).to_string() } else { String::new() };
        let heading = headings[usize::try_from(n % 4).expect("small")];
        writeln!(text, "{on},{}.{:02},{heading},{car},Hob Lane Spares,number {n}", 1 + n % 90, n % 100).expect("text");
    }
    text
}

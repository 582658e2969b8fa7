//! What bringing in 100,000 lines of money in one go costs, and cars by the thousand: one entry, every check, the
//! history kept. What a car costs should not grow with their number, nor buying one more with those there have been.

use crate::filling::{Filled, day, fill, mark, past_day};
use crate::measuring::{DURABLE, compare, has_shell, median, runabout, say_ratio, shell, time};
use std::fmt::Write;
use std::path::Path;
use std::time::Duration;

const ROWS: u32 = 100_000;
const RUNS: usize = 5;

/// Cars in a file, few and many.
const CARS: [u32; 2] = [1_000, 10_000];

/// Runs of one recording.
const BUYS: usize = 25;

pub fn measure() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    money(folder.path());
    cars(folder.path());
}

fn money(folder: &Path) {
    let (empty, sheet) = (folder.join("empty.book"), folder.join("money.csv"));
    fill(&empty, Filled { sold: 0, in_stock: 100, lines_a_car: 8, yard_lines: 0 });
    std::fs::write(&sheet, rows()).expect("the file to import");
    let file = sheet.to_str().expect("a path of letters");
    let book = folder.join("full.book");
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
            let script = folder.join("import.sql");
            std::fs::write(&script, &sql).expect("the script");
            time(&mut shell(&book, &format!(".read {}", script.display())))
        });
        say_ratio("the same against the shell's `.import` into a plain table", ("runabout", ours), ("shell", theirs));
    }
}

/// Cars bought and sold, into a book with none; then one more car bought in the book of few and the book of many.
fn cars(folder: &Path) {
    let empty = folder.join("carless.book");
    fill(&empty, Filled { sold: 0, in_stock: 0, lines_a_car: 0, yard_lines: 0 });
    let books = CARS.map(|count| {
        let (book, sheet) = (folder.join(format!("{count}.book")), folder.join(format!("{count}.csv")));
        std::fs::write(&sheet, car_rows(count)).expect("the file to import");
        let file = sheet.to_str().expect("a path of letters");
        let taken = over_and_over(&empty, &book, || time(&mut runabout(&book, &["import", file]))).as_secs_f64();
        let a_car = taken * 1e6 / f64::from(count);
        println!("`import` of {count} cars bought and sold: {taken:.2} s, {a_car:.0} µs a car");
        book
    });
    let [few, many] = books.each_ref().map(|book| runabout(book, &["buy", "ZX99ZZZ", "485", "--dry-run"]));
    let [fewer, more] = CARS;
    let what = format!("`buy --dry-run` with {more} cars before it against {fewer}");
    compare(&what, ("many", many), ("few", few), BUYS);
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

/// A car a row over twenty years, sold within two months; no two alike.
fn car_rows(count: u32) -> String {
    let mut text = "mark,vin,bought_on,purchase_price,from,make,miles,mot_until,sold_on,selling_price,to\n".to_owned();
    for n in 0..count {
        let bought = past_day(n, count);
        let (sold, until) = (bought + chrono::Days::new(20 + u64::from(n % 40)), bought + chrono::Days::new(330));
        writeln!(
            text,
            "{},BRNDLEX{n:010},{bought},485,R Ashdown,Brindle,{},{until},{sold},{},P Quill",
            mark(n),
            60_000 + n % 50_000,
            950 + n % 100
        )
        .expect("text");
    }
    text
}

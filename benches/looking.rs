//! What looking costs: start-up, and `stock` on a book of 1,000 cars, against the plain SQLite
//! shell on the same book in the same run. It measures and reports ratios; it asserts nothing.

#![allow(clippy::print_stdout, clippy::expect_used, missing_docs)]

use chrono::{DateTime, NaiveDate};
use runabout::domain::pence::Pence;
use runabout::domain::words::{Direction, Pocket, Purpose, Shared, Via};
use runabout::store::{NewCar, NewLine, NewMovement, NewVehicle, open_to_record};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const CARS: u32 = 1_000;
const LINES_A_CAR: u32 = 8;
const RUNS: usize = 60;
const TODAY: &str = "2026-11-25";

/// The rows `stock` shows, as the shell would be asked for them.
const SAME_ROWS: &str = "
    SELECT c.stock_no, (SELECT mark FROM mark m WHERE m.vehicle_no = c.vehicle_no ORDER BY dated DESC LIMIT 1),
        v.make || ' ' || v.model, CAST(julianday('2026-11-25') - julianday(c.bought_on) AS INTEGER),
        printf('%.2f', (c.purchase_price + (SELECT coalesce(sum(CASE direction WHEN 'cost' THEN amount ELSE -amount END), 0)
            FROM line l WHERE l.stock_no = c.stock_no AND l.dated <= '2026-11-25')) / 100.0),
        (SELECT printf('%.2f', amount / 100.0) FROM asking_price a WHERE a.stock_no = c.stock_no ORDER BY dated DESC LIMIT 1),
        (SELECT until FROM mot_certificate t WHERE t.vehicle_no = c.vehicle_no ORDER BY dated DESC LIMIT 1)
    FROM car c JOIN vehicle v USING (vehicle_no)
    WHERE c.bought_on <= '2026-11-25' AND NOT EXISTS (SELECT 1 FROM sale s WHERE s.stock_no = c.stock_no)
    ORDER BY c.stock_no";

fn main() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (book, small) = (folder.path().join("large.book"), folder.path().join("small.book"));
    fill(&book, CARS);
    fill(&small, 1);
    let program = env!("CARGO_BIN_EXE_runabout");
    let runabout = |book: &Path, command: &str| {
        let mut run = Command::new(program);
        run.args([command, "--as-of", TODAY, "--book"]).arg(book);
        run
    };
    let shell = |book: &Path, sql: &str| {
        let mut run = Command::new("sqlite3");
        run.arg("-readonly").arg(book).arg(sql);
        run
    };
    if Command::new("sqlite3").arg("--version").output().is_err() {
        println!("the sqlite3 shell is not on this machine: nothing to compare with");
        return;
    }
    compare("start-up and `stock`, 1 car", runabout(&small, "stock"), shell(&small, SAME_ROWS));
    compare("start-up and `stock`, 1,000 cars", runabout(&book, "stock"), shell(&book, SAME_ROWS));
    let cash = "SELECT sum(CASE direction WHEN 'cost' THEN -amount ELSE amount END) FROM line WHERE pocket <> 'own';
        SELECT sum(amount) FROM movement WHERE pocket <> 'own'";
    let mut forecast = runabout(&small, "forecast");
    forecast.args(["--months", "12", "--runs", "10000"]);
    println!(
        "10,000 runs of 12 months, four times over, 1 car in stock: {:.2} ms",
        time(&mut forecast).as_secs_f64() * 1e3
    );
    compare("start-up and `cash`, 1,000 cars", runabout(&book, "cash"), shell(&book, cash));
}

/// Runs both in turn, so that whatever else the machine does falls on both, and compares medians.
fn compare(what: &str, mut ours: Command, mut shells: Command) {
    let (mut our_times, mut shell_times) = (Vec::new(), Vec::new());
    for _ in 0..RUNS {
        our_times.push(time(&mut ours));
        shell_times.push(time(&mut shells));
    }
    let (our, shell) = (median(our_times), median(shell_times));
    println!(
        "{what}: {:.2} ms, shell {:.2} ms, ratio {:.2}",
        our.as_secs_f64() * 1e3,
        shell.as_secs_f64() * 1e3,
        our.as_secs_f64() / shell.as_secs_f64()
    );
}

fn time(run: &mut Command) -> Duration {
    let begun = Instant::now();
    let status = run.stdout(Stdio::null()).stderr(Stdio::null()).status().expect("the command runs");
    assert!(status.success(), "{run:?} failed");
    begun.elapsed()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times[times.len() / 2]
}

/// A book with so many cars in stock, each with its lines, written in one entry.
fn fill(path: &Path, cars: u32) {
    let (mut book, _) = open_to_record(path).expect("a new book");
    let recording = book.begin("fill", "fill", DateTime::UNIX_EPOCH).expect("an entry");
    let day = |text: &str| text.parse::<NaiveDate>().expect("a day");
    let bought = day("2026-03-02");
    for n in 0..cars {
        let vehicle =
            NewVehicle { make: Some("Brindle".into()), model: Some("Harrow".into()), ..NewVehicle::default() };
        let vehicle_no = recording.add_vehicle(&vehicle).expect("a vehicle");
        let mark = format!("JT{:02}A{}{}", 51 + n % 20, letter(n / 20), letter(n / 400)).parse().expect("a mark");
        recording.add_mark(vehicle_no, &mark, bought).expect("a mark");
        recording.add_mot_certificate(vehicle_no, bought, day("2027-02-01")).expect("a certificate");
        let stock_no = recording
            .add_car(&NewCar {
                vehicle_no,
                mark: Some(mark),
                bought_on: bought,
                purchase_price: Pence::new(45_000),
                finance: Pence::ZERO,
                vat: Pence::ZERO,
                vat_invoice: false,
                via: Via::Private,
                seller: Some("R Ashdown".into()),
                purchase_invoice: None,
                keys: None,
            })
            .expect("a car");
        recording.add_asking_price(stock_no, bought, Pence::new(99_500), None).expect("a price");
        recording
            .add_movement(&NewMovement {
                on: bought,
                pocket: Pocket::Bank,
                amount: Pence::new(-45_000),
                purpose: Purpose::Purchase,
                stock_no: Some(stock_no),
                party: None,
                note: None,
            })
            .expect("a movement");
        for line in 0..LINES_A_CAR {
            recording
                .add_line(&NewLine {
                    stock_no: Some(stock_no),
                    direction: Direction::Cost,
                    on: bought + chrono::Days::new(line.into()),
                    heading: "parts".into(),
                    amount: Pence::new(1_000 + i64::from(line)),
                    usual_price: None,
                    vat: Pence::ZERO,
                    pocket: Some(Pocket::Bank),
                    shared: Shared::Whole,
                    party: Some("Hob Lane Spares".into()),
                    note: None,
                })
                .expect("a line");
        }
    }
    recording.describe("filled for measuring", &[]).expect("a summary");
    recording.keep().expect("kept");
}

fn letter(n: u32) -> char {
    char::from(b'A' + u8::try_from(n % 8).expect("small"))
}

//! What looking costs: start-up, and `stock` and `cash` on a book of 1,000 cars, against the plain SQLite
//! shell asked of the same book in the same run; and the most memory it takes. For `stock` the shell is
//! asked for the same rows, which is checked field by field, and for seven of their columns.

use crate::filling::{Filled, fill};
use crate::measuring::{answer, compare, has_shell, peak_memory, runabout, shell};
use std::path::Path;
use std::process::Command;

const RUNS: usize = 60;

/// What `stock` answers as CSV, asked of the shell.
const SAME_ROWS: &str = include_str!("same_rows.sql");

/// A shorter question: no MOT tests, no tax, no deposits, no flags.
const SEVEN_COLUMNS: &str = "
    SELECT c.stock_no, (SELECT mark FROM mark m WHERE m.vehicle_no = c.vehicle_no ORDER BY dated DESC LIMIT 1),
        v.make || ' ' || v.model, CAST(julianday('2026-11-25') - julianday(c.bought_on) AS INTEGER),
        printf('%.2f', (c.purchase_price + (SELECT coalesce(sum(CASE direction WHEN 'cost' THEN amount ELSE -amount END), 0)
            FROM line l WHERE l.stock_no = c.stock_no AND l.dated <= '2026-11-25')) / 100.0),
        (SELECT printf('%.2f', amount / 100.0) FROM asking_price a WHERE a.stock_no = c.stock_no ORDER BY dated DESC LIMIT 1),
        (SELECT until FROM mot_certificate t WHERE t.vehicle_no = c.vehicle_no ORDER BY dated DESC LIMIT 1)
    FROM car c JOIN vehicle v USING (vehicle_no)
    WHERE c.bought_on <= '2026-11-25' AND NOT EXISTS (SELECT 1 FROM sale s WHERE s.stock_no = c.stock_no)
    ORDER BY c.stock_no";

const BALANCE: &str =
    "SELECT sum(CASE direction WHEN 'cost' THEN -amount ELSE amount END) FROM line WHERE pocket <> 'own';
    SELECT sum(amount) FROM movement WHERE pocket <> 'own'";

pub fn measure() {
    if !has_shell() {
        return;
    }
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (large, small) = (folder.path().join("large.book"), folder.path().join("small.book"));
    fill(&large, Filled { sold: 0, in_stock: 1_000, lines_a_car: 8, yard_lines: 0 });
    fill(&small, Filled { sold: 0, in_stock: 1, lines_a_car: 8, yard_lines: 0 });
    let csv = ["stock", "--format", "csv"];
    assert_eq!(records(&mut runabout(&large, &csv)), records(&mut as_csv(&large)), "the shell answers otherwise");
    for (what, ours, theirs) in [
        ("start-up and `stock`, 1 car", runabout(&small, &csv), as_csv(&small)),
        ("start-up and `stock`, 1,000 cars", runabout(&large, &csv), as_csv(&large)),
        ("the same drawn as a table, and seven columns", runabout(&large, &["stock"]), shell(&large, SEVEN_COLUMNS)),
        ("start-up and `cash`, 1,000 cars", runabout(&large, &["cash"]), shell(&large, BALANCE)),
    ] {
        compare(what, ("runabout", ours), ("shell", theirs), RUNS);
    }
    match peak_memory(&mut runabout(&large, &["stock"])) {
        Some(kilobytes) => println!("most memory in `stock`, 1,000 cars: {:.1} MB", kilobytes as f64 / 1024.0),
        None => println!("most memory in `stock`: this system does not say (Linux does)"),
    }
}

/// The shell asked for what `stock` answers.
fn as_csv(book: &Path) -> Command {
    let mut run = Command::new("sqlite3");
    run.args(["-csv", "-header"]).arg(book).arg(SAME_ROWS);
    run
}

/// The fields of an answer in CSV, whoever quotes what.
fn records(run: &mut Command) -> Vec<csv::StringRecord> {
    csv::Reader::from_reader(answer(run).as_slice()).records().collect::<Result<_, _>>().expect("CSV")
}

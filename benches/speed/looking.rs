//! What looking costs: start-up, and `stock` and `cash` on a book of 1,000 cars, against the plain SQLite
//! shell asked for the same rows of the same book in the same run; and the most memory it takes.

use crate::filling::{Filled, fill};
use crate::measuring::{compare, has_shell, peak_memory, runabout, shell};

const RUNS: usize = 60;

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
    for (what, book, command, sql) in [
        ("start-up and `stock`, 1 car", &small, "stock", SAME_ROWS),
        ("start-up and `stock`, 1,000 cars", &large, "stock", SAME_ROWS),
        ("start-up and `cash`, 1,000 cars", &large, "cash", BALANCE),
    ] {
        compare(what, ("runabout", runabout(book, &[command])), ("shell", shell(book, sql)), RUNS);
    }
    match peak_memory(&mut runabout(&large, &["stock"])) {
        Some(kilobytes) => println!("most memory in `stock`, 1,000 cars: {:.1} MB", kilobytes as f64 / 1024.0),
        None => println!("most memory in `stock`: this system does not say (Linux does)"),
    }
}

//! What recording one line costs, against the plain SQLite shell putting one row in the same book with the
//! same durability.

use crate::filling::{fill, grown};
use crate::measuring::{DURABLE, compare, has_shell, runabout, shell, time};

const RUNS: usize = 60;

pub fn measure() {
    if !has_shell() {
        return;
    }
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (ours, theirs) = (folder.path().join("ours.book"), folder.path().join("theirs.book"));
    fill(&ours, grown(10_000));
    std::fs::copy(&ours, &theirs).expect("a copy of the book");
    time(&mut shell(&theirs, "CREATE TABLE one_row (number INTEGER PRIMARY KEY, words TEXT) STRICT"));
    let plain = format!("{DURABLE} BEGIN IMMEDIATE; INSERT INTO one_row (words) VALUES ('12.50 tools'); COMMIT;");
    let line = format!(
        "{DURABLE} BEGIN IMMEDIATE; INSERT INTO line (entry_no, direction, dated, heading, amount, vat, pocket, shared)
         VALUES (1, 'cost', '2026-11-25', 'tools', 1250, 0, 'bank', 'whole'); COMMIT;"
    );
    for (what, spend) in [
        ("a line on the yard", &["spend", "12.50", "tools", "--overhead"][..]),
        ("a line on a car", &["spend", "12.50", "tools", "--car", "255"]),
    ] {
        for (against, sql) in [("one row of a plain table", &plain), ("one row of the lines", &line)] {
            let what = format!("{what} against {against}");
            compare(&what, ("runabout", runabout(&ours, spend)), ("shell", shell(&theirs, sql)), RUNS);
        }
    }
}

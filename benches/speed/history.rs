//! What a long past costs: a book with a million money lines against one with ten thousand, the month looked
//! at being the same in both. The past has cars in proportion, twenty lines each, so it is not lines alone.

use crate::filling::{fill, grown};
use crate::measuring::{compare, runabout};

const RUNS: usize = 25;

pub fn measure() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let (long, short) = (folder.path().join("long.book"), folder.path().join("short.book"));
    fill(&short, grown(10_000));
    fill(&long, grown(1_000_000));
    for line in [&["month"][..], &["month", "2026-10"], &["stock"], &["cash"], &["due"], &["log"]] {
        let what = format!("`{}`, 1,000,000 lines against 10,000", line.join(" "));
        compare(&what, ("long past", runabout(&long, line)), ("short past", runabout(&short, line)), RUNS);
    }
}

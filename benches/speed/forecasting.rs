//! What a forecast of 10,000 runs over 12 months costs, start-up and reading the book included. The command
//! plays it four times over: as set out, with one car more, a dearer budget, slower sales.

use crate::filling::{fill, grown};
use crate::measuring::{median, runabout, time};

const RUNS: usize = 15;

pub fn measure() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let book = folder.path().join("yard.book");
    fill(&book, grown(10_000));
    time(&mut runabout(&book, &["programme", "set", "--cars", "1", "--budget", "650"]));
    time(&mut runabout(&book, &["pay-in", "5000"]));
    let forecast = |runs| {
        let mut run = runabout(&book, &["forecast", "--months", "12", "--runs", runs]);
        median((0..RUNS).map(|_| time(&mut run)).collect()).as_secs_f64() * 1e3
    };
    println!("`forecast`, 12 months, 10,000 runs: {:.0} ms; 100 runs: {:.0} ms", forecast("10000"), forecast("100"));
}

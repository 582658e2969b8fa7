//! What the program costs in time and memory, as ratios to the plain SQLite shell on the same book in the same
//! run. It measures and reports; it asserts no time. `cargo bench` runs everything, `cargo bench -- history`
//! one part.

#![allow(clippy::print_stdout, clippy::expect_used, clippy::cast_precision_loss)]

mod filling;
mod forecasting;
mod history;
mod importing;
mod looking;
mod measuring;
mod recording;

/// A part by its name.
type Part = (&'static str, fn());

const PARTS: &[Part] = &[
    ("looking", looking::measure),
    ("history", history::measure),
    ("recording", recording::measure),
    ("importing", importing::measure),
    ("forecasting", forecasting::measure),
];

fn main() {
    // Cargo adds `--bench`.
    let named: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    for (name, measure) in PARTS.iter().filter(|(name, _)| named.is_empty() || named.iter().any(|part| part == name)) {
        println!("== {name}");
        measure();
    }
}

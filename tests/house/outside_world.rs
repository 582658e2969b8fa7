//! What a file may not say, wherever it stands: no printing and no clock but where the world outside comes in, no
//! binary floating point in the domain, and nothing before the sentence that says what the file is for.

use crate::code_of;
use crate::fault::{Fault, assert_none};
use crate::tree::Tree;

/// Where today, the terminal and the standard streams come in.
const OUTSIDE_WORLD: &str = "src/env.rs";

const PRINTING: &[&str] = &["println!", "eprintln!", "dbg!", "todo!", "unimplemented!"];

/// Every line of `src` that prints, or is not written yet.
pub fn printing(tree: &Tree) -> Vec<Fault> {
    found(tree, PRINTING, |_| true)
}

/// Every line that reads the clock outside the one place for it.
pub fn reading_the_clock(tree: &Tree) -> Vec<Fault> {
    found(tree, &["::now()"], |file| file != OUTSIDE_WORLD)
}

/// Every line of the domain with binary floating point, but for the rate of return, which cannot be had otherwise.
pub fn floating_point(tree: &Tree) -> Vec<Fault> {
    found(tree, &["f64", "f32"], |file| file.starts_with("src/domain/") && !file.ends_with("/annual_return.rs"))
}

/// Every line of code that holds one of these, in the files that must not.
fn found(tree: &Tree, banned: &[&str], must_not: fn(&str) -> bool) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (file, _) in tree.sources().filter(|(file, _)| must_not(file)) {
        let code = code_of(tree.text(file).unwrap_or_default());
        for (number, line) in code.lines().enumerate() {
            let met = banned.iter().filter(|banned| line.contains(**banned));
            faults.extend(met.map(|banned| Fault::at(file, number + 1, *banned)));
        }
    }
    faults
}

/// Every file that does not begin by saying what it is for.
pub fn without_a_header(tree: &Tree) -> Vec<Fault> {
    let files = tree.files("src/", ".rs").chain(tree.files("tests/", ".rs"));
    let without = files.filter(|(_, text)| !text.starts_with("//! "));
    without.map(|(file, _)| Fault::at(file, 1, "does not say what the module is for")).collect()
}

#[test]
fn only_the_outside_world_prints_or_reads_the_clock() {
    assert_none(&printing(Tree::this()));
    assert_none(&reading_the_clock(Tree::this()));
}

#[test]
fn only_the_rate_of_return_is_binary_floating_point() {
    assert_none(&floating_point(Tree::this()));
}

#[test]
fn every_module_says_what_it_is_for() {
    assert_none(&without_a_header(Tree::this()));
}

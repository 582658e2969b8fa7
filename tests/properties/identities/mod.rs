//! What must hold of any history, whatever its figures are.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod bridge;
mod page;
mod tax_year;
mod time;
mod undo;
mod vat;

use crate::common::Yard;
use crate::history::History;
use serde_json::Value;

/// Money as the program told it, in pence.
fn pence(told: &Value) -> i64 {
    let text = told.as_str().unwrap_or_else(|| panic!("no money: {told}"));
    let (pounds, pennies) = text.split_once('.').expect("two decimals");
    assert_eq!(pennies.len(), 2, "{text}");
    format!("{pounds}{pennies}").parse().expect("digits")
}

/// Records the first commands of a history.
fn record_first(history: &History, commands: usize) -> Yard {
    let yard = Yard::new(&history.today.to_string());
    for step in &history.steps[..commands] {
        yard.ok(&step.line);
    }
    yard
}

//! The word of a heading.

use crate::domain::value::value_error::ValueError;

/// A new heading's word: 2 to 30 lower-case letters, digits and hyphens, a letter first; not one
/// of the words that settle balances.
pub fn heading_name(typed: &str) -> Result<String, ValueError> {
    let name = typed.trim().to_lowercase();
    let refused = |accepted: &str| Err(ValueError::new("heading", typed, accepted));
    if matches!(name.as_str(), "balance" | "vat" | "purchase") {
        return refused("write another word; this one is reserved");
    }
    let plain = name.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'-');
    if plain && (2..=30).contains(&name.len()) && name.starts_with(|first: char| first.is_ascii_lowercase()) {
        Ok(name)
    } else {
        refused("write one word of letters, digits and hyphens, such as rust-repair")
    }
}

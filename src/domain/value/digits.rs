//! Plain digits in a typed word. The standard parser takes a sign as well, which no typed
//! value of the book has.

use std::ops::RangeInclusive;

/// Whether `text` is one or more of the digits 0 to 9 and nothing else.
pub fn are_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit())
}

/// The number written with so many digits; `None` for anything else, or past a `u32`.
pub fn number(text: &str, length: RangeInclusive<usize>) -> Option<u32> {
    if are_digits(text) && length.contains(&text.len()) { text.parse().ok() } else { None }
}

/// A whole number with thousands commas: `82,000`.
pub fn grouped(number: u32) -> String {
    let digits = number.to_string();
    let mut shown = String::new();
    for (at, digit) in digits.char_indices() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            shown.push(',');
        }
        shown.push(digit);
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::{are_digits, number};

    #[test]
    fn only_plain_digits_count() {
        for text in ["", "+1", "-1", " 1", "1.0", "1e3", "٢", "２"] {
            assert!(!are_digits(text), "{text:?}");
            assert_eq!(number(text, 0..=9), None, "{text:?}");
        }
        assert!(are_digits("0123456789"));
    }

    #[test]
    fn the_number_of_digits_counts() {
        assert_eq!(number("07", 1..=2), Some(7));
        assert_eq!(number("007", 1..=2), None);
        assert_eq!(number("7", 2..=4), None);
        assert_eq!(number("4294967295", 1..=10), Some(u32::MAX));
        assert_eq!(number("4294967296", 1..=10), None);
    }
}

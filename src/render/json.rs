//! JSON (RFC 8259) for machines: the report's own serialisation, indented, and safe to look at.

use std::fmt::Write as _;

use serde::Serialize;

use crate::domain::value::control_chars::is_unseen;

/// The value as indented JSON with a line break at the end.
///
/// Inside strings, characters that would act on a terminal are written as `\u` escapes. RFC 8259
/// (section 7) asks that only of those below U+0020, but allows it of any, and a reader gets the
/// same text back.
///
/// # Errors
/// When the value's own serialisation fails.
pub fn pretty<T: Serialize>(value: &T) -> Result<String, serde_json::Error> {
    let plain = serde_json::to_string_pretty(value)?;
    // A line break inside a string is already escaped, so any that is left is layout; every other
    // unseen character can only stand inside a string.
    let is_layout = |character: char| character == '\n';
    let mut safe = String::with_capacity(plain.len() + 1);
    for character in plain.chars() {
        if is_unseen(character) && !is_layout(character) {
            let mut units = [0; 2];
            for unit in character.encode_utf16(&mut units) {
                // Writing to a String cannot fail.
                let _ = write!(safe, "\\u{unit:04x}");
            }
        } else {
            safe.push(character);
        }
    }
    safe.push('\n');
    Ok(safe)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use proptest::prelude::*;

    use super::*;
    use crate::domain::value::pence::Pence;
    use crate::report::cell::{Cell, MoneyText};

    #[test]
    fn a_report_is_indented_and_ends_its_line() {
        let report = BTreeMap::from([("a_price", Cell::Money(Pence::new(125_000))), ("b_sold_on", Cell::Missing)]);
        assert_eq!(pretty(&report).unwrap(), "{\n  \"a_price\": \"1250.00\",\n  \"b_sold_on\": null\n}\n");
        assert_eq!(pretty(&MoneyText(Pence::new(-5))).unwrap(), "\"-0.05\"\n");
    }

    #[test]
    fn hostile_text_is_escaped() {
        let text = "\u{1b}[2J\n\u{202e}\u{9b}\u{e0041}ë漢";
        assert_eq!(pretty(&text).unwrap(), "\"\\u001b[2J\\n\\u202e\\u009b\\udb40\\udc41ë漢\"\n");
    }

    proptest! {
        #[test]
        fn any_text_reads_back(text in any::<String>()) {
            let written = pretty(&text).unwrap();
            prop_assert!(!written.trim_end_matches('\n').contains(is_unseen));
            prop_assert_eq!(serde_json::from_str::<String>(&written).unwrap(), text);
        }
    }
}

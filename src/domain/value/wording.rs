//! Free text a person types: names, notes, reasons, descriptions.

use std::fmt;
use std::str::FromStr;

use crate::domain::value::control_chars::is_unseen;
use crate::domain::value::value_error::ValueError;

const WHAT: &str = "text";
/// Longest text, in characters.
const LONGEST: usize = 500;

/// One line of text as somebody typed it, without the spaces around it.
///
/// It has 1 to 500 characters, none of them a control character, a line break, a tab or one
/// of Unicode's invisible and direction-changing ones, so it is safe to show anywhere text is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Wording(String);

impl Wording {
    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl AsRef<str> for Wording {
    fn as_ref(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Wording {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl FromStr for Wording {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        // Unseen characters are looked for before trimming: a line break at the end of a
        // word tells of a paste that went wrong.
        if let Some(unseen) = text.chars().find(|&character| is_unseen(character)) {
            return Err(ValueError::refused(WHAT, text, format!("has {} in it", named(unseen))));
        }
        let trimmed = text.trim();
        if trimmed.is_empty() {
            return Err(ValueError::refused(WHAT, text, "is empty: write at least one character"));
        }
        if trimmed.chars().count() > LONGEST {
            return Err(ValueError::refused(WHAT, text, format!("is too long: the most is {LONGEST} characters")));
        }
        Ok(Self(trimmed.to_owned()))
    }
}

/// An unseen character in words, with its code point.
fn named(unseen: char) -> String {
    let kind = match unseen {
        '\n' | '\r' | '\u{2028}' | '\u{2029}' => "a line break",
        '\t' => "a tab",
        _ if unseen.is_control() => "a control character",
        _ => "an invisible character",
    };
    format!("{kind} (U+{:04X})", u32::from(unseen))
}

#[cfg(test)]
mod tests {
    use super::Wording;

    fn read(text: &str) -> Result<String, String> {
        text.parse::<Wording>().map(|w| w.as_str().to_owned()).map_err(|e| e.to_string())
    }

    #[test]
    fn ordinary_text_is_kept_as_typed() {
        for text in ["Dot Farrow", "O'Neill & Söhne", "n/s/f tyre, 3 mm", "=1+1", "a  b", "日本"] {
            assert_eq!(read(text), Ok(text.to_owned()));
        }
        assert_eq!(read("  Dot Farrow "), Ok("Dot Farrow".to_owned()));
        assert_eq!("Dot".parse().map(|name: Wording| format!("{name:<5}|")), Ok("Dot  |".to_owned()));
    }

    #[test]
    fn length_is_counted_in_characters() {
        let longest = "é".repeat(500);
        assert_eq!(read(&longest), Ok(longest.clone()));
        assert!(read(&format!("{longest}e")).is_err_and(|e| e.ends_with("is too long: the most is 500 characters")));
        assert_eq!(read(&format!(" {longest} ")), Ok(longest));
        assert_eq!(read("  "), Err("text '  ' is empty: write at least one character".to_owned()));
        assert!(read("").is_err());
    }

    #[test]
    fn unseen_characters_are_refused_by_their_code_point() {
        for (text, named) in [
            ("one\ntwo", "a line break (U+000A)"),
            ("one\r", "a line break (U+000D)"),
            ("one\ttwo", "a tab (U+0009)"),
            ("\u{1B}[31m", "a control character (U+001B)"),
            ("a\u{0}", "a control character (U+0000)"),
            ("a\u{9B}31m", "a control character (U+009B)"),
            ("a\u{200B}b", "an invisible character (U+200B)"),
            ("abc\u{202E}fdp", "an invisible character (U+202E)"),
            ("a\u{2066}b", "an invisible character (U+2066)"),
            ("\u{FEFF}a", "an invisible character (U+FEFF)"),
            ("a\u{2029}b", "a line break (U+2029)"),
        ] {
            assert!(read(text).is_err_and(|e| e.ends_with(&format!("has {named} in it"))), "{text:?}");
        }
        assert_eq!(read("a\u{202E}b"), Err(r"text 'a\u{202e}b' has an invisible character (U+202E) in it".to_owned()));
    }
}

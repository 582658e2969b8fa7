//! The one error of every parser of a typed value: which value, what was typed, what would do.

use std::fmt;

use crate::domain::value::control_chars::escape_control_chars;

/// Longest piece of what was typed that an error repeats, in characters.
const LONGEST_SHOWN: usize = 60;

/// What is said of a word of no known form, before what would do.
const UNKNOWN_FORM: &str = "is not understood: ";

/// A typed word that cannot be taken as the value it stands for.
///
/// It prints as one sentence without a full stop, such as `amount '12.345' is not understood:
/// write pounds and pence with at most two decimals, such as 1250 or £1,250.50`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ValueError {
    what: &'static str,
    given: String,
    verdict: String,
    at_odds: bool,
}

impl ValueError {
    /// A word of no known form: `what '…' is not understood: accepted`.
    pub fn new(what: &'static str, given: impl Into<String>, accepted: impl fmt::Display) -> Self {
        Self::refused(what, given, format!("{UNKNOWN_FORM}{accepted}"))
    }

    /// What would do, for a word of no known form.
    pub fn accepted(&self) -> Option<&str> {
        self.verdict.strip_prefix(UNKNOWN_FORM)
    }

    /// A word that is no such value as it is written: `what '…' verdict`.
    ///
    /// `verdict` begins with a verb, as in `has a sign: write the amount alone`.
    pub fn refused(what: &'static str, given: impl Into<String>, verdict: impl Into<String>) -> Self {
        Self { what, given: given.into(), verdict: verdict.into(), at_odds: false }
    }

    /// A value that was read well and cannot stand beside today, or beside what the book or the rest of the
    /// line says: `what '…' verdict`.
    pub fn at_odds(what: &'static str, given: impl Into<String>, verdict: impl Into<String>) -> Self {
        Self { at_odds: true, ..Self::refused(what, given, verdict) }
    }

    /// Whether the word could be read, and only what it stands for cannot be.
    pub const fn is_at_odds(&self) -> bool {
        self.at_odds
    }

    /// The kind of value, such as `amount` or `date`.
    pub const fn what(&self) -> &'static str {
        self.what
    }

    /// What was typed, whole and as it was.
    pub fn given(&self) -> &str {
        &self.given
    }
}

impl fmt::Display for ValueError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let shown: String = self.given.chars().take(LONGEST_SHOWN).collect();
        let cut = if shown.len() < self.given.len() { "…" } else { "" };
        write!(f, "{} '{}{cut}' {}", self.what, escape_control_chars(&shown), self.verdict)
    }
}

impl std::error::Error for ValueError {}

#[cfg(test)]
mod tests {
    use super::ValueError;

    #[test]
    fn it_says_what_with_the_value_and_the_accepted_form() {
        let error = ValueError::new("amount", "12.345", "write pounds and pence");
        assert_eq!(error.to_string(), "amount '12.345' is not understood: write pounds and pence");
        assert_eq!(error.accepted(), Some("write pounds and pence"));
        let error = ValueError::refused("amount", "-5", "has a sign");
        assert_eq!(error.accepted(), None);
        assert_eq!(error.to_string(), "amount '-5' has a sign");
        assert_eq!((error.what(), error.given()), ("amount", "-5"));
    }

    #[test]
    fn control_characters_are_escaped() {
        let error = ValueError::new("date", "21\u{1B}[31m/11\n", "write a date");
        assert_eq!(error.to_string(), r"date '21\u{1b}[31m/11\n' is not understood: write a date");
    }

    #[test]
    fn long_words_are_cut_after_sixty_characters() {
        let sixty = "é".repeat(60);
        let whole = ValueError::refused("name", sixty.clone(), "is odd").to_string();
        assert_eq!(whole, format!("name '{sixty}' is odd"));
        let cut = ValueError::refused("name", format!("{sixty}e"), "is odd").to_string();
        assert_eq!(cut, format!("name '{sixty}…' is odd"));
    }
}

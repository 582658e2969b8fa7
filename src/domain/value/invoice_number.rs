//! The numbers of papers given to buyers. Each is the book's own number of the sale or the take-back it
//! belongs to, so it is unique, runs on, is never given to another, and stays the same for ever.

use crate::domain::value::value_error::ValueError;
use std::fmt;
use std::str::FromStr;

/// The number of an invoice or a credit note.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PaperNumber {
    /// Of the invoice for the sale with this number.
    Sale(i64),
    /// Of the credit note for the take-back with this number.
    TakeBack(i64),
}

impl fmt::Display for PaperNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&match self {
            Self::Sale(number) => sales_invoice(*number),
            Self::TakeBack(number) => credit_note(*number),
        })
    }
}

/// `S12` or `C3`, in capitals or not.
impl FromStr for PaperNumber {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        let trimmed = typed.trim();
        let mut letters = trimmed.chars();
        let series = letters.next().map(|first| first.to_ascii_uppercase());
        let number = Some(letters.as_str()).filter(|digits| digits.bytes().all(|byte| byte.is_ascii_digit()));
        match (series, number.and_then(|digits| digits.parse().ok())) {
            (Some('S'), Some(number)) => Ok(Self::Sale(number)),
            (Some('C'), Some(number)) => Ok(Self::TakeBack(number)),
            _ => Err(ValueError::new("number", typed, "write S12 for an invoice or C3 for a credit note")),
        }
    }
}
/// The number of the invoice of a sale: `S12`. Margin-scheme invoices are numbered in sequence (AM
/// Online, 4 October 2007, on the rules of 1 October 2007), and a gap has to be explained.
pub fn sales_invoice(sale_no: i64) -> String {
    format!("S{sale_no}")
}

/// The number of the credit note for a sale taken back: `C3`. A series of its own.
pub fn credit_note(take_back_no: i64) -> String {
    format!("C{take_back_no}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_series_never_meet() {
        assert_eq!([sales_invoice(12), credit_note(12)], ["S12", "C12"]);
    }

    #[test]
    fn numbers_read_back_and_strangers_are_told_the_form() {
        for (typed, number) in
            [("S12", PaperNumber::Sale(12)), (" s1 ", PaperNumber::Sale(1)), ("c3", PaperNumber::TakeBack(3))]
        {
            assert_eq!(typed.parse(), Ok(number));
            assert_eq!(number.to_string().parse(), Ok(number));
        }
        for stranger in ["", "S", "12", "S-1", "S1.5", "X3", "S99999999999999999999", "É1"] {
            assert!(stranger.parse::<PaperNumber>().is_err(), "{stranger}");
        }
    }
}

//! Vehicle identification numbers and older chassis numbers.

use std::fmt;
use std::str::FromStr;

use crate::domain::value::value_error::ValueError;

const WHAT: &str = "VIN";
const ACCEPTED: &str = "write its 17 letters and digits, or the 5 to 16 of an older chassis number";
const FULL: usize = 17;
const SHORTEST: usize = 5;
/// Where the check digit stands, counted from nought: the ninth character.
const CHECK_AT: usize = 8;
/// The weight of each position, 49 CFR 565.15(c).
const WEIGHTS: [u32; FULL] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/// A VIN of 17 characters (ISO 3779: digits and capitals except I, O and Q), or a shorter
/// chassis number as cars carried before about 1981; in capitals, without spaces or hyphens.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Vin(String);

/// The check digit a VIN should have in position 9, and what stands there.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CheckDigit {
    /// By the sum over the other sixteen: a digit, or X for ten.
    pub expected: char,
    /// The ninth character.
    pub found: char,
}

impl Vin {
    /// The number in capitals without spaces.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether it has fewer than 17 characters: a chassis number from before about 1981.
    pub fn is_short(&self) -> bool {
        self.0.len() < FULL
    }

    /// The check digit by 49 CFR 565.15, for a VIN of 17 characters.
    ///
    /// It is compulsory only in North America and China; a European maker may put any letter
    /// there, most often Z.
    pub fn check_digit(&self) -> Option<CheckDigit> {
        if self.is_short() {
            return None;
        }
        let sum = self
            .0
            .chars()
            .zip(WEIGHTS)
            .try_fold(0, |sum, (character, weight)| Some(sum + value(character)? * weight))?;
        let expected = char::from_digit(sum % 11, 10).unwrap_or('X');
        Some(CheckDigit { expected, found: self.0.chars().nth(CHECK_AT)? })
    }

    /// A note, never a reason to refuse, when position 9 looks like a check digit (a digit or
    /// X) and is not the right one.
    pub fn check_note(&self) -> Option<String> {
        let CheckDigit { expected, found } = self.check_digit()?;
        let looks_like_one = found.is_ascii_digit() || found == 'X';
        (looks_like_one && found != expected).then(|| {
            format!(
                "VIN {self} has {found} in position 9 where a North American check digit would \
                 be {expected}: look at it again, though a European car's need not match"
            )
        })
    }

    /// A note, never a reason to refuse, when the number is shorter than a VIN.
    pub fn length_note(&self) -> Option<String> {
        self.is_short().then(|| {
            format!(
                "VIN {self} has {} characters of 17: right only for a chassis number from \
                 before about 1981",
                self.0.len()
            )
        })
    }
}

impl fmt::Display for Vin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

/// A VIN as typed: case, spaces and hyphens do not matter.
impl FromStr for Vin {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let vin: String =
            text.chars().filter(|c| !c.is_whitespace() && *c != '-').map(|c| c.to_ascii_uppercase()).collect();
        if !vin.bytes().all(|b| b.is_ascii_alphanumeric()) {
            return Err(ValueError::new(WHAT, text, ACCEPTED));
        }
        match vin.len() {
            FULL => match vin.chars().find(|c| matches!(c, 'I' | 'O' | 'Q')) {
                None => Ok(Self(vin)),
                Some(letter) => Err(ValueError::refused(
                    WHAT,
                    text,
                    format!("has the letter {letter}: a VIN has no I, O or Q, so look for 1 or 0"),
                )),
            },
            SHORTEST..FULL => Ok(Self(vin)),
            0 => Err(ValueError::new(WHAT, text, ACCEPTED)),
            length => Err(ValueError::refused(WHAT, text, format!("has the wrong length, {length}: {ACCEPTED}"))),
        }
    }
}

/// What a character counts for, 49 CFR 565.15(c).
fn value(character: char) -> Option<u32> {
    Some(match character {
        '0'..='9' => character.to_digit(10)?,
        'A' | 'J' => 1,
        'B' | 'K' | 'S' => 2,
        'C' | 'L' | 'T' => 3,
        'D' | 'M' | 'U' => 4,
        'E' | 'N' | 'V' => 5,
        'F' | 'W' => 6,
        'G' | 'P' | 'X' => 7,
        'H' | 'Y' => 8,
        'R' | 'Z' => 9,
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::{CheckDigit, Vin};

    fn vin(text: &str) -> Vin {
        text.parse().unwrap()
    }

    #[test]
    fn case_spaces_and_hyphens_do_not_matter() {
        for typed in ["11111111111111111", " 111 1111-1111111111 "] {
            assert_eq!(vin(typed).as_str(), "11111111111111111", "{typed:?}");
        }
        assert_eq!(vin("abc-12345").to_string(), "ABC12345");
    }

    #[test]
    fn lengths() {
        for length in 5..=16 {
            let short = vin(&"A".repeat(length));
            assert!(short.is_short());
            assert_eq!(short.check_digit(), None);
            assert_eq!(short.check_note(), None);
            assert!(short.length_note().unwrap().contains(&format!("has {length} characters")));
        }
        assert!(!vin(&"A".repeat(17)).is_short());
        assert_eq!(vin(&"A".repeat(17)).length_note(), None);
        for length in [1, 4, 18, 100] {
            let error = "A".repeat(length).parse::<Vin>().unwrap_err().to_string();
            assert!(error.contains(&format!("has the wrong length, {length}: ")), "{error}");
        }
        for typed in ["", "-", "ABC£1234", "ABÇ12345", "AB_12345"] {
            let error = typed.parse::<Vin>().unwrap_err().to_string();
            assert!(error.contains("is not understood: write its 17"), "{error}");
        }
    }

    #[test]
    fn seventeen_characters_have_no_i_o_or_q() {
        for letter in ["I", "O", "q"] {
            let typed = format!("1111111111111111{letter}");
            assert_eq!(
                typed.parse::<Vin>().unwrap_err().to_string(),
                format!(
                    "VIN '{typed}' has the letter {}: a VIN has no I, O or Q, so look for 1 or 0",
                    letter.to_uppercase()
                )
            );
        }
        // Older numbers had no such rule.
        assert_eq!(vin("OIQ12").as_str(), "OIQ12");
    }

    #[test]
    fn a_wrong_check_digit_is_a_note() {
        assert_eq!(vin("11111111111111111").check_note(), None);
        assert_eq!(vin("11111111211111111").check_digit(), Some(CheckDigit { expected: '1', found: '2' }));
        assert_eq!(
            vin("11111111211111111").check_note().unwrap(),
            "VIN 11111111211111111 has 2 in position 9 where a North American check digit would \
             be 1: look at it again, though a European car's need not match"
        );
        assert!(vin("11111111X11111111").check_note().is_some());
        // A letter other than X is a filler.
        assert_eq!(vin("11111111Z11111111").check_note(), None);
    }
}

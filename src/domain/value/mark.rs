//! Registration marks: how they are typed, kept, shown and told apart by their shape.
//!
//! Shapes follow the formats described in DVLA leaflet INF104, "Vehicle registration numbers
//! and number plates". An unknown shape is never refused: the DVSA's own form accepts any mark
//! of 1 to 13 letters, digits and hyphens.

use std::fmt;
use std::str::FromStr;

use crate::domain::value::digits::are_digits;
use crate::domain::value::value_error::ValueError;

const WHAT: &str = "mark";
const ACCEPTED: &str = "write 1 to 13 letters, digits or hyphens, such as KX42 RTO";
const LONGEST: usize = 13;
/// Says that what follows is a mark although it has no letter.
const PREFIX: &str = "mark:";

/// A registration mark in capitals without spaces.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Mark(String);

/// The series a mark belongs to by its pattern of letters and digits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MarkShape {
    /// `AB12 CDE`, from September 2001.
    Current,
    /// `A123 ABC`, August 1983 to August 2001.
    Prefix,
    /// `ABC 123A`, 1963 to July 1983.
    Suffix,
    /// `ABC 123` or `1234 AB`, before the suffix letters.
    Dateless,
    /// `AAZ 1234`: two or three letters with an I or a Z among them. It tells no date.
    NorthernIreland,
    /// `Q123 ABC`: age or identity not known.
    Q,
    /// `123D456` or `123X456`.
    Diplomatic,
    /// Anything else, perhaps from abroad, perhaps a slip.
    Unknown,
}

impl Mark {
    /// The mark in capitals without spaces: `KX42RTO`.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether there is a letter in it. Without one it has to be typed as `mark:1234`, since
    /// digits alone mean a stock number.
    pub fn has_letter(&self) -> bool {
        self.0.bytes().any(|b| b.is_ascii_alphabetic())
    }

    /// The series its pattern belongs to.
    pub fn shape(&self) -> MarkShape {
        self.shape_and_space().0
    }

    /// The shape, and where in the text the space of a number plate stands.
    fn shape_and_space(&self) -> (MarkShape, Option<usize>) {
        let text = self.as_str();
        let runs = runs(text);
        let before_last = runs.last().map(|last| text.len() - last.len());
        let after_first = runs.first().map(|first| first.len());
        match *runs.as_slice() {
            [tag, age, end] if is_current(tag, age, end) => (MarkShape::Current, before_last),
            ["Q", count, end] if is_count(count, 3) && is_letters(end, 3..=3) => (MarkShape::Q, before_last),
            [year, count, end] if is_dated_letter(year) && is_count(count, 3) && is_letters(end, 3..=3) => {
                (MarkShape::Prefix, before_last)
            }
            [start, count, year] if is_letters(start, 3..=3) && is_count(count, 3) && is_dated_letter(year) => {
                (MarkShape::Suffix, after_first)
            }
            [country, "D" | "X", serial] if is_digits(country, 3) && is_digits(serial, 3) => {
                (MarkShape::Diplomatic, None)
            }
            [start, count] if is_letters(start, 2..=3) && start.contains(['I', 'Z']) && is_count(count, 4) => {
                (MarkShape::NorthernIreland, after_first)
            }
            [first, second] if is_dateless(first, second) || is_dateless(second, first) => {
                (MarkShape::Dateless, after_first)
            }
            _ => (MarkShape::Unknown, None),
        }
    }
}

/// Whether two words typed one after the other are a mark of a known shape, split where its
/// space stands: `KX42` and `RTO`.
pub fn joins(first: &str, second: &str) -> Option<MarkShape> {
    let mark: Mark = format!("{first}{second}").parse().ok()?;
    let (shape, space) = mark.shape_and_space();
    (space == Some(first.trim().len())).then_some(shape)
}

/// With its space put back where the shape has one: `KX42 RTO`.
impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.shape_and_space().1.and_then(|at| self.0.split_at_checked(at)) {
            Some((first, second)) => f.pad(&format!("{first} {second}")),
            None => f.pad(&self.0),
        }
    }
}

/// A mark as typed: case and spaces do not matter. Without a letter in it, it is refused
/// unless it is written `mark:1234`.
impl FromStr for Mark {
    type Err = ValueError;

    fn from_str(text: &str) -> Result<Self, ValueError> {
        let trimmed = text.trim();
        let (said_to_be_a_mark, word) = match trimmed.split_at_checked(PREFIX.len()) {
            Some((prefix, rest)) if prefix.eq_ignore_ascii_case(PREFIX) => (true, rest),
            _ => (false, trimmed),
        };
        let mark: String = word.chars().filter(|c| !c.is_whitespace()).map(|c| c.to_ascii_uppercase()).collect();
        let well_formed = (1..=LONGEST).contains(&mark.len())
            && mark.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-')
            && mark.bytes().any(|b| b.is_ascii_alphanumeric());
        if !well_formed {
            return Err(ValueError::new(WHAT, text, ACCEPTED));
        }
        if mark == "NONE" {
            let verdict = "is no mark: it is only said of a car bought without plates, as in `buy none 340 --vin VIN`";
            return Err(ValueError::refused(WHAT, text, verdict));
        }
        if mark == "OVERHEAD" {
            let verdict = "is no mark: it is what money of the yard is said to be about, as in `--split overhead=15`";
            return Err(ValueError::refused(WHAT, text, verdict));
        }
        let mark = Self(mark);
        if said_to_be_a_mark || mark.has_letter() {
            return Ok(mark);
        }
        Err(ValueError::refused(
            WHAT,
            text,
            format!("has no letter: digits alone mean a stock number; write {PREFIX}{mark}"),
        ))
    }
}

/// The text cut where letters and digits meet; a hyphen is a run of its own kind.
fn runs(text: &str) -> Vec<&str> {
    let kind = |b: &u8| (b.is_ascii_alphabetic(), b.is_ascii_digit());
    text.as_bytes()
        .chunk_by(|a, b| kind(a) == kind(b))
        .scan(0, |at, run| {
            let start = *at;
            *at += run.len();
            text.get(start..*at)
        })
        .collect()
}

fn is_letters(run: &str, length: std::ops::RangeInclusive<usize>) -> bool {
    length.contains(&run.len()) && run.bytes().all(|b| b.is_ascii_uppercase())
}

fn is_digits(run: &str, length: usize) -> bool {
    run.len() == length && are_digits(run)
}

/// One to `longest` digits; numbers on plates do not start with a nought.
fn is_count(run: &str, longest: usize) -> bool {
    run.len() <= longest && are_digits(run) && !run.starts_with('0')
}

/// Tag letters are never I, Q or Z, the last three never I or Q, and the age is never 01:
/// the first was 51, in September 2001, and the last will be 00, in September 2050.
fn is_current(tag: &str, age: &str, end: &str) -> bool {
    is_letters(tag, 2..=2)
        && !tag.contains(['I', 'Q', 'Z'])
        && is_digits(age, 2)
        && age != "01"
        && is_letters(end, 3..=3)
        && !end.contains(['I', 'Q'])
}

/// A prefix or suffix letter that told the year: I, O, U and Z were never used, and Q tells
/// none.
fn is_dated_letter(run: &str) -> bool {
    is_letters(run, 1..=1) && !run.contains(['I', 'O', 'Q', 'U', 'Z'])
}

fn is_dateless(letters: &str, count: &str) -> bool {
    (is_letters(letters, 1..=2) && is_count(count, 4)) || (is_letters(letters, 3..=3) && is_count(count, 3))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::MarkShape::{Current, Dateless, Diplomatic, NorthernIreland, Prefix, Q, Suffix, Unknown};
    use super::{Mark, joins};

    #[test]
    fn marks_are_kept_in_capitals_without_spaces() {
        for typed in ["KX42RTO", "kx42 rto", "  K X42\tRTO ", "mark:kx42rto", "MARK: KX42 RTO"] {
            let mark: Mark = typed.parse().unwrap();
            assert_eq!(mark.as_str(), "KX42RTO", "{typed:?}");
            assert_eq!(mark.to_string(), "KX42 RTO");
        }
        let digits: Mark = "mark:12 345".parse().unwrap();
        assert_eq!(digits.as_str(), "12345");
        assert!(!digits.has_letter());
    }

    #[test]
    fn shapes_and_the_space_put_back() {
        for (typed, shape, shown) in [
            ("AB12CDE", Current, "AB12 CDE"),
            ("AB51CDZ", Current, "AB51 CDZ"),
            ("AB00CDE", Current, "AB00 CDE"),
            ("AB01CDE", Unknown, "AB01CDE"),
            ("IB12CDE", Unknown, "IB12CDE"),
            ("AQ12CDE", Unknown, "AQ12CDE"),
            ("AB12CIE", Unknown, "AB12CIE"),
            ("AB12CDQ", Unknown, "AB12CDQ"),
            ("JB12CDE", Current, "JB12 CDE"),
            ("XB12CDE", Current, "XB12 CDE"),
            ("A123ABC", Prefix, "A123 ABC"),
            ("Y1ABC", Prefix, "Y1 ABC"),
            ("I123ABC", Unknown, "I123ABC"),
            ("O123ABC", Unknown, "O123ABC"),
            ("U123ABC", Unknown, "U123ABC"),
            ("Z123ABC", Unknown, "Z123ABC"),
            ("A012ABC", Unknown, "A012ABC"),
            ("A1234ABC", Unknown, "A1234ABC"),
            ("Q123ABC", Q, "Q123 ABC"),
            ("Q1ABC", Q, "Q1 ABC"),
            ("ABC123A", Suffix, "ABC 123A"),
            ("ABC1Y", Suffix, "ABC 1Y"),
            ("ABC123Q", Unknown, "ABC123Q"),
            ("ABC123O", Unknown, "ABC123O"),
            ("AB123A", Unknown, "AB123A"),
            ("ABC123", Dateless, "ABC 123"),
            ("123ABC", Dateless, "123 ABC"),
            ("1234AB", Dateless, "1234 AB"),
            ("AB1234", Dateless, "AB 1234"),
            ("A1", Dateless, "A 1"),
            ("1A", Dateless, "1 A"),
            ("ABC1234", Unknown, "ABC1234"),
            ("1234ABC", Unknown, "1234ABC"),
            ("AB01", Unknown, "AB01"),
            ("AAZ1234", NorthernIreland, "AAZ 1234"),
            ("MIB1234", NorthernIreland, "MIB 1234"),
            ("MIB1", NorthernIreland, "MIB 1"),
            ("IA12", NorthernIreland, "IA 12"),
            ("AAZ12345", Unknown, "AAZ12345"),
            ("123D456", Diplomatic, "123D456"),
            ("101X001", Diplomatic, "101X001"),
            ("123E456", Unknown, "123E456"),
            ("ABCD", Unknown, "ABCD"),
            ("AB-12-CD", Unknown, "AB-12-CD"),
            ("A-1", Unknown, "A-1"),
        ] {
            let mark: Mark = typed.parse().unwrap();
            assert_eq!(mark.shape(), shape, "{typed}");
            assert_eq!(mark.to_string(), shown);
            assert_eq!(shown.parse(), Ok(mark));
        }
    }

    #[test]
    fn anything_else_is_refused() {
        for typed in ["", " ", "mark:", "AB12CDE£", "ÄB12CDE", "AB_12", "ABCDEFGH123456", "-", "mark:--", "ＡB1"] {
            assert!(
                typed.parse::<Mark>().is_err_and(|e| {
                    e.to_string()
                        .ends_with("is not understood: write 1 to 13 letters, digits or hyphens, such as KX42 RTO")
                }),
                "{typed:?}"
            );
        }
        for (typed, suggestion) in [("1234", "mark:1234"), (" 12 34 ", "mark:1234"), ("1-2", "mark:1-2")] {
            assert_eq!(
                typed.parse::<Mark>().unwrap_err().to_string(),
                format!("mark '{typed}' has no letter: digits alone mean a stock number; write {suggestion}")
            );
        }
    }

    #[test]
    fn two_words_join_at_the_space_only() {
        for (first, second, shape) in [
            ("KX42", "RTO", Some(Current)),
            ("kx42", "rto", Some(Current)),
            ("KX", "12RTO", None),
            ("KX42R", "TO", None),
            ("KX42RTO", "450", None),
            ("KX42RTO", "", None),
            ("", "KX42RTO", None),
            ("A123", "ABC", Some(Prefix)),
            ("ABC", "123A", Some(Suffix)),
            ("ABC", "123", Some(Dateless)),
            ("1234", "AB", Some(Dateless)),
            ("AAZ", "1234", Some(NorthernIreland)),
            ("Q123", "ABC", Some(Q)),
            ("123D", "456", None),
            ("7", "450", None),
            ("mark:12", "34", None),
            ("é", "1", None),
        ] {
            assert_eq!(joins(first, second), shape, "{first:?} {second:?}");
        }
    }
}

//! Why an invoice or a credit note cannot be written, in words, with what to type next.

use crate::domain::value::invoice_number::PaperNumber;
use crate::domain::value::label::first_word;
use crate::domain::value::numbers::EntryNo;
use std::fmt;

/// A number that was given and whose sale or take-back was undone since.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NumberUndone {
    /// The number, which is never given again.
    pub number: PaperNumber,
    /// The entry that undid it.
    pub by: EntryNo,
}

impl fmt::Display for NumberUndone {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} was undone by entry {}", self.number, self.by)
    }
}

/// A paper there is nothing to write about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PaperRefusal {
    /// What it would be about was undone.
    Undone {
        /// The car.
        car: String,
        /// The numbers given and undone, in their order.
        undone: Vec<NumberUndone>,
    },
    /// The car was never taken back.
    NotTakenBack {
        /// The car.
        car: String,
    },
    /// No sale or take-back of the car has the number.
    NumberUnknown {
        /// The car.
        car: String,
        /// As typed.
        number: PaperNumber,
        /// The numbers there are.
        known: Vec<PaperNumber>,
    },
}

impl fmt::Display for PaperRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Undone { car, undone } => {
                let said: Vec<String> = undone.iter().map(ToString::to_string).collect();
                write!(f, "{car}: {}; the number is never given to another", said.join(", "))
            }
            Self::NotTakenBack { car } => write!(f, "{car} was not taken back, so there is no credit note for it"),
            Self::NumberUnknown { car, number, known } => {
                let known: Vec<String> = known.iter().map(ToString::to_string).collect();
                write!(f, "{car} has no paper {number}; it has {}", known.join(", "))
            }
        }
    }
}

impl PaperRefusal {
    /// What to type next, where there is something that helps.
    pub fn hint(&self) -> Option<String> {
        Some(match self {
            Self::Undone { undone, .. } => {
                let last = undone.last()?;
                format!("`runabout undo {}` brings {} back under its own number", last.by, last.number)
            }
            Self::NotTakenBack { car } => format!("`runabout take-back {}` records one", first_word(car)),
            Self::NumberUnknown { .. } => return None,
        })
    }
}

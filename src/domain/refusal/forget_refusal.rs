//! What forgetting a name does not allow, in words, with what to type next.

use crate::domain::days::day::long;
use crate::domain::value::numbers::EntryNo;
use chrono::NaiveDate;
use std::fmt;

/// A forgetting, or an undo of one, that cannot be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ForgetRefusal {
    /// Nobody of that name.
    NobodyNamed {
        /// As typed.
        name: String,
        /// Names spelt alike.
        near: Vec<String>,
    },
    /// Records or open balances still need the name.
    StillNeeded {
        /// As typed.
        name: String,
        /// Which and why, each in words.
        why: Vec<String>,
        /// The first day it may be forgotten; none while that cannot be known.
        from: Option<NaiveDate>,
    },
    /// A forgetting is for good.
    ForGood {
        /// The entry.
        entry: EntryNo,
    },
    /// All that an entry recorded was forgotten later.
    NothingLeft {
        /// The entry.
        entry: EntryNo,
    },
}

impl ForgetRefusal {
    /// What to type next, where there is something that helps.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::StillNeeded { from, .. } => from.map(|from| format!("it can be forgotten from {}", long(from))),
            Self::NobodyNamed { .. } => Some("write the name whole, as `runabout car CAR` or `log` shows it".into()),
            Self::ForGood { .. } | Self::NothingLeft { .. } => None,
        }
    }
}

impl fmt::Display for ForgetRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NobodyNamed { name, near } => {
                write!(f, "nobody is named '{name}' in the book")?;
                if near.is_empty() { Ok(()) } else { write!(f, "; did you mean '{}'?", near.join("' or '")) }
            }
            Self::StillNeeded { name, why, .. } => write!(f, "'{name}' is still needed: {}", why.join("; ")),
            Self::ForGood { entry } => {
                write!(f, "entry {entry} forgot a name, which is for good: there is nothing left to bring it back from")
            }
            Self::NothingLeft { entry } => {
                write!(f, "all that entry {entry} recorded was forgotten since: there is nothing left to take back")
            }
        }
    }
}

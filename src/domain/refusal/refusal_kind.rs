//! What kind of refusal it is: whether the line itself is wrong, or the book or the day is against it; and what
//! becomes one.

use crate::domain::refusal::Refusal;
use crate::domain::refusal::deal_refusal::DealRefusal;
use crate::domain::refusal::forget_refusal::ForgetRefusal;
use crate::domain::refusal::paper_refusal::PaperRefusal;
use crate::domain::value::value_error::ValueError;

impl Refusal {
    /// Whether the line itself is wrong, so that no book would let it be carried out: a value that cannot be
    /// read, a word that is not one of a closed list, something left out, or parts that do not go together.
    /// What the book or the day stands against is not.
    pub const fn is_of_the_line(&self) -> bool {
        match self {
            Self::Value(error) => !error.is_at_odds(),
            Self::NotAmendable { known, .. } => !*known,
            Self::NoTarget { .. }
            | Self::NothingSaid { .. }
            | Self::WholeOrYear { .. }
            | Self::DoesNotGoWith { .. }
            | Self::NoPlatesNoVin
            | Self::NoWorth
            | Self::PocketNotForThis { .. }
            | Self::WordUnknown { .. }
            | Self::NoSuchPart { .. } => true,
            _ => false,
        }
    }

    /// The number that was refused because nothing of its kind has it.
    pub fn number_unknown(&self) -> Option<i64> {
        match self {
            Self::CarUnknown { given, .. } => given.parse().ok(),
            Self::EntryUnknown { entry } => Some(*entry),
            Self::NotDue { number } => Some(*number),
            _ => None,
        }
    }
}

impl From<DealRefusal> for Refusal {
    fn from(refusal: DealRefusal) -> Self {
        Self::Deal(refusal)
    }
}

impl From<PaperRefusal> for Refusal {
    fn from(refusal: PaperRefusal) -> Self {
        Self::Paper(refusal)
    }
}

impl From<ForgetRefusal> for Refusal {
    fn from(refusal: ForgetRefusal) -> Self {
        Self::Forget(refusal)
    }
}

impl From<ValueError> for Refusal {
    fn from(error: ValueError) -> Self {
        Self::Value(error)
    }
}

impl std::error::Error for Refusal {}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_of_the_line_unless_it_was_read_well() {
        assert!(Refusal::from(ValueError::new("amount", "4x", "write figures")).is_of_the_line());
        assert!(Refusal::from(ValueError::refused("amount", "-4", "has a sign")).is_of_the_line());
        assert!(!Refusal::from(ValueError::at_odds("date", "tomorrow", "is after today")).is_of_the_line());
        assert!(Refusal::DoesNotGoWith { what: "--part", with: "--page" }.is_of_the_line());
        assert!(!Refusal::AtOdds { what: "--sorn", with: "a car already off the road" }.is_of_the_line());
    }
}

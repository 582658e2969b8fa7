//! A fact that cannot stand beside the others, and who is in its way.

use crate::domain::refusal::Refusal;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;

/// A fact that cannot stand beside the others: the entry that recorded it and why not.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Breach {
    /// The entry whose fact is out of order.
    pub entry: EntryNo,
    /// Why.
    pub why: Refusal,
}

/// `balance` is what is owed once `given` is paid; below nothing means too much was.
pub(super) fn too_much(given: Pence, balance: Pence, who: String) -> Refusal {
    Refusal::MoreThanOwed { given, owed: (given + balance).max(Pence::ZERO), who }
}

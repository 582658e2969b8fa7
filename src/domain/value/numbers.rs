//! Numbers that the book gives out.

/// The number of an entry: one recording command.
pub type EntryNo = i64;

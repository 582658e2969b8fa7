//! What is told of money: what is held and owed, overheads that come round.

pub mod cash;
pub mod standing;

//! Getting a car ready: its test, its tax, what was looked at, hours, notes, papers kept.

pub mod check;
pub mod hours;
pub mod mark;
pub mod mot;
pub mod note;
pub mod receipt;
pub mod tax;

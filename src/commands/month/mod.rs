//! A month's end: what it made, closed, copied, drawn.

pub mod backup;
pub mod calendar;
pub mod close;
pub mod month;
pub mod page;
pub mod results;

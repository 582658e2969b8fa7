//! What is told of months: one month with its proof, many in a row, one closed.

pub mod closed;
pub mod month;
pub(crate) mod month_screen;
pub(crate) mod month_tables;
pub mod results;

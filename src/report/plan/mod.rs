//! What is told of what lies ahead and of what has paid.

pub mod bid;
pub mod forecast;
pub mod lessons;
pub(crate) mod next_slot;
pub mod programme;

//! What is told of the yard as it stands: stock, what is due, papers, the morning.

pub mod agenda;
pub mod due;
pub mod morning;
pub mod papers;
pub mod stock;

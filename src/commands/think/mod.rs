//! Looking and thinking: the yard, one car, what is due, what lies ahead.

pub mod car;
pub mod due;
pub mod forecast;
pub mod lessons;
pub mod programme;
pub mod stock;

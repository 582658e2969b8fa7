//! What is told of one car: its facts, lines and deals, and the screen of them.

pub mod car;
pub mod car_deals;
pub(crate) mod car_facts;
pub(crate) mod car_lines;
pub(crate) mod car_screen;

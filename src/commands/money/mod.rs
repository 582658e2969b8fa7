//! Money in, money out, and what comes round by itself.

pub mod cash;
pub mod draw;
pub mod journey;
pub mod move_money;
pub mod pay_in;
pub mod receive;
pub mod spend;
pub mod standing;

//! What pages in pictures are made of: answers, charts and the figures behind them.

pub mod chart;
pub mod month_picture;
pub mod page;
pub mod picture;

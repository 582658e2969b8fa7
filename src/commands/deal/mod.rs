//! A deal: a car looked at, bought, advertised, sold, taken back, got rid of.

pub mod ask;
pub mod auction;
pub mod bid;
pub mod buy;
pub mod deposit;
pub mod dispose;
pub mod invoice;
pub mod offer;
pub mod sell;
pub mod take_back;
pub mod write_off;

//! What the book holds, and what must hold of it: facts, their order, what settles what, closed months.
//!
//! * **A car is in stock by stretches** (`domain/book/stay.rs`): bought to sold, taken back to sold again, the last
//!   perhaps ended by a disposal. `Car::place` says which stretch a line belongs to and what it is part of; every
//!   figure asks it. What buyers and sellers owe is in `domain/book/claims.rs`; how a sale's money is told from
//!   another sale's of the same car is `Given::for_sale`.
//! * **A take-back keeps what was settled** (refund, lapsed, returned, kept back), so that balances stay plain
//!   sums; `domain/book/deal_order.rs` checks that it still fits what was paid, and undo names it otherwise.
//! * **Standing costs are derived**, never stored: `domain::book::standing` counts due days from the first.
//! * Costs and receipts carry their own pocket on the line; only money that settles something (a purchase, a sale,
//!   a bill, a loan, VAT) is a movement. An unpaid bill is a line without a pocket.
//! * A vehicle is found again by its VIN, else by its latest mark. The same mark with another VIN is another
//!   vehicle.

pub mod bills;
pub mod blanking;
pub mod breach;
pub mod car_checks;
pub mod claims;
pub mod closing;
pub mod dated_facts;
mod deal_order;
pub mod dealing;
pub mod facts;
pub mod fee_scale;
#[cfg(test)]
pub(crate) mod fixture;
pub mod import_sheet;
pub mod imported;
pub mod invoice;
pub mod journey;
pub mod order;
pub mod roadworthy;
pub mod settings;
pub mod standing;
pub mod stay;
pub mod tables;

//! What the book holds, and what must hold of it: facts, their order, what settles what, closed months.

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

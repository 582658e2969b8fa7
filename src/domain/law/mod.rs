//! What statute and the tax authority set, by date and with its source, and the rules that need no book.

pub mod buyer_rights;
pub mod cash_limit;
pub mod every_table;
pub mod margin_vat;
pub mod mot;
pub mod own_rates;
pub mod rate_table;
pub mod rates;
pub mod registration;
pub mod retention;
pub mod trade_licence;
pub mod vehicle_tax;

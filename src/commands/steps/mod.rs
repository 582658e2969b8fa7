//! Steps that several commands take: finding what is meant, recording, what is said beside it.

pub mod act;
pub mod cash_note;
pub mod closed_months;
pub mod context;
pub mod departures;
pub mod due_items;
pub mod forecast_start;
pub mod lookup;
pub mod numbers;
pub mod pocket_note;
pub mod pre_sale_list;
pub mod question;
pub mod receipts;
pub mod recording;
pub mod roadworthy_note;
pub mod sale_notes;
pub mod tax_reckoning;
pub mod vehicle;

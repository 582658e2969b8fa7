//! Every command as typed: what it records, what it answers, what it refuses.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

#[path = "../common/mod.rs"]
mod common;

mod asking;
mod closing;
mod completing;
mod contract;
mod copies;
mod dates;
mod deal_refusals;
mod deal_undo;
mod deals;
mod due_tax;
mod forget;
mod help;
mod hostile;
mod invoice;
mod keeping;
mod ladder;
mod manual;
mod morning;
mod near_misses;
mod opening;
mod page;
mod page_figures;
mod planning;
mod rates;
mod receipts;
mod recording;
mod refusals;
mod saved;
mod stock_book;
mod tax_year;
mod trusted;
mod vat;
mod widths;
mod written_files;
mod year_end;

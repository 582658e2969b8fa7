//! Every command as typed: what it records, what it answers, what it refuses.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

#[path = "../common/mod.rs"]
mod common;

mod amending;
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
mod exit_codes;
mod forget;
mod help;
mod hostile;
mod importing;
mod invoice;
mod keeping;
mod ladder;
mod looking_ahead;
mod manual;
mod morning;
mod near_misses;
mod numbers;
mod opening;
mod page;
mod page_figures;
mod planning;
mod rates;
mod receipts;
mod recording;
mod refusals;
mod roadworthy;
mod saved;
mod stock_book;
mod tax_year;
mod told_figures;
mod trusted;
mod vat;
mod who_reads_it;
mod widths;
mod written_files;
mod year_end;

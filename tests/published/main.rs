//! Checks against what no one here wrote: law, government guidance, textbooks and public data,
//! each with its source beside it.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

#[path = "../common/mod.rs"]
mod common;

mod buyer_rights;
mod cash_limit;
mod fee_scales;
mod invoices;
mod main_job;
mod margin_vat;
mod marks;
mod mot_dates;
mod retention;
mod returns;
mod stock_book;
mod stock_cost;
mod stock_ratios;
mod tax_year;
mod vat_return;
mod vehicle_tax;
mod vins;

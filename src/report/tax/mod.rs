//! What is told for the tax year and for VAT, and the rates both are worked with.

pub mod rates;
pub mod tax_year;
pub(crate) mod tax_year_lists;
pub(crate) mod tax_year_screen;
pub mod vat;
pub mod vat_watch;

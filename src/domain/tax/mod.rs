//! The tax year worked out both ways, and VAT: boxes, returns, the watch on turnover.

pub mod cash_basis;
pub mod return_pages;
pub mod tax_figures;
pub mod tax_lines;
pub mod traditional;
pub mod vat_return;
pub mod vat_watch;

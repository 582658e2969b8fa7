//! The tax year worked out both ways, and VAT: boxes, returns, the watch on turnover.
//!
//! `domain/tax/vat_return.rs` lists what is behind each box, `vat_watch.rs` the twelve months, `stock_book.rs` the
//! stock book. `domain/tax/tax_figures.rs` puts `cash_basis.rs` and `traditional.rs` side by side; each is a list
//! of dated lines under a return heading, and `return_pages.rs` knows which box a heading goes in. The difference
//! between the two profits is a sum of named parts that a property test holds to the penny. The number of an
//! invoice or credit note is the row number of its sale or take-back, which is never reused: an undo leaves a gap,
//! and the stock book explains it. `app/year_end.rs` writes the accountant's folder by running the commands it
//! holds the output of.

pub mod cash_basis;
pub mod return_pages;
pub mod tax_figures;
pub mod tax_lines;
pub mod traditional;
pub mod vat_return;
pub mod vat_watch;

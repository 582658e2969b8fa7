//! What the law asks for: books, returns, rates, papers, what must be forgotten.

pub mod export;
pub mod forget;
pub mod paper;
pub mod rates;
pub mod stock_book;
pub mod tax_year;
pub mod vat;

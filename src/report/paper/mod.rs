//! What is told on paper: the stock book and the papers of a deal.

pub mod invoice;
pub mod invoice_parts;
pub mod invoice_screen;
pub mod invoice_source;
pub mod invoice_words;
pub mod stock_book;
pub mod stock_book_screen;

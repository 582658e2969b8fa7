//! Pages to print: one self-contained HTML file each, no script, nothing fetched. What they say is the
//! report's; every text goes through `maud`, which escapes it.

mod chart;
pub mod invoice;
mod page;
mod paper;
pub mod picture_page;
mod picture_style;
pub mod stock_book;

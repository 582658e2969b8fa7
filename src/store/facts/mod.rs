//! Facts of the trade, read and written: a file for each group of tables.

pub(crate) mod cars;
pub(crate) mod closed_months;
pub(crate) mod completing;
pub(crate) mod dates;
pub(crate) mod deals;
pub(crate) mod facts;
pub(crate) mod imported;
pub(crate) mod lines;
pub(crate) mod opening_sums;
pub(crate) mod programme;
pub(crate) mod settings;
pub(crate) mod standing;
pub(crate) mod tax_year;
pub(crate) mod turnover;

//! Days, months and the spans of days that the law and the trade reckon in.

pub mod day;
pub mod mark_period;
pub mod month;
pub mod period;
pub mod tax_year;
pub mod vat_quarter;

//! Every table of statutory figures, in the order they are listed.

use crate::domain::law::buyer_rights;
use crate::domain::law::cash_limit;
use crate::domain::law::mot;
use crate::domain::law::rate_table::{Listed, VAT_DEREGISTRATION, VAT_REGISTRATION, VAT_STANDARD_RATE};
use crate::domain::law::rates::income_tax;
use crate::domain::law::retention;
use crate::domain::law::vehicle_tax;

/// Every table there is, in the order it is listed. A module with tables of its own is one line here.
const TABLES: &[&[&dyn Listed]] = &[
    &[&VAT_STANDARD_RATE, &VAT_REGISTRATION, &VAT_DEREGISTRATION],
    income_tax::TABLES,
    &[&cash_limit::LIMIT],
    retention::TABLES,
    mot::TABLES,
    vehicle_tax::TABLES,
    buyer_rights::TABLES,
];

/// Every table, in the order it is listed.
pub fn tables() -> impl Iterator<Item = &'static dyn Listed> {
    TABLES.iter().flat_map(|module| module.iter()).copied()
}

//! What is worked out from the facts: cars, periods, balances, the bridge between them.

pub mod annual_return;
pub mod balances;
pub mod bridge;
pub mod car_figures;
pub mod kept_figures;
pub mod lessons;
pub mod offers;
pub mod period_figures;
pub mod period_lines;
pub mod profits;
pub mod results;
pub mod seen_costs;
pub mod spending;
pub mod stock_book;
pub mod stock_ratios;
pub mod stock_value;
pub mod yard;

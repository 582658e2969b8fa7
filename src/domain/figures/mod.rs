//! What is worked out from the facts: cars, periods, balances, the bridge between them.
//!
//! * Pence are integers; rounding is half away from zero, at the end, named where it happens. A ratio that is held
//!   against a mark (a multiple against 2 or the programme's own, a return against 100 %) goes through
//!   `ratio::round2_against`, so that it never reads as reached when it is not.
//! * A VAT amount on a line counts only on days the trader is registered (`Registration::counted`).
//! * **The bridge** (`PeriodFigures::bridge`) holds to the penny for every period; `tests/properties` checks it,
//!   and a second reckoning of every figure, over random histories.
//! * What a buyer never pays (`write-off`) is a part of the bridge of its own and not in the profit; `month` shows
//!   what is left after it.
//! * A receipt dated on the very day of a disposal is what the disposal brought, not income before it.

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

//! The trade itself: values, facts and rules. Pure: no clock, no files, no SQL, no printing, and
//! no binary floating point outside `annual_return`. It imports no other room.

pub mod annual_return;
pub mod balances;
pub mod car_figures;
pub mod car_ref;
pub mod day;
pub mod dealing;
pub mod digits;
pub mod facts;
pub mod hours;
pub mod margin_vat;
pub mod mark;
pub mod mark_period;
pub mod month;
pub mod order;
pub mod pence;
pub mod period;
pub mod period_figures;
pub mod rates;
pub mod ratio;
pub mod refusal;
pub mod registration;
pub mod results;
pub mod settings;
pub mod share;
pub mod standing;
pub mod stock_ratios;
pub mod target;
pub mod unseen;
pub mod value_error;
pub mod vin;
pub mod wording;
pub mod words;
pub mod yard;

//! What lies ahead: the highest bid, the programme of cars, the forecast of the float.

pub mod bid;
pub mod forecast;
mod forecast_assumed;
mod forecast_history;
pub mod forecast_known;
mod forecast_run;
pub mod forecast_stated;
pub mod programme;

//! What lies ahead: the highest bid, the programme of cars, the forecast of the float.
//!
//! `domain/plan/forecast.rs` takes plain facts (`Forecasting`) and assumptions told otherwise (`Overrides`);
//! `forecast_history.rs` draws past cars, `forecast_run.rs` plays one run day by day. No floating point: a
//! percentile is a float that a run came to (nearest rank). The back-test in its tests makes forecasts from random
//! yards at mid-history and counts how often the band held. `domain/plan/bid.rs` searches band by band from the
//! dearest, because a band may charge less than the one below; a property test compares it with a plain scan.
//! `domain/plan/programme.rs` and `domain/figures/lessons.rs` look over every car there ever was: their cost grows
//! with the cars, not with the lines of the yard.

pub mod bid;
pub mod forecast;
mod forecast_assumed;
mod forecast_history;
pub mod forecast_known;
mod forecast_run;
pub mod forecast_stated;
pub mod programme;

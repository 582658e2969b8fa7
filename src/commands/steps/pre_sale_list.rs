//! The pre-sale list of a car.

use crate::commands::steps::context::settings_of;
use crate::domain::book::car_checks::{ItemStanding, Known, whole_list};
use crate::domain::book::facts::Car;
use crate::domain::book::stay::Left;
use crate::error::Error;
use crate::store::Reader;
use chrono::NaiveDate;

/// The whole pre-sale list of a car as it stands on `day`.
pub fn list_of(reader: Reader<'_>, car: &Car, day: NaiveDate) -> Result<Vec<ItemStanding>, Error> {
    let vehicle_no = car.vehicle.vehicle_no;
    let known = Known {
        car,
        said: &reader.car_checks(car.stock_no, day)?,
        tests: &reader.mot_tests(vehicle_no, day)?,
        mot_until: reader.mot_until(vehicle_no, car.left_by(day).map_or(day, Left::on))?,
        minimum_mot_days: settings_of(reader)?.minimum_mot_days,
    };
    Ok(whole_list(&known, day))
}

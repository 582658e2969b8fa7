//! The vehicle a car is, found by its mark or VIN or new.

use crate::commands::steps::lookup;
use crate::domain::refusal::Refusal;
use crate::domain::value::mark::Mark;
use crate::error::Error;
use crate::store::{NewVehicle, Recording, VehicleFound};
use chrono::NaiveDate;

/// The vehicle bought: one the book knows by its mark or VIN, or a new one. The mark may have
/// moved to another vehicle; a VIN that differs says so.
pub fn vehicle_no(
    recording: &Recording<'_>,
    mark: Option<&Mark>,
    vehicle: &NewVehicle,
    on: NaiveDate,
) -> Result<i64, Error> {
    let reader = recording.read();
    let by_vin = vehicle.vin.as_ref().map(|vin| reader.vehicle_by_vin(vin)).transpose()?.flatten();
    let by_mark = mark.map(|mark| reader.vehicle_by_mark(mark)).transpose()?.flatten();
    if mark.is_none() && vehicle.vin.is_none() {
        return Err(Refusal::NoPlatesNoVin.into());
    }
    let same_vin = |found: &VehicleFound| found.vin.is_none() || vehicle.vin.is_none() || found.vin == vehicle.vin;
    for found in by_vin.iter().chain(&by_mark) {
        if let Some(stock_no) = found.in_stock_as {
            let car = lookup::whole_car(reader, stock_no)?;
            return Err(Refusal::InStockAlready { car: car.label() }.into());
        }
    }
    let known_mark = by_mark.as_ref().map(|found| found.vehicle_no);
    let vehicle_no = match by_vin.or(by_mark.filter(same_vin)) {
        Some(found) => {
            recording.complete_vehicle(found.vehicle_no, vehicle)?;
            found.vehicle_no
        }
        None => recording.add_vehicle(vehicle)?,
    };
    if let Some(mark) = mark.filter(|_| known_mark != Some(vehicle_no)) {
        recording.add_mark(vehicle_no, mark, on)?;
    }
    Ok(vehicle_no)
}

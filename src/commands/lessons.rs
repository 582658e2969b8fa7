//! `lessons`.

use crate::cli::lessons::LessonsArgs;
use crate::commands::{Context, settings_of};
use crate::domain::figures::lessons::Lessons;
use crate::error::Error;
use crate::report::plan::lessons::LessonsReport;
use crate::store::Reader;

pub fn run(args: &LessonsArgs, reader: Reader<'_>, context: &Context) -> Result<LessonsReport, Error> {
    let (day, registration) = (context.today, settings_of(reader)?.registration);
    let cars = reader.cars(&reader.every_car(day)?, day)?;
    let (miles, faults) = (reader.miles_when_bought(day)?, reader.faults_found(day)?);
    let lessons = Lessons { cars: &cars, registration: &registration, miles: &miles, faults: &faults, day };
    Ok(LessonsReport::new(&lessons, args.by))
}

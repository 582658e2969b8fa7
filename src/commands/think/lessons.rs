//! `lessons`.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::{Context, settings_of};
use crate::domain::figures::lessons::{By, Lessons};
use crate::error::Error;
use crate::report::Report;
use crate::report::plan::lessons::LessonsReport;
use crate::store::Reader;
use clap::Args;

/// What has paid: your sold cars by make, fuel, source, age, mileage, price, spend or fault.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout lessons\n  runabout lessons --by age")]
pub struct LessonsArgs {
    /// make, fuel, source, age, mileage, price, heading or fault [make]
    #[arg(long, value_name = "WHAT", default_value = "make", hide_default_value = true)]
    pub by: By,
}

impl Looks for LessonsArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        let (day, registration) = (context.today, settings_of(reader)?.registration);
        let cars = reader.cars(&reader.every_car(day)?, day)?;
        let (miles, faults) = (reader.miles_when_bought(day)?, reader.faults_found(day)?);
        let lessons = Lessons { cars: &cars, registration: &registration, miles: &miles, faults: &faults, day };
        Ok(LessonsReport::new(&lessons, self.by).into())
    }
}

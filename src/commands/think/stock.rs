//! `stock`.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::{Context, settings_of};
use crate::domain::figures::yard::yard;
use crate::domain::value::car_ref::StockNo;
use crate::error::Error;
use crate::report::Report;
use crate::report::yard::stock::StockReport;
use crate::store::Reader;
use clap::Args;

/// The cars on the yard: days, what each stands you in at, what lapses soon.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout stock\n  runabout stock --as-of 31/10 --format csv")]
pub struct StockArgs {}

impl Looks for StockArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        Ok(run(reader, context)?.into())
    }
}

/// What `stock` shows; the morning screen has it too.
pub fn run(reader: Reader<'_>, context: &Context) -> Result<StockReport, Error> {
    let settings = settings_of(reader)?;
    let facts = reader.facts_of_stock(context.today, settings.registration)?;
    let cars: Vec<StockNo> = facts.cars.iter().map(|car| car.stock_no).collect();
    let showing = reader.showing(&cars, context.today)?;
    let tax = reader.tax_events(&cars, context.today)?;
    Ok(StockReport::new(context.today, &yard(&facts, &showing, &tax, &settings, context.today)))
}

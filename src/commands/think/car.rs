//! `car`.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::lookup;
use crate::commands::steps::pre_sale_list::list_of;
use crate::domain::book::dated_facts::TaxStatus;
use crate::domain::days::day::long;
use crate::domain::figures::car_figures::car_figures;
use crate::domain::figures::offers::offers_made;
use crate::domain::figures::yard::CarOnDay;
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::CarRef;
use crate::error::Error;
use crate::report::Report;
use crate::report::car::car::{CarReport, Kept};
use crate::report::car::car_deals::ReceiptLine;
use crate::store::{Reader, ReceiptRow};
use clap::Args;

/// Everything about one car, line by line.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout car 1\n  runabout car KX42 RTO --format csv")]
pub struct CarArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// Only one list: `lines` or `own-hours` [lines]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
}

impl Looks for CarArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        let settings = settings_of(reader)?;
        let stock_no = lookup::stock_no(reader, &self.car)?;
        let car = reader.car(stock_no, context.today)?;
        let car = car.filter(|car| car.bought_on <= context.today || !car.lines.is_empty()).ok_or_else(|| {
            Refusal::NothingBefore { what: format!("car {stock_no} was not in the book on {}", long(context.today)) }
        })?;
        let figures = car_figures(&car, context.today, &settings.registration);
        let showing = reader.showing(&[stock_no], context.today)?.remove(&stock_no).unwrap_or_default();
        let events = reader.tax_events(&[stock_no], context.today)?.remove(&stock_no).unwrap_or_default();
        let on_day = CarOnDay::from_figures(
            &car,
            &figures,
            &showing,
            TaxStatus::since(car.last_in_by(context.today), context.today, &events),
            &settings,
            context.today,
        );
        let kept = Kept {
            tests: reader.mot_tests(car.vehicle.vehicle_no, context.today)?,
            checks: list_of(reader, &car, context.today)?,
            notes: reader.notes(stock_no, context.today)?,
            offers: offers_made(&car, reader.offers(stock_no, context.today)?, &settings.registration),
            receipts: reader.receipts_of_car(stock_no, context.today)?.into_iter().map(receipt_line).collect(),
        };
        Ok(CarReport::new(context.today, &car, &figures, &showing, on_day, kept).into())
    }

    fn part(&self) -> Option<&str> {
        self.part.as_deref()
    }
}

fn receipt_line(row: ReceiptRow) -> ReceiptLine {
    ReceiptLine { entry: row.of_entry, file: row.file_name, path: row.path.display().to_string() }
}

//! A tax year reckoned from the book.

use crate::commands::steps::context::{Context, settings_of};
use crate::domain::days::tax_year::TaxYear;
use crate::domain::refusal::Refusal;
use crate::domain::tax::return_pages::Headings;
use crate::domain::tax::tax_figures::{TaxFacts, TaxFigures, tax_figures};
use crate::domain::value::car_ref::StockNo;
use crate::error::Error;
use crate::store::Reader;

/// Reckons a tax year and hands the figures on.
pub fn reckoned<T>(
    year: TaxYear,
    reader: Reader<'_>,
    context: &Context,
    with: impl FnOnce(&TaxFigures<'_>) -> T,
) -> Result<T, Error> {
    let (from, to) = (year.first_day(), year.last_day().min(context.today));
    if from > to {
        return Err(
            Refusal::NothingBefore { what: format!("{year} has not begun: write a tax year up to this one") }.into()
        );
    }
    let facts = reader.facts(from, to, context.standing_to, settings_of(reader)?.registration)?;
    let stock_nos: Vec<StockNo> = facts.cars.iter().map(|car| car.stock_no).collect();
    let eve = from.pred_opt().unwrap_or(from);
    let headings = reader.headings()?.into_iter().map(|row| (row.name, row.return_heading));
    tax_figures(&TaxFacts {
        year,
        facts: &facts,
        bills: &reader.bills(to)?,
        headings: &Headings::new(headings),
        journeys: &reader.journeys(from, to)?,
        asked_at_start: &reader.showing(&stock_nos, eve)?,
        asked_at_end: &reader.showing(&stock_nos, to)?,
    })
    .map(|figures| with(&figures))
    .ok_or_else(|| Refusal::NothingBefore { what: format!("{year} cannot be reckoned") }.into())
}

//! `tax-year`: the figures of a tax year, and the days it sets.

use crate::cli::tax_year::TaxYearArgs;
use crate::commands::{Context, settings_of};
use crate::domain::days::tax_year::TaxYear;
use crate::domain::due::due_item::DueItem;
use crate::domain::due::due_tax::{TaxDates, is_over_mtd_threshold};
use crate::domain::law::rate_table::{Rates, VAT_STANDARD_RATE};
use crate::domain::law::rates::income_tax;
use crate::domain::refusal::Refusal;
use crate::domain::tax::return_pages::Headings;
use crate::domain::tax::tax_figures::{TaxFacts, TaxFigures, tax_figures};
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::error::Error;
use crate::report::tax::tax_year::TaxYearReport;
use crate::store::Reader;

pub fn run(args: &TaxYearArgs, reader: Reader<'_>, context: &Context) -> Result<TaxYearReport, Error> {
    let year = args.year.unwrap_or(TaxYear::of(context.today));
    let registered = settings_of(reader)?.registration.from.is_some_and(|from| from <= year.last_day());
    let own_rates = own_used(year, registered, &context.rates);
    figures(year, reader, context, |figures| TaxYearReport::new(context.today, figures, registered, own_rates))
}

/// The trader's own figures the year is reckoned with: those of its first day, and any rate of VAT.
fn own_used(year: TaxYear, registered: bool, rates: &Rates) -> Vec<String> {
    let (first, last) = (year.first_day(), year.last_day());
    let vat = if registered { rates.own_used(&VAT_STANDARD_RATE, first, last) } else { Vec::new() };
    vat.into_iter().chain(income_tax::TABLES.iter().flat_map(|table| rates.own_used(*table, first, first))).collect()
}

/// Reckons a tax year and hands the figures on.
fn figures<T>(
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

/// The days income tax sets, for `due`: what is marked as done is not left out yet.
pub fn tax_items(reader: Reader<'_>, context: &Context) -> Result<Vec<DueItem>, Error> {
    let Some(first_day) = reader.first_day()?.filter(|first| *first <= context.today) else { return Ok(Vec::new()) };
    let settings = settings_of(reader)?;
    let this = TaxYear::of(context.today);
    let mut income = Vec::new();
    for year in [this.minus(3), this.minus(2)] {
        let digital_in = year.next().next();
        // Sums first: the cars are looked at only where VAT could bring a large income under the threshold.
        let takings = reader.takings(year.first_day(), year.last_day())?;
        if is_over_mtd_threshold(&context.rates, digital_in, takings) {
            income.push((year, figures(year, reader, context, |figures| -> Pence { figures.cash.income() })?));
        }
    }
    let (remind_days, rates) = (settings.remind_days, context.rates);
    let dates = TaxDates { today: context.today, first_day, income: &income, remind_days, rates };
    Ok(dates.due())
}

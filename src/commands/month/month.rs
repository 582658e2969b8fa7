//! `month`.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::trader_name;
use crate::commands::steps::context::{Context, settings_of};
use crate::domain::days::month::{Month, WrittenMonth};
use crate::domain::days::period::Period;
use crate::domain::figures::kept_figures::KeptFigures;
use crate::domain::law::rate_table::VAT_STANDARD_RATE;
use crate::domain::refusal::Refusal;
use crate::error::Error;
use crate::report::Report;
use crate::report::month::month::MonthReport;
use crate::report::picture::month_picture;
use crate::report::picture::picture::PicturePage;
use crate::store::Reader;
use clap::Args;
use std::path::PathBuf;

/// What a month made, car by car and overhead by overhead, proved against the cash.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout month\n  runabout month oct --format csv --part overheads\n  runabout month oct --page --out month.html"
)]
pub struct MonthArgs {
    /// The month: oct, oct 2026, 2026-10, this or last [this]
    #[arg(value_name = "MONTH", num_args = 0..=2)]
    pub month: Vec<String>,
    /// Only one list: `cars-sold`, `cars-bought`, `overheads` or `bridge` [cars-sold]
    #[arg(long, value_name = "NAME")]
    pub part: Option<String>,
    /// Write it as one page with pictures, to print or send
    #[arg(long, conflicts_with = "part")]
    pub page: bool,
    /// Where to write the page [standard output, or a file named by the month on a terminal]
    #[arg(long, value_name = "FILE", requires = "page")]
    pub out: Option<PathBuf>,
    /// Write over a file that is there, though Runabout did not make it; never over a book or a receipt
    #[arg(long, requires = "page")]
    pub replace: bool,
}

impl MonthArgs {
    /// The words typed as one month.
    pub fn written(&self) -> Option<Result<WrittenMonth, crate::domain::value::value_error::ValueError>> {
        (!self.month.is_empty()).then(|| self.month.join(" ").parse())
    }
}

impl MonthArgs {
    /// Whether a page is made, in place of a report.
    pub(crate) const fn is_apart(&self) -> bool {
        self.page
    }
}

impl Looks for MonthArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        Ok(run(self, reader, context)?.into())
    }

    fn part(&self) -> Option<&str> {
        self.part.as_deref()
    }
}

/// The month, for the report and for a page of it.
pub fn run(args: &MonthArgs, reader: Reader<'_>, context: &Context) -> Result<MonthReport, Error> {
    let month = match args.written() {
        Some(written) => written?.resolve(context.today)?,
        None => Month::containing(context.today),
    };
    let registration = settings_of(reader)?.registration;
    let to = month.last_day().min(context.today);
    let facts = reader.facts(month.first_day(), to, context.standing_to, registration)?;
    let figures = facts
        .period_figures(Period::of_month(month))
        .ok_or_else(|| Refusal::NothingBefore { what: format!("{month} cannot be reckoned") })?;
    // Figures were kept of the whole month; of a part of it nothing can be compared.
    let kept = reader.kept_figures(month)?.filter(|_| to == month.last_day());
    let closed = kept.map(|kept| kept.differences(&KeptFigures::from_figures(&figures)));
    let own_rates = if registration.touches(month.first_day(), to) {
        registration.rates.own_used(&VAT_STANDARD_RATE, month.first_day(), to)
    } else {
        Vec::new()
    };
    Ok(MonthReport::new(context.today, month, &figures, closed).with_own_rates(own_rates))
}

/// What `month --page` draws.
pub fn page(args: &MonthArgs, reader: Reader<'_>, context: &Context) -> Result<PicturePage, Error> {
    Ok(month_picture::page(&run(args, reader, context)?, trader_name(reader)?))
}

//! `month`.

use crate::cli::month::MonthArgs;
use crate::commands::{Context, settings_of};
use crate::domain::days::month::Month;
use crate::domain::days::period::Period;
use crate::domain::figures::kept_figures::KeptFigures;
use crate::domain::law::rate_table::VAT_STANDARD_RATE;
use crate::domain::refusal::Refusal;
use crate::error::Error;
use crate::report::month::month::MonthReport;
use crate::store::Reader;

pub fn run(args: &MonthArgs, reader: Reader<'_>, context: &Context) -> Result<MonthReport, Error> {
    let month = match args.written() {
        Some(written) => written?.resolve(context.today)?,
        None => Month::of(context.today),
    };
    let registration = settings_of(reader)?.registration;
    let to = month.last_day().min(context.today);
    let facts = reader.facts(month.first_day(), to, context.standing_to, registration)?;
    let figures = facts
        .period_figures(Period::of_month(month))
        .ok_or_else(|| Refusal::NothingBefore { what: format!("{month} cannot be reckoned") })?;
    // Figures were kept of the whole month; of a part of it nothing can be compared.
    let kept = reader.kept_figures(month)?.filter(|_| to == month.last_day());
    let closed = kept.map(|kept| kept.differences(&KeptFigures::of(&figures)));
    let own_rates = if registration.touches(month.first_day(), to) {
        registration.rates.own_used(&VAT_STANDARD_RATE, month.first_day(), to)
    } else {
        Vec::new()
    };
    Ok(MonthReport::new(context.today, month, &figures, closed).with_own_rates(own_rates))
}

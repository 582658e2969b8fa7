//! Every item of `due`, gathered from the book.

use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::tax_reckoning::reckoned;
use crate::domain::book::settings::Settings;
use crate::domain::days::month::Month;
use crate::domain::days::tax_year::TaxYear;
use crate::domain::due::due_item::DueItem;
use crate::domain::due::due_tax::{TaxDates, is_over_mtd_threshold};
use crate::domain::due::due_vat::{QuarterDue, QuarterOwed, VatDue, quarters_due, vat_items};
use crate::domain::due::{DueFacts, due};
use crate::domain::figures::yard::yard;
use crate::domain::plan::programme::Programme;
use crate::domain::tax::vat_watch::crossing;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::error::Error;
use crate::store::{BookError, Reader};
use chrono::{Days, NaiveDate};

/// A sale's rejection window is over well within this, however late the delivery.
const GONE_CARS_LOOKED_AT: Days = Days::new(180);

/// Every item there is, however far ahead.
pub fn every_item(reader: Reader<'_>, context: &Context) -> Result<Vec<DueItem>, Error> {
    let (day, settings) = (context.today, settings_of(reader)?);
    let facts = reader.facts_of_stock(day, settings.registration)?;
    let in_span: Vec<StockNo> = facts.cars.iter().map(|car| car.stock_no).collect();
    let since = day.checked_sub_days(GONE_CARS_LOOKED_AT).unwrap_or(day);
    let gone = reader.cars(&reader.cars_gone_with_dates(since, day)?, day)?;
    let all: Vec<StockNo> = in_span.iter().copied().chain(gone.iter().map(|car| car.stock_no)).collect();
    let tax = reader.tax_events(&all, day)?;
    let bills = reader.bills_left(day)?.open();
    let papers = reader.papers()?;
    let yard = yard(&facts, &reader.showing(&in_span, day)?, &tax, &settings, day);
    let set = reader.programmes()?;
    let mut items = due(&DueFacts {
        day,
        settings: &settings,
        yard: &yard,
        gone: &gone,
        tax: &tax,
        papers: &papers,
        standings: &facts.standings,
        bills: &bills,
        programme: (!set.is_empty()).then(|| Programme::holding_in(&set, Month::containing(day))),
        bought: reader.slots_filled(Month::containing(day).first_day(), day)?,
        backup_old_on: backup_old_on(reader, settings.backup_days)?,
    });
    items.extend(vat_dates(reader, &settings, context)?);
    items.extend(tax_items(reader, context)?);
    items.sort_by_key(|item| (item.on.is_none(), item.on, item.number));
    leave_out_dealt_with(&mut items, reader, day)?;
    Ok(items)
}

/// What VAT asks for: a return and its payment while registered, notifying while not.
fn vat_dates(reader: Reader<'_>, settings: &Settings, context: &Context) -> Result<Vec<DueItem>, Error> {
    let (day, registration) = (context.today, settings.registration);
    let owed = quarters_owed(reader, settings, context)?;
    Ok(vat_items(&VatDue {
        day,
        registration,
        quarter_end: settings.vat_quarter_end,
        owed: &owed,
        lead_days: settings.remind_days,
        crossing: crossing(&reader.turnover(day, &registration)?, day, &registration),
    }))
}

/// What each quarter not marked as dealt with comes to, from facts that begin with the oldest.
fn quarters_owed(
    reader: Reader<'_>,
    settings: &Settings,
    context: &Context,
) -> Result<Vec<(QuarterDue, QuarterOwed)>, Error> {
    let mut quarters = quarters_due(context.today, &settings.registration, settings.vat_quarter_end);
    let numbers: Vec<i64> = quarters.iter().map(QuarterDue::number).collect();
    let dealt_with = reader.dealt_with(&numbers, context.today)?;
    quarters.retain(|quarter| quarter.from <= context.today && !dealt_with.contains(&quarter.number()));
    let Some(first) = quarters.first() else { return Ok(Vec::new()) };
    let facts = reader.facts(first.from, context.today, context.standing_to, settings.registration)?;
    Ok(quarters.into_iter().filter_map(|quarter| Some((quarter, QuarterOwed::from_facts(&facts, &quarter)?))).collect())
}

/// The day the last copy is old, counted from the book's first entry while there is none; nothing when
/// no entry is newer than the copy.
fn backup_old_on(reader: Reader<'_>, days: i64) -> Result<Option<NaiveDate>, Error> {
    let Some((first_at, last_entry)) = reader.span_of_entries()? else { return Ok(None) };
    let since = match reader.last_backup()? {
        Some(backup) if backup.last_entry >= last_entry => return Ok(None),
        Some(backup) => backup.made_at,
        None => first_at,
    };
    // Times are UTC; the first ten characters are the day.
    let day: NaiveDate = since
        .get(..10)
        .and_then(|day| day.parse().ok())
        .ok_or_else(|| BookError::Foreign(format!("the time '{since}'")))?;
    Ok(day.checked_add_days(Days::new(u64::try_from(days).unwrap_or_default())))
}

/// Leaves out what was marked as done.
pub fn leave_out_dealt_with(items: &mut Vec<DueItem>, reader: Reader<'_>, day: NaiveDate) -> Result<(), Error> {
    let numbers: Vec<i64> = items.iter().filter(|item| item.until_done).map(|item| item.number).collect();
    if numbers.is_empty() {
        return Ok(());
    }
    let dealt_with = reader.dealt_with(&numbers, day)?;
    items.retain(|item| !(item.until_done && dealt_with.contains(&item.number)));
    Ok(())
}

/// The days income tax sets, for `due`: what is marked as done is not left out yet.
fn tax_items(reader: Reader<'_>, context: &Context) -> Result<Vec<DueItem>, Error> {
    let Some(first_day) = reader.first_day()?.filter(|first| *first <= context.today) else { return Ok(Vec::new()) };
    let settings = settings_of(reader)?;
    let this = TaxYear::containing(context.today);
    let mut income = Vec::new();
    for year in [this.minus(3), this.minus(2)] {
        let digital_in = year.next().next();
        // Sums first: the cars are looked at only where VAT could bring a large income under the threshold.
        let takings = reader.takings(year.first_day(), year.last_day())?;
        if is_over_mtd_threshold(&context.rates, digital_in, takings) {
            income.push((year, reckoned(year, reader, context, |figures| -> Pence { figures.cash.income() })?));
        }
    }
    let (remind_days, rates) = (settings.remind_days, context.rates);
    let dates = TaxDates { today: context.today, first_day, income: &income, remind_days, rates };
    Ok(dates.due())
}

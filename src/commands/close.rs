//! `close`: months closed and their figures kept, or opened again; and the guard every entry passes.

use crate::cli::close::CloseArgs;
use crate::commands::recording::{Said, record};
use crate::commands::{Context, settings_of};
use crate::domain::book::closing::{ChangedRow, in_closed_month, months_to_close};
use crate::domain::days::day::long;
use crate::domain::days::month::Month;
use crate::domain::days::period::Period;
use crate::domain::figures::kept_figures::KeptFigures;
use crate::domain::refusal::Refusal;
use crate::error::Error;
use crate::report::Report;
use crate::report::month::closed::ClosedReport;
use crate::report::month::month::MonthReport;
use crate::store::{Book, Reader, Recording};

pub fn run(args: &CloseArgs, book: &mut Book, context: &Context) -> Result<Report, Error> {
    if let Some(month) = &args.reopen {
        let month = month.resolve(context.today)?;
        return Ok(record(book, context, "close", args.trying.dry_run, |recording| reopen(recording, month))?.into());
    }
    let month = args.written()?.resolve(context.today)?;
    let mut report = None;
    let recorded = record(book, context, "close", args.trying.dry_run, |recording| {
        let (said, shown) = close(recording, context, month)?;
        report = shown;
        Ok(said)
    })?;
    Ok(match report {
        Some(report) => ClosedReport::new(recorded, report).into(),
        None => recorded.into(),
    })
}

fn close(recording: &Recording<'_>, context: &Context, wanted: Month) -> Result<(Said, Option<MonthReport>), Error> {
    let reader = recording.read();
    let refused = |why: String| Refusal::NotForClosing { why };
    let first_day = reader.first_day()?.ok_or_else(|| refused("there is nothing in the book to close".into()))?;
    let months = months_to_close(first_day, reader.latest_closed_month()?, wanted, context.today)
        .map_err(|why| refused(why.to_string()))?;
    let registration = settings_of(reader)?.registration;
    let from = months.first().map_or(wanted, |first| *first);
    let facts = reader.facts(from.first_day(), wanted.last_day(), context.standing_to, registration)?;
    let mut report = None;
    for month in &months {
        let figures = facts.period_figures(Period::of_month(*month));
        let figures = figures.ok_or_else(|| refused(format!("{month} cannot be reckoned")))?;
        recording.add_closed_month(*month, &KeptFigures::of(&figures))?;
        report = Some(MonthReport::new(context.today, *month, &figures, Some(Vec::new())));
    }
    let earlier = if months.len() > 1 { format!(", with {from} and every month between") } else { String::new() };
    let summary = format!("closed {wanted}{earlier}: nothing up to {} changes any more", long(wanted.last_day()));
    let mut said = Said::new(summary, []);
    said.notes.push(format!("`runabout close --reopen {}` opens it again", wanted.iso()));
    Ok((said, report))
}

fn reopen(recording: &Recording<'_>, month: Month) -> Result<Said, Error> {
    let reader = recording.read();
    if reader.kept_figures(month)?.is_none() {
        return Err(Refusal::NotForClosing { why: format!("{month} is not closed") }.into());
    }
    recording.remove_closed_months(month)?;
    Ok(Said::new(format!("opened {month} again, and every month after it"), []))
}

/// Refuses an entry that changes what a closed month guards.
pub fn guard_closed_months(recording: &Recording<'_>) -> Result<(), Error> {
    match closed_fact(recording.read(), recording.entry())? {
        Some(refusal) => Err(refusal.into()),
        None => Ok(()),
    }
}

fn closed_fact(reader: Reader<'_>, entry: i64) -> Result<Option<Refusal>, Error> {
    let Some(latest) = reader.latest_closed_month()? else { return Ok(None) };
    let closed_to = latest.last_day();
    let changes = reader.row_changes(entry)?;
    let rows: Vec<ChangedRow<'_>> = changes
        .iter()
        .map(|change| ChangedRow { table: &change.table, before: change.before.as_ref(), after: change.after.as_ref() })
        .collect();
    Ok(in_closed_month(&rows, closed_to).map(|found| Refusal::Closed { what: found.to_string(), closed_to }))
}

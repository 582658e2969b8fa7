//! `close`: months closed and their figures kept, or opened again.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::book::closing::months_to_close;
use crate::domain::days::day::long;
use crate::domain::days::month::{Month, WrittenMonth};
use crate::domain::days::period::Period;
use crate::domain::figures::kept_figures::KeptFigures;
use crate::domain::refusal::Refusal;
use crate::domain::value::value_error::ValueError;
use crate::error::Error;
use crate::report::Report;
use crate::report::month::closed::ClosedReport;
use crate::report::month::month::MonthReport;
use crate::store::{Book, Recording};
use clap::Args;

/// Close a month: its figures are kept, and nothing up to its last day changes any more.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout close last\n  runabout close --reopen oct 2026\n\n\
Names, addresses, notes, mileage and receipts can still be put right. What is found late is dated\n\
the day it is found, or the month is opened again.")]
pub struct CloseArgs {
    /// The month: oct, oct 2026, 2026-10 or last
    #[arg(value_name = "MONTH", num_args = 0..=2, required_unless_present = "reopen")]
    pub month: Vec<String>,
    /// Open a closed month again, and every one after it
    #[arg(long, value_name = "MONTH", conflicts_with = "month")]
    pub reopen: Option<WrittenMonth>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl CloseArgs {
    /// The words typed as one month.
    pub fn written(&self) -> Result<WrittenMonth, ValueError> {
        self.month.join(" ").parse()
    }
}

impl Records for CloseArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        if let Some(month) = &self.reopen {
            let month = month.resolve(context.today)?;
            return Ok(
                record(book, context, "close", self.trying.dry_run, |recording| reopen(recording, month))?.into()
            );
        }
        let month = self.written()?.resolve(context.today)?;
        let mut report = None;
        let recorded = record(book, context, "close", self.trying.dry_run, |recording| {
            let (said, shown) = close(recording, context, month)?;
            report = shown;
            Ok(said)
        })?;
        Ok(match report {
            Some(report) => ClosedReport::new(recorded, report).into(),
            None => recorded.into(),
        })
    }
}

fn close(
    recording: &Recording<'_>,
    context: &Context,
    wanted: Month,
) -> Result<(ReadBack, Option<MonthReport>), Error> {
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
        recording.add_closed_month(*month, &KeptFigures::from_figures(&figures))?;
        report = Some(MonthReport::new(context.today, *month, &figures, Some(Vec::new())));
    }
    let earlier = if months.len() > 1 { format!(", with {from} and every month between") } else { String::new() };
    let summary = format!("closed {wanted}{earlier}: nothing up to {} changes any more", long(wanted.last_day()));
    let mut said = ReadBack::new(summary, []);
    said.notes.push(format!("`runabout close --reopen {}` opens it again", wanted.iso()));
    Ok((said, report))
}

fn reopen(recording: &Recording<'_>, month: Month) -> Result<ReadBack, Error> {
    let reader = recording.read();
    if reader.kept_figures(month)?.is_none() {
        return Err(Refusal::NotForClosing { why: format!("{month} is not closed") }.into());
    }
    recording.remove_closed_months(month)?;
    Ok(ReadBack::new(format!("opened {month} again, and every month after it"), []))
}

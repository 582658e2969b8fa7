//! `verify`: the file, the identities of every month, the months kept, the receipts.

use crate::commands::steps::act::Looks;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::departures::departures_passed_by;
use crate::commands::steps::recording::check_cars;
use crate::domain::book::facts::Facts;
use crate::domain::days::month::Month;
use crate::domain::days::period::Period;
use crate::domain::figures::kept_figures::KeptFigures;
use crate::error::Error;
use crate::report::Report;
use crate::report::keep::verify::{Finding, VerifyReport};
use crate::store::{BookError, Fault, Reader, check_receipt};
use clap::Args;

/// Check the file and every value in it, its history against its rows, every month's proof against the cash,
/// closed months and receipts.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout verify\n  runabout verify --format json\n\n\
Nothing is changed. It exits 3 when something is found.")]
pub struct VerifyArgs {}

impl Looks for VerifyArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        let mut report = VerifyReport::new(context.today);
        report.not_ours = reader.added_by_others()?;
        let faults = |check: &'static str, found: Result<Vec<Fault>, BookError>| {
            Ok(found?.iter().map(|fault| Finding::new(check, fault.to_string())).collect())
        };
        let words = |check: &'static str, found: Result<Vec<String>, BookError>| {
            Ok(found?.into_iter().map(|words| Finding::new(check, words)).collect())
        };
        report.found("file", words("file", reader.file_faults()))?;
        report.found("value", faults("value", rows_refused(reader, &report.findings)))?;
        report.found("value", faults("value", reader.strange_values()))?;
        report.found("history", faults("history", reader.replayed()))?;
        report.found("entries", faults("entries", reader.ledger_faults()))?;
        report.found("totals", words("totals", reader.wrong_totals()))?;
        let found = months(reader, context, &mut report);
        report.found("proof", found)?;
        let found = order(reader, &mut report);
        report.found("order of events", found)?;
        let found = receipts(reader, &mut report);
        report.found("receipt", found)?;
        Ok(report.into())
    }
}

/// Where SQLite finds that a table holds what it would not take, it does not say in which row.
fn rows_refused(reader: Reader<'_>, found: &[Finding]) -> Result<Vec<Fault>, BookError> {
    let mut faults = Vec::new();
    for table in reader.every_table()? {
        let (whole, column) = (format!(" in {table}"), format!(" in {table}."));
        if found.iter().any(|found| found.finding.ends_with(&whole) || found.finding.contains(&column)) {
            faults.extend(reader.rows_refused(&table)?);
        }
    }
    Ok(faults)
}

impl VerifyReport {
    /// Takes what a check found. A check that cannot be finished because of what the book holds has found just
    /// that; one that could not be made says nothing of the book.
    fn found(&mut self, check: &'static str, found: Result<Vec<Finding>, Error>) -> Result<(), Error> {
        match found {
            Ok(found) => self.findings.extend(found),
            Err(
                error @ (Error::Refused(_)
                | Error::Book(BookError::Damaged(_) | BookError::Foreign(_) | BookError::Unreadable(_))),
            ) => {
                self.findings.push(Finding::new(check, format!("it could not be checked to the end: {error}")));
            }
            Err(error) => return Err(error),
        }
        Ok(())
    }
}

/// Every month's bridge must reach the float, and a closed month must be as it was kept.
fn months(reader: Reader<'_>, context: &Context, report: &mut VerifyReport) -> Result<Vec<Finding>, Error> {
    let mut findings = Vec::new();
    let Some(first_day) = reader.first_day()?.filter(|first| *first <= context.today) else { return Ok(findings) };
    let registration = settings_of(reader)?.registration;
    let first = Month::containing(first_day);
    let facts = reader.facts(first.first_day(), context.today, context.standing_to, registration)?;
    let closed = reader.closed_months()?;
    let last = Month::containing(context.today);
    for month in std::iter::successors(Some(first), |month| Some(month.next())).take_while(|month| *month <= last) {
        report.months += 1;
        findings.extend(proof(&facts, month));
        let kept = closed.iter().find(|(closed, _)| *closed == month).map(|(_, kept)| kept);
        if let (Some(kept), Some(figures)) = (kept, facts.period_figures(Period::of_month(month))) {
            for difference in kept.differences(&KeptFigures::from_figures(&figures)) {
                let now = difference.now.map_or_else(|| "not reckoned any more".to_owned(), |now| now.to_string());
                let (figure, was) = (difference.figure, difference.kept);
                let words = format!("{month} is closed with {figure} of {was}; it is {now} now");
                findings.push(Finding::new("closed month", words));
            }
        }
    }
    Ok(findings)
}

fn proof(facts: &Facts, month: Month) -> Option<Finding> {
    let figures = facts.period_figures(Period::of_month(month))?;
    let (expected, found) = (figures.bridge.expected_float_at_end(), figures.bridge.float_at_end);
    (expected != found).then(|| {
        Finding::new("proof", format!("{month}: the profit leads to a float of {expected}, but it is {found}"))
    })
}

/// The order of events of every car.
fn order(reader: Reader<'_>, report: &mut VerifyReport) -> Result<Vec<Finding>, Error> {
    let mut findings = Vec::new();
    let mut cars: Vec<_> = reader.every_mark()?.into_iter().map(|(stock_no, _)| stock_no).collect();
    cars.dedup();
    report.cars = cars.len();
    for car in departures_passed_by(reader, &cars)? {
        let words = format!(
            "car {car} left stock with something still open, and `due` passes it by until something is recorded of it, as with `runabout note {car} TEXT`"
        );
        findings.push(Finding::new("open departures", words));
    }
    for car in cars {
        if let Err(breach) = check_cars(reader, &[car])? {
            findings.push(Finding::new("order of events", format!("entry {}: {}", breach.entry, breach.why)));
        }
    }
    Ok(findings)
}

fn receipts(reader: Reader<'_>, report: &mut VerifyReport) -> Result<Vec<Finding>, Error> {
    let mut findings = Vec::new();
    for receipt in reader.every_receipt()? {
        report.receipts += 1;
        if let Err(fault) = check_receipt(reader.path(), &receipt.sha256, &receipt.extension, receipt.bytes) {
            let words = format!("{} of entry {}: {fault}", receipt.file_name, receipt.of_entry);
            findings.push(Finding::new("receipt", words));
        }
    }
    Ok(findings)
}

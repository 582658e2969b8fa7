//! `verify`: the file, the identities of every month, the months kept, the receipts.

use crate::commands::recording::check_cars;
use crate::commands::{Context, settings_of};
use crate::domain::facts::Facts;
use crate::domain::kept_figures::KeptFigures;
use crate::domain::month::Month;
use crate::domain::period::Period;
use crate::error::Error;
use crate::report::verify::{Finding, VerifyReport};
use crate::store::{Reader, check_receipt};

pub fn run(reader: Reader<'_>, context: &Context) -> Result<VerifyReport, Error> {
    let mut report = VerifyReport::new(context.today);
    report.findings.extend(reader.file_faults()?.into_iter().map(|fault| Finding::new("file", fault)));
    report.findings.extend(reader.wrong_totals()?.into_iter().map(|wrong| Finding::new("totals", wrong)));
    months(reader, context, &mut report)?;
    order(reader, &mut report)?;
    receipts(reader, &mut report)?;
    Ok(report)
}

/// Every month's bridge must reach the float, and a closed month must be as it was kept.
fn months(reader: Reader<'_>, context: &Context, report: &mut VerifyReport) -> Result<(), Error> {
    let Some(first_day) = reader.first_day()?.filter(|first| *first <= context.today) else { return Ok(()) };
    let registration = settings_of(reader)?.registration;
    let first = Month::of(first_day);
    let facts = reader.facts(first.first_day(), context.today, context.standing_to, registration)?;
    let closed = reader.closed_months()?;
    let last = Month::of(context.today);
    for month in std::iter::successors(Some(first), |month| Some(month.next())).take_while(|month| *month <= last) {
        report.months += 1;
        report.findings.extend(proof(&facts, month));
        let kept = closed.iter().find(|(closed, _)| *closed == month).map(|(_, kept)| kept);
        if let (Some(kept), Some(figures)) = (kept, facts.period_figures(Period::of_month(month))) {
            for difference in kept.differences(&KeptFigures::of(&figures)) {
                let now = difference.now.map_or_else(|| "not reckoned any more".to_owned(), |now| now.to_string());
                let (figure, was) = (difference.figure, difference.kept);
                let words = format!("{month} is closed with {figure} of {was}; it is {now} now");
                report.findings.push(Finding::new("closed month", words));
            }
        }
    }
    Ok(())
}

fn proof(facts: &Facts, month: Month) -> Option<Finding> {
    let figures = facts.period_figures(Period::of_month(month))?;
    let (expected, found) = (figures.bridge.expected_float_at_end(), figures.bridge.float_at_end);
    (expected != found).then(|| {
        Finding::new("proof", format!("{month}: the profit leads to a float of {expected}, but it is {found}"))
    })
}

/// The order of events of every car.
fn order(reader: Reader<'_>, report: &mut VerifyReport) -> Result<(), Error> {
    let mut cars: Vec<_> = reader.every_mark()?.into_iter().map(|(stock_no, _)| stock_no).collect();
    cars.dedup();
    report.cars = cars.len();
    for car in cars {
        if let Err(breach) = check_cars(reader, &[car])? {
            report.findings.push(Finding::new("order of events", format!("entry {}: {}", breach.entry, breach.why)));
        }
    }
    Ok(())
}

fn receipts(reader: Reader<'_>, report: &mut VerifyReport) -> Result<(), Error> {
    for receipt in reader.every_receipt()? {
        report.receipts += 1;
        if let Err(fault) = check_receipt(reader.path(), &receipt.sha256, &receipt.extension, receipt.bytes) {
            let words = format!("{} of entry {}: {fault}", receipt.file_name, receipt.of_entry);
            report.findings.push(Finding::new("receipt", words));
        }
    }
    Ok(())
}

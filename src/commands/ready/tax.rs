//! `tax`: vehicle tax taken out, a SORN, or neither.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::question::{Ask, CAR, DAY, PAID, Takes, needed, optional};
use crate::commands::steps::recording::{ReadBack, add_cost, record};
use crate::domain::book::dated_facts::{TaxEvent, TaxKind, TaxStatus};
use crate::domain::book::facts::Car;
use crate::domain::days::day::{DayAhead, LAST_DAY, WrittenDay, long};
use crate::domain::law::vehicle_tax::{
    TaxMonths, annual_rate_from, complete_months_left, first_day, last_day, price, refund, sorn_starts,
};
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;
use crate::domain::value::words::PaidBy;
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, Reader, Recording};
use chrono::NaiveDate;
use clap::{ArgGroup, Args};

/// Record vehicle tax taken out, a SORN, or neither.
#[derive(Debug, Args)]
#[command(
    group = ArgGroup::new("what").required(true).multiple(false),
    after_help = "Examples:\n  runabout tax 1 --months 6 --rate 195\n  runabout tax KX42 RTO --sorn\n\n\
Tax never passes with a car. It runs from the first of the month it starts in. With --rate or\n\
--paid-amount the money is booked as a cost on the car.\n\n\
On a terminal it asks for what is left out."
)]
pub struct TaxArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// Taxed for 6 or 12 months
    #[arg(long, value_name = "6|12", group = "what")]
    pub months: Option<TaxMonths>,
    /// Declared off the road
    #[arg(long, group = "what")]
    pub sorn: bool,
    /// Neither taxed nor declared off the road
    #[arg(long, group = "what")]
    pub none: bool,
    /// The day the tax starts, with its year if it lies ahead [the day it was done]
    #[arg(long, value_name = "DATE", requires = "months")]
    pub from: Option<DayAhead>,
    /// The yearly rate, from which six months and a refund are worked out
    #[arg(long, value_name = "AMOUNT", requires = "months")]
    pub rate: Option<Pence>,
    /// What was paid [worked out from the rate]
    #[arg(long, value_name = "AMOUNT", requires = "months")]
    pub paid_amount: Option<Pence>,
    /// How it was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW", requires = "months")]
    pub paid: Option<PaidBy>,
    /// The day it was done [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

impl TaxArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[
        CAR,
        needed("what", "Taxed for 6 or 12 months, sorn, or none").takes(Takes::Tax),
        optional("paid_amount", "Tax paid").when(|known| Ok(known.typed.get::<TaxMonths>("months").is_some())),
        PAID.when(|known| Ok(known.typed.has("paid_amount"))),
        DAY,
    ];
}

impl Records for TaxArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        Ok(record(book, context, "tax", self.trying.dry_run, |recording| {
            let reader = recording.read();
            let car = lookup::car_in_stock(reader, &self.car, on)?;
            let events = events(reader, car.stock_no)?;
            match self.months {
                Some(months) => taxed(self, months, recording, &car, &events, on, context),
                None if self.sorn => sorn(recording, &car, &events, on),
                None => {
                    recording.add_tax_event(car.stock_no, on, TaxKind::None, on, None, None)?;
                    let mut said = ReadBack::new(
                        format!("{} is neither taxed nor off the road, from {}", car.label(), long(on)),
                        [car.stock_no],
                    );
                    said.notes.push("trade plates may not be used on a car registered in your own name; it may not stand on a public road".into());
                    Ok(said)
                }
            }
        })?.into())
    }
}

fn events(reader: Reader<'_>, car: StockNo) -> Result<Vec<TaxEvent>, Error> {
    Ok(reader.tax_events(&[car], LAST_DAY)?.remove(&car).unwrap_or_default())
}

fn taxed(
    args: &TaxArgs,
    months: TaxMonths,
    recording: &Recording<'_>,
    car: &Car,
    events: &[TaxEvent],
    on: NaiveDate,
    context: &Context,
) -> Result<ReadBack, Error> {
    let from = args.from.as_ref().map_or(Ok(on), |from| from.resolve(context.today))?;
    let Some(starts) = first_day(from, on) else {
        let verdict = format!("is in a month before it was taxed, on {}: tax cannot be backdated", long(on));
        return Err(ValueError::at_odds("start", long(from), verdict).into());
    };
    let until = last_day(from, months);
    if let TaxStatus::Taxed(running) = TaxStatus::since(car.last_in_by(starts.max(on)), starts.max(on), events)
        && running >= starts
    {
        let verdict = format!("overlaps the tax it has, to {}", long(running));
        return Err(ValueError::at_odds("start", long(from), verdict).into());
    }
    let rate = match (args.rate, args.paid_amount) {
        (Some(rate), _) => Some(rate),
        (None, Some(paid)) => Some(annual_rate_from(paid, months)),
        (None, None) => None,
    };
    let due = match (args.paid_amount, args.rate) {
        (Some(paid), _) => Some(paid),
        (None, Some(rate)) => Some(price(rate, months).ok_or_else(|| {
            let verdict = "has no six months: they are sold only where a year costs more than £50; write --months 12";
            ValueError::at_odds("yearly rate", rate.to_string(), verdict)
        })?),
        (None, None) => None,
    };
    recording.add_tax_event(car.stock_no, on, TaxKind::Taxed, starts, Some(until), rate)?;
    let paid = match due.filter(|due| due.is_positive()) {
        Some(due) => format!(", {due} {}", add_cost(recording, car, "vehicle-tax", due, on, args.paid)?),
        None => String::new(),
    };
    let mut said =
        ReadBack::new(format!("taxed {} from {} to {}{paid}", car.label(), long(starts), long(until)), [car.stock_no]);
    if due.is_none() {
        said.notes.push("no cost is recorded: say --paid-amount AMOUNT, or --rate AMOUNT for a year's tax".into());
    }
    if starts < from.max(on) {
        said.notes.push(format!(
            "tax taken out in a month starts on its first, {}: the days since then are paid for too",
            long(starts)
        ));
    }
    said.notes.push("it ends when the car is sold: the buyer must tax it before driving".into());
    Ok(said)
}

fn sorn(recording: &Recording<'_>, car: &Car, events: &[TaxEvent], on: NaiveDate) -> Result<ReadBack, Error> {
    let status = TaxStatus::since(car.last_in_by(on), on, events);
    if status == TaxStatus::Sorn {
        return Err(Refusal::AtOdds { what: "--sorn", with: "a car already declared off the road" }.into());
    }
    let starts = sorn_starts(on, status.until());
    recording.add_tax_event(car.stock_no, on, TaxKind::Sorn, starts, None, None)?;
    let mut said =
        ReadBack::new(format!("{} declared off the road (SORN) from {}", car.label(), long(starts)), [car.stock_no]);
    if let Some(until) = status.until() {
        let months = complete_months_left(until, on);
        let amount = events.iter().rev().find_map(|event| event.annual_rate).map(|rate: Pence| refund(rate, until, on));
        let amount = amount.map(|amount| format!(", {amount}")).unwrap_or_default();
        if months > 0 {
            said.notes.push(format!(
                "a refund of {months} complete months is to come{amount}; `runabout due` keeps it in sight"
            ));
        }
    }
    said.notes.push("off the road means off: no public road but to a booked test".into());
    Ok(said)
}

//! `mot`: a test, its defects, the certificate it gave, the fee.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::lookup;
use crate::commands::steps::question::{
    ANY_CAR, Ask, DAY, Enter, Known, MILES, Need, PAID, Takes, ask, needed, optional,
};
use crate::commands::steps::recording::{ReadBack, add_cost, lower_mileage, record};
use crate::domain::book::claims::deposit_held;
use crate::domain::book::facts::{Car, Line};
use crate::domain::book::roadworthy::{OFFENCE, concerns, on_offer};
use crate::domain::days::day::{DayAhead, WrittenDay, days_between, long};
use crate::domain::law::mot::{
    Defect, DefectLevel, earliest_keeping, expiry_on_pass, extended_in_2020, first_due, may_be_exempt,
};
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::Miles;
use crate::domain::value::value_error::ValueError;
use crate::domain::value::words::{PaidBy, TestResult};
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, Reader};
use chrono::NaiveDate;
use clap::Args;

/// Record an MOT test. The last day is worked out; the date on the certificate always wins.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout mot 1 pass --fee 54.85 --miles 82,010\n  \
runabout mot KX42 RTO fail --on yesterday --defect \"major:brake hose perished\"\n\n\
On a terminal it asks for what is left out.")]
pub struct MotArgs {
    /// The car
    #[arg(value_name = "CAR")]
    pub car: CarRef,
    /// pass or fail
    #[arg(value_name = "RESULT")]
    pub result: TestResult,
    /// The day of the test [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// The last day, as on the certificate, with its year [worked out]
    #[arg(long, value_name = "DATE")]
    pub until: Option<DayAhead>,
    /// Miles on the odometer
    #[arg(long, value_name = "N")]
    pub miles: Option<Miles>,
    /// The fee, booked as a cost on the car
    #[arg(long, value_name = "AMOUNT")]
    pub fee: Option<Pence>,
    /// How the fee was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW", requires = "fee")]
    pub paid: Option<PaidBy>,
    /// A defect: dangerous, major, minor or advisory, a colon, and what; repeat for more. The buyer's invoice
    /// lists those of the last test
    #[arg(long, value_name = "LEVEL:TEXT")]
    pub defect: Vec<Defect>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

fn has_passed(known: &Known<'_>) -> bool {
    known.typed.get::<TestResult>("result") == Some(&TestResult::Pass)
}

impl MotArgs {
    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[
        ANY_CAR,
        needed("result", "Pass or fail"),
        DAY,
        optional("until", "Good until").enter(Enter::LastDayOfMot).when(|known| Ok(has_passed(known))),
        MILES,
        optional("fee", "Fee paid").enter(Enter::Leaves("none")),
        PAID.when(|known| Ok(known.typed.has("fee"))),
        ask("defect", "Defect, such as major brake hose (buyers read it)", Need::Repeated)
            .enter(Enter::NoMore)
            .takes(Takes::Defect)
            .when(|known| Ok(!has_passed(known))),
        ask("defect", "Advisory, such as advisory tyre (buyers read it)", Need::Repeated)
            .enter(Enter::NoMore)
            .takes(Takes::LesserDefect)
            .when(|known| Ok(has_passed(known))),
    ];
}

impl Records for MotArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let on = context.past_day(self.on.as_ref())?;
        let typed_until = self.until.as_ref().map(|day| day.resolve(context.today)).transpose()?;
        Ok(record(book, context, "mot", self.trying.dry_run, |recording| {
            let reader = recording.read();
            let car = lookup::car(reader, &self.car)?;
            let grave = self.defect.iter().find(|defect| defect.level.fails());
            let until = match self.result {
                TestResult::Fail if typed_until.is_some() => {
                    return Err(
                        Refusal::DoesNotGoWith { what: "--until", with: "a fail: it gives no certificate" }.into()
                    );
                }
                TestResult::Fail => None,
                TestResult::Pass => {
                    if let Some(defect) = grave {
                        return Err(defect.not_with_a_pass().into());
                    }
                    Some(last_day(reader, &car, on, typed_until)?)
                }
            };
            let mut said = ReadBack::new(String::new(), [car.stock_no]);
            let again = same_again(reader, &car, self.result, on)?;
            said.notes.extend(lower_mileage(reader, car.vehicle.vehicle_no, on, self.miles)?);
            recording.add_mot_test(
                car.vehicle.vehicle_no,
                on,
                until.as_ref().map(|until| until.day),
                self.miles.map(|miles| miles.0),
                &self.defect,
            )?;
            said.notes.extend(self.fee.and_then(|fee| paid_before(&car, fee, on)));
            let fee = match self.fee.filter(|fee| fee.is_positive()) {
                Some(fee) => format!(", fee {fee} {}", add_cost(recording, &car, "mot", fee, on, self.paid)?),
                None => String::new(),
            };
            let result = match &until {
                Some(until) => format!("passed its MOT on {}, good until {}", long(on), long(until.day)),
                None => format!("failed its MOT on {}", long(on)),
            };
            let defects = self.defect.iter().map(|defect| format!("; {defect}")).collect::<String>();
            said.summary = format!("{} {result}{fee}{defects}", car.label());
            match again {
                Some(earlier) => said.notes.push(format!(
                    "entry {earlier} is a {} on that day already: if it is the same test, `runabout undo {}`",
                    self.result,
                    recording.entry()
                )),
                None => said.notes.extend(until.into_iter().flat_map(|until| until.notes)),
            }
            if !self.defect.is_empty() {
                said.notes.push("the buyer's invoice lists what the last test found".into());
            }
            if self.result == TestResult::Fail {
                said.notes.push(after_a_fail(self.defect.iter().any(|defect| defect.level == DefectLevel::Dangerous)));
                said.notes.extend(still_on_offer(reader, &car, context.today)?);
            }
            if car.vehicle.first_registered.is_some_and(|registered| may_be_exempt(registered, on)) {
                said.notes.push(
                    "registered over 40 years ago: it may need no test if not much changed in 30 years; check with DVLA"
                        .into(),
                );
            }
            Ok(said)
        })?
        .into())
    }
}

/// The entry that recorded a test of that day with the same result.
fn same_again(reader: Reader<'_>, car: &Car, result: TestResult, on: NaiveDate) -> Result<Option<EntryNo>, Error> {
    let tests = reader.mot_tests(car.vehicle.vehicle_no, on)?;
    let same = tests.iter().find(|test| test.on == on && test.passed == (result == TestResult::Pass));
    Ok(same.map(|test| test.entry))
}

/// Whether the very fee is on the car already, typed as a cost a few days before or after.
fn paid_before(car: &Car, fee: Pence, on: NaiveDate) -> Option<String> {
    let close = |line: &&Line| line.heading == "mot" && line.amount == fee && days_between(line.on, on).abs() <= 7;
    let line = car.lines.iter().find(close)?;
    Some(format!("{fee} for an MOT is on it already, in entry {}: if that was this test, leave --fee out", line.entry))
}

fn after_a_fail(dangerous: bool) -> String {
    if dangerous {
        "a dangerous defect: it may not be driven until repaired".into()
    } else {
        "it may be driven only to be repaired or to a booked test, and only if roadworthy and an earlier MOT still runs"
            .into()
    }
}

/// That a car which failed is advertised today, or kept for somebody.
fn still_on_offer(reader: Reader<'_>, car: &Car, today: NaiveDate) -> Result<Option<String>, Error> {
    let showing = reader.showing(&[car.stock_no], today)?.remove(&car.stock_no).unwrap_or_default();
    let held = concerns(&showing.mot, &car.vehicle, settings_of(reader)?.region, today);
    let offered = car.left().is_none() && !held.is_empty() && on_offer(&showing, deposit_held(car, today));
    Ok(offered.then(|| format!("it is on offer: {OFFENCE}")))
}

/// A certificate's last day and what there is to say about it.
struct LastDay {
    day: NaiveDate,
    notes: Vec<String>,
}

/// The last day a pass on a day would have by the rule.
pub fn worked_out(reader: Reader<'_>, car: &Car, on: NaiveDate) -> Result<NaiveDate, Error> {
    Ok(last_day(reader, car, on, None)?.day)
}

/// The last day of a pass: as typed from the certificate, else worked out from the certificate
/// before it or from the first registration.
fn last_day(reader: Reader<'_>, car: &Car, on: NaiveDate, typed: Option<NaiveDate>) -> Result<LastDay, Error> {
    let region = settings_of(reader)?.region;
    // A certificate that ran out in the spring of 2020 ran on for six months by itself.
    let before = reader.mot_until(car.vehicle.vehicle_no, on)?.map(|until| extended_in_2020(until).unwrap_or(until));
    let first =
        car.vehicle.first_registered.map(|registered| first_due(registered, region, car.vehicle.kind).last_day_without);
    let anniversary = before.or(first);
    let worked_out = expiry_on_pass(on, anniversary);
    let mut notes = Vec::new();
    if let Some(typed) = typed {
        if typed < on {
            return Err(
                ValueError::at_odds("last day", long(typed), format!("is before the test, on {}", long(on))).into()
            );
        }
        if typed != worked_out.until {
            notes.push(format!(
                "by the rule it would run to {}; the certificate's date is kept",
                long(worked_out.until)
            ));
        }
        return Ok(LastDay { day: typed, notes });
    }
    if let Some(other) = worked_out.other_reading {
        notes.push(format!(
            "29 February leaves two readings: {} or {}; check the certificate",
            long(worked_out.until),
            long(other)
        ));
    }
    match anniversary {
        Some(old) if worked_out.kept_anniversary => {
            notes.push(format!("tested in its last month, so it keeps the anniversary of {}", long(old)));
        }
        Some(old) if on < earliest_keeping(old) => {
            notes.push(format!(
                "tested before {}, so the anniversary of {} is given up",
                long(earliest_keeping(old)),
                long(old)
            ));
        }
        _ => {}
    }
    Ok(LastDay { day: worked_out.until, notes })
}

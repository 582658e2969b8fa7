//! What every recording has in common: one entry, the order of events checked, the read-back.

use crate::commands::steps::closed_months::guard_closed_months;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::departures::keep_open_departures;
use crate::commands::steps::lookup;
use crate::commands::steps::pocket_note::{held, overdrawn};
use crate::domain::book::breach::Breach;
use crate::domain::book::facts::{Car, Line};
use crate::domain::book::order::{check_bills, check_car, check_loan, check_one_in_stock, check_stays, check_taken_in};
use crate::domain::book::stay::Joins;
use crate::domain::days::day::{LAST_DAY, long};
use crate::domain::figures::car_figures::stands_in;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::Miles;
use crate::domain::value::words::{Direction, PaidBy, Pocket, Purpose, Shared};
use crate::error::Error;
use crate::report::cell::MoneyText;
use crate::report::keep::recorded::{Recorded, RecordedCar};
use crate::store::{Book, NewLine, Reader, Recording};
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// What a command has to say about what it recorded.
#[derive(Debug, Default)]
pub struct ReadBack {
    /// What was recorded, as a sentence without its full stop.
    pub summary: String,
    /// The cars it is about.
    pub cars: Vec<StockNo>,
    /// What else the trader should know.
    pub notes: Vec<String>,
    /// How many rows of a file were passed over; none where no file was read.
    pub passed_over: Option<usize>,
    /// There was nothing to record, so no entry is kept.
    pub nothing: bool,
}

impl ReadBack {
    /// A sentence about some cars.
    pub fn new(summary: impl Into<String>, cars: impl IntoIterator<Item = StockNo>) -> Self {
        Self { summary: summary.into(), cars: cars.into_iter().collect(), ..Self::default() }
    }
}

/// Records in one entry: does the work, checks that the order of events still holds, says what
/// was done, and keeps it unless it is only being tried.
pub fn record(
    book: &mut Book,
    context: &Context,
    command: &str,
    dry_run: bool,
    work: impl FnOnce(&Recording<'_>) -> Result<ReadBack, Error>,
) -> Result<Recorded, Error> {
    let recording = book.begin(command, &context.typed, context.now)?;
    let held_before = held(recording.read(), context)?;
    let mut said = work(&recording)?;
    guard_closed_months(&recording)?;
    let cars = recording.cars(&said.cars)?;
    check_loaded(recording.read(), &cars)?.map_err(|breach| breach.why)?;
    keep_open_departures(&recording, &said.cars, &cars)?;
    recording.describe(&said.summary, &said.cars)?;
    said.notes.extend(overdrawn(held_before, held(recording.read(), context)?));
    let recorded = Recorded {
        entry: (!said.nothing).then(|| recording.entry()),
        command: command.to_owned(),
        summary: said.summary,
        cars: read_back(recording.read(), &cars, context.today)?,
        notes: said.notes,
        passed_over: said.passed_over,
        dry_run,
    };
    if !dry_run && !said.nothing {
        recording.keep()?;
    }
    Ok(recorded)
}

/// Whether the order of events holds for the cars, their vehicles and what was taken in for them.
pub fn check_cars(reader: Reader<'_>, cars: &[StockNo]) -> Result<Result<(), Breach>, Error> {
    check_loaded(reader, &reader.cars(cars, LAST_DAY)?)
}

/// The same for cars that hold every fact there is.
fn check_loaded(reader: Reader<'_>, cars: &[Car]) -> Result<Result<(), Breach>, Error> {
    let taken_in = cars.iter().flat_map(|car| &car.sales).flat_map(|sale| &sale.part_exchanges);
    let mut others: Vec<StockNo> = taken_in.map(|part| part.stock_no).collect();
    others.retain(|stock_no| !cars.iter().any(|car| car.stock_no == *stock_no));
    let others = reader.cars(&others, LAST_DAY)?;
    let mut all: Vec<&Car> = cars.iter().chain(&others).collect();
    all.sort_by_key(|car| car.stock_no);
    // An import is about thousands: they are read at once, and others beside them only where there are any.
    let mut vehicles = BTreeSet::new();
    for car in all {
        let stays = if vehicles.insert(car.vehicle.vehicle_no) { reader.stays(car.stock_no)? } else { Vec::new() };
        let stays = if stays.len() > 1 { reader.cars(&stays, LAST_DAY)? } else { Vec::new() };
        let alike = reader.cars(&reader.in_stock_alike(car)?, LAST_DAY)?;
        let mut checked =
            check_car(car).and_then(|()| check_stays(&stays)).and_then(|()| check_one_in_stock(car, &alike));
        if let Some(sold_for) = reader.taken_in_for(car.stock_no)? {
            let sold = lookup::whole_car(reader, sold_for)?;
            checked = checked.and_then(|()| check_taken_in(car, &sold));
        }
        if checked.is_err() {
            return Ok(checked);
        }
    }
    Ok(Ok(()))
}

/// Whether the bills and loans an entry touched are still not overpaid.
pub fn check_parties(reader: Reader<'_>, parties: &[(Purpose, String)]) -> Result<Result<(), Breach>, Error> {
    for (purpose, party) in parties {
        let movements = reader.movements_with(*purpose, party)?;
        let checked = match purpose {
            Purpose::Loan => check_loan(party, &movements),
            _ => check_bills(party, &reader.bills_of(party)?, &movements),
        };
        if checked.is_err() {
            return Ok(checked);
        }
    }
    Ok(Ok(()))
}

/// The cars as they stand after recording; those no longer in the book are left out.
fn read_back(reader: Reader<'_>, cars: &[Car], today: NaiveDate) -> Result<Vec<RecordedCar>, Error> {
    let registration = settings_of(reader)?.registration;
    let stock_nos: Vec<StockNo> = cars.iter().map(|car| car.stock_no).collect();
    let marks = reader.marks_on(&stock_nos, today)?;
    let shown = |car: &Car| RecordedCar {
        stock_no: car.stock_no.get(),
        mark: marks.get(&car.stock_no).or(car.mark_at_purchase.as_ref()).map(ToString::to_string),
        stands_in: MoneyText(stands_in(car, today, &registration)),
        gone: car.left_by(today).is_some(),
    };
    Ok(cars.iter().map(shown).collect())
}

/// Books a cost on one car beside what the entry is about, and says how it was paid.
pub fn add_cost(
    recording: &Recording<'_>,
    car: &Car,
    heading: &str,
    amount: Pence,
    on: NaiveDate,
    paid: Option<PaidBy>,
) -> Result<&'static str, Error> {
    let pocket = pocket(recording.read(), paid)?;
    recording.add_line(NewLine {
        stock_no: Some(car.stock_no),
        direction: Direction::Cost,
        on,
        heading: heading.to_owned(),
        amount,
        usual_price: None,
        vat: Pence::ZERO,
        pocket: Some(pocket),
        shared: Shared::Whole,
        party: None,
        note: None,
    })?;
    Ok(paid_words(pocket))
}

/// What a line is part of, where its day puts it anywhere but in stock: told by the rule that puts it there.
pub fn place_note(car: &Car, line: &Line) -> Option<String> {
    let label = car.label();
    match (car.place(line).joins, line.direction) {
        (Joins::Disposal, _) => Some(format!(
            "{label} had left stock by then: this counts with what its disposal came to, not with what it stood in at"
        )),
        (Joins::AfterSale, Direction::Cost) => Some(format!(
            "{label} was sold by then: this is an after-sale cost and does not change what it stood in at"
        )),
        (Joins::AfterSale, Direction::Receipt) => Some(format!(
            "{label} was sold by then: this comes off its after-sale costs and does not change what it stood in at"
        )),
        (Joins::Stock(from), _) if from > line.on => {
            Some(format!("paid ahead: it joins {label} on the day bought, {}", long(from)))
        }
        (Joins::Stock(_), _) => None,
    }
}

/// What the VAT typed with a purchase or cost comes to, said once.
pub fn vat_note(reader: Reader<'_>, vat: Pence, on: NaiveDate) -> Result<Option<String>, Error> {
    let registered = settings_of(reader)?.registration.holds_on(on);
    Ok(match (vat.is_positive(), registered) {
        (false, _) => None,
        (true, true) => Some(format!("{vat} of it is VAT to reclaim and no part of the cost")),
        (true, false) => {
            Some(format!("you are not registered for VAT on {}: the {vat} is kept but not taken off", long(on)))
        }
    })
}

/// An odometer that reads less than it did, in plain words.
pub fn lower_mileage(
    reader: Reader<'_>,
    vehicle_no: i64,
    on: NaiveDate,
    miles: Option<Miles>,
) -> Result<Option<String>, Error> {
    let Some(miles) = miles else { return Ok(None) };
    let earlier = reader.latest_reading(vehicle_no, on)?.filter(|(_, before)| *before > miles.0);
    Ok(earlier.map(|(day, before)| {
        format!(
            "the odometer reads {miles}, less than the {} of {}: find out why, and tell a buyer",
            Miles(before),
            long(day)
        )
    }))
}

/// The pocket to use: as typed, else the setting.
pub fn pocket(reader: Reader<'_>, typed: Option<PaidBy>) -> Result<Pocket, Error> {
    Ok(match typed {
        Some(paid) => paid,
        None => settings_of(reader)?.default_paid,
    }
    .pocket())
}

/// `in cash`, `by bank`, `out of your own pocket`.
pub const fn paid_words(pocket: Pocket) -> &'static str {
    match pocket {
        Pocket::Cash => "in cash",
        Pocket::Bank => "by bank",
        Pocket::Own => "from your own pocket",
    }
}

/// `in cash`, `into the bank`, `into your own pocket`, for money that came in.
pub const fn received_words(pocket: Pocket) -> &'static str {
    match pocket {
        Pocket::Cash => "in cash",
        Pocket::Bank => "by bank",
        Pocket::Own => "into your own pocket",
    }
}

/// ` to NAME`, or nothing.
pub fn to_whom(word: &str, name: Option<&str>) -> String {
    name.map(|name| format!(" {word} {name}")).unwrap_or_default()
}

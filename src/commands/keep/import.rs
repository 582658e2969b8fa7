//! `import`: cars or money from a spreadsheet, all rows or none.

use crate::cli::Trying;
use crate::commands::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::recording::{Said, pocket, record};
use crate::commands::steps::vehicle::vehicle_no;
use crate::domain::book::dealing::check_vat;
use crate::domain::book::import_sheet::{CarRow, Layout, MoneyRow, Rows, Sheet};
use crate::domain::book::imported::{ImportedMoney, StandingCars, StandingMoney};
use crate::domain::days::day::days_between;
use crate::domain::due::due_item::notices_of_a_car_sold;
use crate::domain::refusal::Refusal;
use crate::domain::value::bad_row::BadRow;
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::domain::value::pence::Pence;
use crate::domain::value::target::BoughtMark;
use crate::domain::value::words::{Direction, PaidBy, Pocket, Purpose, Shared, Via};
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::report::phrase;
use crate::store::{Book, BookError, NewCar, NewLine, NewMovement, NewSale, NewVehicle, Recording};
use chrono::NaiveDate;
use clap::Args;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

/// Take in cars or money from a spreadsheet, or a whole book that was exported.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout import cars.csv --dry-run\n  runabout import money.csv --kind money\n\n\
cars: mark, bought_on, purchase_price and any of from, via, make, model, year, colour, fuel, miles, vin,\n\
mot_until, paid, sold_on, selling_price, to, note. money: on, amount, heading and any of car, direction\n\
(cost or receipt), party, note, paid, vat, usual. Days are day before month. All rows or none.\n\n\
Rows that stand from an earlier import are passed over and counted, so the same file can be taken in again with \
new rows in it; a row that is there twice counts twice. An undone import's rows go in again.\n\n\
A folder written by `export` fills a book that is not there yet.")]
pub struct ImportArgs {
    /// The CSV file with a header line, or the folder of an export
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// What its rows are: cars or money [by its header]
    #[arg(long, value_name = "KIND")]
    pub kind: Option<Rows>,
    /// Leave out columns that are not known
    #[arg(long)]
    pub ignore_unknown: bool,
    /// Take in once more the rows that stand from an earlier import
    #[arg(long)]
    pub again: bool,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

/// A car sold longer ago than this, in days, comes from another record, by which DVLA was told long since; two
/// notices of every such car would bury what is really due.
const LONG_SOLD: i64 = 30;

/// How many rows go by between two words on how far it has come.
const ROWS_A_WORD: usize = 20_000;

pub fn run(args: &ImportArgs, sheet: &Sheet, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let layout = Layout::of(&sheet.header, args.kind, args.ignore_unknown).map_err(|bad| bad_rows(vec![bad]))?;
    record(book, context, "import", args.trying.dry_run, |recording| match layout.rows() {
        Rows::Cars => cars(recording, &layout, sheet, args.again, context),
        Rows::Money => money(recording, &layout, sheet, args.again, context),
    })
}

/// What stands of the day that rows are being met on: rows come in order of their days, and a day is looked
/// up when its first row comes.
#[derive(Default)]
struct Standing<T> {
    on: Option<NaiveDate>,
    of_the_day: T,
    passed_over: usize,
}

impl<T> Standing<T> {
    fn on(&mut self, on: NaiveDate, of: impl FnOnce() -> Result<T, BookError>) -> Result<&mut T, BookError> {
        if self.on != Some(on) {
            self.of_the_day = of()?;
            self.on = Some(on);
        }
        Ok(&mut self.of_the_day)
    }
}

/// Says which rows were passed over, and how they are taken in all the same.
fn say_passed_over(said: &mut Said, passed_over: usize, taken_in: usize) {
    if passed_over > 0 {
        let rows = if passed_over == 1 { "1 row stands".to_owned() } else { format!("{passed_over} rows stand") };
        let stand = format!("{rows} from an earlier import");
        said.summary = if taken_in == 0 { stand } else { format!("{}; {stand}, passed over", said.summary) };
        said.notes.push("`runabout import FILE --again` takes in once more what stands already".to_owned());
    }
    said.passed_over = Some(passed_over);
    said.nothing = taken_in == 0;
}

/// The rows that can be read, in order of their days, and what is wrong with the others.
fn rows<T>(
    sheet: &Sheet,
    read: impl Fn(usize) -> Result<T, BadRow>,
    day: impl Fn(&T) -> NaiveDate,
) -> (Vec<T>, Vec<BadRow>) {
    let (mut good, mut bad) = (Vec::with_capacity(sheet.rows.len()), Vec::new());
    for at in 0..sheet.rows.len() {
        match read(at) {
            Ok(row) => good.push(row),
            Err(row) => bad.push(row),
        }
    }
    good.sort_by_key(day);
    (good, bad)
}

fn bad_rows(rows: Vec<BadRow>) -> Error {
    Error::Refused(Refusal::BadRows { rows })
}

/// Does each row, going on after one that will not do, so that all of them are told at once.
fn each<T>(
    (rows, mut bad): (&[T], Vec<BadRow>),
    line: impl Fn(&T) -> u64,
    context: &Context,
    mut work: impl FnMut(&T) -> Result<(), Error>,
) -> Result<(), Error> {
    for (n, row) in rows.iter().enumerate() {
        if n > 0 && n.is_multiple_of(ROWS_A_WORD) {
            context.progress.say(&format!("{n} of {} rows", rows.len()));
        }
        match work(row) {
            Ok(()) => {}
            Err(Error::Refused(why)) => bad.push(BadRow { line: line(row), why: why.to_string() }),
            Err(other) => return Err(other),
        }
    }
    bad.sort_by_key(|row| row.line);
    if bad.is_empty() { Ok(()) } else { Err(bad_rows(bad)) }
}

fn cars(
    recording: &Recording<'_>,
    layout: &Layout,
    sheet: &Sheet,
    again: bool,
    context: &Context,
) -> Result<Said, Error> {
    let read = |at: usize| layout.cells(&sheet.rows[at])?.car(context.today);
    let (rows, bad) = rows(sheet, read, |row: &CarRow| row.bought_on);
    let usual = pocket(recording.read(), None)?;
    let (mut cars, mut sold, mut long_sold) = (Vec::new(), 0_usize, 0_usize);
    let mut standing = Standing::<StandingCars>::default();
    each(
        (&rows, bad),
        |row| row.line,
        context,
        |row| {
            let of_the_day = || Ok(StandingCars::new(recording.read().imported_cars(row.bought_on)?));
            if !again && standing.on(row.bought_on, of_the_day)?.meets(row) {
                standing.passed_over += 1;
                return Ok(());
            }
            let stock_no = buy(recording, row, usual)?;
            cars.push(stock_no);
            if row.sale.is_some() {
                sell(recording, row, stock_no, usual)?;
                sold += 1;
            }
            if let Some((on, _)) = row.sale
                && days_between(on, context.today) > LONG_SOLD
            {
                long_sold += 1;
                for notice in notices_of_a_car_sold(stock_no) {
                    recording.add_dealt_with(notice, on)?;
                }
            }
            Ok(())
        },
    )?;
    let said = match (cars.as_slice(), sold) {
        ([only], 0) => format!("imported 1 car, as {only}"),
        ([only], _) => format!("imported 1 car, as {only}, sold since"),
        ([first, .., last], _) => format!("imported {} cars, as {first} to {last}, {sold} of them sold", cars.len()),
        ([], _) => "imported no car".to_owned(),
    };
    let taken_in = cars.len();
    let mut said = Said::new(said, cars);
    say_passed_over(&mut said, standing.passed_over, taken_in);
    if long_sold > 0 {
        said.notes.push(format!(
            "DVLA is taken to know of {} sold more than {LONG_SOLD} days ago; if it was not told of one, tell it now",
            phrase::cars(long_sold)
        ));
    }
    Ok(said)
}

fn buy(recording: &Recording<'_>, row: &CarRow, usual: Pocket) -> Result<StockNo, Error> {
    let mark = match &row.mark {
        BoughtMark::Mark(mark) => Some(mark.clone()),
        BoughtMark::None => None,
    };
    let via = row.via.unwrap_or(Via::Private);
    if via == Via::PartExchange {
        let with = "a row of its own: it is bought with the sale it was part of";
        return Err(Refusal::AtOdds { what: "part-exchange", with }.into());
    }
    let text = |given: &Option<crate::domain::value::wording::Wording>| given.as_ref().map(ToString::to_string);
    let vehicle = NewVehicle {
        kind: None,
        vin: row.vin.clone(),
        make: text(&row.make),
        model: text(&row.model),
        year: row.year.map(|year| year.0),
        colour: text(&row.colour),
        fuel: text(&row.fuel),
        first_registered: None,
    };
    let vehicle_no = vehicle_no(recording, mark.as_ref(), &vehicle, row.bought_on)?;
    let stock_no = recording.add_car(&NewCar {
        vehicle_no,
        mark,
        bought_on: row.bought_on,
        purchase_price: row.purchase_price,
        finance: Pence::ZERO,
        vat: Pence::ZERO,
        vat_invoice: false,
        via,
        seller: text(&row.from),
        purchase_invoice: None,
        keys: None,
    })?;
    recording.add_movement(&NewMovement {
        on: row.bought_on,
        pocket: row.paid.map_or(usual, PaidBy::pocket),
        amount: -row.purchase_price,
        purpose: Purpose::Purchase,
        stock_no: Some(stock_no),
        party: text(&row.from),
        note: None,
    })?;
    if let Some(miles) = row.miles {
        recording.add_reading(vehicle_no, row.bought_on, miles.0, "purchase")?;
    }
    if let Some(until) = row.mot_until {
        recording.add_mot_certificate(vehicle_no, row.bought_on, until)?;
    }
    if let Some(note) = &row.note {
        recording.add_note(stock_no, row.bought_on, note.as_str())?;
    }
    Ok(stock_no)
}

fn sell(recording: &Recording<'_>, row: &CarRow, stock_no: StockNo, usual: Pocket) -> Result<(), Error> {
    let Some((on, price)) = row.sale else { return Ok(()) };
    if on < row.bought_on {
        let car = lookup::whole_car(recording.read(), stock_no)?.label();
        return Err(Refusal::BeforePurchase { car, given: on, bought: row.bought_on }.into());
    }
    let buyer = row.to.as_ref().map(ToString::to_string);
    recording.add_sale(&NewSale {
        stock_no,
        sold_on: on,
        selling_price: price,
        buyer: buyer.clone(),
        address: None,
        to_trade: false,
        delivered_on: None,
        distance: false,
    })?;
    Ok(recording.add_movement(&NewMovement {
        on,
        pocket: usual,
        amount: price,
        purpose: Purpose::Sale,
        stock_no: Some(stock_no),
        party: buyer,
        note: None,
    })?)
}

/// What was looked up once and need not be again.
#[derive(Default)]
struct Found {
    headings: BTreeMap<(String, Direction), String>,
    cars: BTreeMap<String, StockNo>,
    vehicles: BTreeMap<StockNo, i64>,
}

impl Found {
    fn heading(&mut self, recording: &Recording<'_>, row: &MoneyRow) -> Result<(String, Direction), Error> {
        let typed = row.heading.to_lowercase();
        let ways = row.direction.map_or_else(|| vec![Direction::Cost, Direction::Receipt], |way| vec![way]);
        if let Some((name, way)) =
            ways.iter().find_map(|way| self.headings.get(&(typed.clone(), *way)).map(|name| (name.clone(), *way)))
        {
            return Ok((name, way));
        }
        let mut refused = None;
        for way in ways {
            match lookup::heading(recording.read(), &row.heading, way) {
                Ok(name) => {
                    self.headings.insert((typed, way), name.clone());
                    return Ok((name, way));
                }
                Err(error) => refused = refused.or(Some(error)),
            }
        }
        Err(refused.unwrap_or_else(|| Error::Ours("a row of money goes no way".into())))
    }

    fn car(&mut self, recording: &Recording<'_>, car: &CarRef) -> Result<StockNo, Error> {
        let key = car.to_string();
        if let Some(found) = self.cars.get(&key) {
            return Ok(*found);
        }
        let found = lookup::stock_no(recording.read(), car)?;
        self.cars.insert(key, found);
        Ok(found)
    }

    fn vehicle(&mut self, recording: &Recording<'_>, stock_no: StockNo) -> Result<i64, Error> {
        if let Some(found) = self.vehicles.get(&stock_no) {
            return Ok(*found);
        }
        let vehicle_no = lookup::whole_car(recording.read(), stock_no)?.vehicle.vehicle_no;
        self.vehicles.insert(stock_no, vehicle_no);
        Ok(vehicle_no)
    }
}

fn money(
    recording: &Recording<'_>,
    layout: &Layout,
    sheet: &Sheet,
    again: bool,
    context: &Context,
) -> Result<Said, Error> {
    let read = |at: usize| layout.cells(&sheet.rows[at])?.money(context.today);
    let (rows, bad) = rows(sheet, read, |row: &MoneyRow| row.on);
    let usual = pocket(recording.read(), None)?;
    let (mut found, mut spent, mut received) = (Found::default(), Pence::ZERO, Pence::ZERO);
    let (mut standing, mut about) = (Standing::<StandingMoney>::default(), BTreeSet::new());
    each(
        (&rows, bad),
        |row| row.line,
        context,
        |row| {
            let (heading, direction) = found.heading(recording, row)?;
            let stock_no = row.car.as_ref().map(|car| found.car(recording, car)).transpose()?;
            let paid = row.paid.map(PaidBy::pocket);
            let money = ImportedMoney {
                vehicle_no: stock_no.map(|stock_no| found.vehicle(recording, stock_no)).transpose()?,
                direction,
                heading,
                amount: row.amount,
                usual_price: row.usual,
                vat: row.vat,
                party: row.party.as_ref().map(ToString::to_string),
                note: row.note.as_ref().map(ToString::to_string),
            };
            let of_the_day = || Ok(StandingMoney::new(recording.read().imported_money(row.on)?));
            if !again && standing.on(row.on, of_the_day)?.meets(&money, paid, usual) {
                standing.passed_over += 1;
                return Ok(());
            }
            check_vat(row.vat, row.amount, row.on, &context.rates)?;
            recording.add_line(NewLine {
                stock_no,
                direction,
                on: row.on,
                heading: money.heading,
                amount: row.amount,
                usual_price: row.usual,
                vat: row.vat,
                pocket: Some(paid.unwrap_or(usual)),
                shared: Shared::Whole,
                party: money.party,
                note: money.note,
            })?;
            about.extend(stock_no);
            match direction {
                Direction::Cost => spent += row.amount,
                Direction::Receipt => received += row.amount,
            }
            Ok(())
        },
    )?;
    let taken_in = rows.len() - standing.passed_over;
    let lines = if taken_in == 1 { "1 line".to_owned() } else { format!("{taken_in} lines") };
    let mut said = Said::new(format!("imported {lines} of money: {spent} spent, {received} received"), about);
    say_passed_over(&mut said, standing.passed_over, taken_in);
    Ok(said)
}

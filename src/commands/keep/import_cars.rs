//! Cars from a sheet.

use crate::commands::keep::import_rows::{Standing, each, rows, say_passed_over};
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::recording::{ReadBack, pocket};
use crate::commands::steps::vehicle::vehicle_no;
use crate::domain::book::import_sheet::{CarRow, Layout, Sheet};
use crate::domain::book::imported::StandingCars;
use crate::domain::days::day::days_between;
use crate::domain::due::due_item::notices_of_a_car_sold;
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::BoughtMark;
use crate::domain::value::words::{PaidBy, Pocket, Purpose, Via};
use crate::error::Error;
use crate::report::phrase;
use crate::store::{NewCar, NewMovement, NewSale, NewVehicle, Recording};

/// A car sold longer ago than this, in days, comes from another record, by which DVLA was told long since; two
/// notices of every such car would bury what is really due.
const LONG_SOLD: i64 = 30;

pub(super) fn cars(
    recording: &Recording<'_>,
    layout: &Layout,
    sheet: &Sheet,
    again: bool,
    context: &Context,
) -> Result<ReadBack, Error> {
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
    let mut said = ReadBack::new(said, cars);
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

//! Money from a sheet.

use crate::commands::keep::import_rows::{Standing, each, rows, say_passed_over};
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::recording::{ReadBack, pocket};
use crate::domain::book::dealing::check_vat;
use crate::domain::book::import_sheet::{Layout, MoneyRow, Sheet};
use crate::domain::book::imported::{ImportedMoney, StandingMoney};
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Direction, PaidBy, Shared};
use crate::error::Error;
use crate::store::{NewLine, Recording};
use std::collections::{BTreeMap, BTreeSet};

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

pub(super) fn money(
    recording: &Recording<'_>,
    layout: &Layout,
    sheet: &Sheet,
    again: bool,
    context: &Context,
) -> Result<ReadBack, Error> {
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
    let mut said = ReadBack::new(format!("imported {lines} of money: {spent} spent, {received} received"), about);
    say_passed_over(&mut said, standing.passed_over, taken_in);
    Ok(said)
}

//! `page`: the facts of the last twelve months, the yard and what is due, and the forecast.

use crate::cli::Replacing;
use crate::commands::steps::context::{Context, settings_of, trader_name};
use crate::commands::steps::due_items::every_item;
use crate::commands::steps::forecast_start::starting_point;
use crate::domain::book::facts::{Car, Facts};
use crate::domain::book::stay::Left;
use crate::domain::days::month::Month;
use crate::domain::figures::car_figures::in_stock;
use crate::domain::figures::results::results;
use crate::domain::figures::spending::{car_money, spending};
use crate::domain::figures::yard::yard;
use crate::domain::plan::forecast::{Overrides, forecast};
use crate::domain::plan::programme::{Programme, Purse, next_slot};
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::StockNo;
use crate::error::Error;
use crate::report::picture::chart::Slots;
use crate::report::picture::page::facts::{MOST_CARS, PageCar, PageFacts};
use crate::report::picture::page::page;
use crate::report::picture::picture::PicturePage;
use crate::store::Reader;
use chrono::NaiveDate;
use clap::Args;
use std::cmp::Reverse;
use std::path::PathBuf;

/// Write one page with pictures: the yard, the month, the float behind and ahead, every car.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout page --out yard.html\n  runabout page --as-of 31/10/2026 --out yard.html\n\n\
It is one HTML file that needs no network and no script: open it in any browser, on a phone too, or\n\
print it. Names and prices are in it, so mind who gets it. `month --page` draws one month."
)]
pub struct PageArgs {
    /// Where to write it [standard output, or a file named by its day on a terminal]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub replacing: Replacing,
}

/// Months looked back on, this one among them.
const MONTHS_BACK: u32 = 12;
/// Months of the programme drawn after this one.
const MONTHS_AHEAD: u32 = 3;
/// Months the float is forecast.
const MONTHS_FORECAST: u32 = 12;
/// Days ahead that what is due is listed.
const DAYS_AHEAD: i64 = 30;

/// What the page draws.
pub fn run(reader: Reader<'_>, context: &Context) -> Result<PicturePage, Error> {
    let (day, settings) = (context.today, settings_of(reader)?);
    let this = Month::containing(day);
    let from = first_month(reader, this)?;
    let facts = reader.facts(from.first_day(), day, context.standing_to, settings.registration)?;
    let results = results(&facts, from, this)
        .ok_or_else(|| Refusal::NothingBefore { what: format!("{from} to {this} cannot be reckoned") })?;
    let here: Vec<StockNo> = facts.cars.iter().filter(|car| in_stock(car, day)).map(|car| car.stock_no).collect();
    let showing = reader.showing(&here, day)?;
    let tax = reader.tax_events(&here, day)?;
    let mut items = every_item(reader, context)?;
    items.retain(|item| item.days_left.is_none_or(|left| left <= DAYS_AHEAD));
    let set = reader.programmes()?;
    let slots = slots(&set, from, this, reader, day)?;
    let filled = slots.iter().find(|slots| slots.month == this).map_or(0, |slots| slots.filled);
    let (balances, registration) = (facts.balances(day), &facts.registration);
    let (in_all, latest) = latest_cars(&facts, day);
    let mut cars = Vec::with_capacity(latest.len());
    for car in latest {
        cars.push(PageCar {
            car,
            money: car_money(car, day, registration),
            asking_price: showing.get(&car.stock_no).and_then(|showing| showing.asking_price),
            mot_until: reader.mot_until(car.vehicle.vehicle_no, car.left_by(day).map_or(day, Left::on))?,
        });
    }
    Ok(page(&PageFacts {
        day,
        trader: trader_name(reader)?,
        yard: &yard(&facts, &showing, &tax, &settings, day),
        due: &items,
        results: &results,
        balances: &balances,
        forecast: &forecast(&starting_point(MONTHS_FORECAST, reader, context)?, &Overrides::default()),
        spending: &spending(&results.total, registration),
        cars: &cars,
        cars_in_all: in_all,
        slots: &slots,
        next_slot: next_slot(&set, filled, day, Purse::from_balances(&balances, &facts.standings, day)),
    }))
}

/// Twelve months back, but not before the book began.
fn first_month(reader: Reader<'_>, this: Month) -> Result<Month, Error> {
    let back = this.minus(MONTHS_BACK - 1);
    Ok(reader.first_day()?.map_or(this, |first| Month::containing(first).min(this)).max(back))
}

/// The cars here in these days, and how many there are. When there are many: the newest in stock and those
/// that left last, half and half as far as there are. By stock number.
fn latest_cars(facts: &Facts, day: NaiveDate) -> (usize, Vec<&Car>) {
    let was_here = |car: &&Car| car.stretches().any(|stretch| stretch.from <= day && stretch.end_by(day) >= facts.from);
    let (mut here, mut gone): (Vec<&Car>, Vec<&Car>) =
        facts.cars.iter().filter(was_here).partition(|car| in_stock(car, day));
    let in_all = here.len() + gone.len();
    here.sort_by_key(|car| Reverse((car.last_in_by(day), car.stock_no)));
    gone.sort_by_key(|car| Reverse((car.left_by(day).map(Left::on), car.stock_no)));
    here.truncate((MOST_CARS / 2).max(MOST_CARS.saturating_sub(gone.len())));
    gone.truncate(MOST_CARS - here.len().min(MOST_CARS));
    let mut cars = [here, gone].concat();
    cars.sort_by_key(|car| car.stock_no);
    (in_all, cars)
}

/// The slots of each month, none where no programme was ever set. Cars beyond them fill none.
fn slots(set: &[Programme], from: Month, this: Month, reader: Reader<'_>, day: NaiveDate) -> Result<Vec<Slots>, Error> {
    let last = (0..MONTHS_AHEAD).fold(this, |month, _| month.next());
    let months = std::iter::successors(Some(from), |month| (*month < last).then(|| month.next()));
    let of_month = |month: Month| -> Result<Slots, Error> {
        let planned = if set.is_empty() { 0 } else { Programme::holding_in(set, month).cars };
        let bought =
            if month > this { 0 } else { reader.slots_filled(month.first_day(), month.last_day().min(day))? };
        Ok(Slots { month, planned, filled: bought.min(planned), beyond: bought.saturating_sub(planned) })
    };
    months.map(of_month).collect()
}

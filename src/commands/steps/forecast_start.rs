//! What a forecast starts from: everything known on the day.

use crate::commands::steps::context::{Context, settings_of};
use crate::domain::book::claims::{deposit_held, owed_by_buyer, owed_to_seller, refund_owed};
use crate::domain::book::facts::{Car, Facts};
use crate::domain::book::stay::Left;
use crate::domain::days::day::day_after;
use crate::domain::days::month::Month;
use crate::domain::figures::car_figures::{car_figures, in_stock};
use crate::domain::law::registration::Registration;
use crate::domain::plan::forecast_known::{
    CarInStock, DatedAmount, Forecasting, Programme as Buying, SoldCar, VatQuarters,
};
use crate::domain::plan::programme::Programme;
use crate::domain::value::count::CarsAMonth;
use crate::domain::value::pence::Pence;
use crate::error::Error;
use crate::store::Reader;
use chrono::NaiveDate;

/// The most sold cars looked at; more say less, being older.
const SOLD_CARS: u32 = 1_000;

/// Everything known on the day.
pub fn starting_point(months: u32, reader: Reader<'_>, context: &Context) -> Result<Forecasting, Error> {
    let (day, settings) = (context.today, settings_of(reader)?);
    let registration = settings.registration;
    let facts = reader.facts(day, day, context.standing_to, registration)?;
    let balances = facts.balances(day);
    let gone = reader.cars(&reader.latest_gone(day, SOLD_CARS)?, day)?;
    let open = reader.cars(&reader.cars_gone_with_dates(day, day)?, day)?;
    let this_month = Month::containing(day);
    let holding = Programme::holding_in(&reader.programmes()?, this_month);
    let mut forecasting = Forecasting {
        day,
        months,
        float: balances.float(),
        balances_due: balances_due(&facts, &open, day),
        standing_costs: Vec::new(),
        vat_owed: Vec::new(),
        other: vec![DatedAmount { on: day, amount: -balances.bills }],
        stock: stock(&facts, day),
        sold: sold(&gone, day, &registration),
        // A book may hold more from before there was a bound.
        programme: Buying { cars_a_month: holding.cars.min(CarsAMonth::MOST), budget: holding.budget },
        bought_this_month: reader.slots_filled(this_month.first_day(), day)?,
        vat: None,
    };
    if registration.holds_on(day) {
        forecasting.vat = registration
            .rates
            .standard_vat_rate(day)
            .map(|rate| VatQuarters { rate: rate.into(), quarter_end: settings.vat_quarter_end });
    }
    let vat_day = forecasting.vat.as_ref().map_or(day, |quarters| quarters.due_day(day));
    forecasting.vat_owed = vec![DatedAmount { on: vat_day, amount: balances.vat_owed }];
    let last = forecasting.last_day_looked_at();
    let falling = facts.standings.iter().flat_map(|standing| standing.falling(day_after(day), last));
    forecasting.standing_costs = falling.map(|due| DatedAmount { on: due.on, amount: due.amount }).collect();
    Ok(forecasting)
}

/// What buyers owe and what is owed for cars, each on the day of its deal.
fn balances_due(facts: &Facts, open: &[Car], day: NaiveDate) -> Vec<DatedAmount> {
    let owed = |car: &Car| {
        let left_on = car.left_by(day).map_or(car.bought_on, Left::on);
        [
            DatedAmount { on: left_on, amount: owed_by_buyer(car, day) },
            DatedAmount { on: car.bought_on, amount: -owed_to_seller(car, day) },
            DatedAmount { on: day, amount: -refund_owed(car, day) },
        ]
    };
    let here = facts.cars.iter().filter(|car| in_stock(car, day));
    let both = here.chain(open.iter().filter(|car| !in_stock(car, day)));
    both.flat_map(owed).filter(|due| !due.amount.is_zero()).collect()
}

fn stock(facts: &Facts, day: NaiveDate) -> Vec<CarInStock> {
    let here = facts.cars.iter().filter(|car| in_stock(car, day));
    here.map(|car| {
        let figures = car_figures(car, day, &facts.registration);
        CarInStock {
            days: u32::try_from(figures.days_in_stock.unwrap_or_default()).unwrap_or_default(),
            stands_in: figures.stands_in,
            purchase_price: car.purchase_price,
            deposit: deposit_held(car, day),
        }
    })
    .collect()
}

/// Cars gone, the one gone first first; one scrapped or kept counts as sold for what it brought.
fn sold(gone: &[Car], day: NaiveDate, registration: &Registration) -> Vec<SoldCar> {
    let mut cars: Vec<(NaiveDate, SoldCar)> = gone
        .iter()
        .filter_map(|car| {
            let (figures, left) = (car_figures(car, day, registration), car.left_by(day)?);
            let fetched = match (&figures.sold, figures.disposed) {
                (Some(sale), _) => sale.selling_price,
                (None, Some(disposed)) => disposed.value + disposed.brought_in,
                (None, None) => return None,
            };
            let sold = SoldCar {
                days: u32::try_from(figures.days_in_stock?).ok()?,
                purchase_price: figures.purchase_price,
                stands_in: figures.stands_in,
                selling_price: fetched.max(Pence::ZERO),
            };
            Some((left.on(), sold))
        })
        .collect();
    cars.sort_by_key(|(left_on, _)| *left_on);
    cars.into_iter().map(|(_, sold)| sold).collect()
}

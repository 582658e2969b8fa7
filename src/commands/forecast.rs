//! `forecast`: the facts it starts from, the assumptions told otherwise, and what if.

use crate::cli::forecast::ForecastArgs;
use crate::commands::{Context, settings_of};
use crate::domain::car_figures::{car_figures, in_stock};
use crate::domain::claims::{deposit_held, owed_by_buyer, owed_to_seller, refund_owed};
use crate::domain::day::day_after;
use crate::domain::facts::{Car, Facts};
use crate::domain::forecast::{
    CarInStock, DatedAmount, Forecasting, Overrides, Programme as Buying, SoldCar, VatQuarters, WhatIf, forecast,
    forecast_if,
};
use crate::domain::month::Month;
use crate::domain::pence::Pence;
use crate::domain::programme::Programme;
use crate::domain::registration::Registration;
use crate::domain::stay::Left;
use crate::domain::target::Whole;
use crate::domain::value_error::ValueError;
use crate::error::Error;
use crate::report::forecast::ForecastReport;
use crate::store::Reader;
use chrono::NaiveDate;

/// The most sold cars looked at; more say less, being older.
const SOLD_CARS: u32 = 1_000;

pub fn run(args: &ForecastArgs, reader: Reader<'_>, context: &Context) -> Result<ForecastReport, Error> {
    let told = overrides(args)?;
    let facts = starting_point(args.months.0, reader, context)?;
    let what_if = [
        WhatIf::OneMoreCar,
        WhatIf::DearerBudget(args.dearer.map_or(20, |percent| percent.0)),
        WhatIf::SlowerSale(args.slower.map_or(50, |percent| percent.0)),
    ];
    let base = forecast(&facts, &told);
    let changed = what_if.map(|what_if| (what_if, forecast_if(&facts, &told, what_if)));
    Ok(ForecastReport::new(context.today, &base, &changed))
}

fn overrides(args: &ForecastArgs) -> Result<Overrides, Error> {
    within("months", args.months, 1, 60)?;
    for (name, given, least, most) in [
        ("runs", args.runs, 1, 100_000),
        ("cars", args.cars, 0, 100),
        ("buying day", args.buying_day, 1, 31),
        ("days", args.costs_after, 0, 365),
        ("days", args.days_to_sell, 1, 3_650),
        ("per cent", args.sells_at, 1, 1_000),
        ("past cars", args.past_cars, 5, SOLD_CARS),
        ("per cent", args.dearer, 1, 1_000),
        ("per cent", args.slower, 1, 1_000),
    ] {
        given.map(|given| within(name, given, least, most)).transpose()?;
    }
    let count = |given: Option<Whole>| given.map(|given| given.0);
    let size = |given: Option<Whole>| given.and_then(|given| usize::try_from(given.0).ok());
    Ok(Overrides {
        cars_a_month: count(args.cars),
        budget: args.budget,
        buying_day: count(args.buying_day),
        costs_after_days: count(args.costs_after),
        drawn_a_month: args.draws,
        days_to_sell: count(args.days_to_sell),
        pace_pct: None,
        costs: args.costs,
        price_pct: count(args.sells_at),
        past_cars: size(args.past_cars),
        runs: size(args.runs),
        seed: args.seed.map(|seed| seed.0.into()),
    })
}

fn within(what: &'static str, given: Whole, least: u32, most: u32) -> Result<(), ValueError> {
    if (least..=most).contains(&given.0) {
        return Ok(());
    }
    Err(ValueError::new(what, given.0.to_string(), format!("write a whole number from {least} to {most}")))
}

/// Everything known on the day.
pub fn starting_point(months: u32, reader: Reader<'_>, context: &Context) -> Result<Forecasting, Error> {
    let (day, settings) = (context.today, settings_of(reader)?);
    let registration = settings.registration;
    let facts = reader.facts(day, day, context.standing_to, registration)?;
    let balances = facts.balances(day);
    let gone = reader.cars(&reader.latest_gone(day, SOLD_CARS)?, day)?;
    let open = reader.cars(&reader.cars_gone_with_dates(day, day)?, day)?;
    let this_month = Month::of(day);
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
        programme: Buying { cars_a_month: holding.cars, budget: holding.budget },
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

//! The yard on a day: every car in stock, what it stands in at, and what about it wants looking at.

use crate::domain::book::dated_facts::{TaxEvent, TaxStatus};
use crate::domain::book::facts::{Car, Facts, Showing};
use crate::domain::book::roadworthy::{Concern, concerns, on_offer};
use crate::domain::book::settings::Settings;
use crate::domain::figures::balances::Balances;
use crate::domain::figures::car_figures::{CarFigures, car_figures, in_stock};
use crate::domain::law::mot::DefectLevel;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::ratio::mean;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Something about a car in stock that wants looking at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flag {
    /// The latest test found something dangerous.
    DangerousDefect,
    /// The latest test found a major defect.
    MajorDefect,
    /// It failed its test and has no certificate.
    NoMot,
    /// No MOT certificate is known.
    MotUnknown,
    /// The certificate known has run out.
    MotLapsed,
    /// It runs out within the days ahead that dates are flagged.
    MotSoon,
    /// Fewer days of MOT than the trader's minimum.
    BelowMinimumMot,
    /// Not taxed and not declared off the road by the trader.
    Untaxed,
    /// More days in stock than an age band.
    Over(i64),
    /// No asking price set.
    NoAskingPrice,
    /// Somebody has paid a deposit on it.
    Deposit,
}

impl Flag {
    /// The word for it.
    pub fn word(self) -> String {
        match self {
            Self::DangerousDefect => "dangerous-defect".into(),
            Self::MajorDefect => "major-defect".into(),
            Self::NoMot => "no-mot".into(),
            Self::MotUnknown => "mot-unknown".into(),
            Self::MotLapsed => "mot-lapsed".into(),
            Self::MotSoon => "mot-soon".into(),
            Self::BelowMinimumMot => "below-minimum-mot".into(),
            Self::Untaxed => "untaxed".into(),
            Self::Over(days) => format!("over-{days}"),
            Self::NoAskingPrice => "no-asking-price".into(),
            Self::Deposit => "deposit".into(),
        }
    }
}

/// How a car stands on a day, apart from its money.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CarOnDay {
    /// Days to the last day of its MOT, negative once lapsed.
    pub mot_days_left: Option<i64>,
    /// Vehicle tax.
    pub tax: TaxStatus,
    /// What wants looking at, the most pressing first; nothing about a car not in stock.
    pub flags: Vec<Flag>,
    /// What is held against a car that is on offer: in stock, and advertised or kept for a deposit.
    pub against_offer: Vec<Concern>,
}

impl CarOnDay {
    /// How the car of these `figures` stands on `day`.
    pub fn from_figures(
        car: &Car,
        figures: &CarFigures,
        showing: &Showing,
        tax: TaxStatus,
        settings: &Settings,
        day: NaiveDate,
    ) -> Self {
        let mot_days_left = showing.mot.days_left(day);
        let in_stock = figures.days_in_stock.is_some() && figures.sold.is_none() && figures.disposed.is_none();
        let flags = if in_stock { flags(figures, showing, mot_days_left, tax, settings) } else { Vec::new() };
        let against_offer = if in_stock && on_offer(showing, figures.deposit_held) {
            concerns(&showing.mot, &car.vehicle, settings.region, day)
        } else {
            Vec::new()
        };
        Self { mot_days_left, tax, flags, against_offer }
    }
}

/// A car in stock.
#[derive(Clone, Debug)]
pub struct YardCar<'a> {
    /// The car.
    pub car: &'a Car,
    /// Its figures.
    pub figures: CarFigures,
    /// What it shows the world.
    pub showing: Showing,
    /// How it stands.
    pub on_day: CarOnDay,
}

/// The yard on a day.
#[derive(Clone, Debug)]
pub struct Yard<'a> {
    /// Cars in stock, by stock number.
    pub cars: Vec<YardCar<'a>>,
    /// What is out in the cars; nothing else of what is held and owed.
    pub balances: Balances,
    /// Mean days in stock; none for an empty yard.
    pub average_days_in_stock: Option<Decimal>,
}

/// The yard at the end of `day`.
pub fn yard<'a>(
    facts: &'a Facts,
    showing: &BTreeMap<StockNo, Showing>,
    tax: &BTreeMap<StockNo, Vec<TaxEvent>>,
    settings: &Settings,
    day: NaiveDate,
) -> Yard<'a> {
    let yard_car = |car: &'a Car| {
        let figures = car_figures(car, day, &facts.registration);
        let showing = showing.get(&car.stock_no).cloned().unwrap_or_default();
        let tax = TaxStatus::since(car.last_in_by(day), day, tax.get(&car.stock_no).map_or(&[], Vec::as_slice));
        let on_day = CarOnDay::from_figures(car, &figures, &showing, tax, settings, day);
        YardCar { car, figures, showing, on_day }
    };
    let cars: Vec<YardCar<'a>> = facts.cars.iter().filter(|car| in_stock(car, day)).map(yard_car).collect();
    let days: Vec<Decimal> = cars.iter().filter_map(|car| car.figures.days_in_stock).map(Decimal::from).collect();
    Yard { cars, balances: facts.stock_balances(day), average_days_in_stock: mean(&days) }
}

/// What wants looking at, the most pressing first.
pub fn flags(
    figures: &CarFigures,
    showing: &Showing,
    mot_days_left: Option<i64>,
    tax: TaxStatus,
    settings: &Settings,
) -> Vec<Flag> {
    let mut flags = Vec::new();
    match showing.mot.worst_defect {
        Some(DefectLevel::Dangerous) => flags.push(Flag::DangerousDefect),
        Some(DefectLevel::Major) => flags.push(Flag::MajorDefect),
        _ => {}
    }
    match mot_days_left {
        None if showing.mot.failed => flags.push(Flag::NoMot),
        None => flags.push(Flag::MotUnknown),
        Some(left) if left < 0 => flags.push(Flag::MotLapsed),
        Some(left) if left <= settings.remind_days => flags.push(Flag::MotSoon),
        Some(_) => {}
    }
    if let (Some(left), Some(minimum)) = (mot_days_left, settings.minimum_mot_days)
        && left >= 0
        && left < minimum
    {
        flags.push(Flag::BelowMinimumMot);
    }
    let days = figures.days_in_stock.unwrap_or_default();
    flags.extend(settings.age_bands.iter().rev().find(|band| days > **band).map(|band| Flag::Over(*band)));
    if figures.deposit_held.is_positive() {
        flags.push(Flag::Deposit);
    }
    if showing.asking_price.is_none() {
        flags.push(Flag::NoAskingPrice);
    }
    if tax == TaxStatus::Untaxed {
        flags.push(Flag::Untaxed);
    }
    flags
}

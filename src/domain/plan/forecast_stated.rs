//! What a forecast took for granted, stated with where it comes from; and the ways to change one thing.

use crate::domain::plan::forecast_assumed::{Assumed, Origin, Overrides, usual_budget};
use crate::domain::plan::forecast_history::{FEWEST_SOLD, History, PastCar, fraction};
use crate::domain::plan::forecast_known::Forecasting;
use crate::domain::value::pence::Pence;
use crate::domain::value::ratio::{median, round2};
use rust_decimal::Decimal;
use std::fmt;

/// One thing changed, to be shown beside the forecast.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhatIf {
    /// One more slot a month.
    OneMoreCar,
    /// Each slot dearer by so many per cent.
    DearerBudget(u32),
    /// Every sale slower by so many per cent.
    SlowerSale(u32),
}

impl WhatIf {
    /// The three shown when none is asked for.
    pub const USUAL: [Self; 3] = [Self::OneMoreCar, Self::DearerBudget(20), Self::SlowerSale(50)];

    /// What is told, with this one thing changed from what it would have been.
    #[must_use]
    pub fn applied(self, facts: &Forecasting, told: &Overrides) -> Overrides {
        let assumed = Assumed::new(facts, told);
        match self {
            Self::OneMoreCar => Overrides { cars_a_month: Some(assumed.cars_a_month.saturating_add(1)), ..*told },
            Self::DearerBudget(percent) => {
                Overrides { budget: Some(fraction(assumed.budget, 100 + i64::from(percent), 100)), ..*told }
            }
            Self::SlowerSale(percent) => {
                let pace = u64::from(assumed.pace_pct) * (100 + u64::from(percent)) / 100;
                Overrides { pace_pct: Some(u32::try_from(pace).unwrap_or(u32::MAX)), ..*told }
            }
        }
    }
}

/// As a label: `a budget 20 % dearer`.
impl fmt::Display for WhatIf {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OneMoreCar => f.pad("one more car a month"),
            Self::DearerBudget(percent) => f.pad(&format!("a budget {percent} % dearer")),
            Self::SlowerSale(percent) => f.pad(&format!("selling takes {percent} % longer")),
        }
    }
}

/// An assumption as it is stated.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Assumption {
    /// What is assumed.
    pub name: &'static str,
    /// Its value.
    pub value: AssumedValue,
    /// Where it comes from.
    pub from: Origin,
}

/// The value of an assumption.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum AssumedValue {
    /// An amount.
    Money(Pence),
    /// Whole days.
    Days(i64),
    /// How many.
    Count(i64),
    /// In per cent.
    Percent(Decimal),
    /// A multiple or a median, two decimals.
    Number(Decimal),
    /// A way of reckoning.
    Words(String),
}

/// Every assumption, those that matter most first. `told` says which were given.
pub fn stated(facts: &Forecasting, told: &Overrides, assumed: &Assumed, history: &History) -> Vec<Assumption> {
    use AssumedValue::{Count, Days, Money, Number, Percent, Words};
    use Origin::{Book, Given, Method, OwnCars, Programme, TooFewSold};
    let usable = facts.sold.iter().filter(|car| car.stands_in.is_positive()).count();
    let cars = if usable < FEWEST_SOLD { TooFewSold } else { OwnCars };
    let given = |is_given: bool, otherwise: Origin| if is_given { Given } else { otherwise };
    let middle = |values: Vec<Decimal>| median(&values).unwrap_or_default();
    let past = history.sold();
    let days = middle(past.iter().map(|car| Decimal::from(car.days)).collect());
    let costs = middle(past.iter().map(|car| car.costs.to_pounds()).collect());
    let price = |car: &PastCar| {
        Decimal::from(car.price.selling_price).checked_div(Decimal::from(car.price.stands_in)).unwrap_or_default()
    };
    let price = middle(past.iter().map(price).collect());
    let line = |name, value, from| Assumption { name, value, from };
    let whole = |count: usize| i64::try_from(count).unwrap_or(i64::MAX);
    vec![
        line(
            "sold cars drawn from",
            Count(whole(past.len())),
            given(told.past_cars.is_some() && cars == OwnCars, cars),
        ),
        line("unsold cars drawn from", Count(whole(history.len() - past.len())), cars),
        line("median days to sell", Number(days), given(told.days_to_sell.or(told.pace_pct).is_some(), cars)),
        line(
            "days to sell against past cars",
            Percent(round2(Decimal::from(assumed.pace_pct))),
            given(told.pace_pct.is_some(), Method),
        ),
        line("median costs on a car", Money(Pence::from_pounds_rounded(costs)), given(told.costs.is_some(), cars)),
        line("median price, times stands-in", Number(price), given(told.price_pct.is_some(), cars)),
        line("cars a month", Count(i64::from(assumed.cars_a_month)), given(told.cars_a_month.is_some(), Programme)),
        line("budget of a car", Money(assumed.budget), given(told.budget.is_some(), usual_budget(facts).1)),
        line("buying day of the month", Count(i64::from(assumed.buying_day)), given(told.buying_day.is_some(), Method)),
        line(
            "costs spent after, on average",
            Days(i64::from(assumed.costs_after_days)),
            given(told.costs_after_days.is_some(), Method),
        ),
        line("drawn at each month end", Money(assumed.drawn_a_month), given(told.drawn_a_month.is_some(), Method)),
        line("a slot that cannot be paid for", Words("is missed, not made up".into()), Method),
        line("a car kept longer than any sold", Words("as long again as one sold".into()), Method),
        line("what is overdue", Words("is paid the day after".into()), Method),
        line("VAT on margins", Words(vat_in_words(facts)), Book),
        line("runs", Count(whole(assumed.runs)), given(told.runs.is_some(), Method)),
        line("seed", Words(assumed.seed.to_string()), given(told.seed.is_some(), Method)),
    ]
}

fn vat_in_words(facts: &Forecasting) -> String {
    match &facts.vat {
        Some(vat) => format!("{} %, due each quarter", vat.rate.percent().normalize()),
        None => "not registered".into(),
    }
}

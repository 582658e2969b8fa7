//! What a forecast takes for granted: each assumption with its value and where it comes from, and
//! the ways to change it. A "what if" is nothing but an assumption changed.

use rust_decimal::Decimal;
use std::fmt;

use crate::domain::plan::forecast_known::Forecasting;
use crate::domain::value::pence::Pence;
use crate::domain::value::ratio::median;

/// The most runs of one forecast.
pub const MOST_RUNS: usize = 100_000;
/// The runs of a forecast when not told otherwise.
const RUNS: usize = 10_000;
/// The seed when not told otherwise: a fixed one, so that the same book gives the same answer.
const SEED: u64 = 1;
/// Purchases are made on this day of the month when not told otherwise.
const BUYING_DAY: u32 = 15;
/// What a car is taken to be bought for while no budget is set and no car of the book says: a round guess.
const PRICE_GUESSED: Pence = Pence::new(50_000);
/// A car's costs are spent so many days after it was bought, on average, when not told otherwise.
const COSTS_AFTER_DAYS: u32 = 14;
/// The most sold cars that are drawn from when not told otherwise: trade of years ago says less.
const PAST_CARS: usize = 200;

/// Assumptions that are told otherwise; what is `None` stays as it would be.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Overrides {
    /// Slots a month.
    pub cars_a_month: Option<u32>,
    /// Purchase price of one slot.
    pub budget: Option<Pence>,
    /// Day of the month on which purchases are made, 1 to 31; clamped to the month's last.
    pub buying_day: Option<u32>,
    /// Days from purchase to a car's costs, on average: half are spent after half as many, half
    /// after half as many again.
    pub costs_after_days: Option<u32>,
    /// What the owner draws at each month end.
    pub drawn_a_month: Option<Pence>,
    /// Days every car takes to sell.
    pub days_to_sell: Option<u32>,
    /// Days to sell against those of the past cars, in per cent: 150 is half as long again.
    pub pace_pct: Option<u32>,
    /// Costs over and above purchase of every car.
    pub costs: Option<Pence>,
    /// Selling price against stands-in of every car, in per cent: 140 is 1.40 times.
    pub price_pct: Option<u32>,
    /// The most sold cars that are drawn from, the latest; five at least.
    pub past_cars: Option<usize>,
    /// How many runs, 1 to [`MOST_RUNS`].
    pub runs: Option<usize>,
    /// The seed.
    pub seed: Option<u64>,
}

/// The assumptions of one forecast. Fields as in [`Overrides`].
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Assumed {
    pub cars_a_month: u32,
    pub budget: Pence,
    pub buying_day: u32,
    pub costs_after_days: u32,
    pub drawn_a_month: Pence,
    pub days_to_sell: Option<u32>,
    pub pace_pct: u32,
    pub costs: Option<Pence>,
    pub price_pct: Option<u32>,
    pub past_cars: usize,
    pub runs: usize,
    pub seed: u64,
}

impl Assumed {
    /// What is assumed of these facts unless told otherwise.
    pub fn new(facts: &Forecasting, told: &Overrides) -> Self {
        Self {
            cars_a_month: told.cars_a_month.unwrap_or(facts.programme.cars_a_month),
            budget: told.budget.unwrap_or_else(|| usual_budget(facts).0),
            buying_day: told.buying_day.unwrap_or(BUYING_DAY).clamp(1, 31),
            costs_after_days: told.costs_after_days.unwrap_or(COSTS_AFTER_DAYS),
            drawn_a_month: told.drawn_a_month.unwrap_or(Pence::ZERO),
            days_to_sell: told.days_to_sell,
            pace_pct: told.pace_pct.unwrap_or(100),
            costs: told.costs,
            price_pct: told.price_pct,
            past_cars: told.past_cars.unwrap_or(PAST_CARS),
            runs: told.runs.unwrap_or(RUNS).clamp(1, MOST_RUNS),
            seed: told.seed.unwrap_or(SEED),
        }
    }

    /// The days after purchase on which the two halves of a car's costs are spent: a week and three
    /// weeks for an average of fourteen days.
    pub fn cost_days(&self) -> [usize; 2] {
        let average = usize::try_from(self.costs_after_days).unwrap_or(usize::MAX / 2);
        [average / 2, average + average / 2]
    }

    /// Days to sell of a past car that took `days`, to the nearest day, halves up.
    pub fn days_of(&self, days: u32) -> u32 {
        let days = u64::from(self.days_to_sell.unwrap_or(days));
        u32::try_from((days * u64::from(self.pace_pct) + 50) / 100).unwrap_or(u32::MAX)
    }
}

/// What a slot costs unless told, and where that is from: the programme's budget; without one the median
/// purchase price of the cars there are, to the penny, half away from zero. A car never comes for nothing.
pub(super) fn usual_budget(facts: &Forecasting) -> (Pence, Origin) {
    let sold = facts.sold.iter().map(|car| car.purchase_price);
    let bought = sold.chain(facts.stock.iter().map(|car| car.purchase_price)).filter(|price| price.is_positive());
    let prices: Vec<Decimal> = bought.map(Pence::to_pounds).collect();
    match (facts.programme.budget, median(&prices)) {
        (Some(budget), _) => (budget, Origin::Programme),
        (None, Some(price)) => (Pence::from_pounds_rounded(price), Origin::OwnCars),
        (None, None) => (PRICE_GUESSED, Origin::TooFewSold),
    }
}

/// Where an assumption comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Told for this forecast.
    Given,
    /// The programme that was set.
    Programme,
    /// The trader's own cars.
    OwnCars,
    /// Too few cars sold: a round guess.
    TooFewSold,
    /// The book's settings.
    Book,
    /// How the forecast is made.
    Method,
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Given => "given",
            Self::Programme => "programme",
            Self::OwnCars => "own cars",
            Self::TooFewSold => "guess, too few sold",
            Self::Book => "book",
            Self::Method => "method",
        })
    }
}

//! What the page is made from, and how much of it is drawn.

use crate::domain::book::facts::Car;
use crate::domain::due::due_item::DueItem;
use crate::domain::figures::balances::Balances;
use crate::domain::figures::results::Results;
use crate::domain::figures::spending::{CarMoney, Spending};
use crate::domain::figures::yard::Yard;
use crate::domain::plan::forecast::Forecast;
use crate::domain::plan::programme::NextSlot;
use crate::domain::value::pence::Pence;
use crate::report::picture::chart::Slots;
use chrono::NaiveDate;

/// The most cars in the list of the yard.
pub(super) const MOST_IN_YARD: usize = 24;

/// The most dates listed.
pub(super) const MOST_DUE: usize = 15;

/// The most cars drawn one under another.
pub const MOST_CARS: usize = 30;

/// The most cars sold drawn as dots.
pub(super) const MOST_SOLD: usize = 60;

/// The most headings drawn.
pub(super) const MOST_HEADINGS: usize = 14;

/// What the page is made from.
#[derive(Debug)]
pub struct PageFacts<'a> {
    /// The day.
    pub day: NaiveDate,
    /// The trader's name, if set.
    pub trader: Option<String>,
    /// The cars in stock.
    pub yard: &'a Yard<'a>,
    /// Everything overdue, undated or due within thirty days, soonest first.
    pub due: &'a [DueItem],
    /// The months up to that of the day.
    pub results: &'a Results<'a>,
    /// What is held and owed.
    pub balances: &'a Balances,
    /// The months to come.
    pub forecast: &'a Forecast,
    /// Where the money of those months went.
    pub spending: &'a Spending,
    /// Cars here in those months, by stock number: [`MOST_CARS`] at most.
    pub cars: &'a [PageCar<'a>],
    /// How many there are.
    pub cars_in_all: usize,
    /// The slots of the programme, month by month, up to a few to come.
    pub slots: &'a [Slots],
    /// The next slot.
    pub next_slot: Option<NextSlot>,
}

/// A car with its money.
#[derive(Debug)]
pub struct PageCar<'a> {
    /// The car.
    pub car: &'a Car,
    /// What went into it and came of it.
    pub money: CarMoney,
    /// What is asked for it while it is here.
    pub asking_price: Option<Pence>,
    /// The last day of its MOT, as known when it left or today.
    pub mot_until: Option<NaiveDate>,
}

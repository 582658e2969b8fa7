//! What every paper is made from.

use crate::domain::book::facts::Car;
use crate::domain::book::invoice::{Account, Trader};
use crate::domain::refusal::paper_refusal::NumberUndone;
use crate::domain::value::mark::Mark;
use crate::report::cell::IsoDay;
use chrono::NaiveDate;
use serde::Serialize;

/// What every paper is made from.
#[derive(Clone, Debug)]
pub struct Source<'a> {
    /// The day looked from.
    pub as_of: NaiveDate,
    /// The trader.
    pub trader: &'a Trader,
    /// Whether the trader is registered for VAT on the day of the paper.
    pub registered: bool,
    /// The car, loaded to the day looked from.
    pub car: &'a Car,
    /// The mark it carried on the day of the paper.
    pub mark: Option<Mark>,
    /// The cars taken in for the sale.
    pub taken_in: &'a [Car],
    /// How the price was settled.
    pub account: Account,
    /// The latest odometer reading by then.
    pub mileage: Option<Mileage>,
    /// Numbers of the car undone.
    pub undone: &'a [NumberUndone],
}

/// An odometer reading and what was done to check it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Mileage {
    /// Miles.
    pub miles: u32,
    /// The day it was read.
    pub on: IsoDay,
    /// The day it was compared with the car's history, if it was.
    pub checked_on: Option<IsoDay>,
}

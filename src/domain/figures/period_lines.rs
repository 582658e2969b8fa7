//! What stands behind the figures of a period: its sales and its lines.

use crate::domain::book::facts::{Car, Line, Sale, TakeBack};
use crate::domain::book::standing::Falling;
use crate::domain::figures::car_figures::SaleFigures;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;

/// A sale made or reversed in the period, with its figures as of the day of sale.
#[derive(Clone, Debug)]
pub struct CarSold<'a> {
    /// The car.
    pub car: &'a Car,
    /// The sale.
    pub sale: &'a Sale,
    /// Its figures at the period's end.
    pub figures: SaleFigures,
    /// How it was reversed, if by the period's end.
    pub taken_back: Option<&'a TakeBack>,
}

/// A line behind a figure of a period.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PeriodLine {
    /// The day it is dated.
    pub on: NaiveDate,
    /// The entry that recorded it, or that set up the standing cost.
    pub entry: EntryNo,
    /// Its heading.
    pub heading: String,
    /// The car it is on, the standing cost, or the other party; its note when no party is known.
    pub what: Option<String>,
    /// As it entered the figure, net of VAT reclaimed or due on it.
    pub amount: Pence,
}

impl PeriodLine {
    pub(super) fn from_line(line: &Line, what: Option<String>, amount: Pence) -> Self {
        Self { on: line.on, entry: line.entry, heading: line.heading.clone(), what, amount }
    }

    /// Names a line on the yard by its party, or by its note when no party is known.
    pub(super) fn on_yard(line: &Line, amount: Pence) -> Self {
        Self::from_line(line, line.party.clone().or_else(|| line.note.clone()), amount)
    }

    pub(super) fn on_car(car: &Car, line: &Line, amount: Pence) -> Self {
        Self::from_line(line, Some(car.label()), amount)
    }

    pub(super) fn of_standing(due: &Falling<'_>, amount: Pence) -> Self {
        let standing = due.standing;
        Self {
            on: due.on,
            entry: standing.entry,
            heading: standing.heading.clone(),
            what: Some(standing.name.clone()),
            amount,
        }
    }
}

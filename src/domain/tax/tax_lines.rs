//! The lines behind a tax year's figures, whichever the basis, and their sums.

use crate::domain::book::facts::{Car, Line};
use crate::domain::tax::return_pages::{Form, FormBox, Headings, ReturnHeading};
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;

/// One amount that counts in a tax year.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaxLine {
    /// The day it counts on.
    pub on: NaiveDate,
    /// The entry behind it; none for stock at the start or end.
    pub entry: Option<EntryNo>,
    /// What it counts as.
    pub under: ReturnHeading,
    /// Its heading in the book, or what it is in words.
    pub heading: String,
    /// The car, the other party or what it was for.
    pub what: Option<String>,
    /// What it adds to income, or to expenses: what comes off is negative.
    pub amount: Pence,
}

/// Lines while they are gathered; those of nothing are left out.
#[derive(Debug, Default)]
pub(super) struct TaxLines(Vec<TaxLine>);

impl TaxLines {
    /// Adds what was spent or received on one line of the book.
    pub(super) fn line(&mut self, headings: &Headings, line: &Line, car: Option<&Car>, amount: Pence) {
        let what = car.map(Car::label).or_else(|| line.party.clone()).or_else(|| line.note.clone());
        self.add((line.on, line.entry), headings.of(line), &line.heading, what, amount);
    }

    /// Adds something about a car.
    pub(super) fn on_car(
        &mut self,
        car: &Car,
        dated: (NaiveDate, EntryNo),
        under: ReturnHeading,
        heading: &str,
        amount: Pence,
    ) {
        self.add(dated, under, heading, Some(car.label()), amount);
    }

    /// Adds an amount with its day and entry.
    pub(super) fn add(
        &mut self,
        (on, entry): (NaiveDate, EntryNo),
        under: ReturnHeading,
        heading: &str,
        what: Option<String>,
        amount: Pence,
    ) {
        self.push(TaxLine { on, entry: Some(entry), under, heading: heading.to_owned(), what, amount });
    }

    pub(super) fn push(&mut self, line: TaxLine) {
        if !line.amount.is_zero() {
            self.0.push(line);
        }
    }

    /// By day and entry.
    pub(super) fn sorted(mut self) -> Vec<TaxLine> {
        self.0.sort_by_key(|line| (line.on, line.entry));
        self.0
    }
}

/// A year by one way of accounting.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Basis {
    /// Every line of it, by day.
    pub lines: Vec<TaxLine>,
    /// The value of cars taken for own use that is in the profit.
    pub own_use: Pence,
}

impl Basis {
    /// The lines that count as income.
    pub fn income_lines(&self) -> impl Iterator<Item = &TaxLine> {
        self.lines.iter().filter(|line| line.under.is_income())
    }

    /// The lines that count as expenses.
    pub fn expense_lines(&self) -> impl Iterator<Item = &TaxLine> {
        self.lines.iter().filter(|line| line.under.is_expense())
    }

    /// What one return heading comes to.
    pub fn under(&self, heading: ReturnHeading) -> Pence {
        self.lines.iter().filter(|line| line.under == heading).map(|line| line.amount).sum()
    }

    /// Everything received.
    pub fn income(&self) -> Pence {
        self.income_lines().map(|line| line.amount).sum()
    }

    /// Everything spent, equipment left out.
    pub fn expenses(&self) -> Pence {
        self.expense_lines().map(|line| line.amount).sum()
    }

    /// Income less expenses, with what own use adds.
    pub fn profit(&self) -> Pence {
        self.income() - self.expenses() + self.own_use
    }

    /// The boxes of `form` with what goes in them; `own_use` is the value of the cars kept. Boxes of
    /// expenses with nothing in them are left out.
    pub fn boxes(&self, form: Form, own_use: Pence) -> Vec<(FormBox, Pence)> {
        let mut boxes: Vec<(FormBox, Pence)> = Vec::new();
        let mut expenses: Vec<(FormBox, Pence)> = Vec::new();
        for heading in ReturnHeading::ALL {
            let Some(found) = form.box_of(*heading) else { continue };
            let amount = self.under(*heading);
            let list = if heading.is_income() { &mut boxes } else { &mut expenses };
            match list.iter_mut().find(|((number, _), _)| *number == found.0) {
                Some((_, sum)) => *sum += amount,
                None => list.push((found, amount)),
            }
        }
        expenses.sort_by_key(|((number, _), _)| number.parse::<u8>().unwrap_or_default());
        boxes.extend(expenses.into_iter().filter(|(_, amount)| !amount.is_zero()));
        let net = self.income() - self.expenses();
        boxes.push((form.total_expenses(), self.expenses()));
        boxes.push((form.net(net.is_negative()), net.abs()));
        if !own_use.is_zero() {
            boxes.push((form.own_use(), own_use));
        }
        boxes
    }
}

//! The profit of a period and its parts, added up sale by sale and line by line.

use crate::domain::book::facts::{Car, Facts};
use crate::domain::book::stay::Joins;
use crate::domain::days::period::Period;
use crate::domain::figures::car_figures::{
    DisposalFigures, SaleFigures, lines_outside, net_cost, net_cost_at_usual, stands_in, stands_in_favours,
    vat_on_deposit_kept, vat_on_kept_back,
};
use crate::domain::figures::period_lines::{CarSold, PeriodLine};
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::Direction;
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// A car that left stock without a sale in the period.
#[derive(Clone, Debug)]
pub struct CarDisposed<'a> {
    /// The car.
    pub car: &'a Car,
    /// What it stood in at.
    pub stood_in: Pence,
    /// How, and what it came to by the period's end.
    pub figures: DisposalFigures,
}

/// What some sales come to together.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct SaleTotals {
    /// Selling prices.
    pub sales: Pence,
    /// What the cars stood in at.
    pub cost_of_cars_sold: Pence,
    /// VAT due under the margin scheme.
    pub vat_on_margins: Pence,
    /// VAT due, whichever way it is worked.
    pub vat_on_sales: Pence,
}

impl SaleTotals {
    fn from_sales(sold: &[CarSold<'_>]) -> Self {
        let sum = |figure: fn(&SaleFigures) -> Pence| sold.iter().map(|sold| figure(&sold.figures)).sum();
        Self {
            sales: sum(|sale| sale.selling_price),
            cost_of_cars_sold: sum(|sale| sale.stood_in),
            vat_on_margins: sum(|sale| sale.vat_on_margin),
            vat_on_sales: sum(|sale| sale.vat_on_sale),
        }
    }

    /// Prices less VAT less cost.
    pub fn gross_profit(&self) -> Pence {
        self.sales - self.vat_on_sales - self.cost_of_cars_sold
    }
}

/// The profit and its parts, while they are added up.
#[derive(Default)]
pub(super) struct Profits<'a> {
    pub(super) made: SaleTotals,
    pub(super) reversed: SaleTotals,
    pub(super) gross_profit: Pence,
    pub(super) cars_disposed: Vec<CarDisposed<'a>>,
    pub(super) disposal_losses: Pence,
    pub(super) disposal_lines: Vec<PeriodLine>,
    pub(super) after_sale_costs: Pence,
    pub(super) after_sale_lines: Vec<PeriodLine>,
    pub(super) overheads: BTreeMap<String, Pence>,
    pub(super) overheads_total: Pence,
    pub(super) overhead_lines: Vec<PeriodLine>,
    pub(super) other_income: Pence,
    pub(super) other_income_lines: Vec<PeriodLine>,
    pub(super) profit: Pence,
    /// What the costs in the profit would have come to more at their usual prices.
    pub(super) favours: Pence,
}

impl<'a> Profits<'a> {
    pub(super) fn from_facts(facts: &'a Facts, period: Period, sold: &[CarSold<'_>], reversed: &[CarSold<'_>]) -> Self {
        let (made, reversed_totals) = (SaleTotals::from_sales(sold), SaleTotals::from_sales(reversed));
        let favours = |sales: &[CarSold<'_>]| -> Pence {
            sales.iter().map(|sold| sold.figures.profit - sold.figures.profit_at_usual_prices).sum()
        };
        let favours = favours(sold) - favours(reversed);
        let mut profits = Self { made, reversed: reversed_totals, favours, ..Self::default() };
        for car in &facts.cars {
            profits.add_car(facts, car, period);
        }
        let registration = &facts.registration;
        for line in facts.yard_lines.iter().filter(|line| period.contains(line.on)) {
            let net = net_cost(line, registration);
            match line.direction {
                Direction::Cost => profits.add_overhead(PeriodLine::on_yard(line, net)),
                Direction::Receipt => profits.add_other_income(PeriodLine::on_yard(line, -net)),
            }
            profits.favours += net_cost_at_usual(line, registration) - net;
        }
        for due in facts.standing_costs(period.from(), period.to()) {
            let net = due.amount - registration.counted(due.vat, due.on);
            profits.add_overhead(PeriodLine::of_standing(&due, net));
        }
        profits.cars_disposed.sort_by_key(|disposed| (disposed.figures.on, disposed.car.stock_no));
        profits.gross_profit = profits.made.gross_profit() - profits.reversed.gross_profit();
        profits.profit =
            profits.gross_profit - profits.disposal_losses - profits.after_sale_costs - profits.overheads_total
                + profits.other_income;
        profits
    }

    fn add_car(&mut self, facts: &'a Facts, car: &'a Car, period: Period) {
        let registration = &facts.registration;
        for (kind, after_sale) in [(Joins::AfterSale, true), (Joins::Disposal, false)] {
            for line in lines_outside(car, kind, period.to()).filter(|line| period.contains(line.on)) {
                let net = net_cost(line, registration);
                let told = PeriodLine::on_car(car, line, net);
                if after_sale {
                    self.add_after_sale(told);
                } else {
                    self.add_disposal_line(told);
                }
                self.favours += net_cost_at_usual(line, registration) - net;
            }
        }
        for end in car.deposit_ends.iter().filter(|end| end.sale_no.is_none() && period.contains(end.on)) {
            let vat = vat_on_deposit_kept(end.amount, end.on, registration);
            self.add_kept(car, "deposit kept", (end.on, end.entry), end.amount - vat);
        }
        let came_back = car.sales.iter().filter_map(|sale| sale.taken_back.as_ref());
        for back in came_back.filter(|back| back.kept_back.is_positive() && period.contains(back.on)) {
            let vat = vat_on_kept_back(car, back.kept_back, back.on, registration);
            self.add_kept(car, "kept back", (back.on, back.entry), back.kept_back - vat);
        }
        if let Some(disposal) = car.disposal.as_ref().filter(|disposal| period.contains(disposal.on)) {
            let stood_in = stands_in(car, disposal.on, registration);
            let figures = DisposalFigures::from_disposal(car, disposal, period.to(), registration);
            self.disposal_losses += stood_in - disposal.value;
            self.favours += stands_in_favours(car, disposal.on, registration);
            self.cars_disposed.push(CarDisposed { car, stood_in, figures });
        }
    }

    /// Money kept though the car was not sold: other income, net of the VAT due on it.
    fn add_kept(&mut self, car: &Car, heading: &str, (on, entry): (NaiveDate, EntryNo), amount: Pence) {
        self.add_other_income(PeriodLine { on, entry, heading: heading.to_owned(), what: Some(car.label()), amount });
    }

    fn add_disposal_line(&mut self, line: PeriodLine) {
        self.disposal_losses += line.amount;
        self.disposal_lines.push(line);
    }

    fn add_after_sale(&mut self, line: PeriodLine) {
        self.after_sale_costs += line.amount;
        self.after_sale_lines.push(line);
    }

    fn add_overhead(&mut self, line: PeriodLine) {
        *self.overheads.entry(line.heading.clone()).or_default() += line.amount;
        self.overheads_total += line.amount;
        self.overhead_lines.push(line);
    }

    fn add_other_income(&mut self, line: PeriodLine) {
        self.other_income += line.amount;
        self.other_income_lines.push(line);
    }
}

//! A tax year both ways, side by side, and why they differ, to the penny.

use crate::domain::book::bills::Bills;
use crate::domain::book::facts::{Facts, Showing};
use crate::domain::book::journey::{Journey, Mileage};
use crate::domain::days::period::Period;
use crate::domain::days::tax_year::TaxYear;
use crate::domain::figures::period_figures::PeriodFigures;
use crate::domain::figures::stock_value::stock_value;
use crate::domain::law::rate_table::Rates;
use crate::domain::law::rates::income_tax::{MileageRate, TRADING_ALLOWANCE};
use crate::domain::tax::cash_basis::cash_basis;
use crate::domain::tax::return_pages::{Form, Headings, ReturnHeading};
use crate::domain::tax::tax_lines::Basis;
use crate::domain::tax::traditional::{CarriedOver, traditional};
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// What a tax year is reckoned from.
#[derive(Debug)]
pub struct TaxFacts<'a> {
    /// The year.
    pub year: TaxYear,
    /// The facts from its first day on.
    pub facts: &'a Facts,
    /// Bills, from the book's first day on.
    pub bills: &'a Bills,
    /// Where each heading belongs.
    pub headings: &'a Headings,
    /// The year's journeys, by day.
    pub journeys: &'a [Journey],
    /// What was asked for each car on the eve of the year.
    pub asked_at_start: &'a BTreeMap<StockNo, Showing>,
    /// What is asked for each car on the last day covered.
    pub asked_at_end: &'a BTreeMap<StockNo, Showing>,
}

/// The trading allowance set beside the expenses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TradingAllowance {
    /// The allowance of the year.
    pub amount: Pence,
    /// What of it there is income to set against: it never makes a loss.
    pub usable: Pence,
    /// Whether it takes off more than the expenses do.
    pub better: bool,
    /// Income less what is usable.
    pub profit: Pence,
}

/// An amount that has a name of its own, by either way of accounting.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NamedLine {
    /// Its name.
    pub name: &'static str,
    /// On the cash basis; none where it has no meaning.
    pub cash_basis: Option<Pence>,
    /// By traditional accounting.
    pub traditional: Option<Pence>,
    /// The box of the form it belongs in; none when it is part of one above.
    pub form_box: Option<&'static str>,
    /// How it counts, in words.
    pub counts: &'static str,
}

/// A tax year both ways.
#[derive(Debug)]
pub struct TaxFigures<'a> {
    /// The year.
    pub year: TaxYear,
    /// The days covered: the year, ended at the as-of day.
    pub period: Period,
    /// The pages that the turnover on the cash basis asks for.
    pub form: Form,
    /// The cash basis.
    pub cash: Basis,
    /// Traditional accounting.
    pub traditional: Basis,
    /// The profit as `month` and `results` have it.
    pub book_profit: Pence,
    /// What the year began with.
    pub opening: CarriedOver<'a>,
    /// What it ends with.
    pub closing: CarriedOver<'a>,
    /// Cars bought, net of VAT, less those taken in that went back.
    pub purchases: Pence,
    /// What cars kept for own use were worth.
    pub cars_kept: Pence,
    /// The profit by traditional accounting less that on the cash basis, part by part; parts of
    /// nothing included.
    pub identity: Vec<(&'static str, Pence)>,
    /// Lines with a name of their own.
    pub named: Vec<NamedLine>,
    /// Mileage at the flat rate; none without a log.
    pub mileage: Option<Mileage<'a>>,
    /// The trading allowance; none before there was one.
    pub allowance: Option<TradingAllowance>,
}

impl TaxFigures<'_> {
    /// What the parts of the identity come to: the difference between the two profits.
    pub fn difference(&self) -> Pence {
        self.identity.iter().map(|(_, amount)| *amount).sum()
    }
}

/// The figures of a tax year up to the last day covered; none when it begins after that, or before
/// the first.
pub fn tax_figures<'a>(given: &TaxFacts<'a>) -> Option<TaxFigures<'a>> {
    let facts = given.facts;
    let figures = facts.period_figures(given.year.period()?)?;
    let period = figures.period;
    let eve = period.from().pred_opt()?;
    let carried =
        |asked, day| CarriedOver { stock: stock_value(facts, asked, day), paid_ahead: facts.balances(day).paid_ahead };
    let opening = carried(given.asked_at_start, eve);
    let closing = carried(given.asked_at_end, period.to());
    let rates = facts.registration.rates;
    let rate = MileageRate::on_day(&rates, given.year.first_day()).filter(|_| !given.journeys.is_empty());
    let mileage = rate.map(|rate| Mileage::from_journeys(given.journeys, rate));
    let cars_kept = figures.without_money.cars_kept;
    let cash = cash_basis(facts, given.bills, given.headings, mileage.as_ref(), period);
    let between = (&opening, &closing);
    let traditional = traditional(facts, given.headings, mileage.as_ref(), period, between, cars_kept);
    let form = Form::for_year(&rates, given.year, cash.under(ReturnHeading::Sales));
    let equipment_unpaid = traditional.under(ReturnHeading::Capital) - cash.under(ReturnHeading::Capital);
    let handed_back: Pence = traditional
        .lines
        .iter()
        .filter(|line| line.heading == "part-exchange handed back")
        .map(|line| line.amount)
        .sum();
    Some(TaxFigures {
        year: given.year,
        period,
        form,
        identity: identity(facts, eve, &figures, (&opening, &closing), equipment_unpaid),
        named: named_lines(form, &figures, &cash, &traditional, (&opening, &closing), mileage.as_ref()),
        allowance: trading_allowance(&rates, period.from(), &cash),
        book_profit: figures.profit,
        purchases: figures.cost_of_cars_bought() + handed_back,
        cash,
        traditional,
        opening,
        closing,
        cars_kept,
        mileage,
    })
}

/// Why the two profits differ. `equipment_unpaid` is the growth of unpaid bills for equipment, which
/// is no expense either way.
fn identity(
    facts: &Facts,
    eve: NaiveDate,
    figures: &PeriodFigures<'_>,
    (opening, closing): (&CarriedOver<'_>, &CarriedOver<'_>),
    equipment_unpaid: Pence,
) -> Vec<(&'static str, Pence)> {
    let (before, after, passed) = (facts.balances(eve), &figures.closing, &figures.without_money);
    vec![
        ("stock at cost", after.stock_at_cost - before.stock_at_cost),
        ("written down", opening.stock.written_down() - closing.stock.written_down()),
        ("owed by buyers", after.owed_by_buyers - before.owed_by_buyers),
        ("owed to sellers", before.owed_to_sellers - after.owed_to_sellers),
        ("unpaid bills", before.bills - after.bills + equipment_unpaid),
        ("refunds owed", before.refunds_owed - after.refunds_owed),
        ("deposits held", before.deposits_held - after.deposits_held),
        ("paid ahead", after.paid_ahead - before.paid_ahead),
        ("cars kept", passed.cars_kept),
        ("written off", passed.written_off),
    ]
}

fn named_lines(
    form: Form,
    figures: &PeriodFigures<'_>,
    cash: &Basis,
    traditional: &Basis,
    (opening, closing): (&CarriedOver<'_>, &CarriedOver<'_>),
    mileage: Option<&Mileage<'_>>,
) -> Vec<NamedLine> {
    let passed = &figures.without_money;
    let equipment = |basis: &Basis| Some(basis.under(ReturnHeading::Capital));
    let all = [
        NamedLine {
            name: "cars kept for own use",
            cash_basis: Some(passed.cars_kept),
            traditional: Some(passed.cars_kept),
            form_box: Some(form.own_use().0),
            counts: "in the traditional profit; on the cash basis add to it what is just and reasonable",
        },
        NamedLine {
            name: "equipment to keep",
            cash_basis: equipment(cash),
            traditional: equipment(traditional),
            form_box: Some(form.equipment()),
            counts: "in neither profit: claimed as a capital allowance or, on the cash basis and not for a car, \
                     as an expense when paid",
        },
        NamedLine {
            name: "stock written down",
            cash_basis: None,
            traditional: Some(closing.stock.written_down() - opening.stock.written_down()),
            form_box: None,
            counts: "off the traditional profit, in the cost of goods",
        },
        NamedLine {
            name: "written off, never paid by buyers",
            cash_basis: None,
            traditional: Some(passed.written_off),
            form_box: Some(form.bad_debts()),
            counts: "not in the profit here; by traditional accounting an expense of its own box",
        },
        NamedLine {
            name: "mileage at the flat rate",
            cash_basis: mileage.map(|mileage| mileage.amount),
            traditional: mileage.map(|mileage| mileage.amount),
            form_box: None,
            counts: "an expense either way, in car, van and travel",
        },
    ];
    let nothing = |amount: Option<Pence>| amount.is_none_or(Pence::is_zero);
    all.into_iter().filter(|line| !(nothing(line.cash_basis) && nothing(line.traditional))).collect()
}

fn trading_allowance(rates: &Rates, first_day: NaiveDate, cash: &Basis) -> Option<TradingAllowance> {
    let amount = rates.in_force(&TRADING_ALLOWANCE, first_day)?;
    let (income, expenses) = (cash.income(), cash.expenses());
    let usable = amount.min(income).max(Pence::ZERO);
    Some(TradingAllowance { amount, usable, better: usable > expenses, profit: income - usable })
}

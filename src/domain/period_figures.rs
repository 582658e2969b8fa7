//! What a period made: sales, costs, overheads, profit and its averages, with every line behind
//! them.

use crate::domain::balances::Balances;
use crate::domain::bridge::{Bridge, FloatFlow};
use crate::domain::car_figures::{
    CarFigures, Joins, after_sale_lines, car_figures, joins, net_cost, net_cost_at_usual, net_purchase_price,
};
use crate::domain::facts::{Car, EntryNo, Facts, Line};
use crate::domain::pence::Pence;
use crate::domain::period::Period;
use crate::domain::ratio::{mean, median, percent_of};
use crate::domain::standing::Falling;
use crate::domain::stock_ratios::{days_sales_in_stock, gmroi, stock_turn};
use crate::domain::words::Direction;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// A car sold in the period, with its figures as of the day of sale.
#[derive(Clone, Debug)]
pub struct CarSold<'a> {
    /// The car.
    pub car: &'a Car,
    /// Its figures at the period's end.
    pub figures: CarFigures,
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
    fn of(line: &Line, what: Option<String>, amount: Pence) -> Self {
        Self { on: line.on, entry: line.entry, heading: line.heading.clone(), what, amount }
    }

    /// Names a line on the yard by its party, or by its note when no party is known.
    fn on_yard(line: &Line, amount: Pence) -> Self {
        Self::of(line, line.party.clone().or_else(|| line.note.clone()), amount)
    }

    fn on_car(car: &Car, line: &Line, amount: Pence) -> Self {
        Self::of(line, Some(car.label()), amount)
    }

    fn of_standing(due: &Falling<'_>, amount: Pence) -> Self {
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

/// The figures of a period.
#[derive(Clone, Debug)]
pub struct PeriodFigures<'a> {
    /// The days it covers, ended at the as-of day.
    pub period: Period,
    /// Cars sold, in order of sale.
    pub cars_sold: Vec<CarSold<'a>>,
    /// Cars bought, in order of stock number, with their price net of VAT reclaimed.
    pub cars_bought: Vec<(&'a Car, Pence)>,
    /// Σ selling prices.
    pub sales: Pence,
    /// Σ of what the cars sold stood in at.
    pub cost_of_cars_sold: Pence,
    /// VAT due under the margin scheme.
    pub vat_on_margins: Pence,
    /// VAT due on sales, whichever way it is worked.
    pub vat_on_sales: Pence,
    /// Sales − VAT on them − cost of cars sold.
    pub gross_profit: Pence,
    /// Costs less receipts dated in the period on cars then sold.
    pub after_sale_costs: Pence,
    /// The lines behind them, by day; a receipt is negative.
    pub after_sale_lines: Vec<PeriodLine>,
    /// Overheads by heading, in order of heading.
    pub overheads: Vec<(String, Pence)>,
    /// Their sum.
    pub overheads_total: Pence,
    /// The lines behind them, by day, standing costs included.
    pub overhead_lines: Vec<PeriodLine>,
    /// Money received on no car.
    pub other_income: Pence,
    /// The lines behind it, by day.
    pub other_income_lines: Vec<PeriodLine>,
    /// What is left.
    pub profit: Pence,
    /// The same with each cost at its usual price.
    pub profit_at_usual_prices: Pence,
    /// Averages over the cars sold.
    pub averages: Averages,
    /// Stock over the period.
    pub stock: StockFigures,
    /// Every movement into the float.
    pub money_in: Pence,
    /// Every movement out of it.
    pub money_out: Pence,
    /// Balances at the end of the period.
    pub closing: Balances,
    /// Profit proved against the cash.
    pub bridge: Bridge,
}

impl PeriodFigures<'_> {
    /// Σ purchase prices of the cars bought, net of VAT reclaimed.
    pub fn cost_of_cars_bought(&self) -> Pence {
        self.cars_bought.iter().map(|(_, price)| *price).sum()
    }
}

/// Averages over the cars sold in a period; absent when none was.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Averages {
    /// Pooled return: Σ profit ÷ Σ stands in at, per cent.
    pub pooled_return_pct: Option<Decimal>,
    /// Simple mean of the cars' returns, per cent.
    pub mean_return_pct: Option<Decimal>,
    /// Median of the cars' returns, per cent.
    pub median_return_pct: Option<Decimal>,
    /// Mean days in stock.
    pub mean_days_to_sell: Option<Decimal>,
    /// Median days in stock.
    pub median_days_to_sell: Option<Decimal>,
}

/// How hard the money in stock worked over a period.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct StockFigures {
    /// Mean of stock at cost at the end of each day, to the penny; absent for an empty book.
    pub average_at_cost: Option<Pence>,
    /// Cost of cars sold ÷ average stock × 365 ÷ days.
    pub turn: Option<Decimal>,
    /// 365 ÷ stock turn.
    pub days_sales: Option<Decimal>,
    /// Gross profit ÷ average stock × 365 ÷ days.
    pub gmroi: Option<Decimal>,
}

impl Facts {
    /// The figures of `period`, which ends at the last day covered if that falls inside it. None
    /// when the period begins after the last day covered or before the first.
    pub fn period_figures(&self, period: Period) -> Option<PeriodFigures<'_>> {
        let period = period.ending_by(self.to).filter(|period| period.from() >= self.from)?;
        let eve = period.from().pred_opt()?;
        let cars_sold = self.cars_sold(period);
        let profits = Profits::of(self, period, &cars_sold);
        let (opening, closing) = (self.balances(eve), self.balances(period.to()));
        let flow = FloatFlow::of(self, period);
        let bridge = Bridge::between(&opening, &closing, profits.profit, &flow);
        Some(PeriodFigures {
            period,
            averages: averages(&cars_sold),
            stock: self.stock_figures(period, profits.cost_of_cars_sold, profits.gross_profit),
            cars_sold,
            cars_bought: self.cars_bought(period),
            sales: profits.sales,
            cost_of_cars_sold: profits.cost_of_cars_sold,
            vat_on_margins: profits.vat_on_margins,
            vat_on_sales: profits.vat_on_sales,
            gross_profit: profits.gross_profit,
            after_sale_costs: profits.after_sale_costs,
            after_sale_lines: by_day(profits.after_sale_lines),
            overheads_total: profits.overheads_total,
            overheads: profits.overheads.into_iter().collect(),
            overhead_lines: by_day(profits.overhead_lines),
            other_income: profits.other_income,
            other_income_lines: by_day(profits.other_income_lines),
            profit: profits.profit,
            profit_at_usual_prices: profits.profit - profits.favours,
            money_in: flow.money_in,
            money_out: flow.money_out,
            closing,
            bridge,
        })
    }

    fn cars_sold(&self, period: Period) -> Vec<CarSold<'_>> {
        let mut sold: Vec<CarSold<'_>> = self
            .cars
            .iter()
            .filter(|car| car.sale.as_ref().is_some_and(|sale| period.contains(sale.on)))
            .map(|car| CarSold { car, figures: car_figures(car, period.to(), &self.registration) })
            .collect();
        sold.sort_by_key(|sold| (sold.figures.sold.as_ref().map(|sale| sale.sold_on), sold.car.stock_no));
        sold
    }

    fn cars_bought(&self, period: Period) -> Vec<(&Car, Pence)> {
        let mut bought: Vec<_> = self
            .cars
            .iter()
            .filter(|car| period.contains(car.bought_on))
            .map(|car| (car, net_purchase_price(car, &self.registration)))
            .collect();
        bought.sort_by_key(|(car, _)| car.stock_no);
        bought
    }

    fn stock_figures(&self, period: Period, cost_of_cars_sold: Pence, gross_profit: Pence) -> StockFigures {
        let Some(average) = self.average_stock(period) else { return StockFigures::default() };
        let days = period.days();
        StockFigures {
            average_at_cost: Some(Pence::from_pounds_rounded(average)),
            turn: stock_turn(cost_of_cars_sold, average, days),
            days_sales: days_sales_in_stock(cost_of_cars_sold, average, days),
            gmroi: gmroi(gross_profit, average, days),
        }
    }

    /// Mean of stock at cost at the end of each day, in pounds and unrounded, from the later of
    /// the period's first day and the book's. Each line counts for the days it was in stock, so
    /// the cost is in lines, not in days.
    fn average_stock(&self, period: Period) -> Option<Decimal> {
        let window = Period::new(period.from().max(self.first_day?), period.to())?;
        let mut pence_days = 0_i128;
        for car in &self.cars {
            let last =
                car.sale.as_ref().and_then(|sale| sale.on.pred_opt()).map_or(window.to(), |eve| eve.min(window.to()));
            let mut tie_up = |joined: NaiveDate, amount: Pence| {
                if let Some(tied) = Period::new(joined.max(window.from()), last) {
                    pence_days += i128::from(amount.get()) * i128::from(tied.days());
                }
            };
            tie_up(car.bought_on, net_purchase_price(car, &self.registration));
            for line in &car.lines {
                if let Joins::Stock(joined) = joins(car, line) {
                    tie_up(joined, net_cost(line, &self.registration));
                }
            }
        }
        let pounds = Decimal::from_i128_with_scale(pence_days, 2);
        pounds.checked_div(Decimal::from(window.days()))
    }
}

/// The profit and its parts, while they are added up.
#[derive(Default)]
struct Profits {
    sales: Pence,
    cost_of_cars_sold: Pence,
    vat_on_margins: Pence,
    vat_on_sales: Pence,
    gross_profit: Pence,
    after_sale_costs: Pence,
    after_sale_lines: Vec<PeriodLine>,
    overheads: BTreeMap<String, Pence>,
    overheads_total: Pence,
    overhead_lines: Vec<PeriodLine>,
    other_income: Pence,
    other_income_lines: Vec<PeriodLine>,
    profit: Pence,
    favours: Pence,
}

impl Profits {
    fn of(facts: &Facts, period: Period, cars_sold: &[CarSold<'_>]) -> Self {
        let mut profits = Self::default();
        for sold in cars_sold {
            profits.add_sale(&sold.figures);
        }
        let registration = &facts.registration;
        for car in &facts.cars {
            for line in after_sale_lines(car, period.to()).filter(|line| period.contains(line.on)) {
                let net = net_cost(line, registration);
                profits.add_after_sale(PeriodLine::on_car(car, line, net));
                profits.favours += net_cost_at_usual(line, registration) - net;
            }
        }
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
        profits.gross_profit = profits.sales - profits.vat_on_sales - profits.cost_of_cars_sold;
        profits.profit =
            profits.gross_profit - profits.after_sale_costs - profits.overheads_total + profits.other_income;
        profits
    }

    fn add_sale(&mut self, figures: &CarFigures) {
        let Some(sold) = &figures.sold else { return };
        self.sales += sold.selling_price;
        self.cost_of_cars_sold += figures.stands_in;
        self.vat_on_margins += sold.vat_on_margin;
        self.vat_on_sales += sold.vat_on_sale;
        self.favours += sold.profit - sold.profit_at_usual_prices;
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

fn by_day(mut lines: Vec<PeriodLine>) -> Vec<PeriodLine> {
    lines.sort_by_key(|line| (line.on, line.entry));
    lines
}

fn averages(cars_sold: &[CarSold<'_>]) -> Averages {
    let sales = || cars_sold.iter().filter_map(|sold| sold.figures.sold.as_ref());
    let returns: Vec<Decimal> = sales().filter_map(|sale| sale.return_unrounded).collect();
    let days: Vec<Decimal> =
        cars_sold.iter().filter_map(|sold| sold.figures.days_in_stock).map(Decimal::from).collect();
    Averages {
        pooled_return_pct: percent_of(
            sales().map(|sale| sale.profit).sum(),
            cars_sold.iter().map(|sold| sold.figures.stands_in).sum(),
        ),
        mean_return_pct: mean(&returns),
        median_return_pct: median(&returns),
        mean_days_to_sell: mean(&days),
        median_days_to_sell: median(&days),
    }
}

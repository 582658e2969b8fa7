//! What a period made: sales, costs, overheads, profit and its averages, with every line behind
//! them.

use crate::domain::book::facts::{Car, Facts, Sale, TakeBack};
use crate::domain::book::stay::Joins;
use crate::domain::days::period::Period;
use crate::domain::figures::balances::Balances;
use crate::domain::figures::bridge::{Bridge, FloatFlow, WithoutMoney};
use crate::domain::figures::car_figures::{SaleFigures, net_cost, net_purchase_price, sale_figures};
use crate::domain::figures::period_lines::{CarSold, PeriodLine};
use crate::domain::figures::profits::{CarDisposed, Profits, SaleTotals};
use crate::domain::figures::stock_ratios::{NoTurn, StockWorked, return_pct};
use crate::domain::value::pence::Pence;
use crate::domain::value::ratio::{mean, median};
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// The figures of a period.
#[derive(Clone, Debug)]
pub struct PeriodFigures<'a> {
    /// The days it covers, ended at the as-of day.
    pub period: Period,
    /// Sales made, in order of sale, reversed since or not.
    pub cars_sold: Vec<CarSold<'a>>,
    /// Sales of this period or an earlier one reversed in it, in order of reversal.
    pub sales_reversed: Vec<CarSold<'a>>,
    /// Cars that left stock without a sale, in order of day.
    pub cars_disposed: Vec<CarDisposed<'a>>,
    /// Cars bought, in order of stock number, with their price net of VAT reclaimed.
    pub cars_bought: Vec<(&'a Car, Pence)>,
    /// What the sales made come to together.
    pub made: SaleTotals,
    /// What the sales reversed come to together.
    pub reversed: SaleTotals,
    /// Σ selling prices of sales made, less those reversed.
    pub sales: Pence,
    /// Σ of what the cars sold stood in at, less that of sales reversed.
    pub cost_of_cars_sold: Pence,
    /// VAT due under the margin scheme.
    pub vat_on_margins: Pence,
    /// VAT due on sales, whichever way it is worked.
    pub vat_on_sales: Pence,
    /// Sales − VAT on them − cost of cars sold.
    pub gross_profit: Pence,
    /// What cars disposed of stood in at, less what they were worth and brought in.
    pub disposal_losses: Pence,
    /// Lines of the period on cars disposed of in it or before, by day; a receipt is negative.
    pub disposal_lines: Vec<PeriodLine>,
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
    /// Money received on no car, deposits kept, what was kept back from refunds.
    pub other_income: Pence,
    /// The lines behind it, by day.
    pub other_income_lines: Vec<PeriodLine>,
    /// What is left.
    pub profit: Pence,
    /// The same with each cost at its usual price.
    pub profit_at_usual_prices: Pence,
    /// What passed without money: cars kept, balances written off.
    pub without_money: WithoutMoney,
    /// Averages over the sales made and not reversed in the period.
    pub averages: Averages<'a>,
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

    /// What the profit is made of beside gross profit and overheads: other income, less losses on cars that
    /// left without a sale and after-sale costs.
    pub fn other_profit(&self) -> Pence {
        self.other_income - self.disposal_losses - self.after_sale_costs
    }

    /// The profit less what buyers owed and will never pay.
    pub fn profit_after_write_offs(&self) -> Pence {
        self.profit - self.without_money.written_off
    }
}

/// Why a sale is not in an average.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeftOut {
    /// It was reversed on this day of the period: it is in no average.
    TakenBack(NaiveDate),
    /// The car stood in at nothing or less, so it has no return of its own: it is not in the mean and the
    /// median of the returns.
    StoodInAtNothing,
}

/// Averages over the cars sold in a period; absent when none was.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Averages<'a> {
    /// Sales they are over: those not reversed in the period.
    pub over: usize,
    /// Sales that are not in all of them, and why, in order of sale.
    pub left_out: Vec<(&'a Car, LeftOut)>,
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
    /// Cost of cars sold ÷ average stock × 365 ÷ days counted.
    pub turn: Option<Decimal>,
    /// Why there is no turn, and no margin on stock.
    pub no_turn: Option<NoTurn>,
    /// 365 ÷ stock turn.
    pub days_sales: Option<Decimal>,
    /// Gross profit ÷ average stock × 365 ÷ days counted.
    pub gmroi: Option<Decimal>,
}

impl Facts {
    /// The figures of `period`, which ends at the last day covered if that falls inside it. None
    /// when the period begins after the last day covered or before the first.
    pub fn period_figures(&self, period: Period) -> Option<PeriodFigures<'_>> {
        let period = period.ending_by(self.to).filter(|period| period.from() >= self.from)?;
        let eve = period.from().pred_opt()?;
        let (cars_sold, sales_reversed) = (self.cars_sold(period), self.sales_reversed(period));
        let profits = Profits::from_facts(self, period, &cars_sold, &sales_reversed);
        let (made, reversed) = (profits.made, profits.reversed);
        let cost = made.cost_of_cars_sold - reversed.cost_of_cars_sold;
        let (opening, closing) = (self.balances(eve), self.balances(period.to()));
        let (flow, without_money) = (FloatFlow::from_facts(self, period), WithoutMoney::from_facts(self, period));
        let bridge = Bridge::between(&opening, &closing, profits.profit, &flow, &without_money);
        Some(PeriodFigures {
            period,
            averages: averages(&cars_sold),
            stock: self.stock_figures(period, cost, profits.gross_profit),
            cars_sold,
            sales_reversed,
            cars_disposed: profits.cars_disposed,
            cars_bought: self.cars_bought(period),
            sales: made.sales - reversed.sales,
            cost_of_cars_sold: cost,
            vat_on_margins: made.vat_on_margins - reversed.vat_on_margins,
            vat_on_sales: made.vat_on_sales - reversed.vat_on_sales,
            made,
            reversed,
            gross_profit: profits.gross_profit,
            disposal_losses: profits.disposal_losses,
            disposal_lines: by_day(profits.disposal_lines),
            after_sale_costs: profits.after_sale_costs,
            after_sale_lines: by_day(profits.after_sale_lines),
            overheads_total: profits.overheads_total,
            overheads: profits.overheads.into_iter().collect(),
            overhead_lines: by_day(profits.overhead_lines),
            other_income: profits.other_income,
            other_income_lines: by_day(profits.other_income_lines),
            profit: profits.profit,
            profit_at_usual_prices: profits.profit - profits.favours,
            without_money,
            money_in: flow.money_in,
            money_out: flow.money_out,
            closing,
            bridge,
        })
    }

    fn cars_sold(&self, period: Period) -> Vec<CarSold<'_>> {
        let mut sold = self.sales(period.to(), |sale, _| period.contains(sale.on));
        sold.sort_by_key(|sold| (sold.figures.sold_on, sold.car.stock_no));
        sold
    }

    fn sales_reversed(&self, period: Period) -> Vec<CarSold<'_>> {
        let mut reversed = self.sales(period.to(), |_, back| back.is_some_and(|back| period.contains(back.on)));
        reversed.sort_by_key(|sold| (sold.taken_back.map(|back| back.on), sold.car.stock_no));
        reversed
    }

    /// Sales made by `day` that `wanted` wants, with how they were reversed by then. Only theirs are the figures
    /// worked out: of a long past, few are in any one period.
    fn sales(&self, day: NaiveDate, wanted: impl Fn(&Sale, Option<&TakeBack>) -> bool) -> Vec<CarSold<'_>> {
        let made = self.cars.iter().flat_map(|car| car.sales.iter().map(move |sale| (car, sale)));
        made.filter(|(_, sale)| sale.on <= day)
            .map(|(car, sale)| (car, sale, sale.taken_back.as_ref().filter(|back| back.on <= day)))
            .filter(|(_, sale, taken_back)| wanted(sale, *taken_back))
            .map(|(car, sale, taken_back)| CarSold {
                car,
                sale,
                figures: sale_figures(car, sale, day, &self.registration),
                taken_back,
            })
            .collect()
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
        let none = || StockFigures { no_turn: Some(NoTurn::TooShort { days: 0 }), ..StockFigures::default() };
        let Some(window) = self.days_of_book(period) else { return none() };
        let Some(average_stock) = self.average_stock(window) else { return none() };
        let worked = StockWorked { cost_of_cars_sold, gross_profit, average_stock, days: window.days() };
        StockFigures {
            average_at_cost: Some(Pence::from_pounds_rounded(average_stock)),
            turn: worked.turn(),
            no_turn: worked.no_turn(),
            days_sales: worked.days_sales(),
            gmroi: worked.gmroi(),
        }
    }

    /// The days of `period` from the book's first on; none when it had not begun.
    pub(super) fn days_of_book(&self, period: Period) -> Option<Period> {
        Period::new(period.from().max(self.first_day?), period.to())
    }

    /// Mean of stock at cost at the end of each day of `window`, in pounds and unrounded. Each line
    /// counts for the days it was in stock, so the cost is in lines, not in days.
    fn average_stock(&self, window: Period) -> Option<Decimal> {
        let mut pence_days = 0_i128;
        for car in &self.cars {
            let mut tie_up = |joined: NaiveDate, amount: Pence| {
                for stretch in car.stretches() {
                    let last = stretch.left.and_then(|left| left.on().pred_opt()).unwrap_or(window.to());
                    let tied = Period::new(joined.max(stretch.from).max(window.from()), last.min(window.to()));
                    let days = tied.map_or(0, Period::days);
                    pence_days += i128::from(amount.get()) * i128::from(days);
                }
            };
            tie_up(car.bought_on, net_purchase_price(car, &self.registration));
            for line in &car.lines {
                if let Joins::Stock(joined) = car.place(line).joins {
                    tie_up(joined, net_cost(line, &self.registration));
                }
            }
        }
        let pounds = Decimal::from_i128_with_scale(pence_days, 2);
        pounds.checked_div(Decimal::from(window.days()))
    }
}

fn by_day(mut lines: Vec<PeriodLine>) -> Vec<PeriodLine> {
    lines.sort_by_key(|line| (line.on, line.entry));
    lines
}

fn averages<'a>(cars_sold: &[CarSold<'a>]) -> Averages<'a> {
    let sales: Vec<&SaleFigures> =
        cars_sold.iter().filter(|sold| sold.taken_back.is_none()).map(|sold| &sold.figures).collect();
    let returns: Vec<Decimal> = sales.iter().filter_map(|sale| sale.return_unrounded).collect();
    let days: Vec<Decimal> = sales.iter().map(|sale| Decimal::from(sale.days)).collect();
    Averages {
        over: sales.len(),
        left_out: cars_sold.iter().filter_map(|sold| Some((sold.car, left_out(sold)?))).collect(),
        pooled_return_pct: return_pct(
            sales.iter().map(|sale| sale.profit).sum(),
            sales.iter().map(|sale| sale.stood_in).sum(),
        ),
        mean_return_pct: mean(&returns),
        median_return_pct: median(&returns),
        mean_days_to_sell: mean(&days),
        median_days_to_sell: median(&days),
    }
}

fn left_out(sold: &CarSold<'_>) -> Option<LeftOut> {
    let no_return = || sold.figures.return_unrounded.is_none().then_some(LeftOut::StoodInAtNothing);
    sold.taken_back.map(|back| LeftOut::TakenBack(back.on)).or_else(no_return)
}

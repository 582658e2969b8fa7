//! Every figure of one car, as design says: what it stands in at, what it made, how fast. A day
//! `D` bounds everything: what is dated after it is not seen.

use crate::domain::annual_return::{Flow, NoAnnualReturn, annual_return};
use crate::domain::day::days_between;
use crate::domain::facts::{Car, Line, Sale};
use crate::domain::pence::Pence;
use crate::domain::registration::Registration;
use crate::domain::stock_ratios::{multiple, per_hundred_thirty, profit_per_day, return_pct};
use crate::domain::words::Direction;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// When a line begins to count towards what the car stands in at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joins {
    /// From this day: its own, or the day bought for a line paid ahead.
    Stock(NaiveDate),
    /// Never: it is dated after the sale, an after-sale cost for good.
    AfterSale,
}

/// When `line` joins what `car` stands in at. The day of sale counts as in stock.
pub fn joins(car: &Car, line: &Line) -> Joins {
    match &car.sale {
        Some(sale) if line.on > sale.on => Joins::AfterSale,
        _ => Joins::Stock(line.on.max(car.bought_on)),
    }
}

/// A line's amount net of VAT reclaimed or due on it: a cost positive, a receipt negative.
pub fn net_cost(line: &Line, registration: &Registration) -> Pence {
    let net = line.amount - registration.counted(line.vat, line.on);
    match line.direction {
        Direction::Cost => net,
        Direction::Receipt => -net,
    }
}

/// What the line would have cost at its usual price, net in the same proportion as what was paid
/// (half a penny away from zero); what was paid when no usual price is known.
pub fn net_cost_at_usual(line: &Line, registration: &Registration) -> Pence {
    let net = net_cost(line, registration);
    match line.usual_price {
        Some(usual) if line.direction == Direction::Cost => {
            if net == line.amount || line.amount.is_zero() {
                usual
            } else {
                Pence::from_pounds_rounded(usual.to_pounds() * net.to_pounds() / line.amount.to_pounds())
            }
        }
        _ => net,
    }
}

/// Purchase price net of VAT reclaimed on a VAT invoice.
pub fn net_purchase_price(car: &Car, registration: &Registration) -> Pence {
    let reclaimed = if car.vat_invoice { registration.counted(car.vat, car.bought_on) } else { Pence::ZERO };
    car.purchase_price - reclaimed
}

/// The sale, if it is dated on or before `day`.
pub fn sale_by(car: &Car, day: NaiveDate) -> Option<&Sale> {
    car.sale.as_ref().filter(|sale| sale.on <= day)
}

/// Whether the car is in stock at the end of `day`.
pub fn in_stock(car: &Car, day: NaiveDate) -> bool {
    car.bought_on <= day && sale_by(car, day).is_none()
}

/// Whole days from the day bought to the day sold, or to `day`; none before it was bought.
pub fn days_in_stock(car: &Car, day: NaiveDate) -> Option<i64> {
    let until = sale_by(car, day).map_or(day, |sale| sale.on);
    (car.bought_on <= until).then(|| days_between(car.bought_on, until))
}

/// The lines that are part of what the car stands in at on `day`.
fn stands_in_lines(car: &Car, day: NaiveDate) -> impl Iterator<Item = &Line> {
    car.lines.iter().filter(move |line| line.on <= day && matches!(joins(car, line), Joins::Stock(from) if from <= day))
}

/// What the car stands in at on `day`, at its day of sale once sold; nothing before it was bought.
pub fn stands_in(car: &Car, day: NaiveDate, registration: &Registration) -> Pence {
    if car.bought_on > day {
        return Pence::ZERO;
    }
    let lines: Pence = stands_in_lines(car, day).map(|line| net_cost(line, registration)).sum();
    net_purchase_price(car, registration) + lines
}

/// Lines paid by `day` on a car not yet bought then: they join on the day bought.
pub fn paid_ahead(car: &Car, day: NaiveDate, registration: &Registration) -> Pence {
    if car.bought_on <= day {
        return Pence::ZERO;
    }
    car.lines.iter().filter(|line| line.on <= day).map(|line| net_cost(line, registration)).sum()
}

/// What the seller, or the lender its finance is owed to, is still owed on `day`.
pub fn owed_to_seller(car: &Car, day: NaiveDate) -> Pence {
    use crate::domain::words::Purpose;
    let agreed =
        if car.bought_on <= day { car.purchase_price - car.taken_in_at.unwrap_or_default() } else { Pence::ZERO };
    agreed + settled(car, Purpose::Purchase, day)
}

/// What the buyer still owes on `day`.
pub fn owed_by_buyer(car: &Car, day: NaiveDate) -> Pence {
    use crate::domain::words::Purpose;
    let agreed = sale_by(car, day).map_or(Pence::ZERO, |sale| sale.selling_price - sale.allowances());
    agreed - settled(car, Purpose::Sale, day)
}

fn settled(car: &Car, purpose: crate::domain::words::Purpose, day: NaiveDate) -> Pence {
    car.settlements
        .iter()
        .filter(|movement| movement.purpose == purpose && movement.on <= day)
        .map(|movement| movement.amount)
        .sum()
}

/// What selling made: VAT, profit and the measures of it, all as of the day of sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaleFigures {
    /// The day it was sold.
    pub sold_on: NaiveDate,
    /// The full price.
    pub selling_price: Pence,
    /// VAT due under the margin scheme; nil outside it or when not registered.
    pub vat_on_margin: Pence,
    /// VAT due on the sale, whichever way it is worked.
    pub vat_on_sale: Pence,
    /// Selling price less VAT less what it stood in at.
    pub profit: Pence,
    /// Costs less receipts dated after the sale, up to `D`.
    pub after_sale_costs: Pence,
    /// Profit as a percentage of what it stood in at, unrounded; none when that was 0 or less.
    pub return_unrounded: Option<Decimal>,
    /// The same to two decimals.
    pub return_pct: Option<Decimal>,
    /// Selling price ÷ stands in at.
    pub multiple: Option<Decimal>,
    /// Profit ÷ days in stock, at least one.
    pub profit_per_day: Pence,
    /// Profit for each £100 tied up for 30 days.
    pub profit_per_100_per_30_days: Option<Pence>,
    /// Internal rate of return of the dated flows, in per cent, or why there is none.
    pub annual_return: Result<Decimal, NoAnnualReturn>,
    /// Profit with each cost at its usual price.
    pub profit_at_usual_prices: Pence,
    /// Profit ÷ own hours; none when no hours are logged.
    pub profit_per_hour: Option<Pence>,
}

impl SaleFigures {
    /// Profit less what the car has cost since it was sold.
    pub fn profit_to_date(&self) -> Pence {
        self.profit - self.after_sale_costs
    }
}

/// What a line on a car is part of on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PartOf {
    /// What the car stands in at.
    StandsIn,
    /// The same, though it was paid before the car was bought.
    StandsInPaidAhead,
    /// Nothing yet: paid on a car not bought by that day.
    NotYet,
    /// After-sale costs.
    AfterSale,
}

/// What one line on a car counts for on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CountedLine {
    /// The line's number in the book.
    pub line_no: i64,
    /// The VAT in it that is reclaimed or due; none when not registered.
    pub vat: Pence,
    /// What it adds, net of that VAT: a cost positive, a receipt negative.
    pub net: Pence,
    /// The same at its usual price; none when no usual price is known.
    pub net_at_usual: Option<Pence>,
    /// What it is part of.
    pub part_of: PartOf,
}

/// Every figure of one car on a day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CarFigures {
    /// Days in stock; none before it was bought.
    pub days_in_stock: Option<i64>,
    /// Purchase price, net of VAT reclaimed.
    pub purchase_price: Pence,
    /// The VAT reclaimed on the purchase.
    pub purchase_vat: Pence,
    /// Every line dated by `D`, oldest first, and what it counts for.
    pub lines: Vec<CountedLine>,
    /// Costs that are part of what it stands in at.
    pub costs: Pence,
    /// Money it brought in before sale.
    pub income: Pence,
    /// Purchase price + costs − income.
    pub stands_in: Pence,
    /// What is paid on a car not yet bought; nil once it is.
    pub paid_ahead: Pence,
    /// Own minutes logged by `D`.
    pub own_minutes: i64,
    /// What selling made, once sold.
    pub sold: Option<SaleFigures>,
}

/// Works out every figure of `car` as of `day`.
pub fn car_figures(car: &Car, day: NaiveDate, registration: &Registration) -> CarFigures {
    let of = |direction| -> Pence {
        stands_in_lines(car, day)
            .filter(|line| line.direction == direction)
            .map(|line| net_cost(line, registration))
            .sum()
    };
    let bought = car.bought_on <= day;
    let own_minutes = car.own_minutes.iter().filter(|(on, _)| *on <= day).map(|(_, minutes)| i64::from(*minutes)).sum();
    CarFigures {
        days_in_stock: days_in_stock(car, day),
        purchase_price: net_purchase_price(car, registration),
        purchase_vat: car.purchase_price - net_purchase_price(car, registration),
        lines: counted_lines(car, day, registration),
        costs: if bought { of(Direction::Cost) } else { Pence::ZERO },
        income: if bought { -of(Direction::Receipt) } else { Pence::ZERO },
        stands_in: stands_in(car, day, registration),
        paid_ahead: paid_ahead(car, day, registration),
        own_minutes,
        sold: sale_by(car, day).map(|sale| sale_figures(car, sale, day, registration, own_minutes)),
    }
}

fn counted_lines(car: &Car, day: NaiveDate, registration: &Registration) -> Vec<CountedLine> {
    let count = |line: &Line| CountedLine {
        line_no: line.line_no,
        vat: registration.counted(line.vat, line.on),
        net: net_cost(line, registration),
        net_at_usual: line.usual_price.map(|_| net_cost_at_usual(line, registration)),
        part_of: match joins(car, line) {
            Joins::AfterSale => PartOf::AfterSale,
            Joins::Stock(from) if from > day => PartOf::NotYet,
            Joins::Stock(from) if from > line.on => PartOf::StandsInPaidAhead,
            Joins::Stock(_) => PartOf::StandsIn,
        },
    };
    car.lines.iter().filter(|line| line.on <= day).map(count).collect()
}

fn sale_figures(car: &Car, sale: &Sale, day: NaiveDate, registration: &Registration, own_minutes: i64) -> SaleFigures {
    let stood_in = stands_in(car, sale.on, registration);
    let vat_on_sale = vat_on_sale(car, sale, registration);
    let profit = sale.selling_price - vat_on_sale - stood_in;
    let after_sale_costs = after_sale_lines(car, day).map(|line| net_cost(line, registration)).sum();
    let favours: Pence = stands_in_lines(car, sale.on)
        .map(|line| net_cost_at_usual(line, registration) - net_cost(line, registration))
        .sum();
    SaleFigures {
        sold_on: sale.on,
        selling_price: sale.selling_price,
        vat_on_margin: if car.vat_invoice { Pence::ZERO } else { vat_on_sale },
        vat_on_sale,
        profit,
        after_sale_costs,
        return_unrounded: unrounded_return(profit, stood_in),
        return_pct: return_pct(profit, stood_in),
        multiple: multiple(sale.selling_price, stood_in),
        profit_per_day: profit_per_day(profit, days_between(car.bought_on, sale.on)),
        profit_per_100_per_30_days: per_hundred_thirty(profit, pence_days(car, sale, registration)),
        annual_return: annual_return(&flows(car, sale, day, registration)),
        profit_at_usual_prices: profit - favours,
        profit_per_hour: (own_minutes > 0)
            .then(|| Pence::from_pounds_rounded(profit.to_pounds() * Decimal::from(60) / Decimal::from(own_minutes))),
    }
}

/// VAT due on the sale of a car, by the day of sale.
pub fn vat_on_sale(car: &Car, sale: &Sale, registration: &Registration) -> Pence {
    registration.on_sale(car.purchase_price, sale.selling_price, car.vat_invoice, sale.on)
}

/// Lines dated after the sale and by `day`.
pub fn after_sale_lines(car: &Car, day: NaiveDate) -> impl Iterator<Item = &Line> {
    car.lines.iter().filter(move |line| line.on <= day && joins(car, line) == Joins::AfterSale)
}

fn unrounded_return(profit: Pence, stood_in: Pence) -> Option<Decimal> {
    stood_in.is_positive().then(|| profit.to_pounds() * Decimal::ONE_HUNDRED / stood_in.to_pounds())
}

/// Σ pence × days from each stands-in line's own date until the car was sold, at least one day.
fn pence_days(car: &Car, sale: &Sale, registration: &Registration) -> i64 {
    let tied = |from: NaiveDate, amount: Pence| amount.get().saturating_mul(days_between(from, sale.on).max(1));
    stands_in_lines(car, sale.on)
        .map(|line| tied(line.on, net_cost(line, registration)))
        .fold(tied(car.bought_on, net_purchase_price(car, registration)), i64::saturating_add)
}

/// The car's dated flows: purchase and lines out, the selling price less VAT in.
fn flows(car: &Car, sale: &Sale, day: NaiveDate, registration: &Registration) -> Vec<Flow> {
    let mut flows = vec![
        Flow { on: car.bought_on, amount: -net_purchase_price(car, registration) },
        Flow { on: sale.on, amount: sale.selling_price - vat_on_sale(car, sale, registration) },
    ];
    flows.extend(
        car.lines
            .iter()
            .filter(|line| line.on <= day)
            .map(|line| Flow { on: line.on, amount: -net_cost(line, registration) }),
    );
    flows
}

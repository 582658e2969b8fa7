//! Every figure of one car, as design says: what it stands in at, what it made, how fast. A day
//! `D` bounds everything: what is dated after it is not seen.

use crate::domain::book::claims::deposit_held;
use crate::domain::book::facts::{Car, Disposal, Line, Sale};
use crate::domain::book::stay::{Joins, Left};
use crate::domain::days::day::days_between;
use crate::domain::figures::annual_return::{Flow, NoAnnualReturn, annual_return};
use crate::domain::figures::stock_ratios::{multiple, per_hundred_thirty, profit_per_day, return_pct};
use crate::domain::law::registration::Registration;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Direction, Outcome};
use chrono::NaiveDate;
use rust_decimal::Decimal;

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

/// The sale the car is out of stock by at the end of `day`, if it is.
pub fn sale_by(car: &Car, day: NaiveDate) -> Option<&Sale> {
    car.left_by(day).and_then(Left::sale)
}

/// Whether the car is in stock at the end of `day`.
pub fn in_stock(car: &Car, day: NaiveDate) -> bool {
    car.bought_on <= day && car.left_by(day).is_none()
}

/// Whole days in stock by `day`, over every stretch; none before it was bought.
pub fn days_in_stock(car: &Car, day: NaiveDate) -> Option<i64> {
    let begun = car.stretches().take_while(|stretch| stretch.from <= day);
    (car.bought_on <= day).then(|| begun.map(|stretch| days_between(stretch.from, stretch.end_by(day))).sum())
}

/// The lines that are part of what the car stands in at on `day`.
pub(super) fn stands_in_lines(car: &Car, day: NaiveDate) -> impl Iterator<Item = &Line> {
    let joined = move |line: &&Line| matches!(car.place(line).joins, Joins::Stock(from) if from <= day);
    car.lines.iter().filter(move |line| line.on <= day).filter(joined)
}

/// What the car stands in at on `day`, what it stood in at once it has left; nothing before it was
/// bought.
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

/// Lines of one kind that left what the car stands in at alone, dated by `day`.
pub fn lines_outside(car: &Car, kind: Joins, day: NaiveDate) -> impl Iterator<Item = &Line> {
    car.lines.iter().filter(move |line| line.on <= day && car.place(line).joins == kind)
}

/// What selling made: VAT, profit and the measures of it, all as of the day of sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SaleFigures {
    /// The day it was sold.
    pub sold_on: NaiveDate,
    /// Days in stock until then, over every stretch.
    pub days: i64,
    /// What it stood in at then.
    pub stood_in: Pence,
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
    /// What that is reckoned on, Σ pence of a line × days it was tied up; sums of several cars pool.
    pub pence_days: i64,
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

/// What disposing of a car came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DisposalFigures {
    /// The day it left.
    pub on: NaiveDate,
    /// How.
    pub how: Outcome,
    /// What it was worth to whoever has it now without paying.
    pub value: Pence,
    /// What it has brought in since, less what it cost, net of VAT.
    pub brought_in: Pence,
    /// What it stood in at, less both.
    pub loss: Pence,
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
    /// What disposing of the car brought or cost.
    Disposal,
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
    /// The deposit held for it.
    pub deposit_held: Pence,
    /// Own minutes logged by `D`.
    pub own_minutes: i64,
    /// What selling made, while it is sold.
    pub sold: Option<SaleFigures>,
    /// What disposing of it came to, once it is.
    pub disposed: Option<DisposalFigures>,
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
    CarFigures {
        days_in_stock: days_in_stock(car, day),
        purchase_price: net_purchase_price(car, registration),
        purchase_vat: car.purchase_price - net_purchase_price(car, registration),
        lines: counted_lines(car, day, registration),
        costs: if bought { of(Direction::Cost) } else { Pence::ZERO },
        income: if bought { -of(Direction::Receipt) } else { Pence::ZERO },
        stands_in: stands_in(car, day, registration),
        paid_ahead: paid_ahead(car, day, registration),
        deposit_held: deposit_held(car, day),
        own_minutes: own_minutes(car, day),
        sold: sale_by(car, day).map(|sale| sale_figures(car, sale, day, registration)),
        disposed: car
            .left_by(day)
            .and_then(Left::disposal)
            .map(|disposal| DisposalFigures::from_disposal(car, disposal, day, registration)),
    }
}

fn counted_lines(car: &Car, day: NaiveDate, registration: &Registration) -> Vec<CountedLine> {
    let count = |line: &Line| CountedLine {
        line_no: line.line_no,
        vat: registration.counted(line.vat, line.on),
        net: net_cost(line, registration),
        net_at_usual: line.usual_price.map(|_| net_cost_at_usual(line, registration)),
        part_of: match car.place(line).joins {
            Joins::AfterSale => PartOf::AfterSale,
            Joins::Disposal => PartOf::Disposal,
            Joins::Stock(from) if from > day => PartOf::NotYet,
            Joins::Stock(from) if from > line.on => PartOf::StandsInPaidAhead,
            Joins::Stock(_) => PartOf::StandsIn,
        },
    };
    car.lines.iter().filter(|line| line.on <= day).map(count).collect()
}

fn own_minutes(car: &Car, day: NaiveDate) -> i64 {
    car.own_minutes.iter().filter(|(on, _)| *on <= day).map(|(_, minutes)| i64::from(*minutes)).sum()
}

/// What `sale`, one of the car's own, made, with what has come after it up to `day`.
pub fn sale_figures(car: &Car, sale: &Sale, day: NaiveDate, registration: &Registration) -> SaleFigures {
    let until = Until::sale(car, sale);
    let lines: Vec<&Line> = until.lines().collect();
    let net = |line: &&Line| net_cost(line, registration);
    let stood_in = net_purchase_price(car, registration) + lines.iter().map(net).sum();
    let vat_on_sale = vat_on_sale(car, sale, registration);
    let profit = sale.selling_price - vat_on_sale - stood_in;
    let favours: Pence = lines.iter().map(|line| net_cost_at_usual(line, registration) - net(line)).sum();
    let (days, minutes) = (until.days(), own_minutes(car, day));
    let pence_days = until.pence_days(&lines, registration);
    SaleFigures {
        sold_on: sale.on,
        days,
        stood_in,
        selling_price: sale.selling_price,
        vat_on_margin: if car.vat_invoice { Pence::ZERO } else { vat_on_sale },
        vat_on_sale,
        profit,
        after_sale_costs: lines_outside(car, Joins::AfterSale, day).map(|line| net_cost(line, registration)).sum(),
        return_unrounded: unrounded_return(profit, stood_in),
        return_pct: return_pct(profit, stood_in),
        multiple: multiple(sale.selling_price, stood_in),
        profit_per_day: profit_per_day(profit, days),
        profit_per_100_per_30_days: per_hundred_thirty(profit, pence_days),
        pence_days,
        annual_return: annual_return(&flows(car, day, registration), days),
        profit_at_usual_prices: profit - favours,
        profit_per_hour: (minutes > 0)
            .then(|| Pence::from_pounds_rounded(profit.to_pounds() * Decimal::from(60) / Decimal::from(minutes))),
    }
}

impl DisposalFigures {
    /// What `disposal`, the car's own, came to by `day`.
    pub fn from_disposal(car: &Car, disposal: &Disposal, day: NaiveDate, registration: &Registration) -> Self {
        let brought_in: Pence =
            lines_outside(car, Joins::Disposal, day).map(|line| -net_cost(line, registration)).sum();
        let loss = stands_in(car, day, registration) - disposal.value - brought_in;
        Self { on: disposal.on, how: disposal.how, value: disposal.value, brought_in, loss }
    }
}

/// What the car would stand in at more on `day` if every cost on it had been at its usual price.
pub fn stands_in_favours(car: &Car, day: NaiveDate, registration: &Registration) -> Pence {
    let favour = |line: &Line| net_cost_at_usual(line, registration) - net_cost(line, registration);
    stands_in_lines(car, day).map(favour).sum()
}

/// VAT due on the sale of a car, by the day of sale.
pub fn vat_on_sale(car: &Car, sale: &Sale, registration: &Registration) -> Pence {
    registration.on_sale(car.purchase_price, sale.selling_price, car.vat_invoice, sale.on)
}

/// VAT due on a deposit kept: in full, by the day it was kept. A payment kept though nothing was supplied is
/// taxable from 1 March 2019 (Revenue and Customs Brief 13 (2018): change to the VAT treatment of retained
/// payments and deposits, GOV.UK); whether the margin of a margin-scheme car applies to it is not said there.
pub fn vat_on_deposit_kept(kept: Pence, on: NaiveDate, registration: &Registration) -> Pence {
    registration.in_full(kept, on)
}

/// VAT due on what was kept back of a refund: on what exceeds the purchase price, as for a sale at that
/// amount, by the day it was kept.
pub fn vat_on_kept_back(car: &Car, kept: Pence, on: NaiveDate, registration: &Registration) -> Pence {
    registration.on_sale(car.purchase_price, kept, car.vat_invoice, on)
}

fn unrounded_return(profit: Pence, stood_in: Pence) -> Option<Decimal> {
    stood_in.is_positive().then(|| profit.to_pounds() * Decimal::ONE_HUNDRED / stood_in.to_pounds())
}

/// The lines that were part of what the car stood in at when `sale`, one of its own, was made.
pub(super) fn lines_sold_with<'c>(car: &'c Car, sale: &Sale) -> impl Iterator<Item = &'c Line> + use<'c> {
    Until::sale(car, sale).lines()
}

/// A car's stretches in stock up to one of its sales.
struct Until<'c> {
    car: &'c Car,
    last: usize,
}

impl<'c> Until<'c> {
    fn sale(car: &'c Car, sale: &Sale) -> Self {
        let number = car.sales.iter().position(|other| other.sale_no == sale.sale_no);
        Self { car, last: number.unwrap_or_default() }
    }

    /// The lines that were part of what it stood in at.
    fn lines(&self) -> impl Iterator<Item = &'c Line> + use<'c> {
        let (car, last) = (self.car, self.last);
        car.lines.iter().filter(move |line| {
            let place = car.place(line);
            place.stretch <= last && matches!(place.joins, Joins::Stock(_))
        })
    }

    /// Days in stock, over every stretch.
    fn days(&self) -> i64 {
        self.tied(0, self.car.bought_on)
    }

    /// Days in stock from a day in (or, paid ahead, before) one stretch on.
    fn tied(&self, stretch: usize, from: NaiveDate) -> i64 {
        let stretches = self.car.stretches().enumerate().take(self.last + 1).skip(stretch);
        stretches
            .filter_map(|(n, each)| {
                let begins = if n == stretch { from } else { each.from };
                each.left.map(|left| days_between(begins, left.on()))
            })
            .sum()
    }

    /// Σ pence × days each line was tied up, from its own date, at least one day.
    fn pence_days(&self, lines: &[&Line], registration: &Registration) -> i64 {
        let tied = |stretch, from, amount: Pence| amount.get().saturating_mul(self.tied(stretch, from).max(1));
        let purchase = tied(0, self.car.bought_on, net_purchase_price(self.car, registration));
        lines
            .iter()
            .map(|line| tied(self.car.place(line).stretch, line.on, net_cost(line, registration)))
            .fold(purchase, i64::saturating_add)
    }
}

/// The car's dated flows by `day`: purchase and lines out, each selling price less VAT in, and out
/// again where the car came back.
fn flows(car: &Car, day: NaiveDate, registration: &Registration) -> Vec<Flow> {
    let mut flows = vec![Flow { on: car.bought_on, amount: -net_purchase_price(car, registration) }];
    for sale in car.sales.iter().filter(|sale| sale.on <= day) {
        let amount = sale.selling_price - vat_on_sale(car, sale, registration);
        flows.push(Flow { on: sale.on, amount });
        flows.extend(sale.taken_back.as_ref().map(|back| Flow { on: back.on, amount: -amount }));
    }
    let lines = car.lines.iter().filter(|line| line.on <= day);
    flows.extend(lines.map(|line| Flow { on: line.on, amount: -net_cost(line, registration) }));
    flows
}

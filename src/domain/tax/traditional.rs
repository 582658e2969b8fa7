//! Traditional accounting: income and costs on the day they are earned and incurred, with stock
//! brought forward and carried on.
//!
//! It comes to the profit of `month` and `results` by another way, heading by heading as the return
//! wants it: sales and other income, less stock at the start, purchases and costs, plus stock at the
//! end. What differs is named: stock is written down to what it should fetch, equipment is no
//! expense, and mileage is claimed at the flat rate.

use crate::domain::book::facts::{Car, Facts};
use crate::domain::book::journey::Mileage;
use crate::domain::days::period::Period;
use crate::domain::figures::car_figures::{
    net_cost, net_purchase_price, vat_on_deposit_kept, vat_on_kept_back, vat_on_sale,
};
use crate::domain::figures::stock_value::StockValue;
use crate::domain::tax::cash_basis::{add_mileage, add_standing_costs};
use crate::domain::tax::return_pages::{Headings, ReturnHeading};
use crate::domain::tax::tax_lines::{Basis, TaxLine, TaxLines};
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Direction, Outcome};

/// What is carried over a day between two years.
#[derive(Clone, Debug, Default)]
pub struct CarriedOver<'a> {
    /// The stock.
    pub stock: StockValue<'a>,
    /// Costs paid on cars not yet bought.
    pub paid_ahead: Pence,
}

/// The year by traditional accounting; `own_use` is what cars kept were worth.
pub fn traditional(
    facts: &Facts,
    headings: &Headings,
    mileage: Option<&Mileage<'_>>,
    period: Period,
    (opening, closing): (&CarriedOver<'_>, &CarriedOver<'_>),
    own_use: Pence,
) -> Basis {
    let mut lines = TaxLines::default();
    for car in &facts.cars {
        add_car(&mut lines, facts, car, headings, period);
    }
    for line in facts.yard_lines.iter().filter(|line| period.contains(line.on)) {
        lines.line(headings, line, None, signed(line.direction, net_cost(line, &facts.registration)));
    }
    add_standing_costs(&mut lines, facts, headings, period);
    add_mileage(&mut lines, mileage);
    for (on, heading, amount) in [
        (period.from(), "stock at the start", opening.stock.value()),
        (period.from(), "paid ahead before the start", opening.paid_ahead),
        (period.to(), "stock at the end", -closing.stock.value()),
        (period.to(), "paid ahead at the end", -closing.paid_ahead),
    ] {
        let (entry, what, under) = (None, None, ReturnHeading::Goods);
        lines.push(TaxLine { on, entry, under, heading: heading.to_owned(), what, amount });
    }
    Basis { lines: lines.sorted(), own_use }
}

/// A receipt adds to income, a cost to expenses.
fn signed(direction: Direction, net_cost: Pence) -> Pence {
    match direction {
        Direction::Cost => net_cost,
        Direction::Receipt => -net_cost,
    }
}

fn add_car(lines: &mut TaxLines, facts: &Facts, car: &Car, headings: &Headings, period: Period) {
    let registration = &facts.registration;
    let within = |on| period.contains(on);
    if within(car.bought_on) {
        let price = net_purchase_price(car, registration);
        lines.on_car(car, (car.bought_on, car.entry), ReturnHeading::Goods, "car bought", price);
    }
    for sale in &car.sales {
        let net = sale.selling_price - vat_on_sale(car, sale, registration);
        if within(sale.on) {
            lines.on_car(car, (sale.on, sale.entry), ReturnHeading::Sales, "car sold", net);
        }
        if let Some(back) = sale.taken_back.as_ref().filter(|back| within(back.on)) {
            let day = (back.on, back.entry);
            lines.on_car(car, day, ReturnHeading::Sales, "sale reversed", -net);
            let kept = back.kept_back - vat_on_kept_back(car, back.kept_back, back.on, registration);
            lines.on_car(car, day, ReturnHeading::Sales, "kept back", kept);
        }
    }
    for end in car.deposit_ends.iter().filter(|end| end.sale_no.is_none() && within(end.on)) {
        let kept = end.amount - vat_on_deposit_kept(end.amount, end.on, registration);
        lines.on_car(car, (end.on, end.entry), ReturnHeading::Sales, "deposit kept", kept);
    }
    let handed_back = car.disposal.as_ref().filter(|disposal| disposal.how == Outcome::Returned);
    if let Some(disposal) = handed_back.filter(|disposal| within(disposal.on)) {
        let day = (disposal.on, disposal.entry);
        lines.on_car(car, day, ReturnHeading::Goods, "part-exchange handed back", -disposal.value);
    }
    for line in car.lines.iter().filter(|line| within(line.on)) {
        lines.line(headings, line, Some(car), signed(line.direction, net_cost(line, registration)));
    }
}

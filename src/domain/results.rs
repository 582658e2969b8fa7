//! Month by month over a span of months, the span as a whole, and its annual return.

use crate::domain::annual_return::{Flow, NoAnnualReturn, annual_return};
use crate::domain::car_figures::{net_cost, net_purchase_price, vat_on_kept, vat_on_sale};
use crate::domain::facts::{Car, Facts};
use crate::domain::month::Month;
use crate::domain::pence::Pence;
use crate::domain::period::Period;
use crate::domain::period_figures::PeriodFigures;
use crate::domain::registration::Registration;
use rust_decimal::Decimal;

/// The results of a span of months.
#[derive(Clone, Debug)]
pub struct Results<'a> {
    /// Each month and its figures, oldest first.
    pub months: Vec<(Month, PeriodFigures<'a>)>,
    /// The whole span.
    pub total: PeriodFigures<'a>,
    /// Internal rate of return of the span's flows, in per cent, or why there is none.
    pub annual_return: Result<Decimal, NoAnnualReturn>,
}

/// The results from one month to another, both included; months after the last day covered are
/// left out. None when nothing is left.
pub fn results(facts: &Facts, from: Month, to: Month) -> Option<Results<'_>> {
    let span = Period::new(from.first_day(), to.last_day())?.ending_by(facts.to)?;
    let months = span
        .months()
        .into_iter()
        .filter_map(|month| Some((month, facts.period_figures(Period::of_month(month))?)))
        .collect();
    Some(Results { months, total: facts.period_figures(span)?, annual_return: annual_return(&flows(facts, span)) })
}

/// Stock at the start out, every car line, overhead and other income on its date, stock at the
/// end in.
fn flows(facts: &Facts, span: Period) -> Vec<Flow> {
    let registration = &facts.registration;
    let at_start = span.from().pred_opt().map_or(Pence::ZERO, |eve| facts.balances(eve).stock_at_cost);
    let mut flows = vec![
        Flow { on: span.from(), amount: -at_start },
        Flow { on: span.to(), amount: facts.balances(span.to()).stock_at_cost },
    ];
    for car in &facts.cars {
        if span.contains(car.bought_on) {
            flows.push(Flow { on: car.bought_on, amount: -net_purchase_price(car, registration) });
        }
        flows.extend(deal_flows(car, registration).filter(|flow| span.contains(flow.on)));
    }
    flows.extend(
        facts
            .lines()
            .filter(|line| span.contains(line.on))
            .map(|line| Flow { on: line.on, amount: -net_cost(line, registration) }),
    );
    flows.extend(
        facts
            .standing_costs(span.from(), span.to())
            .map(|due| Flow { on: due.on, amount: registration.counted(due.vat, due.on) - due.amount }),
    );
    flows
}

/// Sales less VAT in, and out again where the car came back; what was kept of a deposit or a refund;
/// what a car that left without a sale was worth.
fn deal_flows<'c>(car: &'c Car, registration: &Registration) -> impl Iterator<Item = Flow> + 'c {
    let registration = *registration;
    let kept = move |amount: Pence, on| Flow { on, amount: amount - vat_on_kept(car, amount, on, &registration) };
    let sales = car.sales.iter().flat_map(move |sale| {
        let amount = sale.selling_price - vat_on_sale(car, sale, &registration);
        let back = sale.taken_back.as_ref();
        let reversed = back.map(|back| Flow { on: back.on, amount: -amount });
        [Some(Flow { on: sale.on, amount }), reversed, back.map(|back| kept(back.kept_back, back.on))]
    });
    let deposits = car.deposit_ends.iter().filter(|end| end.sale_no.is_none()).map(move |end| kept(end.amount, end.on));
    let value = car.disposal.as_ref().map(|disposal| Flow { on: disposal.on, amount: disposal.value });
    sales.flatten().chain(deposits).chain(value)
}

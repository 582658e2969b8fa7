//! Month by month over a span of months, the span as a whole, and its annual return.

use crate::domain::book::facts::{Car, Facts};
use crate::domain::days::month::Month;
use crate::domain::days::period::Period;
use crate::domain::figures::annual_return::{Flow, NoAnnualReturn, annual_return};
use crate::domain::figures::car_figures::{
    net_cost, net_purchase_price, vat_on_deposit_kept, vat_on_kept_back, vat_on_sale,
};
use crate::domain::figures::period_figures::PeriodFigures;
use crate::domain::law::registration::Registration;
use crate::domain::value::pence::Pence;
use chrono::{Months, NaiveDate};
use rust_decimal::Decimal;

/// The results of a span of months.
#[derive(Clone, Debug)]
pub struct Results<'a> {
    /// Each month and its figures, oldest first.
    pub months: Vec<(Month, PeriodFigures<'a>)>,
    /// The book's first day, when months before its own were asked for, in which there was nothing.
    pub book_begins: Option<NaiveDate>,
    /// The whole span.
    pub total: PeriodFigures<'a>,
    /// Internal rate of return of the span's flows, in per cent, or why there is none.
    pub annual_return: Result<Decimal, NoAnnualReturn>,
}

/// The results from one month to another, both included; months after the last day covered are
/// left out. None when nothing is left.
pub fn results(facts: &Facts, from: Month, to: Month) -> Option<Results<'_>> {
    let span = Period::new(from.first_day(), to.last_day())?.ending_by(facts.to)?;
    let book_begins = facts
        .first_day
        .filter(|first| Month::containing(span.from()) < Month::containing(*first) && *first <= span.to());
    let months = span.months().into_iter();
    let months = months.filter_map(|month| Some((month, facts.period_figures(Period::of_month(month))?))).collect();
    let annual_return = annual_return_of(facts, span);
    Some(Results { months, book_begins, total: facts.period_figures(span)?, annual_return })
}

/// Needs twelve months of book by the end of the span.
fn annual_return_of(facts: &Facts, span: Period) -> Result<Decimal, NoAnnualReturn> {
    let counted = facts.days_of_book(span).ok_or(NoAnnualReturn::TooShort { days: 0 })?;
    let a_year_on = facts.first_day.and_then(|first| first.checked_add_months(Months::new(12)));
    if a_year_on.and_then(|day| day.pred_opt()).is_none_or(|complete| complete > span.to()) {
        return Err(NoAnnualReturn::YoungBook);
    }
    annual_return(&flows(facts, span), counted.days())
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
    let sales = car.sales.iter().flat_map(move |sale| {
        let amount = sale.selling_price - vat_on_sale(car, sale, &registration);
        let back = sale.taken_back.as_ref();
        let reversed = back.map(|back| Flow { on: back.on, amount: -amount });
        let kept = back.map(|back| {
            let vat = vat_on_kept_back(car, back.kept_back, back.on, &registration);
            Flow { on: back.on, amount: back.kept_back - vat }
        });
        [Some(Flow { on: sale.on, amount }), reversed, kept]
    });
    let deposits = car.deposit_ends.iter().filter(|end| end.sale_no.is_none()).map(move |end| Flow {
        on: end.on,
        amount: end.amount - vat_on_deposit_kept(end.amount, end.on, &registration),
    });
    let value = car.disposal.as_ref().map(|disposal| Flow { on: disposal.on, amount: disposal.value });
    sales.flatten().chain(deposits).chain(value)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::fixture::{book_of, bought, day};
    use crate::domain::figures::balances::Balances;

    fn facts(first_day: Option<&str>, cars: Vec<Car>, to: &str) -> Facts {
        Facts { first_day: first_day.map(day), ..book_of(cars, "2020-01-01", to) }
    }

    fn month(text: &str) -> Month {
        Month::containing(day(&format!("{text}-01")))
    }

    #[test]
    fn months_before_the_book_began_are_told_apart() {
        let facts = facts(Some("2026-09-14"), Vec::new(), "2026-11-30");
        for (from, to, begins) in [
            ("2025-12", "2026-11", Some("2026-09-14")),
            ("2026-09", "2026-11", None),
            ("2026-10", "2026-11", None),
            // All of them: there is no month to tell them from.
            ("2026-07", "2026-08", None),
        ] {
            let found = results(&facts, month(from), month(to)).unwrap();
            let ends = (found.months[0].0, found.months.last().unwrap().0);
            assert_eq!(ends, (month(from), month(to)), "{from}");
            assert_eq!(found.book_begins, begins.map(day), "{from}");
        }
        assert_eq!(facts.balances(day("2026-11-30")), Balances::default());
    }

    #[test]
    fn a_span_has_an_annual_return_from_twelve_months_of_book_on() {
        let cars = vec![bought(1, "2025-12-01", 640).sold("2026-10-05", 700)];
        for (first_day, to, why) in [
            (None, "2026-11-30", Some(NoAnnualReturn::TooShort { days: 0 })),
            (Some("2025-12-02"), "2026-11-30", Some(NoAnnualReturn::YoungBook)),
            (Some("2025-12-01"), "2026-11-29", Some(NoAnnualReturn::YoungBook)),
            (Some("2025-12-01"), "2026-11-30", None),
        ] {
            let facts = facts(first_day, cars.clone(), to);
            let found = results(&facts, month("2025-12"), month("2026-11")).unwrap();
            assert_eq!(found.annual_return.err(), why, "{first_day:?} {to}");
        }
        // Of an old book too, a span of under 30 days has none.
        let facts = facts(Some("2024-01-01"), cars, "2026-10-29");
        let found = results(&facts, month("2026-10"), month("2026-10")).unwrap();
        assert_eq!(found.annual_return, Err(NoAnnualReturn::TooShort { days: 29 }));
    }
}

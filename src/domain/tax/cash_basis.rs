//! The cash basis: what was received and what was paid, on the day the money moved.
//!
//! Law: ITTOIA 2005 s.31E, receipts of the trade received less expenses of the trade paid (HMRC,
//! BIM70005). All payments count, those in kind too, so a car taken in part-exchange is received and
//! paid for at what it counted towards the price, on the day of the deal; what a lender is owed on it
//! is paid when it is paid. A car is an expense when it is paid for, sold or not. What buyers and
//! suppliers owe does not count until paid, and a refund comes off when it is paid.
//!
//! A deposit counts when it is received and comes off when it is given back: deposits on goods
//! ordered were receipts of the trade when taken (Elson v Price's Tailors \[1963\] 40 TC 671), and the
//! law counts what is received. Then nothing more counts when it is kept or goes towards a sale.
//!
//! VAT is left out on both sides, one of the two ways open to a registered trader (GOV.UK, Simpler
//! Income Tax: cash basis, VAT registered businesses): it comes off on the day it falls due or is
//! reclaimed, the sale's or the bill's own day, and what is paid to or repaid by HMRC does not count.

use crate::domain::book::bills::{BillPaid, Bills};
use crate::domain::book::facts::{Car, Facts, Line, Movement, Sale};
use crate::domain::book::journey::Mileage;
use crate::domain::days::period::Period;
use crate::domain::figures::car_figures::{
    net_cost, net_purchase_price, vat_on_deposit_kept, vat_on_kept_back, vat_on_sale,
};
use crate::domain::tax::return_pages::{Headings, ReturnHeading};
use crate::domain::tax::tax_lines::{Basis, TaxLines};
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Direction, Outcome, Purpose};

/// The year on the cash basis. What is spent on the owner's vehicle is claimed by the flat rate.
pub fn cash_basis(
    facts: &Facts,
    bills: &Bills,
    headings: &Headings,
    mileage: Option<&Mileage<'_>>,
    period: Period,
) -> Basis {
    let mut reckoning = CashReckoning { facts, headings, period, lines: TaxLines::default() };
    for car in &facts.cars {
        reckoning.car(car);
    }
    for line in facts.yard_lines.iter().filter(|line| period.contains(line.on)) {
        reckoning.line(line, None);
    }
    for paid in bills.paid().iter().filter(|paid| period.contains(paid.on)) {
        reckoning.bill(paid);
    }
    add_standing_costs(&mut reckoning.lines, facts, headings, period);
    add_mileage(&mut reckoning.lines, mileage);
    Basis { lines: reckoning.lines.sorted(), own_use: Pence::ZERO }
}

/// Standing costs are paid on the day they fall due, so they count alike on either basis.
pub(super) fn add_standing_costs(lines: &mut TaxLines, facts: &Facts, headings: &Headings, period: Period) {
    for due in facts.standing_costs(period.from(), period.to()) {
        let standing = due.standing;
        let net = due.amount - facts.registration.counted(due.vat, due.on);
        let under = headings.of_cost(&standing.heading);
        lines.add((due.on, standing.entry), under, &standing.heading, Some(standing.name.clone()), net);
    }
}

/// Journeys are no money, and count alike on either basis.
pub(super) fn add_mileage(lines: &mut TaxLines, mileage: Option<&Mileage<'_>>) {
    for (journey, amount) in mileage.into_iter().flat_map(|mileage| &mileage.journeys) {
        let what = format!("{}, {}", journey.distance, journey.purpose);
        lines.add((journey.on, journey.entry), ReturnHeading::Travel, "mileage", Some(what), *amount);
    }
}

struct CashReckoning<'f> {
    facts: &'f Facts,
    headings: &'f Headings,
    period: Period,
    lines: TaxLines,
}

impl<'f> CashReckoning<'f> {
    fn car(&mut self, car: &'f Car) {
        let within = self.period;
        for movement in car.settlements.iter().filter(|movement| within.contains(movement.on)) {
            self.settlement(car, movement);
        }
        for sale in &car.sales {
            self.sale(car, sale);
        }
        for end in car.deposit_ends.iter().filter(|end| end.sale_no.is_none() && within.contains(end.on)) {
            let vat = vat_on_deposit_kept(end.amount, end.on, &self.facts.registration);
            self.sales_vat(car, (end.on, end.entry), "VAT on a deposit kept", vat);
        }
        if within.contains(car.bought_on) {
            let reclaimed = car.purchase_price - net_purchase_price(car, &self.facts.registration);
            let bought = (car.bought_on, car.entry);
            self.lines.on_car(car, bought, ReturnHeading::Goods, "VAT reclaimed", -reclaimed);
        }
        let handed_back = car.disposal.as_ref().filter(|disposal| disposal.how == Outcome::Returned);
        if let Some(disposal) = handed_back.filter(|disposal| within.contains(disposal.on)) {
            let day = (disposal.on, disposal.entry);
            for under in [ReturnHeading::Sales, ReturnHeading::Goods] {
                self.lines.on_car(car, day, under, "part-exchange handed back", -disposal.value);
            }
        }
        for line in car.lines.iter().filter(|line| within.contains(line.on)) {
            self.line(line, Some(car));
        }
    }

    fn settlement(&mut self, car: &Car, movement: &Movement) {
        let (under, heading, amount) = match movement.purpose {
            Purpose::Purchase => (ReturnHeading::Goods, "car bought", -movement.amount),
            Purpose::Sale => (ReturnHeading::Sales, "car sold", movement.amount),
            Purpose::Deposit if movement.amount.is_negative() => {
                (ReturnHeading::Sales, "deposit given back", movement.amount)
            }
            Purpose::Deposit => (ReturnHeading::Sales, "deposit", movement.amount),
            Purpose::Refund => (ReturnHeading::Sales, "refund", movement.amount),
            // Bills are taken one by one; the owner's money, loans and VAT are no part of the profit.
            Purpose::Bill | Purpose::Owner | Purpose::Loan | Purpose::Transfer | Purpose::Vat => return,
        };
        self.lines.on_car(car, (movement.on, movement.entry), under, heading, amount);
    }

    fn sale(&mut self, car: &Car, sale: &Sale) {
        let vat = vat_on_sale(car, sale, &self.facts.registration);
        if self.period.contains(sale.on) {
            let sold = (sale.on, sale.entry);
            for taken in &sale.part_exchanges {
                let what = Some(format!("car {}, for {}", taken.stock_no, car.label()));
                for under in [ReturnHeading::Sales, ReturnHeading::Goods] {
                    self.lines.add(sold, under, "part-exchange", what.clone(), taken.credit());
                }
            }
            self.sales_vat(car, sold, "VAT on the sale", vat);
        }
        if let Some(back) = sale.taken_back.as_ref().filter(|back| self.period.contains(back.on)) {
            let day = (back.on, back.entry);
            self.sales_vat(car, day, "VAT on the sale reversed", -vat);
            let kept = vat_on_kept_back(car, back.kept_back, back.on, &self.facts.registration);
            self.sales_vat(car, day, "VAT on what was kept back", kept);
        }
    }

    fn sales_vat(&mut self, car: &Car, day: (chrono::NaiveDate, i64), heading: &str, vat: Pence) {
        self.lines.on_car(car, day, ReturnHeading::Sales, heading, -vat);
    }

    /// A line paid at once counts net of its VAT; of one not paid yet, only the VAT reclaimed on it.
    fn line(&mut self, line: &Line, car: Option<&Car>) {
        let registration = &self.facts.registration;
        let amount = match (line.direction, line.pocket) {
            (Direction::Receipt, _) => -net_cost(line, registration),
            (Direction::Cost, Some(_)) => net_cost(line, registration),
            (Direction::Cost, None) => -registration.counted(line.vat, line.on),
        };
        self.lines.line(self.headings, line, car, amount);
    }

    fn bill(&mut self, paid: &BillPaid<'_>) {
        let (under, heading) = match paid.bill {
            Some(bill) => (self.headings.of(bill), bill.heading.as_str()),
            None => (ReturnHeading::Goods, "paid ahead of a bill"),
        };
        self.lines.add((paid.on, paid.entry), under, heading, Some(paid.party.to_owned()), paid.amount);
    }
}

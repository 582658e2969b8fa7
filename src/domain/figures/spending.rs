//! Where the money went: what was put into one car and what came of it, part by part, and what the
//! sales of a period cost, heading by heading.

use crate::domain::book::facts::Car;
use crate::domain::figures::car_figures::{
    car_figures, lines_sold_with, net_cost, net_purchase_price, stands_in_lines,
};
use crate::domain::figures::period_figures::PeriodFigures;
use crate::domain::law::registration::Registration;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::Direction;
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// What a cost on a car was for, in few enough kinds to be told apart in a picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CostKind {
    /// Finding out: tests, inspections, history checks.
    Finding,
    /// Putting it right.
    Righting,
    /// Getting it to the yard and about.
    Moving,
    /// Making it ready for a buyer, and finding one.
    Selling,
    /// Anything else, the trader's own headings among it.
    Other,
}

impl CostKind {
    /// Every kind, in the order a car meets them.
    pub const ALL: [Self; 5] = [Self::Finding, Self::Righting, Self::Moving, Self::Selling, Self::Other];

    /// The kind of a heading, by its name; a heading of the trader's own is in [`Self::Other`].
    pub fn from_heading(heading: &str) -> Self {
        match heading {
            "mot" | "inspection" | "history-check" => Self::Finding,
            "parts" | "labour" | "tyres" | "bodywork" | "glass" | "service" | "keys" | "repairs" => Self::Righting,
            "transport" | "fuel" | "truck" | "vehicle-tax" | "auction-fee" => Self::Moving,
            "valet" | "advertising" | "warranty" | "goodwill" => Self::Selling,
            _ => Self::Other,
        }
    }
}

/// The money of one car. What went out and the profit come to what came in, to the penny:
/// purchase price + costs + VAT + profit = income + fetched.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CarMoney {
    /// Purchase price, net of VAT reclaimed.
    pub purchase_price: Pence,
    /// Costs that are part of what it stands in at, each kind once, nil ones too.
    pub costs: [(CostKind, Pence); 5],
    /// Money it brought in before it left.
    pub income: Pence,
    /// What it stands in at: purchase price + costs − income.
    pub stands_in: Pence,
    /// What came of it; none while in stock.
    pub left: Option<CarLeft>,
}

/// What a car that left stock came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CarLeft {
    /// The day.
    pub on: NaiveDate,
    /// The selling price; of one that left without a sale, its value to the owner and what it brought.
    pub fetched: Pence,
    /// VAT due on the sale.
    pub vat: Pence,
    /// Negative for a loss; money after the sale is not in it.
    pub profit: Pence,
    /// Whether it was sold.
    pub sold: bool,
}

impl CarMoney {
    /// Everything that came in for it so far.
    pub fn came_in(&self) -> Pence {
        self.income + self.left.map_or(Pence::ZERO, |left| left.fetched)
    }
}

/// The money of `car` by `day`, on which it has been bought.
pub fn car_money(car: &Car, day: NaiveDate, registration: &Registration) -> CarMoney {
    let figures = car_figures(car, day, registration);
    let of_kind = |kind| {
        stands_in_lines(car, day)
            .filter(|line| line.direction == Direction::Cost && CostKind::from_heading(&line.heading) == kind)
            .map(|line| net_cost(line, registration))
            .sum()
    };
    let sold = figures.sold.as_ref().map(|sold| CarLeft {
        on: sold.sold_on,
        fetched: sold.selling_price,
        vat: sold.vat_on_sale,
        profit: sold.profit,
        sold: true,
    });
    let disposed = figures.disposed.map(|disposed| CarLeft {
        on: disposed.on,
        fetched: disposed.value + disposed.brought_in,
        vat: Pence::ZERO,
        profit: -disposed.loss,
        sold: false,
    });
    CarMoney {
        purchase_price: figures.purchase_price,
        costs: CostKind::ALL.map(|kind| (kind, of_kind(kind))),
        income: figures.income,
        stands_in: figures.stands_in,
        left: sold.or(disposed),
    }
}

/// What the sales of a period cost and what the yard cost in it. Cars still in stock are not in it:
/// what is in them comes when they are sold.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Spending {
    /// Purchase prices of the cars sold, net of VAT reclaimed, less those of sales reversed.
    pub purchase_prices: Pence,
    /// Each heading once, the dearest first. Money that cars brought in counts against its own.
    pub headings: Vec<HeadingSpending>,
    /// Every heading's part in the cars sold.
    pub on_cars: Pence,
    /// Every heading's part on the yard: the overheads.
    pub on_yard: Pence,
}

/// What went under one heading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeadingSpending {
    /// The heading.
    pub heading: String,
    /// In the cars sold; negative where they brought in more.
    pub on_cars: Pence,
    /// On the yard.
    pub on_yard: Pence,
}

impl HeadingSpending {
    /// Both together.
    pub fn total(&self) -> Pence {
        self.on_cars + self.on_yard
    }
}

impl Spending {
    /// Purchase prices and every heading's part in the cars sold.
    pub fn cost_of_cars_sold(&self) -> Pence {
        self.purchase_prices + self.on_cars
    }

    /// Cost of cars sold and overheads together.
    pub fn total(&self) -> Pence {
        self.cost_of_cars_sold() + self.on_yard
    }
}

/// Where the money of the period of `figures` went.
pub fn spending(figures: &PeriodFigures<'_>, registration: &Registration) -> Spending {
    let mut spending = Spending::default();
    let mut headings: BTreeMap<&str, (Pence, Pence)> = BTreeMap::new();
    let reversed = figures.sales_reversed.iter().map(|sold| (sold, true));
    for (sold, is_reversed) in figures.cars_sold.iter().map(|sold| (sold, false)).chain(reversed) {
        let signed = |cost: Pence| if is_reversed { -cost } else { cost };
        spending.purchase_prices += signed(net_purchase_price(sold.car, registration));
        for line in lines_sold_with(sold.car, sold.sale) {
            headings.entry(&line.heading).or_default().0 += signed(net_cost(line, registration));
        }
    }
    for (heading, amount) in &figures.overheads {
        headings.entry(heading).or_default().1 += *amount;
    }
    let rows = headings.into_iter().map(|(heading, (on_cars, on_yard))| HeadingSpending {
        heading: heading.to_owned(),
        on_cars,
        on_yard,
    });
    spending.headings = rows.filter(|row| !row.on_cars.is_zero() || !row.on_yard.is_zero()).collect();
    // In order of name already; equals stay so.
    spending.headings.sort_by_key(|row| -row.total());
    spending.on_cars = spending.headings.iter().map(|row| row.on_cars).sum();
    spending.on_yard = spending.headings.iter().map(|row| row.on_yard).sum();
    spending
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::facts::Facts;
    use crate::domain::book::fixture::{book_of, bought, day, pounds};
    use crate::domain::days::period::Period;
    use crate::domain::value::words::Outcome;

    /// Bought at 400, 60 of parts on it, sold at 900.
    fn sold(stock_no: u32) -> Car {
        bought(stock_no, "2026-10-01", 400).spent("2026-10-02", "parts", 60).sold("2026-11-03", 900)
    }

    fn receipt(mut car: Car) -> Car {
        car.lines[0].direction = Direction::Receipt;
        car
    }

    fn facts(cars: Vec<Car>) -> Facts {
        Facts { first_day: Some(day("2026-10-01")), ..book_of(cars, "2026-11-01", "2026-11-30") }
    }

    fn nets(money: &CarMoney) -> Pence {
        money.purchase_price + money.costs.iter().map(|(_, cost)| *cost).sum::<Pence>()
    }

    #[test]
    fn what_went_into_a_car_and_its_profit_come_to_what_came_in() {
        let on = day("2026-12-31");
        for car in [
            sold(1),
            sold(1).taken_back("2026-11-10"),
            sold(1).taken_back("2026-11-10").spent("2026-11-12", "valet", 30).sold("2026-11-20", 450),
            receipt(sold(1)).spent("2026-10-05", "tow rope", 5),
            bought(1, "2026-10-01", 400).spent("2026-10-02", "mot", 54).gone("2026-10-09", Outcome::Scrapped, 0),
            bought(1, "2026-10-01", 400).gone("2026-10-09", Outcome::Kept, 350),
            bought(1, "2026-10-01", 400),
        ] {
            let money = car_money(&car, on, &Registration::default());
            assert_eq!(nets(&money) - money.income, money.stands_in, "{car:?}");
            if let Some(left) = money.left {
                assert_eq!(nets(&money) + left.vat + left.profit, money.came_in(), "{car:?}");
            }
        }
    }

    #[test]
    fn each_kind_of_cost_is_told_apart() {
        let car =
            sold(1).spent("2026-10-03", "mot", 54).spent("2026-10-04", "valet", 20).spent("2026-10-05", "bait", 3);
        let money = car_money(&car, day("2026-11-30"), &Registration::default());
        assert_eq!(money.costs.map(|(_, cost)| cost), [54, 60, 0, 20, 3].map(pounds));
        assert_eq!(money.left.map(|left| (left.profit, left.sold)), Some((pounds(363), true)));
    }

    #[test]
    fn the_headings_come_to_the_cost_of_cars_sold_and_the_overheads() {
        let mut with_rent = facts(vec![
            sold(1),
            sold(2).spent("2026-10-03", "mot", 54),
            // Sold before the month and back in it: its cost is taken off.
            bought(3, "2026-09-01", 300)
                .spent("2026-09-02", "mot", 40)
                .sold("2026-10-20", 500)
                .taken_back("2026-11-05"),
            // Still here: not in it yet.
            bought(4, "2026-11-02", 250).spent("2026-11-03", "tyres", 80),
        ]);
        let mut rent = with_rent.cars[0].lines[0].clone();
        (rent.stock_no, rent.on, rent.amount) = (None, day("2026-11-09"), pounds(75));
        with_rent.yard_lines = vec![rent];
        let figures = with_rent.period_figures(Period::new(day("2026-11-01"), day("2026-11-30")).unwrap()).unwrap();
        let spending = spending(&figures, &with_rent.registration);
        assert_eq!(spending.cost_of_cars_sold(), figures.cost_of_cars_sold);
        assert_eq!(spending.on_yard, figures.overheads_total);
        assert_eq!(spending.purchase_prices, pounds(500));
        let rows: Vec<_> = spending.headings.iter().map(|row| (&*row.heading, row.on_cars, row.on_yard)).collect();
        assert_eq!(rows, [("parts", pounds(120), pounds(75)), ("mot", pounds(14), Pence::ZERO)]);
        assert_eq!(spending.total(), figures.cost_of_cars_sold + figures.overheads_total);
    }
}

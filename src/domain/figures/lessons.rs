//! What has paid: the cars sold, put together by make, fuel, source, age, mileage, price, heading of
//! spend or fault found, and what each group came to.
//!
//! Group figures are pooled. A car whose place is not known has a group of its own, and cars that
//! left without a sale are counted beside the sold ones, for a group is no better for what was
//! scrapped. Fewer than five cars sold tell nothing, and the group says so.

use crate::domain::book::facts::{Car, Line};
use crate::domain::book::stay::{Joins, Left};
use crate::domain::figures::car_figures::{DisposalFigures, SaleFigures, net_cost, net_purchase_price, sale_figures};
use crate::domain::figures::stock_ratios::{per_hundred_thirty, return_pct};
use crate::domain::law::mot::DefectLevel;
use crate::domain::law::registration::Registration;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::ratio::{median, round2};
use crate::domain::value::words::{Direction, Outcome, word_set};
use chrono::{Datelike, NaiveDate};
use rust_decimal::Decimal;
use std::cmp::Reverse;
use std::collections::BTreeMap;

/// Cars sold from which a group may mean something.
pub const ENOUGH_CARS: usize = 5;

word_set! {
    /// What cars are put together by.
    By, "grouping" {
        /// Maker's name, capitals or not.
        Make = "make",
        /// Fuel, capitals or not.
        Fuel = "fuel",
        /// Where it was bought.
        Source = "source",
        /// Whole years since first registration on the day bought; by the model year, to within one,
        /// when that day is not known.
        Age = "age",
        /// Miles on the day bought.
        Mileage = "mileage",
        /// Purchase price, net of VAT reclaimed.
        Price = "price",
        /// Heading of spend: a car is in the group of every heading in what it stood in at.
        Heading = "heading",
        /// The gravest defect found before it was sold.
        Fault = "fault",
    }
}

/// Where a band begins, and its name.
type Band = (i64, &'static str);

const AGES: &[Band] = &[(0, "0 to 4 years"), (5, "5 to 9 years"), (10, "10 to 14 years"), (15, "15 years or more")];
const MILES: &[Band] =
    &[(0, "under 60,000"), (60_000, "60,000 to 89,999"), (90_000, "90,000 to 119,999"), (120_000, "120,000 or more")];
/// In pence: a band runs up to the penny below the next.
const PRICES: &[Band] = &[
    (0, "under £300"),
    (30_000, "£300 to £599.99"),
    (60_000, "£600 to £999.99"),
    (100_000, "£1,000 to £1,999.99"),
    (200_000, "£2,000 or more"),
];

/// What lessons are drawn from.
#[derive(Clone, Copy, Debug)]
pub struct Lessons<'a> {
    /// The cars.
    pub cars: &'a [Car],
    /// VAT registration.
    pub registration: &'a Registration,
    /// Miles on the day each was bought, where known.
    pub miles: &'a BTreeMap<StockNo, u32>,
    /// The gravest defect tests found on each while it was in stock, none when they found nothing;
    /// no entry for a car not known to be tested.
    pub faults: &'a BTreeMap<StockNo, Option<DefectLevel>>,
    /// The day they are drawn: what is dated after it is not seen.
    pub day: NaiveDate,
}

/// What some cars came to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Group {
    /// What they have in common; none when that is not known, and for all cars together.
    pub name: Option<String>,
    /// Cars sold, and still sold on the day.
    pub cars: usize,
    /// Σ profit, as of their days of sale.
    pub profit: Pence,
    /// Σ profit ÷ Σ stood in, in per cent.
    pub return_pct: Option<Decimal>,
    /// Median days in stock.
    pub median_days: Option<Decimal>,
    /// Profit for each £100 tied up for 30 days, pooled: 100 × 30 × Σ profit ÷ Σ over all their
    /// lines of amount × days tied up.
    pub profit_per_100_per_30_days: Option<Pence>,
    /// How far their returns lie apart.
    pub spread: Option<Spread>,
    /// What was spent on those sold under the heading, net of VAT reclaimed; only where cars are put
    /// together by it.
    pub spent: Option<Pence>,
    /// Cars that left without a sale, those that went back to their seller not counted.
    pub disposed: usize,
    /// Σ losses on those.
    pub disposal_losses: Pence,
}

impl Group {
    /// Whether it has too few cars sold to mean anything.
    pub const fn is_too_few(&self) -> bool {
        self.cars < ENOUGH_CARS
    }
}

/// How far returns lie apart, in per cent, to two decimals half away from zero.
///
/// Quartiles lie a quarter and three quarters of the way from the lowest to the highest in order,
/// between two cars in proportion (the inclusive method, "type 7").
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Spread {
    /// The lowest.
    pub lowest: Decimal,
    /// A quarter of the cars made this or less.
    pub lower_quartile: Decimal,
    /// The middle.
    pub median: Decimal,
    /// A quarter of the cars made this or more.
    pub upper_quartile: Decimal,
    /// The highest.
    pub highest: Decimal,
}

impl Spread {
    /// Of unrounded returns; none of none.
    fn from_returns(mut returns: Vec<Decimal>) -> Option<Self> {
        returns.sort_unstable();
        let at = |quarters: usize| {
            let steps = returns.len().checked_sub(1)? * quarters;
            let below = *returns.get(steps / 4)?;
            let above = returns.get(steps / 4 + 1).copied().unwrap_or(below);
            let part = Decimal::from(steps % 4) / Decimal::from(4);
            (above - below).checked_mul(part).map(|further| round2(below + further))
        };
        let [lowest, lower_quartile, median, upper_quartile, highest] = [at(0)?, at(1)?, at(2)?, at(3)?, at(4)?];
        Some(Self { lowest, lower_quartile, median, upper_quartile, highest })
    }
}

impl Lessons<'_> {
    /// What cars put together `by` one thing came to. Bands come in their order, other groups with
    /// the greatest profit first, cars of which it is not known last.
    pub fn groups(&self, by: By) -> Vec<Group> {
        let mut found: BTreeMap<Option<(usize, String)>, Members> = BTreeMap::new();
        for gone in self.gone() {
            for place in self.places(by, &gone) {
                let key = place.as_ref().map(|place| (place.order, place.name.to_lowercase()));
                let members = found.entry(key).or_default();
                members.add(&gone, place.as_ref().map_or(Pence::ZERO, |place| place.spent));
                members.name = members.name.take().or(place.map(|place| place.name));
            }
        }
        let mut groups: Vec<Group> = found.into_values().map(|members| members.group(by)).collect();
        if matches!(by, By::Make | By::Fuel | By::Source | By::Heading) {
            groups.sort_by_key(|group| Reverse(group.profit));
        }
        groups.sort_by_key(|group| group.name.is_none());
        groups
    }

    /// What all the cars came to, each counted once.
    pub fn total(&self) -> Group {
        let mut members = Members::default();
        for gone in self.gone() {
            members.add(&gone, Pence::ZERO);
        }
        Group { spent: None, ..members.group(By::Make) }
    }

    /// The cars whose sale was reversed by the day and that have not been sold since: they are in no group.
    pub fn taken_back(&self) -> impl Iterator<Item = &Car> {
        self.cars.iter().filter(|car| car.came_back_by(self.day).is_some())
    }

    /// The cars out of stock on the day; one taken back and not sold again is not.
    fn gone(&self) -> impl Iterator<Item = Gone<'_>> {
        self.cars.iter().filter_map(|car| {
            let left = car.left_by(self.day).filter(|_| car.bought_on <= self.day)?;
            let outcome = match left {
                Left::Sold(sale) => Gains::Sold(Box::new(sale_figures(car, sale, self.day, self.registration))),
                Left::Disposed(disposal) if disposal.how == Outcome::Returned => return None,
                Left::Disposed(disposal) => {
                    Gains::Disposed(DisposalFigures::from_disposal(car, disposal, self.day, self.registration))
                }
            };
            Some(Gone { car, on: left.on(), gains: outcome })
        })
    }

    /// The groups a car belongs to: one, or as many as it has headings.
    fn places(&self, by: By, gone: &Gone<'_>) -> Vec<Option<Place>> {
        let car = gone.car;
        let place = match by {
            By::Make => car.vehicle.make.as_deref().and_then(Place::named),
            By::Fuel => car.vehicle.fuel.as_deref().and_then(Place::named),
            By::Source => Place::named(car.via.word()),
            By::Age => age_at_purchase(car).map(|years| Place::in_band(years, AGES)),
            By::Mileage => self.miles.get(&car.stock_no).map(|miles| Place::in_band(i64::from(*miles), MILES)),
            By::Price => Some(Place::in_band(net_purchase_price(car, self.registration).get(), PRICES)),
            By::Fault => self.faults.get(&car.stock_no).map(|worst| Place::of_fault(*worst)),
            By::Heading => return self.headings(gone).into_iter().map(Some).collect(),
        };
        vec![place]
    }

    /// The headings of what a car stood in at when it left, with what was spent under each.
    fn headings(&self, gone: &Gone<'_>) -> Vec<Place> {
        let car = gone.car;
        let is_in_it = |line: &&Line| {
            let joined = matches!(car.place(line).joins, Joins::Stock(_));
            line.direction == Direction::Cost && line.on <= gone.on && joined
        };
        let mut spent: BTreeMap<&str, Pence> = BTreeMap::new();
        for line in car.lines.iter().filter(is_in_it) {
            *spent.entry(&line.heading).or_default() += net_cost(line, self.registration);
        }
        if spent.is_empty() {
            return vec![Place { order: 0, name: "nothing spent".into(), spent: Pence::ZERO }];
        }
        spent.into_iter().map(|(heading, spent)| Place { order: 0, name: heading.into(), spent }).collect()
    }
}

/// Whole years from first registration to the day bought; by the model year when that is not known.
/// Unknown for a car first registered after it was bought, for one of the two days is wrong.
fn age_at_purchase(car: &Car) -> Option<i64> {
    match (car.vehicle.first_registered, car.vehicle.year) {
        (Some(first), _) => car.bought_on.years_since(first).map(i64::from),
        (None, Some(year)) => Some(i64::from(car.bought_on.year()) - i64::from(year)),
        (None, None) => None,
    }
}

/// A car out of stock.
struct Gone<'a> {
    car: &'a Car,
    on: NaiveDate,
    gains: Gains,
}

enum Gains {
    Sold(Box<SaleFigures>),
    Disposed(DisposalFigures),
}

/// Where a car belongs.
struct Place {
    /// Where its group comes, of groups that have an order.
    order: usize,
    name: String,
    spent: Pence,
}

impl Place {
    fn named(name: &str) -> Option<Self> {
        let name = name.trim();
        (!name.is_empty()).then(|| Self { order: 0, name: name.to_owned(), spent: Pence::ZERO })
    }

    fn in_band(value: i64, bands: &[Band]) -> Self {
        let order = bands.iter().rposition(|(from, _)| *from <= value).unwrap_or(0);
        let name = bands.get(order).map_or_else(String::new, |(_, name)| (*name).to_owned());
        Self { order, name, spent: Pence::ZERO }
    }

    /// The gravest first, cars without a fault after them.
    fn of_fault(worst: Option<DefectLevel>) -> Self {
        let order = DefectLevel::ALL.iter().position(|level| Some(*level) == worst);
        Self {
            order: order.unwrap_or(DefectLevel::ALL.len()),
            name: worst.map_or("none found", DefectLevel::word).to_owned(),
            spent: Pence::ZERO,
        }
    }
}

/// The cars of a group.
#[derive(Default)]
struct Members {
    name: Option<String>,
    sales: Vec<SaleFigures>,
    spent: Pence,
    disposed: usize,
    disposal_losses: Pence,
}

impl Members {
    fn add(&mut self, gone: &Gone<'_>, spent: Pence) {
        match &gone.gains {
            Gains::Sold(sale) => {
                self.sales.push((**sale).clone());
                self.spent += spent;
            }
            Gains::Disposed(disposal) => {
                self.disposed += 1;
                self.disposal_losses += disposal.loss;
            }
        }
    }

    fn group(self, by: By) -> Group {
        let profit = self.sales.iter().map(|sale| sale.profit).sum();
        let days: Vec<Decimal> = self.sales.iter().map(|sale| Decimal::from(sale.days)).collect();
        let pence_days = self.sales.iter().map(|sale| sale.pence_days).fold(0, i64::saturating_add);
        Group {
            name: self.name,
            cars: self.sales.len(),
            profit,
            return_pct: return_pct(profit, self.sales.iter().map(|sale| sale.stood_in).sum()),
            median_days: median(&days),
            profit_per_100_per_30_days: per_hundred_thirty(profit, pence_days),
            spread: Spread::from_returns(self.sales.iter().filter_map(|sale| sale.return_unrounded).collect()),
            spent: (by == By::Heading).then_some(self.spent),
            disposed: self.disposed,
            disposal_losses: self.disposal_losses,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::fixture::{bought, day, pounds};
    use crate::domain::value::words::Via;

    fn groups(cars: &[Car], by: By) -> Vec<Group> {
        with(cars, &[], &[]).lessons().groups(by)
    }

    fn names(groups: &[Group]) -> Vec<&str> {
        groups.iter().map(|group| group.name.as_deref().unwrap_or("not known")).collect()
    }

    struct Known<'a> {
        cars: &'a [Car],
        registration: Registration,
        miles: BTreeMap<StockNo, u32>,
        faults: BTreeMap<StockNo, Option<DefectLevel>>,
    }

    fn with<'a>(cars: &'a [Car], miles: &[(u32, u32)], faults: &[(u32, Option<DefectLevel>)]) -> Known<'a> {
        Known {
            cars,
            registration: Registration::default(),
            miles: miles.iter().map(|(car, miles)| (StockNo::new(*car), *miles)).collect(),
            faults: faults.iter().map(|(car, worst)| (StockNo::new(*car), *worst)).collect(),
        }
    }

    impl Known<'_> {
        fn lessons(&self) -> Lessons<'_> {
            let (miles, faults) = (&self.miles, &self.faults);
            Lessons { cars: self.cars, registration: &self.registration, miles, faults, day: day("2026-11-25") }
        }
    }

    /// £500 in on 1 January, sold after some days.
    fn car(stock_no: u32, days: u64, price: i64) -> Car {
        let sold_on = day("2026-01-01").checked_add_days(chrono::Days::new(days)).unwrap().to_string();
        bought(stock_no, "2026-01-01", 500).sold(&sold_on, price)
    }

    #[test]
    fn a_group_is_pooled_over_its_cars() {
        let cars = [
            car(1, 30, 750).made_by("Brindle"),
            car(2, 60, 1_250).made_by(" brindle"),
            car(3, 10, 615).made_by("Pell"),
            car(4, 10, 385),
            // in stock, taken back, and sold after the day: none has paid yet
            bought(5, "2026-01-01", 520).made_by("Pell"),
            car(6, 10, 1_090).taken_back("2026-03-01").made_by("Pell"),
            bought(7, "2026-11-01", 540).sold("2026-11-26", 1_140).made_by("Pell"),
        ];
        let found = groups(&cars, By::Make);
        assert_eq!(names(&found), ["Brindle", "Pell", "not known"]);
        let brindle = &found[0];
        assert_eq!((brindle.cars, brindle.profit), (2, pounds(1_000)));
        assert_eq!(brindle.return_pct, Some(Decimal::new(10_000, 2)));
        assert_eq!(brindle.median_days, Some(Decimal::new(4_500, 2)));
        // 100 × 30 × 1,000 ÷ (500 × 30 + 500 × 60) = 66.666…
        assert_eq!(brindle.profit_per_100_per_30_days, Some(Pence::new(6_667)));
        assert_eq!((found[1].cars, found[2].profit), (1, pounds(-115)));
        let total = with(&cars, &[], &[]).lessons().total();
        assert_eq!((total.cars, total.profit, total.name), (4, pounds(1_000), None));
    }

    #[test]
    fn four_cars_are_too_few_and_five_are_not() {
        let cars: Vec<Car> = (1..=5).map(|number| car(number, 30, 750)).collect();
        assert!(groups(&cars[..4], By::Source)[0].is_too_few());
        assert!(!groups(&cars, By::Source)[0].is_too_few());
    }

    #[test]
    fn the_spread_runs_from_the_lowest_over_the_quartiles_to_the_highest() {
        let spread = |returns: &[i64]| {
            let returns = returns.iter().map(|percent| Decimal::from(*percent)).collect();
            let shown = |spread: Spread| {
                [spread.lowest, spread.lower_quartile, spread.median, spread.upper_quartile, spread.highest]
                    .map(|figure| figure.to_string())
            };
            Spread::from_returns(returns).map(shown)
        };
        for (returns, expected) in [
            (&[7][..], ["7.00", "7.00", "7.00", "7.00", "7.00"]),
            (&[20, 10], ["10.00", "12.50", "15.00", "17.50", "20.00"]),
            (&[1, 2, 4, 7, 7], ["1.00", "2.00", "4.00", "7.00", "7.00"]),
            (&[1, 3, 5, 8, 9, 10], ["1.00", "3.50", "6.50", "8.75", "10.00"]),
            (&[-50, 100, 0], ["-50.00", "-25.00", "0.00", "50.00", "100.00"]),
        ] {
            assert_eq!(spread(returns), Some(expected.map(str::to_owned)), "{returns:?}");
        }
        assert_eq!(spread(&[]), None);
    }

    #[test]
    fn bands_come_in_their_order_whatever_they_paid() {
        let priced = |number, pence: i64, sold| {
            let mut car = bought(number, "2026-01-01", 0).sold("2026-02-01", sold);
            car.purchase_price = Pence::new(pence);
            car
        };
        let cars = [
            priced(1, 200_000, 9_000),
            priced(2, 199_999, 9_000),
            priced(3, 100_000, 50),
            priced(4, 99_999, 9_000),
            priced(5, 60_000, 50),
            priced(6, 59_999, 50),
            priced(7, 30_000, 50),
            priced(8, 29_999, 9_000),
            priced(9, 0, 50),
        ];
        let found = groups(&cars, By::Price);
        assert_eq!(
            names(&found),
            ["under £300", "£300 to £599.99", "£600 to £999.99", "£1,000 to £1,999.99", "£2,000 or more"]
        );
        assert_eq!(found.iter().map(|group| group.cars).collect::<Vec<_>>(), [2, 2, 2, 2, 1]);
    }

    #[test]
    fn miles_and_faults_come_from_what_is_known_of_the_car() {
        let cars: Vec<Car> = (1..=5).map(|number| car(number, 30, 750)).collect();
        let miles = [(1, 59_999), (2, 60_000), (3, 119_999), (4, 120_000)];
        let faults = [(1, None), (2, Some(DefectLevel::Major)), (3, Some(DefectLevel::Advisory)), (4, None)];
        let known = with(&cars, &miles, &faults);
        assert_eq!(
            names(&known.lessons().groups(By::Mileage)),
            ["under 60,000", "60,000 to 89,999", "90,000 to 119,999", "120,000 or more", "not known"]
        );
        let found = known.lessons().groups(By::Fault);
        assert_eq!(names(&found), ["major", "advisory", "none found", "not known"]);
        assert_eq!(found.iter().map(|group| group.cars).collect::<Vec<_>>(), [1, 1, 2, 1]);
    }

    #[test]
    fn age_is_whole_years_on_the_day_bought() {
        for (first, year, age) in [
            (Some("2022-01-01"), None, "0 to 4 years"),
            (Some("2021-01-02"), None, "0 to 4 years"),
            (Some("2021-01-01"), Some(2001), "5 to 9 years"),
            (None, Some(2016), "10 to 14 years"),
            (None, Some(2011), "15 years or more"),
            (None, Some(2027), "0 to 4 years"),
            (Some("2026-01-02"), Some(2011), "not known"),
            (None, None, "not known"),
        ] {
            let mut car = car(1, 30, 750);
            (car.vehicle.first_registered, car.vehicle.year) = (first.map(day), year);
            assert_eq!(names(&groups(&[car], By::Age)), [age], "{first:?} {year:?}");
        }
    }

    #[test]
    fn a_car_is_under_every_heading_in_what_it_stood_in_at() {
        let cars = [
            bought(1, "2026-01-01", 460)
                .spent("2025-12-30", "inspection", 25)
                .spent("2026-01-02", "parts", 38)
                .spent("2026-01-03", "parts", 62)
                .sold("2026-01-31", 1_000)
                .spent("2026-02-10", "labour", 35),
            bought(2, "2026-01-01", 100).spent("2026-01-02", "parts", 10).sold("2026-01-31", 200),
            bought(3, "2026-01-01", 100).sold("2026-01-31", 120),
            bought(4, "2026-01-01", 130).spent("2026-01-02", "parts", 485).gone("2026-01-09", Outcome::Broken, 0),
        ];
        let found = groups(&cars, By::Heading);
        let seen: Vec<_> = found
            .iter()
            .map(|group| (group.name.as_deref().unwrap(), group.cars, group.disposed, group.spent.unwrap()))
            .collect();
        assert_eq!(
            seen,
            [("parts", 2, 1, pounds(110)), ("inspection", 1, 0, pounds(25)), ("nothing spent", 1, 0, Pence::ZERO),]
        );
        let total = with(&cars, &[], &[]).lessons().total();
        assert_eq!((total.cars, total.spent, total.disposed, total.disposal_losses), (3, None, 1, pounds(615)));
    }

    #[test]
    fn named_groups_come_by_profit_and_a_return_to_the_seller_is_no_lesson() {
        let via = |mut car: Car, via| {
            car.via = via;
            car
        };
        let cars = [
            via(car(1, 30, 620), Via::Auction),
            via(car(2, 30, 1_080), Via::Trade),
            via(bought(3, "2026-01-01", 365).gone("2026-02-01", Outcome::Scrapped, 0), Via::Private),
            via(bought(4, "2026-01-01", 345).gone("2026-02-01", Outcome::Returned, 345), Via::PartExchange),
        ];
        let found = groups(&cars, By::Source);
        assert_eq!(names(&found), ["trade", "auction", "private"]);
        let private = &found[2];
        assert_eq!((private.cars, private.disposed, private.disposal_losses), (0, 1, pounds(365)));
        assert_eq!((private.return_pct, private.median_days, private.spread), (None, None, None));
        assert_eq!(private.profit_per_100_per_30_days, None);
    }
}

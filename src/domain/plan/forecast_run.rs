//! One run of a forecast: what happens to the float, day by day, if each car in play goes the way
//! of a past car drawn for it.
//!
//! Whatever does not depend on the draw (standing costs, balances, papers) is worked out once, in
//! [`Plan`]; a run adds the cars. Amounts are whole pence throughout.

use chrono::{Datelike, NaiveDate};
use rand_pcg::Pcg64;
use rand_pcg::rand_core::{Rng, SeedableRng};
use rust_decimal::Decimal;

use crate::domain::days::month::Month;
use crate::domain::plan::forecast_assumed::Assumed;
use crate::domain::plan::forecast_history::{Drawn, History, fraction};
use crate::domain::plan::forecast_known::{CarInStock, DatedAmount, Forecasting};
use crate::domain::value::pence::Pence;

/// Standing costs due within so many days are kept back from a purchase.
const KEPT_BACK_DAYS: usize = 30;

/// What is the same in every run. Days are counted from the day of the forecast, which is 0.
pub struct Plan<'a> {
    /// The months, in order.
    pub months: Vec<PlannedMonth>,
    history: &'a History,
    assumed: &'a Assumed,
    stock: Vec<PlannedCar>,
    /// Movements of the float by day, known beforehand; day 0 holds the opening float.
    known: Vec<Pence>,
    /// Deposits held on day 0.
    deposits: Pence,
    vat: Option<PlannedVat>,
}

/// A month of the plan.
pub struct PlannedMonth {
    /// Which.
    pub month: Month,
    first: usize,
    last: usize,
    buying: usize,
    slots: u32,
    /// What is kept back on the buying day, whatever is drawn: owed to sellers, VAT, standing
    /// costs due soon.
    kept_back: Pence,
}

struct PlannedCar {
    car: CarInStock,
    /// The first past car that took longer than this one has so far.
    longer: usize,
    /// The days still to come on which its costs are spent.
    costs_on: Vec<usize>,
}

/// The part of a margin that is VAT, and by day of sale the day it is due.
struct PlannedVat {
    part: i64,
    of: i64,
    due: Vec<usize>,
}

/// What a month of a run came to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct MonthRun {
    /// The float at its end.
    pub float: Pence,
    /// The lowest float at the end of a day in it.
    pub lowest: Pence,
    /// Cars bought.
    pub purchases: u32,
    /// Slots missed for want of money.
    pub missed: u32,
    /// Cars sold.
    pub sales: u32,
}

impl<'a> Plan<'a> {
    /// Works out what is the same in every run.
    pub fn new(facts: &Forecasting, assumed: &'a Assumed, history: &'a History) -> Self {
        let day_number = |on: NaiveDate| day_number(facts.day, on);
        let last = facts.last_day();
        let mut known = vec![Pence::ZERO; day_number(last) + 1];
        known[0] = facts.float;
        let signed = facts.balances_due.iter().chain(&facts.other).map(|dated| (dated.on, dated.amount));
        let out = facts.standing_costs.iter().chain(&facts.vat_owed).map(|dated| (dated.on, -dated.amount));
        for (on, amount) in signed.chain(out) {
            if let Some(day) = known.get_mut(day_number(on)) {
                *day += amount;
            }
        }
        let months: Vec<PlannedMonth> =
            facts.months().into_iter().map(|month| planned_month(facts, assumed, month)).collect();
        for month in &months {
            known[month.last] -= assumed.drawn_a_month;
        }
        let stock = facts.stock.iter().map(|car| PlannedCar {
            car: *car,
            longer: history.longer_than(car.days),
            costs_on: assumed
                .cost_days()
                .iter()
                .filter_map(|after| after.checked_sub(in_days(car.days)))
                .filter(|day| *day > 0)
                .collect(),
        });
        Self {
            months,
            history,
            assumed,
            stock: stock.collect(),
            deposits: facts.stock.iter().map(|car| car.deposit).sum(),
            vat: facts.vat.map(|vat| {
                let (part, of) = part_of_gross(vat.rate.percent());
                let days = facts.day.iter_days().take(known.len());
                PlannedVat { part, of, due: days.map(|on| day_number(vat.due_day(on))).collect() }
            }),
            known,
        }
    }
}

/// The days from `from` to `on`; what is dated on or before `from` counts as the day after, when
/// it will be paid at the earliest.
fn day_number(from: NaiveDate, on: NaiveDate) -> usize {
    usize::try_from(on.signed_duration_since(from).num_days()).unwrap_or(0).max(1)
}

/// The part of a gross amount that is VAT, rate ÷ (100 + rate), as two whole numbers: 20 in 120.
fn part_of_gross(percent: Decimal) -> (i64, i64) {
    let whole = |figure: Decimal| i64::try_from(figure.mantissa()).unwrap_or(0);
    let part = percent.normalize();
    let mut of = part + Decimal::ONE_HUNDRED;
    of.rescale(part.scale());
    (whole(part), whole(of))
}

fn planned_month(facts: &Forecasting, assumed: &Assumed, month: Month) -> PlannedMonth {
    let day_number = |on: NaiveDate| day_number(facts.day, on);
    let on = month.first_day().with_day(assumed.buying_day).unwrap_or(month.last_day());
    let buying = day_number(on);
    let due_within = |list: &[DatedAmount], days: usize| -> Pence {
        let soon =
            list.iter().filter(|dated| (buying + 1..=buying.saturating_add(days)).contains(&day_number(dated.on)));
        soon.map(|dated| dated.amount).sum()
    };
    let owed_to_sellers: Vec<DatedAmount> =
        facts.balances_due.iter().filter(|dated| dated.amount.is_negative()).copied().collect();
    let already = if month == Month::containing(facts.day) { facts.bought_this_month } else { 0 };
    PlannedMonth {
        month,
        first: day_number(month.first_day()),
        last: day_number(month.last_day()),
        buying,
        slots: assumed.cars_a_month.saturating_sub(already),
        kept_back: due_within(&facts.standing_costs, KEPT_BACK_DAYS) + due_within(&facts.vat_owed, usize::MAX)
            - due_within(&owed_to_sellers, usize::MAX),
    }
}

/// The room one run works in, used again by the next.
pub struct Run<'p> {
    plan: &'p Plan<'p>,
    sample: Vec<usize>,
    /// Movements of the float by day.
    moved: Vec<Pence>,
    /// Changes by day of what is held or owed and may not be spent: deposits, VAT of sales to come.
    held: Vec<Pence>,
    sold: Vec<u32>,
}

impl<'p> Run<'p> {
    /// Room for the runs of a plan.
    pub fn new(plan: &'p Plan<'p>) -> Self {
        let days = plan.known.len();
        Self { plan, sample: Vec::new(), moved: Vec::new(), held: vec![Pence::ZERO; days], sold: vec![0; days] }
    }

    /// Runs once from this seed, giving each month to `report`, in order.
    ///
    /// Each month draws from a seed of its own, so that one thing changed (a car more, a dearer
    /// one) leaves the luck of the other months as it was, and the difference is the change's.
    pub fn once(&mut self, seed: u64, mut report: impl FnMut(usize, MonthRun)) {
        let plan = self.plan;
        let mut random = Pcg64::seed_from_u64(seed);
        self.moved.clone_from(&plan.known);
        self.held.fill(Pence::ZERO);
        self.held[0] = plan.deposits;
        self.sold.fill(0);
        plan.history.redraw(&mut random, &mut self.sample);
        for car in &plan.stock {
            let drawn = plan.history.draw_from(&mut random, &self.sample, car.longer, car.car.days);
            self.go_on(car, drawn);
        }
        let (mut float, mut held) = (self.moved[0], self.held[0]);
        for (place, month) in plan.months.iter().enumerate() {
            let mut months_luck = Pcg64::seed_from_u64(random.next_u64());
            let mut this = MonthRun { lowest: Pence::new(i64::MAX), ..MonthRun::default() };
            for day in month.first..=month.last {
                if day == month.buying {
                    this.purchases = self.buy(month, float, held, &mut months_luck);
                    this.missed = month.slots - this.purchases;
                }
                float += self.moved[day];
                held += self.held[day];
                this.lowest = this.lowest.min(float);
                this.sales += self.sold[day];
            }
            this.float = float;
            report(place, this);
        }
    }

    /// Fills the month's slots while the float can carry them: float − deposits held − owed to
    /// sellers − VAT owed − standing costs due in 30 days ≥ budget. `float` and `held` are those
    /// of the evening before. How many were filled.
    fn buy(&mut self, month: &PlannedMonth, float: Pence, held: Pence, random: &mut Pcg64) -> u32 {
        let (plan, day, budget) = (self.plan, month.buying, self.plan.assumed.budget);
        for bought in 0..month.slots {
            // What the day itself brings counts, a car of this very day included.
            let spendable = float + self.moved[day] - held - self.held[day] - month.kept_back;
            if spendable < budget {
                return bought;
            }
            let drawn = plan.history.draw(random, &self.sample);
            let sale = day.saturating_add(in_days(drawn.days));
            self.move_on(day, -budget);
            let [first, second] = plan.assumed.cost_days().map(|after| day.saturating_add(after));
            self.spend(drawn.like.costs, &[first, second], sale);
            let price = drawn.like.price.price_of(budget + drawn.like.costs);
            self.sell(sale, price, budget, Pence::ZERO);
        }
        month.slots
    }

    /// A car in stock goes on as drawn. While its costs are not all spent, what the drawn car's
    /// exceed those so far is still to come.
    fn go_on(&mut self, planned: &PlannedCar, drawn: Drawn) {
        let car = &planned.car;
        let sale = in_days(drawn.days.saturating_sub(car.days)).max(1);
        let mut to_come = Pence::ZERO;
        if !planned.costs_on.is_empty() {
            to_come = (drawn.like.costs - (car.stands_in - car.purchase_price)).max(Pence::ZERO);
            self.spend(to_come, &planned.costs_on, sale);
        }
        let price = drawn.like.price.price_of(car.stands_in + to_come);
        self.sell(sale, price, car.purchase_price, car.deposit);
    }

    /// Costs of a car, in equal parts on one or two days, the odd penny first; on the day of sale
    /// where that comes sooner.
    fn spend(&mut self, costs: Pence, on: &[usize], sale: usize) {
        let later = if on.len() > 1 { Pence::new(costs.get() / 2) } else { Pence::ZERO };
        for (day, part) in on.iter().zip([costs - later, later]) {
            self.move_on(sale.min(*day), -part);
        }
    }

    /// Money for a car sold, less the deposit already held; VAT on its margin is held from the
    /// sale until it is due.
    fn sell(&mut self, day: usize, price: Pence, purchase_price: Pence, deposit: Pence) {
        if day >= self.moved.len() {
            return;
        }
        self.sold[day] += 1;
        self.moved[day] += price - deposit;
        self.held[day] -= deposit;
        if let Some(vat) = &self.plan.vat {
            // Margin scheme, car by car: a loss gives no credit against another (VAT Notice 718/1).
            let margin = (price - purchase_price).max(Pence::ZERO);
            let owed = fraction(margin, vat.part, vat.of);
            let due = vat.due.get(day).copied().unwrap_or(usize::MAX);
            self.held[day] += owed;
            if let Some(later) = self.held.get_mut(due) {
                *later -= owed;
            }
            self.move_on(due, -owed);
        }
    }

    /// A movement of the float; one after the last day is out of sight.
    fn move_on(&mut self, day: usize, amount: Pence) {
        if let Some(moved) = self.moved.get_mut(day) {
            *moved += amount;
        }
    }
}

fn in_days(days: u32) -> usize {
    usize::try_from(days).unwrap_or(usize::MAX)
}

#[cfg(test)]
mod tests {
    //! The back-test: yards whose cars come from a law of their own, which the forecast is not
    //! told. Each is forecast half-way, from its book alone, and then goes on.
    #![expect(
        clippy::cast_possible_truncation,
        clippy::cast_possible_wrap,
        clippy::cast_precision_loss,
        clippy::cast_sign_loss,
        reason = "days and pence of invented yards are small"
    )]

    use super::*;
    use crate::domain::plan::forecast::{Overrides, forecast};
    use crate::domain::plan::forecast_known::{Programme, SoldCar};

    const YARDS: u64 = 300;
    const MONTHS: u32 = 6;

    struct Luck(Pcg64);

    impl Luck {
        fn unit(&mut self) -> f64 {
            (f64::from(self.0.next_u32()) + 0.5) / 4_294_967_296.0
        }

        fn between(&mut self, low: f64, high: f64) -> f64 {
            low + (high - low) * self.unit()
        }

        fn normal(&mut self) -> f64 {
            (-2.0 * self.unit().ln()).sqrt() * (std::f64::consts::TAU * self.unit()).cos()
        }
    }

    /// How the cars of one yard go.
    struct Law {
        median_days: f64,
        days_spread: f64,
        costs: f64,
        multiple: f64,
        multiple_spread: f64,
        fall_a_day: f64,
    }

    struct Car {
        bought: usize,
        price: i64,
        /// In two halves on days of their own, by the day of sale.
        costs: i64,
        cost_days: [usize; 2],
        sale: usize,
        selling_price: i64,
    }

    impl Car {
        fn spent_by(&self, day: usize) -> i64 {
            let halves = [self.costs / 2, self.costs - self.costs / 2];
            self.cost_days.iter().zip(halves).filter(|(on, _)| **on <= day).map(|(_, half)| half).sum()
        }
    }

    struct Yard {
        start: NaiveDate,
        opening: i64,
        rent: i64,
        buying_day: u32,
        programme: Programme,
        law: Law,
        cars: Vec<Car>,
    }

    impl Yard {
        fn new(luck: &mut Luck) -> Self {
            let budget = luck.between(500.0, 1_500.0).round() * 100.0;
            let cars_a_month = luck.between(1.0, 3.999) as u32;
            Self {
                start: NaiveDate::from_ymd_opt(2024, 1, 1).unwrap(),
                opening: (budget * f64::from(cars_a_month) * luck.between(1.5, 5.0)) as i64,
                rent: luck.between(50.0, 200.0) as i64 * 100,
                buying_day: luck.between(1.0, 28.999) as u32,
                programme: Programme { cars_a_month, budget: Some(Pence::new(budget as i64)) },
                law: Law {
                    median_days: luck.between(15.0, 60.0),
                    days_spread: luck.between(0.3, 0.9),
                    costs: budget * luck.between(0.1, 0.3),
                    multiple: luck.between(1.15, 1.6),
                    multiple_spread: luck.between(0.05, 0.3),
                    fall_a_day: luck.between(0.0, 0.002),
                },
                cars: Vec::new(),
            }
        }

        fn car(&self, luck: &mut Luck, bought: usize) -> Car {
            let law = &self.law;
            let days = law.median_days * (law.days_spread * luck.normal()).exp();
            let costs = law.costs * luck.between(0.3, 1.7);
            let price = self.programme.budget.unwrap().get();
            let multiple = law.multiple + law.multiple_spread * luck.normal() - law.fall_a_day * days;
            let selling_price = ((price as f64 + costs) * multiple.max(0.1)) as i64;
            let sale = bought + days as usize;
            let cost_days =
                [(1.0, 14.0), (8.0, 35.0)].map(|(first, last)| sale.min(bought + luck.between(first, last) as usize));
            Car { bought, price, costs: costs as i64, cost_days, sale, selling_price }
        }

        fn day(&self, number: usize) -> NaiveDate {
            self.start + chrono::Days::new(number as u64)
        }

        fn float(&self, day: usize) -> i64 {
            let rents = (0..=day).filter(|day| self.day(*day).day() == 1).count() as i64;
            let cars = self.cars.iter().filter(|car| car.bought <= day).map(|car| {
                let sold = if car.sale <= day { car.selling_price } else { 0 };
                sold - car.price - car.spent_by(day)
            });
            self.opening - rents * self.rent + cars.sum::<i64>()
        }

        fn trade(&mut self, luck: &mut Luck, days: std::ops::RangeInclusive<usize>) {
            for day in days {
                if self.day(day).day() != self.buying_day {
                    continue;
                }
                for _ in 0..self.programme.cars_a_month {
                    // What falls due within thirty days is kept back.
                    let rents = (1..=30).filter(|ahead| self.day(day + ahead).day() == 1).count() as i64;
                    if self.float(day) - rents * self.rent >= self.programme.budget.unwrap().get() {
                        let car = self.car(luck, day);
                        self.cars.push(car);
                    }
                }
            }
        }

        /// What the book says on a day.
        fn facts(&self, today: usize) -> Forecasting {
            let (sold, unsold): (Vec<&Car>, Vec<&Car>) = self.cars.iter().partition(|car| car.sale <= today);
            let rents = (today + 1..today + 250).filter(|day| self.day(*day).day() == 1);
            Forecasting {
                day: self.day(today),
                months: MONTHS,
                float: Pence::new(self.float(today)),
                balances_due: Vec::new(),
                standing_costs: rents
                    .map(|day| DatedAmount { on: self.day(day), amount: Pence::new(self.rent) })
                    .collect(),
                vat_owed: Vec::new(),
                other: Vec::new(),
                stock: unsold
                    .iter()
                    .map(|car| CarInStock {
                        days: (today - car.bought) as u32,
                        stands_in: Pence::new(car.price + car.spent_by(today)),
                        purchase_price: Pence::new(car.price),
                        deposit: Pence::ZERO,
                    })
                    .collect(),
                sold: sold
                    .iter()
                    .map(|car| SoldCar {
                        days: (car.sale - car.bought) as u32,
                        purchase_price: Pence::new(car.price),
                        stands_in: Pence::new(car.price + car.costs),
                        selling_price: Pence::new(car.selling_price),
                    })
                    .collect(),
                programme: self.programme,
                bought_this_month: self.programme.cars_a_month,
                vat: None,
            }
        }
    }

    #[test]
    fn forecasts_made_half_way_cover_what_then_happened_about_as_often_as_they_claim() {
        let (mut below, mut above, mut forecasts) = ([0_u32; MONTHS as usize], [0_u32; MONTHS as usize], 0_u32);
        let (mut said, mut missed) = (Decimal::ZERO, 0_u32);
        for yard in 0..YARDS {
            let luck = &mut Luck(Pcg64::seed_from_u64(yard));
            let mut yard = Yard::new(luck);
            // The last day of some month after one to two years.
            let today = day_number(yard.start, Month::new(2025, luck.between(1.0, 12.999) as u32).unwrap().last_day());
            yard.trade(luck, 0..=today);
            let facts = yard.facts(today);
            if facts.sold.len() < 5 {
                continue;
            }
            forecasts += 1;
            let told = Overrides { runs: Some(200), buying_day: Some(yard.buying_day), ..Overrides::default() };
            let seen = forecast(&facts, &told);
            let bought_before = yard.cars.len();
            yard.trade(luck, today + 1..=today + 200);
            for (place, month) in seen.months.iter().enumerate() {
                let float = Pence::new(yard.float(day_number(yard.start, month.month.last_day())));
                below[place] += u32::from(float < month.float_p10);
                above[place] += u32::from(float > month.float_p90);
            }
            let last = day_number(yard.start, seen.months.last().unwrap().month.last_day());
            let bought = yard.cars[bought_before..].iter().filter(|car| car.bought <= last).count() as u32;
            missed += u32::from(bought < yard.programme.cars_a_month * MONTHS);
            said += seen.chance_slot_missed_pct;
        }
        let per_cent = |count: u32, of: u32| Decimal::from(count * 100) / Decimal::from(of);
        let near = |low: i64, found: Decimal, high: i64| (Decimal::from(low)..=Decimal::from(high)).contains(&found);
        assert!(forecasts > 250, "{forecasts} yards had sold five cars");
        for (place, (below, above)) in below.iter().zip(above).enumerate() {
            let (below, above) = (per_cent(*below, forecasts), per_cent(above, forecasts));
            assert!(near(5, below, 17) && near(5, above, 17), "month {place}: {below} % below, {above} % above");
        }
        let of = forecasts * MONTHS;
        let within = Decimal::ONE_HUNDRED - per_cent(below.iter().chain(&above).sum(), of);
        assert!(near(74, within, 86), "{within} % within the band of 80 %");
        let (said, missed) = (said / Decimal::from(forecasts), per_cent(missed, forecasts));
        assert!(near(-3, said - missed, 3), "{said} % said to miss a slot, {missed} % did");
    }
}

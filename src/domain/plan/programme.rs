//! The programme, "one car a month": which cars filled the slots of each month, what they came to,
//! how many months in a row were filled, and whether the float can carry the next slot.
//!
//! Cars bought in a month fill its slots in order of purchase; a car taken in part-exchange was not
//! looked for, and fills none. Purchase prices are net of VAT reclaimed, as everywhere.

use crate::domain::book::facts::Car;
use crate::domain::book::standing::Standing;
use crate::domain::book::stay::Left;
use crate::domain::days::month::Month;
use crate::domain::figures::balances::Balances;
use crate::domain::figures::car_figures::{
    DisposalFigures, SaleFigures, net_purchase_price, sale_by, sale_figures, stands_in,
};
use crate::domain::figures::stock_ratios::{multiple_against, return_pct};
use crate::domain::law::registration::Registration;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Pocket, Via};
use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Standing costs due this many days ahead are kept back before a slot is called affordable.
const DAYS_KEPT_BACK: u64 = 30;

/// What was set out to be done, from a month on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Programme {
    /// The first month it holds for.
    pub from: Month,
    /// Slots a month; none while the programme rests.
    pub cars: u32,
    /// The purchase price of one slot, if one is set.
    pub budget: Option<Pence>,
    /// Selling price ÷ stands in at that each car is to reach: 2 is doubled.
    pub multiple: Decimal,
}

impl Programme {
    /// What holds in `month`: the latest set for a month not after it, the later one of two set for
    /// the same; one car to double, without a budget, before anything was set.
    pub fn holding_in(set: &[Self], month: Month) -> Self {
        let latest = set.iter().filter(|programme| programme.from <= month).max_by_key(|programme| programme.from);
        latest.copied().unwrap_or(Self { from: month, cars: 1, budget: None, multiple: Decimal::TWO })
    }

    /// Whether a sale reached the multiple, exactly: never by rounding up to it. Whatever a car that
    /// stood in at nothing is sold for reaches it.
    pub fn is_reached_by(&self, selling_price: Pence, stood_in: Pence) -> bool {
        let wanted = stood_in.to_pounds().checked_mul(self.multiple);
        wanted.is_some_and(|wanted| selling_price.to_pounds() >= wanted)
    }
}

/// A car that fills a slot.
#[derive(Clone, Debug)]
pub struct SlotCar<'a> {
    /// The car.
    pub car: &'a Car,
    /// Its purchase price, net of VAT reclaimed.
    pub purchase_price: Pence,
    /// What it stands in at, or stood in at when it left.
    pub stands_in: Pence,
    /// What selling it made, while it is sold.
    pub sold: Option<SaleFigures>,
    /// What disposing of it came to, once it is.
    pub disposed: Option<DisposalFigures>,
    /// Whether it was sold, came back and is in stock: not sold, then.
    pub came_back: bool,
    /// Whether it was sold at or over the multiple; unknown while it is in stock. A car disposed of
    /// never is.
    pub reached: Option<bool>,
}

impl<'a> SlotCar<'a> {
    fn new(car: &'a Car, programme: &Programme, registration: &Registration, day: NaiveDate) -> Self {
        let sold = sale_by(car, day).map(|sale| sale_figures(car, sale, day, registration));
        let disposal = car.left_by(day).and_then(Left::disposal);
        let reached = match &sold {
            Some(sold) => Some(programme.is_reached_by(sold.selling_price, sold.stood_in)),
            None => disposal.map(|_| false),
        };
        Self {
            car,
            purchase_price: net_purchase_price(car, registration),
            stands_in: stands_in(car, day, registration),
            sold,
            disposed: disposal.map(|disposal| DisposalFigures::from_disposal(car, disposal, day, registration)),
            came_back: car.came_back_by(day).is_some(),
            reached,
        }
    }

    /// What it was sold for ÷ what it stood in at, held against the multiple of its month.
    pub fn multiple(&self, programme: &Programme) -> Option<Decimal> {
        self.sold.as_ref().and_then(|sold| multiple_against(sold.selling_price, sold.stood_in, programme.multiple))
    }
}

/// A month of the programme.
#[derive(Clone, Debug)]
pub struct ProgrammeMonth<'a> {
    /// The month.
    pub month: Month,
    /// What was set out to be done in it.
    pub programme: Programme,
    /// Whether it is over: a month still running can yet be filled.
    pub is_over: bool,
    /// Cars bought in it, those beyond its slots too, none taken in part-exchange.
    pub bought: usize,
    /// The cars that fill its slots, in order of purchase.
    pub slots: Vec<SlotCar<'a>>,
}

impl ProgrammeMonth<'_> {
    /// Whether every slot has its car; said of no month without slots.
    pub fn is_filled(&self) -> bool {
        self.programme.cars > 0 && self.slots.len() >= slots_of(&self.programme)
    }

    /// What was to be spent: the budget of one slot times its slots.
    pub fn budget(&self) -> Option<Pence> {
        self.programme.budget.map(|budget| budget * i64::from(self.programme.cars))
    }

    /// Σ purchase prices of the cars in its slots.
    pub fn spent(&self) -> Pence {
        self.slots.iter().map(|slot| slot.purchase_price).sum()
    }

    /// Sales of the cars in its slots.
    pub fn sales(&self) -> impl Iterator<Item = &SaleFigures> {
        self.slots.iter().filter_map(|slot| slot.sold.as_ref())
    }

    /// Cars in its slots that left without a sale.
    pub fn disposed(&self) -> impl Iterator<Item = &DisposalFigures> {
        self.slots.iter().filter_map(|slot| slot.disposed.as_ref())
    }

    /// Cars bought in it beyond its slots, which are no part of the score.
    pub fn beyond(&self) -> usize {
        self.bought - self.slots.len()
    }

    /// Pooled: Σ selling prices ÷ Σ stood in of the cars sold; none while none is.
    pub fn multiple(&self) -> Option<Decimal> {
        let (sold, stood_in) =
            (self.sales().map(|sale| sale.selling_price).sum(), self.sales().map(|sale| sale.stood_in).sum());
        multiple_against(sold, stood_in, self.programme.multiple)
    }

    /// Σ profit of the cars sold, as of their days of sale.
    pub fn profit(&self) -> Pence {
        self.sales().map(|sale| sale.profit).sum()
    }

    /// Σ losses on the cars that left without a sale.
    pub fn disposal_losses(&self) -> Pence {
        self.disposed().map(|disposal| disposal.loss).sum()
    }

    /// Whether every slot's car was sold at or over the multiple. Unknown while one is in stock, or
    /// a slot can still be filled, or there are no slots; a slot left empty is one not reached.
    pub fn reached(&self) -> Option<bool> {
        let each: Vec<bool> = self.slots.iter().map(|slot| slot.reached).collect::<Option<_>>()?;
        let is_settled = self.programme.cars > 0 && (self.is_over || self.is_filled());
        is_settled.then(|| self.is_filled() && each.into_iter().all(|reached| reached))
    }
}

/// What the float must carry before the next car: balances at the end of a day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Purse {
    /// Cash in hand and bank.
    pub float: Pence,
    /// Deposits held, which may have to go back.
    pub deposits_held: Pence,
    /// Owed to sellers of cars and their lenders.
    pub owed_to_sellers: Pence,
    /// Refunds agreed with buyers who brought a car back, not yet paid.
    pub refunds_owed: Pence,
    /// Bills not yet paid.
    pub bills: Pence,
    /// VAT owed; negative when HMRC owes.
    pub vat_owed: Pence,
    /// Standing costs due in the thirty days after.
    pub standing_costs: Pence,
}

impl Purse {
    /// The purse at the end of `day`, of which `balances` are. Standing costs paid from the owner's
    /// own pocket leave the float alone.
    pub fn from_balances(balances: &Balances, standings: &[Standing], day: NaiveDate) -> Self {
        let later = |days| day.checked_add_days(Days::new(days)).unwrap_or(day);
        let from_the_float = standings.iter().filter(|standing| standing.pocket != Pocket::Own);
        let due = from_the_float.flat_map(|standing| standing.falling(later(1), later(DAYS_KEPT_BACK)));
        Self {
            float: balances.float(),
            deposits_held: balances.deposits_held,
            owed_to_sellers: balances.owed_to_sellers,
            refunds_owed: balances.refunds_owed,
            bills: balances.bills,
            vat_owed: balances.vat_owed,
            standing_costs: due.map(|due| due.amount).sum(),
        }
    }

    /// What is left of the float for a car.
    pub fn free(&self) -> Pence {
        let owed = self.owed_to_sellers + self.refunds_owed + self.bills + self.vat_owed;
        self.float - self.deposits_held - owed - self.standing_costs
    }
}

/// The next slot to fill.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NextSlot {
    /// Its month: this one while a slot of it is empty.
    pub month: Month,
    /// The purchase price of one slot in that month.
    pub budget: Option<Pence>,
    /// What the float must carry.
    pub purse: Purse,
}

impl NextSlot {
    /// Whether what is free of the float covers the budget; unknown without one.
    pub fn is_affordable(&self) -> Option<bool> {
        self.budget.map(|budget| self.purse.free() >= budget)
    }

    /// What is wanting to the budget; nothing when it is covered, unknown without one.
    pub fn short_by(&self) -> Option<Pence> {
        self.budget.map(|budget| (budget - self.purse.free()).max(Pence::ZERO))
    }
}

/// The score of the programme on a day.
#[derive(Clone, Debug)]
pub struct ProgrammeFigures<'a> {
    /// Each month, oldest first, up to that of the day: from the first car bought, or the first
    /// month anything was set for when that is earlier. Never none.
    pub months: Vec<ProgrammeMonth<'a>>,
    /// The profit of the whole time, after the yard's overheads and everything else.
    pub profit_after_overheads: Pence,
    /// The next slot; none when the programme has come to rest.
    pub next_slot: Option<NextSlot>,
}

impl<'a> ProgrammeFigures<'a> {
    /// The cars in every month's slots.
    pub fn slots(&self) -> impl Iterator<Item = &SlotCar<'a>> {
        self.months.iter().flat_map(|month| &month.slots)
    }

    /// Months in a row, up to the last that is over, whose slots were filled. A month in which the
    /// programme rested neither counts nor breaks the run.
    pub fn run(&self) -> usize {
        let with_slots = self.months.iter().rev().filter(|month| month.is_over && month.programme.cars > 0);
        with_slots.take_while(|month| month.is_filled()).count()
    }

    /// Cars sold at or over the multiple of their month.
    pub fn doubled(&self) -> usize {
        self.slots().filter(|slot| slot.reached == Some(true)).count()
    }

    /// Σ profit ÷ Σ stood in of the cars sold, in per cent.
    pub fn average_return_pct(&self) -> Option<Decimal> {
        let sales = || self.slots().filter_map(|slot| slot.sold.as_ref());
        return_pct(sales().map(|sale| sale.profit).sum(), sales().map(|sale| sale.stood_in).sum())
    }
}

/// The programme as of `day`. `cars` are all there ever were, `set` in the order it was set;
/// `profit_after_overheads` is the profit of the period it covers.
pub fn programme<'a>(
    set: &[Programme],
    cars: &'a [Car],
    registration: &Registration,
    day: NaiveDate,
    purse: Purse,
    profit_after_overheads: Pence,
) -> ProgrammeFigures<'a> {
    let bought = bought_by_month(cars, day);
    let last = Month::containing(day);
    let months: Vec<ProgrammeMonth<'a>> = months_to(last, first_month(set, cars, day))
        .map(|month| {
            let programme = Programme::holding_in(set, month);
            let bought = bought.get(&month).map_or(&[][..], Vec::as_slice);
            let filling = bought.iter().take(slots_of(&programme));
            ProgrammeMonth {
                month,
                programme,
                is_over: month.last_day() <= day,
                bought: bought.len(),
                slots: filling.map(|car| SlotCar::new(car, &programme, registration, day)).collect(),
            }
        })
        .collect();
    let filled = months.last().and_then(|this| u32::try_from(this.slots.len()).ok()).unwrap_or_default();
    ProgrammeFigures { months, profit_after_overheads, next_slot: next_slot(set, filled, day, purse) }
}

/// The next slot, when `filled` cars have been bought for the slots of the month of `day`.
pub fn next_slot(set: &[Programme], filled: u32, day: NaiveDate, purse: Purse) -> Option<NextSlot> {
    let this = Month::containing(day);
    let has_empty_slot = filled < Programme::holding_in(set, this).cars;
    let month = next_month(set, this, has_empty_slot)?;
    Some(NextSlot { month, budget: Programme::holding_in(set, month).budget, purse })
}

/// The first month of the programme on a day: that of the first car bought, or the first anything
/// was set for when that is earlier; the day's own when there is neither.
pub fn first_month(set: &[Programme], cars: &[Car], day: NaiveDate) -> Month {
    let bought = cars.iter().filter(|car| fills_a_slot(car, day)).map(|car| Month::containing(car.bought_on));
    bought.chain(set.iter().map(|programme| programme.from)).fold(Month::containing(day), Month::min)
}

fn fills_a_slot(car: &Car, day: NaiveDate) -> bool {
    car.bought_on <= day && car.via != Via::PartExchange
}

fn slots_of(programme: &Programme) -> usize {
    usize::try_from(programme.cars).unwrap_or(usize::MAX)
}

/// The cars that could fill slots, by month and in order of purchase.
fn bought_by_month(cars: &[Car], day: NaiveDate) -> BTreeMap<Month, Vec<&Car>> {
    let mut bought: BTreeMap<Month, Vec<&Car>> = BTreeMap::new();
    for car in cars.iter().filter(|car| fills_a_slot(car, day)) {
        bought.entry(Month::containing(car.bought_on)).or_default().push(car);
    }
    for cars in bought.values_mut() {
        cars.sort_by_key(|car| (car.bought_on, car.stock_no));
    }
    bought
}

fn months_to(last: Month, first: Month) -> impl Iterator<Item = Month> {
    std::iter::successors(Some(first), move |month| (*month < last).then(|| month.next()))
}

/// The month of the next slot: this one while it has an empty one, else the first after it that has
/// slots. Only a month something was set for can end a rest.
fn next_month(set: &[Programme], this: Month, has_empty_slot: bool) -> Option<Month> {
    if has_empty_slot {
        return Some(this);
    }
    let mut ahead: Vec<Month> = set.iter().map(|programme| programme.from).filter(|from| *from > this).collect();
    ahead.push(this.next());
    ahead.sort_unstable();
    ahead.into_iter().find(|month| Programme::holding_in(set, *month).cars > 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::fixture::{bought, day, pounds};
    use crate::domain::book::standing::StandingAmount;
    use crate::domain::value::words::{Every, Outcome};

    fn month(number: u32) -> Month {
        Month::new(2026, number).unwrap()
    }

    fn from(number: u32, cars: u32, budget: Option<i64>, hundredths: i64) -> Programme {
        Programme { from: month(number), cars, budget: budget.map(pounds), multiple: Decimal::new(hundredths, 2) }
    }

    fn score<'a>(set: &[Programme], cars: &'a [Car], on: &str) -> ProgrammeFigures<'a> {
        programme(set, cars, &Registration::default(), day(on), Purse::default(), Pence::ZERO)
    }

    fn only_month(cars: &[Car], planned: u32, on: &str) -> Option<bool> {
        score(&[from(9, planned, None, 200)], cars, on).months[0].reached()
    }

    #[test]
    fn the_latest_setting_not_after_the_month_holds() {
        let set = [from(6, 1, Some(500), 200), from(9, 2, Some(700), 150), from(9, 3, None, 180)];
        for (number, cars, budget, multiple) in
            [(5, 1, None, 200), (6, 1, Some(500), 200), (8, 1, Some(500), 200), (9, 3, None, 180), (12, 3, None, 180)]
        {
            let holds = Programme::holding_in(&set, month(number));
            let expected = (cars, budget.map(pounds), Decimal::new(multiple, 2));
            assert_eq!((holds.cars, holds.budget, holds.multiple), expected, "{number}");
        }
    }

    #[test]
    fn the_multiple_is_reached_exactly_and_never_by_rounding() {
        let double = from(9, 1, None, 200);
        for (sold, stood_in, reached) in
            [(100_000, 50_000, true), (99_999, 50_000, false), (100_001, 50_000, true), (1, 0, true), (0, -500, true)]
        {
            assert_eq!(double.is_reached_by(Pence::new(sold), Pence::new(stood_in)), reached, "{sold} {stood_in}");
        }
        let absurd = Programme { multiple: Decimal::MAX, ..double };
        assert!(!absurd.is_reached_by(pounds(1), pounds(100)));
    }

    #[test]
    fn cars_fill_slots_in_order_of_purchase_and_part_exchanges_none() {
        let mut taken_in = bought(2, "2026-09-01", 100);
        taken_in.via = Via::PartExchange;
        let cars = [
            bought(1, "2026-09-20", 415).sold("2026-10-01", 885),
            taken_in,
            bought(4, "2026-09-05", 325),
            bought(3, "2026-09-05", 350).sold("2026-09-30", 500).spent("2026-09-06", "parts", 50),
            bought(5, "2026-10-31", 999),
        ];
        let score = score(&[from(9, 2, Some(470), 200)], &cars, "2026-10-30");
        let september = &score.months[0];
        let filling: Vec<u32> = september.slots.iter().map(|slot| slot.car.stock_no.get()).collect();
        assert_eq!(filling, [3, 4]);
        assert_eq!((september.bought, september.sales().count()), (3, 1));
        assert_eq!((september.budget(), september.spent()), (Some(pounds(940)), pounds(675)));
        assert_eq!((september.multiple(), september.profit()), (Some(Decimal::new(125, 2)), pounds(100)));
        assert_eq!(september.slots[0].reached, Some(false));
        assert_eq!((september.slots[1].reached, september.reached()), (None, None));
        // Bought after the day looked at.
        assert_eq!((score.months[1].bought, score.months.len()), (0, 2));
        assert_eq!((score.slots().count(), score.doubled()), (2, 0));
        assert_eq!(score.average_return_pct(), Some(Decimal::new(2500, 2)));
    }

    #[test]
    fn a_month_is_reached_when_every_slot_is() {
        let doubled = || bought(1, "2026-09-05", 400).sold("2026-09-20", 800);
        let missed = || bought(2, "2026-09-06", 400).sold("2026-09-21", 799);
        let unsold = || bought(3, "2026-09-07", 400);
        for (cars, planned, on, reached) in [
            (vec![doubled()], 1, "2026-09-25", Some(true)),
            (vec![doubled()], 1, "2026-09-19", None),
            (vec![missed()], 1, "2026-09-25", Some(false)),
            (vec![doubled(), missed()], 2, "2026-09-25", Some(false)),
            // the second is beyond the one slot
            (vec![doubled(), missed()], 1, "2026-09-25", Some(true)),
            (vec![missed(), unsold()], 2, "2026-11-25", None),
            // a slot can be filled up to the month's last day
            (vec![doubled()], 2, "2026-09-29", None),
            (vec![doubled()], 2, "2026-09-30", Some(false)),
            (vec![], 1, "2026-09-29", None),
            (vec![], 1, "2026-09-30", Some(false)),
            (vec![doubled()], 0, "2026-10-30", None),
            (vec![unsold().gone("2026-09-09", Outcome::Scrapped, 0)], 1, "2026-09-25", Some(false)),
            (vec![doubled().taken_back("2026-09-22")], 1, "2026-09-25", None),
            (vec![doubled().taken_back("2026-09-26")], 1, "2026-09-25", Some(true)),
            (vec![doubled().taken_back("2026-09-22").sold("2026-09-24", 700)], 1, "2026-09-25", Some(false)),
        ] {
            let numbers: Vec<u32> = cars.iter().map(|car| car.stock_no.get()).collect();
            assert_eq!(only_month(&cars, planned, on), reached, "{numbers:?} {planned} {on}");
        }
    }

    #[test]
    fn what_a_slot_lost_without_a_sale_stands_beside_the_profit() {
        let cars = [bought(1, "2026-09-05", 400).spent("2026-09-06", "parts", 30).gone("2026-09-09", Outcome::Lost, 0)];
        let score = score(&[], &cars, "2026-09-30");
        let september = &score.months[0];
        assert_eq!((september.multiple(), september.profit()), (None, Pence::ZERO));
        assert_eq!((september.disposed().count(), september.disposal_losses()), (1, pounds(430)));
        assert_eq!((score.run(), score.average_return_pct()), (1, None));
    }

    #[test]
    fn the_run_ends_at_the_last_month_that_is_over() {
        let in_months = |numbers: &[u32]| -> Vec<Car> {
            numbers.iter().zip(1..).map(|(on, no)| bought(no, &format!("2026-{on:02}-10"), 100)).collect()
        };
        for (bought_in, on, run) in [
            (&[6, 7, 8, 9][..], "2026-10-05", 4),
            (&[6, 7, 8, 9, 10], "2026-10-30", 4),
            (&[6, 7, 8, 9, 10], "2026-10-31", 5),
            (&[6, 8, 9], "2026-10-05", 2),
            (&[6, 7, 8], "2026-10-05", 0),
            (&[], "2026-10-05", 0),
        ] {
            assert_eq!(score(&[], &in_months(bought_in), on).run(), run, "{bought_in:?} {on}");
        }
        // A rest in August and two slots from September.
        let set = [from(8, 0, None, 200), from(9, 2, None, 200)];
        assert_eq!(score(&set, &in_months(&[6, 7, 9, 9]), "2026-10-05").run(), 3);
        assert_eq!(score(&set, &in_months(&[6, 7, 9]), "2026-10-05").run(), 0);
    }

    #[test]
    fn months_begin_with_the_first_car_or_setting() {
        let cars = [bought(1, "2026-08-10", 100)];
        for (set, cars, on, first) in [
            (&[from(9, 1, None, 200)][..], &cars[..], "2026-10-05", 8),
            (&[from(7, 1, None, 200)], &cars, "2026-10-05", 7),
            (&[], &cars, "2026-08-09", 8),
            (&[from(12, 1, None, 200)], &[], "2026-10-05", 10),
            (&[], &[], "2026-10-05", 10),
        ] {
            assert_eq!(first_month(set, cars, day(on)), month(first), "{on}");
            assert_eq!(score(set, cars, on).months[0].month, month(first), "{on}");
        }
    }

    #[test]
    fn the_next_slot_is_the_first_empty_one() {
        let cars = [bought(1, "2026-10-02", 100)];
        for (set, on, next) in [
            (&[][..], "2026-10-01", Some((10, None))),
            (&[], "2026-10-02", Some((11, None))),
            (&[from(9, 2, Some(500), 200)], "2026-10-02", Some((10, Some(500)))),
            (&[from(9, 1, Some(500), 200), from(11, 1, Some(600), 200)], "2026-10-02", Some((11, Some(600)))),
            (
                &[from(9, 1, None, 200), from(11, 0, None, 200), from(12, 1, Some(9), 200)],
                "2026-10-02",
                Some((12, Some(9))),
            ),
            (&[from(9, 0, None, 200)], "2026-10-02", None),
        ] {
            let found = score(set, &cars, on).next_slot.map(|next| (next.month, next.budget));
            assert_eq!(found, next.map(|(number, budget)| (month(number), budget.map(pounds))), "{on} {set:?}");
        }
    }

    #[test]
    fn a_slot_is_affordable_once_everything_held_back_leaves_its_budget() {
        let purse = Purse {
            float: pounds(2_275),
            deposits_held: pounds(100),
            owed_to_sellers: pounds(200),
            refunds_owed: pounds(640),
            bills: pounds(135),
            vat_owed: pounds(50),
            standing_costs: pounds(150),
        };
        assert_eq!(purse.free(), pounds(1_000));
        for (budget, affordable, short_by) in [
            (Some(100_000), Some(true), Some(0)),
            (Some(100_001), Some(false), Some(1)),
            (Some(1), Some(true), Some(0)),
            (None, None, None),
        ] {
            let next = NextSlot { month: month(11), budget: budget.map(Pence::new), purse };
            let expected = (affordable, short_by.map(Pence::new));
            assert_eq!((next.is_affordable(), next.short_by()), expected, "{budget:?}");
        }
    }

    #[test]
    fn thirty_days_of_standing_costs_are_kept_back() {
        let weekly = |pocket| Standing {
            standing_no: 1,
            entry: 1,
            name: "storage".into(),
            heading: "rent".into(),
            every: Every::Week,
            first_on: day("2026-10-01"),
            until: None,
            pocket,
            amounts: vec![StandingAmount { from: day("2026-10-01"), amount: pounds(10), vat: Pence::ZERO }],
            skipped: Vec::new(),
        };
        let balances = Balances { cash: pounds(30), bank: pounds(70), ..Balances::default() };
        let standings = [weekly(Pocket::Bank), weekly(Pocket::Own)];
        // From 1 October, whose cost is paid, the 8th, 15th, 22nd and 29th; the 31st is day thirty.
        for (on, due) in [("2026-10-01", 40), ("2026-09-30", 50), ("2026-10-06", 50)] {
            let purse = Purse::from_balances(&balances, &standings, day(on));
            assert_eq!((purse.float, purse.standing_costs), (pounds(100), pounds(due)), "{on}");
        }
    }
}

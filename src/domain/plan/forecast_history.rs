//! The past cars a forecast draws from, and how one is drawn.
//!
//! Each run first redraws the history itself, with replacement and as many cars as there are:
//! twelve sold cars are one sample of what the trade can bring, and a forecast that took them for
//! the whole truth would promise too narrow a band. (The bootstrap of B. Efron, "Bootstrap
//! methods: another look at the jackknife", Annals of Statistics 7, 1979; from memory.)
//!
//! Cars still in stock are history too: leaving them out would count only the quick ones. A draw
//! that falls on a car unsold after 40 days says only "longer than 40", so it is drawn again among
//! those that took longer. (Redistribution to the right, the same as Kaplan and Meier's estimate:
//! B. Efron, "The two sample problem with censored data", 1967; from memory.)

use rand_pcg::Pcg64;
use rand_pcg::rand_core::Rng;

use crate::domain::plan::forecast_assumed::Assumed;
use crate::domain::plan::forecast_known::{CarInStock, SoldCar};
use crate::domain::value::pence::Pence;

/// Fewer sold cars than this say too little, and [`DEFAULT_CARS`] are drawn from instead.
pub const FEWEST_SOLD: usize = 5;

/// What is assumed of a trade with no history to speak of: five cars that stand for the spread.
/// Nobody's figures and no source: a cautious round guess, shown as such and open to be changed.
/// The middle one takes 40 days, £250 of costs and sells at 1.30 times what it stands in at.
pub const DEFAULT_CARS: [PastCar; 5] = [
    default_car(20, 150, 150),
    default_car(30, 200, 140),
    default_car(40, 250, 130),
    default_car(55, 300, 120),
    default_car(90, 400, 100),
];

const fn default_car(days: u32, costs_in_pounds: i64, price_pct: i64) -> PastCar {
    PastCar {
        days,
        costs: Pence::new(costs_in_pounds * 100),
        price: PriceRatio { selling_price: price_pct, stands_in: 100 },
    }
}

/// What selling made of a car: selling price to stands-in, kept as the two so that it is exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PriceRatio {
    /// Any unit, the same as the other's.
    pub selling_price: i64,
    /// Above zero.
    pub stands_in: i64,
}

impl PriceRatio {
    /// What a car standing in at `stands_in` sells for, to the penny half away from zero; never
    /// less than nothing.
    pub fn price_of(self, stands_in: Pence) -> Pence {
        fraction(stands_in, self.selling_price, self.stands_in).max(Pence::ZERO)
    }
}

/// `amount` × `numerator` ÷ `denominator`, to the penny half away from zero. `denominator` is
/// above zero; nothing where it is not.
pub fn fraction(amount: Pence, numerator: i64, denominator: i64) -> Pence {
    if denominator <= 0 {
        return Pence::ZERO;
    }
    // Nearly every product of a car's amounts fits an i64, whose division is several times faster.
    if let Some(product) = amount.get().checked_mul(numerator) {
        let (whole, rest) = (product / denominator, product % denominator);
        let away = i64::from(rest.unsigned_abs() >= denominator.unsigned_abs().div_ceil(2)) * product.signum();
        return Pence::new(whole) + Pence::new(away);
    }
    let (product, denominator) = (i128::from(amount.get()) * i128::from(numerator), i128::from(denominator));
    let (whole, rest) = (product / denominator, product % denominator);
    let away = i128::from(2 * rest.abs() >= denominator) * product.signum();
    let limit = if product < 0 { i64::MIN } else { i64::MAX };
    Pence::new(i64::try_from(whole + away).unwrap_or(limit))
}

/// What is taken from a car that was sold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PastCar {
    /// Whole days from bought to sold.
    pub days: u32,
    /// Stands-in less the purchase price.
    pub costs: Pence,
    /// What it fetched.
    pub price: PriceRatio,
}

/// A car drawn for one in play.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Drawn {
    /// Whole days from bought to sold.
    pub days: u32,
    /// The past car it goes like.
    pub like: PastCar,
}

/// A car of the history: sold, or unsold so far after so many days.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Stay {
    days: u32,
    /// None while it is in stock.
    sold: Option<PastCar>,
    /// The place of the first car that took longer.
    longer: usize,
}

/// The past cars, those in stock among them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct History {
    /// By days.
    stays: Vec<Stay>,
    /// The sold cars alone, by days; never empty.
    sold: Vec<PastCar>,
}

impl History {
    /// The last `assumed.past_cars` of the sold cars, and those in stock; or the default cars
    /// when fewer than five can be used. A car that stood in at nothing or less gives no ratio
    /// and is left out. What is assumed replaces what was.
    pub fn new(sold: &[SoldCar], stock: &[CarInStock], assumed: &Assumed) -> Self {
        let usable = sold.iter().filter(|car| car.stands_in.is_positive());
        let mut past: Vec<PastCar> = usable.map(PastCar::from).collect();
        past.drain(..past.len().saturating_sub(assumed.past_cars.max(FEWEST_SOLD)));
        let own = past.len() >= FEWEST_SOLD;
        if !own {
            past = DEFAULT_CARS.to_vec();
        }
        for car in &mut past {
            car.days = assumed.days_of(car.days);
            car.costs = assumed.costs.unwrap_or(car.costs);
            if let Some(percent) = assumed.price_pct {
                car.price = PriceRatio { selling_price: i64::from(percent), stands_in: 100 };
            }
        }
        past.sort_by_key(|car| car.days);
        let unsold = if own && assumed.days_to_sell.is_none() { stock } else { &[] };
        Self { stays: stays(&past, unsold), sold: past }
    }

    /// How many cars were sold.
    pub fn sold(&self) -> &[PastCar] {
        &self.sold
    }

    /// How many cars there are, those in stock included.
    pub fn len(&self) -> usize {
        self.stays.len()
    }

    /// Redraws the history for one run into `sample`: places of cars, in order, with repeats.
    pub fn redraw(&self, random: &mut Pcg64, sample: &mut Vec<usize>) {
        let mut times = vec![0_usize; self.len()];
        for _ in 0..self.len() {
            times[below(random, self.len())] += 1;
        }
        sample.clear();
        for (place, times) in times.into_iter().enumerate() {
            sample.extend(std::iter::repeat_n(place, times));
        }
    }

    /// The place of the first car that took longer than `days`.
    pub fn longer_than(&self, days: u32) -> usize {
        self.stays.partition_point(|stay| stay.days <= days)
    }

    /// Draws a car for one just bought.
    pub fn draw(&self, random: &mut Pcg64, sample: &[usize]) -> Drawn {
        self.draw_from(random, sample, 0, 0)
    }

    /// Draws a car for one in stock for `days`, among those that took longer: those from the
    /// place `from` on, as [`Self::longer_than`] gives it.
    ///
    /// When the run's own sample holds none, the whole history is drawn from; when no car ever
    /// took longer, the car is taken to start afresh: `days` more and then as long as a sold car.
    pub fn draw_from(&self, random: &mut Pcg64, sample: &[usize], mut from: usize, mut days: u32) -> Drawn {
        while from < self.len() {
            let left = &sample[sample.partition_point(|place| *place < from)..];
            let place = match left.len() {
                0 => from + below(random, self.len() - from),
                several => left[below(random, several)],
            };
            let stay = self.stays[place];
            if let Some(like) = stay.sold {
                return Drawn { days: stay.days, like };
            }
            (from, days) = (stay.longer, stay.days);
        }
        let like = self.sold[below(random, self.sold.len())];
        Drawn { days: days.saturating_add(like.days.max(1)), like }
    }
}

/// Sold and unsold cars in one list by days; a sale comes before a car unsold after as many.
fn stays(past: &[PastCar], unsold: &[CarInStock]) -> Vec<Stay> {
    let sold = past.iter().map(|car| Stay { days: car.days, sold: Some(*car), longer: 0 });
    let unsold = unsold.iter().map(|car| Stay { days: car.days, sold: None, longer: 0 });
    let mut stays: Vec<Stay> = sold.chain(unsold).collect();
    stays.sort_by_key(|stay| (stay.days, stay.sold.is_none()));
    for place in 0..stays.len() {
        stays[place].longer = stays.partition_point(|stay| stay.days <= stays[place].days);
    }
    stays
}

impl From<&SoldCar> for PastCar {
    fn from(car: &SoldCar) -> Self {
        Self {
            days: car.days,
            costs: car.stands_in - car.purchase_price,
            price: PriceRatio { selling_price: car.selling_price.get(), stands_in: car.stands_in.get() },
        }
    }
}

/// A whole number from 0 to `limit` − 1, each as likely as the others to within one part in 10¹⁵
/// (64 random bits, scaled down; a history is far smaller than 2¹⁴ cars). 0 for a limit of 0.
fn below(random: &mut Pcg64, limit: usize) -> usize {
    let scaled = (u128::from(random.next_u64()) * limit as u128) >> 64;
    usize::try_from(scaled).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::plan::forecast::Overrides;
    use crate::domain::plan::forecast_known::{Forecasting, Programme};
    use rand_pcg::rand_core::SeedableRng;

    fn sold(days: u32) -> SoldCar {
        let pounds = |pounds: i64| Pence::new(pounds * 100);
        SoldCar { days, purchase_price: pounds(1_000), stands_in: pounds(1_200), selling_price: pounds(1_800) }
    }

    fn unsold(days: u32) -> CarInStock {
        CarInStock { days, stands_in: Pence::ZERO, purchase_price: Pence::ZERO, deposit: Pence::ZERO }
    }

    fn assumed(told: &Overrides) -> Assumed {
        let nothing = Forecasting {
            day: chrono::NaiveDate::MIN,
            months: 1,
            float: Pence::ZERO,
            balances_due: Vec::new(),
            standing_costs: Vec::new(),
            vat_owed: Vec::new(),
            other: Vec::new(),
            stock: Vec::new(),
            sold: Vec::new(),
            programme: Programme::default(),
            bought_this_month: 0,
            vat: None,
        };
        Assumed::new(&nothing, told)
    }

    fn history(sold_days: &[u32], unsold_days: &[u32]) -> History {
        let sold: Vec<SoldCar> = sold_days.iter().copied().map(sold).collect();
        let unsold: Vec<CarInStock> = unsold_days.iter().copied().map(unsold).collect();
        History::new(&sold, &unsold, &assumed(&Overrides::default()))
    }

    #[test]
    fn fractions_round_half_away_from_zero_however_great() {
        for (amount, numerator, denominator, result) in [
            (100, 1, 3, 33),
            (200, 1, 3, 67),
            (5, 1, 2, 3),
            (-5, 1, 2, -3),
            (7, 1, 5, 1),
            (8, 1, 5, 2),
            (-7, 1, 5, -1),
            (-8, 1, 5, -2),
            (80_000, 20, 120, 13_333),
            (0, 5, 7, 0),
            (5, 0, 7, 0),
            (5, 7, 0, 0),
            (i64::MAX, 3, 3, i64::MAX),
            (i64::MAX, 3, 2, i64::MAX),
            (i64::MIN, 3, 2, i64::MIN),
            (4_611_686_018_427_387_905, 2, 4, 2_305_843_009_213_693_953),
            (-4_611_686_018_427_387_905, 2, 4, -2_305_843_009_213_693_953),
        ] {
            let found = fraction(Pence::new(amount), numerator, denominator);
            assert_eq!(found, Pence::new(result), "{amount} × {numerator} ÷ {denominator}");
        }
    }

    #[test]
    fn a_draw_on_an_unsold_car_goes_to_those_that_took_longer() {
        // By hand (Kaplan and Meier): of six cars, those sold after 10 and 20 days have a sixth
        // each; the sixth of the one unsold after 25 is shared by the three that took longer.
        let history = history(&[50, 10, 40, 20, 30], &[25]);
        let everyone: Vec<usize> = (0..history.len()).collect();
        let random = &mut Pcg64::seed_from_u64(1);
        let mut times = [0_i32; 6];
        for _ in 0..90_000 {
            times[usize::try_from(history.draw(random, &everyone).days / 10).unwrap()] += 1;
        }
        for (found, expected) in times.into_iter().zip([0, 15_000, 15_000, 20_000, 20_000, 20_000]) {
            assert!((found - expected).abs() < 500, "{times:?}");
        }
    }

    #[test]
    fn a_car_in_stock_only_goes_like_one_that_took_longer() {
        let history = history(&[10, 20, 30, 40, 50], &[25, 45]);
        let random = &mut Pcg64::seed_from_u64(2);
        let mut sample = Vec::new();
        for _ in 0..500 {
            history.redraw(random, &mut sample);
            assert!(sample.is_sorted() && sample.len() == 7 && sample.iter().all(|place| *place < 7), "{sample:?}");
            for days in [0, 9, 10, 30, 44, 49] {
                let drawn = history.draw_from(random, &sample, history.longer_than(days), days).days;
                assert!(drawn > days && (drawn <= 50 || drawn >= 45 + 10), "{drawn} after {days}");
            }
            // Longer than any: fifty more and as long as one of the five.
            let afresh = history.draw_from(random, &sample, history.longer_than(50), 50).days;
            assert!([60, 70, 80, 90, 100].contains(&afresh), "{afresh}");
        }
    }

    #[test]
    fn fewer_than_five_sold_are_not_drawn_from() {
        assert_eq!(history(&[7, 8, 9, 10], &[3]).sold(), DEFAULT_CARS);
        assert_eq!(history(&[7, 8, 9, 10], &[3]).len(), 5);
        assert_eq!(history(&[7, 8, 9, 10, 11], &[3]).len(), 6);
    }

    #[test]
    fn only_the_latest_cars_are_drawn_from() {
        let cars: Vec<SoldCar> = (0..9).map(sold).collect();
        let days = |past_cars| {
            let told = Overrides { past_cars: Some(past_cars), ..Overrides::default() };
            let history = History::new(&cars, &[], &assumed(&told));
            history.sold().iter().map(|car| car.days).collect::<Vec<_>>()
        };
        assert_eq!(days(6), [3, 4, 5, 6, 7, 8]);
        assert_eq!(days(1), [4, 5, 6, 7, 8]);
        assert_eq!(days(100).len(), 9);
    }
}

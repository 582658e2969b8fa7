//! What is known on the day of a forecast, as plain facts.

use crate::domain::days::month::Month;
use crate::domain::days::vat_quarter::{QuarterEnd, return_due_day};
use crate::domain::law::margin_vat::VatRate;
use crate::domain::value::pence::Pence;
use chrono::{Days, NaiveDate};

/// The most months of one forecast.
pub const MOST_MONTHS: u32 = 60;

/// What is known on the day of a forecast. What is dated on or before that day and still open is
/// taken to be paid the day after.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Forecasting {
    /// The as-of day; the first day forecast is the one after.
    pub day: NaiveDate,
    /// How many month ends, 1 to [`MOST_MONTHS`] (a number outside is taken as the nearer). The
    /// first is that of the day after `day`.
    pub months: u32,
    /// The float at the end of `day`.
    pub float: Pence,
    /// What buyers still owe (positive) and what is owed to sellers (negative).
    pub balances_due: Vec<DatedAmount>,
    /// Every due day of the standing costs up to [`Self::last_day_looked_at`]; costs positive.
    pub standing_costs: Vec<DatedAmount>,
    /// VAT owed so far, positive, on the days it is due.
    pub vat_owed: Vec<DatedAmount>,
    /// Other money in (positive) and out (negative): papers to renew, tax, bills.
    pub other: Vec<DatedAmount>,
    /// The cars in stock.
    pub stock: Vec<CarInStock>,
    /// The cars sold, the one sold first first.
    pub sold: Vec<SoldCar>,
    /// The programme; no cars a month for a trader without one.
    pub programme: Programme,
    /// Slots filled already in the month of `day`.
    pub bought_this_month: u32,
    /// For a trader registered for VAT.
    pub vat: Option<VatQuarters>,
}

/// An amount on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct DatedAmount {
    /// The day.
    pub on: NaiveDate,
    /// The amount.
    pub amount: Pence,
}

/// A car in stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CarInStock {
    /// Days in stock so far.
    pub days: u32,
    /// What it stands in at so far.
    pub stands_in: Pence,
    /// Its purchase price, from which the VAT margin is reckoned.
    pub purchase_price: Pence,
    /// The deposit held on it, part of its selling price to come.
    pub deposit: Pence,
}

/// A car sold; one scrapped or kept counts as sold for what it brought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SoldCar {
    /// Days in stock.
    pub days: u32,
    /// Its purchase price.
    pub purchase_price: Pence,
    /// What it stood in at on the day of sale.
    pub stands_in: Pence,
    /// What it was sold for.
    pub selling_price: Pence,
}

/// What is to be bought.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Programme {
    /// Slots a month.
    pub cars_a_month: u32,
    /// The purchase price of one slot; none while no budget is set.
    pub budget: Option<Pence>,
}

/// How VAT on margins falls due. The rate of the day of the forecast is kept throughout, and none
/// is reclaimed on costs to come, which makes the forecast a little too careful.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct VatQuarters {
    /// The rate.
    pub rate: VatRate,
    /// Which months VAT quarters end with.
    pub quarter_end: QuarterEnd,
}

impl VatQuarters {
    /// The day VAT on a sale of that day is due, with the return of its quarter.
    pub fn due_day(&self, sale: NaiveDate) -> NaiveDate {
        return_due_day(self.quarter_end.quarter_of(sale).to())
    }
}

impl Forecasting {
    /// The months forecast, in order.
    pub fn months(&self) -> Vec<Month> {
        let first = Month::containing(later(self.day, 1));
        std::iter::successors(Some(first), |month| Some(month.next())).take(self.month_count()).collect()
    }

    /// The last day forecast.
    pub fn last_day(&self) -> NaiveDate {
        self.months().last().map_or(self.day, |month| month.last_day())
    }

    /// The last day of which standing costs matter: thirty days after the last forecast, because
    /// a purchase keeps back what falls due within thirty.
    pub fn last_day_looked_at(&self) -> NaiveDate {
        later(self.last_day(), 30)
    }

    fn month_count(&self) -> usize {
        usize::try_from(self.months.clamp(1, MOST_MONTHS)).unwrap_or(1)
    }
}

/// So many days later; the calendar's last day stays.
fn later(day: NaiveDate, days: u64) -> NaiveDate {
    day.checked_add_days(Days::new(days)).unwrap_or(day)
}

//! The watch on the VAT registration threshold, for a trader who is not registered: the taxable turnover
//! of twelve complete months, tested at each month end, and the look ahead of thirty days.
//!
//! Turnover is the full selling price of cars, not the margin (HMRC manual VATREG02400), a part-exchange
//! at its allowance; other sales; deposits kept and what was kept back of refunds (Revenue and Customs
//! Brief 13 (2018), GOV.UK); the value of cars kept; less sales reversed. Insurance money and refunds are
//! none. What was sold while registered is left out (Value Added Tax Act 1994, schedule 1 paragraph 1(4);
//! from memory).

use crate::domain::days::day::long;
use crate::domain::days::month::Month;
use crate::domain::law::rate_table::{Rates, VAT_DEREGISTRATION, VAT_REGISTRATION};
use crate::domain::law::registration::Registration;
use crate::domain::value::pence::Pence;
use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// Days to notify in: from the end of the month the threshold was crossed in, or of the look ahead
/// (Value Added Tax Act 1994, schedule 1 paragraphs 5 and 6, as told at
/// landlordsfinancial.com/blog/post/24707 and matthewshanton.co.uk/about-vat-registration).
const NOTIFY_DAYS: u64 = 30;

/// The most months whose mean is the present rate.
const RATE_MONTHS: u32 = 3;

/// Months the present rate is followed for; after twelve the turnover no longer changes.
const MONTHS_AHEAD: u32 = 12;

/// Taxable turnover by month, in full prices.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Turnover(BTreeMap<Month, Pence>);

impl Turnover {
    /// From the turnover of each month; a month not named had none.
    pub fn new(months: impl IntoIterator<Item = (Month, Pence)>) -> Self {
        Self(months.into_iter().collect())
    }

    /// That of one month.
    pub fn of(&self, month: Month) -> Pence {
        self.0.get(&month).copied().unwrap_or_default()
    }

    /// That of the twelve months ending with one.
    pub fn twelve_to(&self, month: Month) -> Pence {
        self.0.range(month.minus(11)..=month).map(|(_, turnover)| *turnover).sum()
    }

    fn first(&self) -> Option<Month> {
        self.0.first_key_value().map(|(month, _)| *month)
    }
}

/// By when HMRC must be told, and from when the trader is registered.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Notice {
    /// The last day to notify.
    pub notify_by: NaiveDate,
    /// The day registration takes effect.
    pub registered_from: NaiveDate,
}

/// For the twelve months to the end of `crossed_in` being over the threshold: notify within thirty days of
/// that month's end, registered from the first day of the second month after it.
pub fn look_back(crossed_in: Month) -> Notice {
    let notify_by = crossed_in.last_day().checked_add_days(Days::new(NOTIFY_DAYS));
    Notice { notify_by: notify_by.unwrap_or(NaiveDate::MAX), registered_from: crossed_in.next().next().first_day() }
}

/// For expecting, from `realised_on`, to go over the threshold in the next thirty days alone: notify by the
/// last of them, that day being the first; registered from the day it was realised.
pub fn look_ahead(realised_on: NaiveDate) -> Notice {
    let notify_by = realised_on.checked_add_days(Days::new(NOTIFY_DAYS - 1));
    Notice { notify_by: notify_by.unwrap_or(NaiveDate::MAX), registered_from: realised_on }
}

/// Whether turnover is over the registration threshold of a day; just at it is not over (Increasing the VAT
/// registration threshold, GOV.UK policy paper, 7 March 2024: £90,000 or less need not register).
pub fn is_over(rates: &Rates, turnover: Pence, on: NaiveDate) -> bool {
    rates.in_force(&VAT_REGISTRATION, on).is_some_and(|threshold| turnover > threshold)
}

/// Whether a registered trader who expects `turnover` in the next twelve months, without VAT, may ask to be
/// deregistered: below the threshold of the day, not at it. Unknown before the table begins.
pub fn may_deregister(rates: &Rates, turnover: Pence, on: NaiveDate) -> Option<bool> {
    rates.in_force(&VAT_DEREGISTRATION, on).map(|threshold| turnover < threshold)
}

/// A month at whose end the threshold was crossed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Crossing {
    /// The month.
    pub month: Month,
    /// The turnover of the twelve months to its end.
    pub turnover: Pence,
    /// The threshold on that day.
    pub threshold: Pence,
    /// What follows.
    pub notice: Notice,
}

impl Crossing {
    /// The day the threshold was found crossed: the month's last.
    pub fn on(&self) -> NaiveDate {
        self.month.last_day()
    }

    /// `the twelve months to 31 Jul 2025 came to £90,000.01, over £90,000.00`.
    pub fn in_words(&self) -> String {
        format!("the twelve months to {} came to {}, over {}", long(self.on()), self.turnover, self.threshold)
    }
}

/// The last month complete by the end of `day`.
pub fn last_complete_month(day: NaiveDate) -> Month {
    let month = Month::containing(day);
    if month.last_day() == day { month } else { month.previous() }
}

/// The first month end by `day` at which the threshold was crossed, after the last registered day if the
/// trader was ever registered; none while registered.
pub fn crossing(turnover: &Turnover, day: NaiveDate, registration: &Registration) -> Option<Crossing> {
    if registration.holds_on(day) {
        return None;
    }
    let since = registration.until.filter(|until| *until < day && registration.from.is_some());
    let last = last_complete_month(day);
    let months = std::iter::successors(turnover.first(), |month| Some(month.next()));
    months
        .take_while(|month| *month <= last)
        .filter(|month| since.is_none_or(|since| month.last_day() > since))
        .find_map(|month| {
            let (twelve, threshold) =
                (turnover.twelve_to(month), registration.rates.in_force(&VAT_REGISTRATION, month.last_day())?);
            let notice = look_back(month);
            (twelve > threshold).then_some(Crossing { month, turnover: twelve, threshold, notice })
        })
}

/// A month of the watch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WatchedMonth {
    /// The month.
    pub month: Month,
    /// Its own turnover.
    pub turnover: Pence,
    /// That of the twelve months to its end.
    pub twelve_months: Pence,
    /// The threshold on its last day.
    pub threshold: Option<Pence>,
}

/// How the turnover stands against the threshold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Watch {
    /// The last twelve complete months, oldest first, and any before back to the crossing.
    pub months: Vec<WatchedMonth>,
    /// Turnover since the last of them.
    pub this_month_so_far: Pence,
    /// The crossing, if the threshold was crossed.
    pub crossing: Option<Crossing>,
    /// Mean turnover of the last complete months of the book, three at most; none before one is complete.
    pub monthly_rate: Option<Pence>,
    /// The month the threshold would be crossed in at that rate, within twelve; none once it was crossed.
    pub crossed_at_rate: Option<Month>,
    /// The look ahead from the day.
    pub look_ahead: Notice,
    /// The deregistration threshold of the day.
    pub deregistration_threshold: Option<Pence>,
}

impl Watch {
    /// As of `day`, for a book that began on a day; none for an empty book.
    pub fn new(turnover: &Turnover, day: NaiveDate, began: Option<NaiveDate>, registration: &Registration) -> Self {
        let last = last_complete_month(day);
        let crossing = crossing(turnover, day, registration);
        let first = crossing.map_or(last.minus(11), |crossing| crossing.month.min(last.minus(11)));
        let months = std::iter::successors(Some(first), |month| Some(month.next())).take_while(|month| *month <= last);
        let monthly_rate = began.and_then(|began| rate(turnover, Month::containing(began), last));
        Self {
            months: months.map(|month| WatchedMonth::new(turnover, month, registration.rates)).collect(),
            this_month_so_far: turnover.0.range(last.next()..).map(|(_, turnover)| *turnover).sum(),
            crossing,
            monthly_rate,
            crossed_at_rate: match (crossing, monthly_rate) {
                (None, Some(rate)) => crossed_at(turnover, rate, last, &registration.rates),
                _ => None,
            },
            look_ahead: look_ahead(day),
            deregistration_threshold: registration.rates.in_force(&VAT_DEREGISTRATION, day),
        }
    }

    /// The last complete month, to whose end the twelve months run.
    pub fn last_month(&self) -> Option<&WatchedMonth> {
        self.months.last()
    }
}

impl WatchedMonth {
    fn new(turnover: &Turnover, month: Month, rates: Rates) -> Self {
        Self {
            month,
            turnover: turnover.of(month),
            twelve_months: turnover.twelve_to(month),
            threshold: rates.in_force(&VAT_REGISTRATION, month.last_day()),
        }
    }

    /// What may still be turned over; negative when over.
    pub fn headroom(&self) -> Option<Pence> {
        self.threshold.map(|threshold| threshold - self.twelve_months)
    }
}

/// The mean month, to the penny, half away from zero.
fn rate(turnover: &Turnover, began: Month, last: Month) -> Option<Pence> {
    let months = (0..RATE_MONTHS).map(|back| last.minus(back)).filter(|month| *month >= began);
    let months: Vec<Pence> = months.map(|month| turnover.of(month)).collect();
    let sum: Pence = months.iter().copied().sum();
    sum.to_pounds().checked_div(Decimal::from(months.len())).map(Pence::from_pounds_rounded)
}

/// The first month after `last` whose twelve months would be over, every month from then on being at the
/// rate. The month now running counts for what it has come to already, if that is more.
fn crossed_at(turnover: &Turnover, rate: Pence, last: Month, rates: &Rates) -> Option<Month> {
    let mut ahead = turnover.clone();
    let mut month = last;
    for _ in 0..MONTHS_AHEAD {
        month = month.next();
        let so_far = turnover.of(month);
        ahead.0.insert(month, rate.max(so_far));
        if is_over(rates, ahead.twelve_to(month), month.last_day()) {
            return Some(month);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::fixture::{day, pounds};

    fn month(iso: &str) -> Month {
        Month::containing(day(&format!("{iso}-01")))
    }

    /// So much each month from one to another.
    fn steady(from: &str, to: &str, each: Pence) -> Turnover {
        let months = std::iter::successors(Some(month(from)), |month| Some(month.next()));
        Turnover::new(months.take_while(|each| *each <= month(to)).map(|month| (month, each)))
    }

    fn watch(turnover: &Turnover, on: &str) -> Watch {
        Watch::new(turnover, day(on), Some(day("2025-01-01")), &Registration::default())
    }

    #[test]
    fn the_threshold_itself_is_not_over() {
        let twelve = |last: i64| {
            let mut turnover = steady("2025-11", "2026-09", pounds(7_500));
            turnover.0.insert(month("2026-10"), Pence::new(last));
            crossing(&turnover, day("2026-11-25"), &Registration::default())
        };
        assert_eq!(twelve(750_000), None);
        let crossed = twelve(750_001).unwrap();
        assert_eq!((crossed.on(), crossed.turnover), (day("2026-10-31"), Pence::new(9_000_001)));
        assert_eq!(crossed.in_words(), "the twelve months to 31 Oct 2026 came to £90,000.01, over £90,000.00");
    }

    #[test]
    fn only_complete_months_count_and_the_last_day_completes_one() {
        let turnover = Turnover::new([(month("2026-10"), pounds(95_000))]);
        let crossed = |on: &str| crossing(&turnover, day(on), &Registration::default()).map(|crossing| crossing.on());
        assert_eq!(crossed("2026-10-30"), None);
        assert_eq!(crossed("2026-10-31"), Some(day("2026-10-31")));
        assert_eq!(crossed("2027-12-25"), Some(day("2026-10-31")), "that it fell again undoes nothing");
        assert_eq!(watch(&turnover, "2026-10-30").this_month_so_far, pounds(95_000));
        assert_eq!(watch(&turnover, "2026-10-31").this_month_so_far, Pence::ZERO);
    }

    #[test]
    fn the_thirteenth_month_back_is_out() {
        let turnover = Turnover::new([(month("2025-10"), pounds(50_000)), (month("2026-10"), pounds(50_000))]);
        assert_eq!(turnover.twelve_to(month("2026-09")), pounds(50_000));
        assert_eq!(turnover.twelve_to(month("2026-10")), pounds(50_000));
        assert_eq!(crossing(&turnover, day("2026-11-25"), &Registration::default()), None);
        let turnover = Turnover::new([(month("2025-11"), pounds(50_000)), (month("2026-10"), pounds(50_000))]);
        assert_eq!(crossing(&turnover, day("2026-11-25"), &Registration::default()).unwrap().on(), day("2026-10-31"));
    }

    #[test]
    fn registered_there_is_nothing_to_watch_and_after_it_only_what_comes_after() {
        let turnover = Turnover::new([(month("2024-05"), pounds(95_000)), (month("2026-10"), pounds(95_000))]);
        let span = |from, until: Option<&str>| Registration {
            from: Some(day(from)),
            until: until.map(day),
            ..Registration::default()
        };
        let crossed = |span| crossing(&turnover, day("2026-11-25"), &span).map(|crossing| crossing.on());
        assert_eq!(crossed(span("2024-07-01", None)), None);
        assert_eq!(crossed(span("2024-07-01", Some("2026-03-31"))), Some(day("2026-10-31")));
        assert_eq!(crossed(span("2024-07-01", Some("2026-10-31"))), None);
        assert_eq!(crossed(span("2027-01-01", None)), Some(day("2024-05-31")), "not yet registered");
    }

    #[test]
    fn the_present_rate_runs_into_the_threshold() {
        // 12 × 5,000 = 60,000; then 5,000 + 3k more each month the last three are 8,000.
        let mut turnover = steady("2025-11", "2026-07", pounds(5_000));
        for each in ["2026-08", "2026-09", "2026-10"] {
            turnover.0.insert(month(each), pounds(8_000));
        }
        // 45,000 + 24,000 = 69,000; each month adds 8,000 and drops 5,000: 72, 75, 78, 81, 84, 87, 90, 93.
        let seen = watch(&turnover, "2026-11-25");
        assert_eq!(seen.monthly_rate, Some(pounds(8_000)));
        assert_eq!(seen.crossed_at_rate, Some(month("2027-06")));
        let last = seen.last_month().unwrap();
        assert_eq!((last.twelve_months, last.headroom()), (pounds(69_000), Some(pounds(21_000))));
        assert_eq!(seen.months.len(), 12);
        // A month that has come to more already counts as it is: 69,000 + 26,001 − 5,000 > 90,000.
        turnover.0.insert(month("2026-11"), pounds(26_000));
        assert_eq!(watch(&turnover, "2026-11-25").crossed_at_rate, Some(month("2026-12")));
        turnover.0.insert(month("2026-11"), pounds(26_001));
        assert_eq!(watch(&turnover, "2026-11-25").crossed_at_rate, Some(month("2026-11")));
    }

    #[test]
    fn a_rate_that_never_gets_there_says_so() {
        let seen = watch(&steady("2025-01", "2026-10", pounds(7_500)), "2026-11-25");
        assert_eq!((seen.crossed_at_rate, seen.monthly_rate), (None, Some(pounds(7_500))));
        let seen = watch(&steady("2025-01", "2026-10", Pence::new(750_001)), "2026-11-25");
        assert_eq!(seen.crossing.unwrap().month, month("2025-12"));
        assert_eq!(seen.crossed_at_rate, None, "it was crossed already");
    }

    #[test]
    fn a_young_book_is_rated_by_the_months_it_has() {
        let turnover = Turnover::new([(month("2026-09"), pounds(10_000)), (month("2026-10"), pounds(5_000))]);
        let rated = |on: &str, began: Option<&str>| {
            Watch::new(&turnover, day(on), began.map(day), &Registration::default()).monthly_rate
        };
        assert_eq!(rated("2026-11-25", Some("2026-09-10")), Some(pounds(7_500)));
        assert_eq!(rated("2026-11-25", Some("2026-08-30")), Some(pounds(5_000)));
        assert_eq!(rated("2026-11-25", Some("2026-11-02")), None);
        assert_eq!(rated("2026-11-25", None), None);
    }
}

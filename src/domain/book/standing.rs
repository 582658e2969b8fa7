//! Standing costs: overheads that come round by themselves. Due days are counted from the first
//! one, so a rent first due on the 31st falls on the last day of a shorter month and is back on
//! the 31st in the next: month ends clamp, they never drift.

use crate::domain::days::day::add_months_clamped;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Every, Pocket};
use chrono::{Days, NaiveDate};

/// An amount in force from a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StandingAmount {
    /// First day it applies.
    pub from: NaiveDate,
    /// What each due day costs, VAT included.
    pub amount: Pence,
    /// The VAT in it.
    pub vat: Pence,
}

/// An overhead that comes round by itself.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// The book's own number for it.
    pub standing_no: i64,
    /// The entry that set it up.
    pub entry: EntryNo,
    /// What the trader calls it.
    pub name: String,
    /// Its heading.
    pub heading: String,
    /// How often it comes round.
    pub every: Every,
    /// The first due day.
    pub first_on: NaiveDate,
    /// The last day it can fall due.
    pub until: Option<NaiveDate>,
    /// Where the money comes from.
    pub pocket: Pocket,
    /// Amounts by first day, earliest first.
    pub amounts: Vec<StandingAmount>,
    /// Due days let off.
    pub skipped: Vec<NaiveDate>,
}

/// One due day of a standing cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Falling<'a> {
    /// The day.
    pub on: NaiveDate,
    /// What it costs that day.
    pub amount: Pence,
    /// The VAT in it.
    pub vat: Pence,
    /// The standing cost.
    pub standing: &'a Standing,
}

impl Standing {
    /// The `n`th due day, 0 the first; none past the calendar's end.
    fn due_day(&self, n: u32) -> Option<NaiveDate> {
        match self.every {
            Every::Week => self.first_on.checked_add_days(Days::new(7 * u64::from(n))),
            Every::Month => Some(add_months_clamped(self.first_on, n)),
            Every::Quarter => Some(add_months_clamped(self.first_on, n.checked_mul(3)?)),
            Every::Year => Some(add_months_clamped(self.first_on, n.checked_mul(12)?)),
        }
    }

    /// Whether `day` is a due day, skipped or not.
    pub fn falls_on(&self, day: NaiveDate) -> bool {
        self.days_to(day).last() == Some(day)
    }

    /// The first due day on or after `day`, within its span and not skipped.
    pub fn next_from(&self, day: NaiveDate) -> Option<NaiveDate> {
        (0..)
            .map_while(|n| self.due_day(n))
            .take_while(|on| {
                self.until.is_none_or(|until| *on <= until) && on.signed_duration_since(day).num_days() < 800
            })
            .find(|on| *on >= day && !self.skipped.contains(on))
    }

    fn days_to(&self, to: NaiveDate) -> impl Iterator<Item = NaiveDate> {
        let last = self.until.map_or(to, |until| until.min(to));
        (0..).map_while(|n| self.due_day(n)).take_while(move |on| *on <= last)
    }

    /// The amount in force on `day`: the latest that has begun, else the earliest known.
    pub fn amount_on(&self, day: NaiveDate) -> Option<StandingAmount> {
        self.amounts.iter().rev().find(|amount| amount.from <= day).or(self.amounts.first()).copied()
    }

    /// Every due day from `from` to `to`, both included, skipped ones left out.
    pub fn falling(&self, from: NaiveDate, to: NaiveDate) -> impl Iterator<Item = Falling<'_>> {
        self.days_to(to).filter(move |on| *on >= from && !self.skipped.contains(on)).filter_map(|on| {
            let amount = self.amount_on(on)?;
            Some(Falling { on, amount: amount.amount, vat: amount.vat, standing: self })
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn rent(every: Every, first_on: &str) -> Standing {
        Standing {
            standing_no: 1,
            entry: 1,
            name: "yard rent".into(),
            heading: "rent".into(),
            every,
            first_on: day(first_on),
            until: None,
            pocket: Pocket::Bank,
            amounts: vec![StandingAmount { from: day(first_on), amount: Pence::new(12_000), vat: Pence::ZERO }],
            skipped: Vec::new(),
        }
    }

    fn days(standing: &Standing, from: &str, to: &str) -> Vec<String> {
        standing.falling(day(from), day(to)).map(|due| due.on.to_string()).collect()
    }

    #[test]
    fn month_ends_clamp_and_never_drift() {
        let rent = rent(Every::Month, "2026-01-31");
        assert_eq!(
            days(&rent, "2026-01-01", "2026-05-31"),
            ["2026-01-31", "2026-02-28", "2026-03-31", "2026-04-30", "2026-05-31"]
        );
    }

    #[test]
    fn weeks_quarters_and_years_step_from_the_first_day() {
        assert_eq!(days(&rent(Every::Week, "2026-11-02"), "2026-11-10", "2026-11-23"), ["2026-11-16", "2026-11-23"]);
        assert_eq!(days(&rent(Every::Quarter, "2025-11-30"), "2026-01-01", "2026-06-30"), ["2026-02-28", "2026-05-30"]);
        assert_eq!(
            days(&rent(Every::Year, "2024-02-29"), "2025-01-01", "2028-12-31"),
            ["2025-02-28", "2026-02-28", "2027-02-28", "2028-02-29"]
        );
    }

    #[test]
    fn a_skip_a_stop_and_a_change_each_take_effect_on_their_day() {
        let mut rent = rent(Every::Month, "2026-01-01");
        rent.until = Some(day("2026-05-15"));
        rent.skipped = vec![day("2026-03-01")];
        rent.amounts.push(StandingAmount { from: day("2026-04-01"), amount: Pence::new(13_000), vat: Pence::ZERO });
        let due: Vec<_> = rent
            .falling(day("2026-01-01"), day("2026-12-31"))
            .map(|due| (due.on.to_string(), due.amount.get()))
            .collect();
        assert_eq!(
            due,
            [
                ("2026-01-01".into(), 12_000),
                ("2026-02-01".into(), 12_000),
                ("2026-04-01".into(), 13_000),
                ("2026-05-01".into(), 13_000)
            ]
        );
        assert!(rent.falls_on(day("2026-03-01")) && !rent.falls_on(day("2026-03-02")));
        assert_eq!(rent.next_from(day("2026-02-02")), Some(day("2026-04-01")));
        assert_eq!(rent.next_from(day("2026-05-02")), None);
    }
}

//! Facts that lapse: MOT tests, vehicle tax, the pre-sale list, papers of the business.

use crate::domain::days::day::days_between;
use crate::domain::law::mot::{Defect, DefectLevel};
use crate::domain::value::checklist::CheckState;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::word_set;
use chrono::NaiveDate;

/// One MOT test.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MotTest {
    /// The book's own number for it.
    pub mot_test_no: i64,
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The day of the test.
    pub on: NaiveDate,
    /// Whether it passed.
    pub passed: bool,
    /// The certificate's last day, when passed.
    pub until: Option<NaiveDate>,
    /// Miles on the odometer.
    pub miles: Option<u32>,
    /// What was found.
    pub defects: Vec<Defect>,
}

impl MotTest {
    /// The gravest defect found.
    pub fn worst(&self) -> Option<DefectLevel> {
        self.defects.iter().map(|defect| defect.level).min()
    }
}

word_set! {
    /// What was done about a car's vehicle tax.
    TaxKind, "vehicle tax" {
        /// A licence was taken out.
        Taxed = "taxed",
        /// It was declared off the road.
        Sorn = "sorn",
        /// Neither stands.
        None = "none",
    }
}

/// Something done about a car's vehicle tax.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TaxEvent {
    /// The book's own number for it.
    pub vehicle_tax_no: i64,
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The day it was done.
    pub on: NaiveDate,
    /// What.
    pub kind: TaxKind,
    /// The day it takes effect.
    pub starts: NaiveDate,
    /// The licence's last day.
    pub until: Option<NaiveDate>,
    /// The yearly rate a refund is worked from, when known.
    pub annual_rate: Option<Pence>,
}

/// How a car's vehicle tax stands on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TaxStatus {
    /// Taxed by the trader, to a day.
    Taxed(NaiveDate),
    /// Declared off the road.
    Sorn,
    /// Neither: a bought car starts untaxed, for tax does not pass with it (Finance Act 2014 s.89).
    Untaxed,
}

impl TaxStatus {
    /// How tax stands on `day` after these events, oldest first.
    pub fn on(day: NaiveDate, events: &[TaxEvent]) -> Self {
        let begun = |event: &&TaxEvent| event.on <= day && event.starts <= day;
        match events.iter().rev().find(begun) {
            Some(TaxEvent { kind: TaxKind::Taxed, until: Some(until), .. }) if *until >= day => Self::Taxed(*until),
            Some(TaxEvent { kind: TaxKind::Sorn, .. }) => Self::Sorn,
            _ => Self::Untaxed,
        }
    }

    /// How a car that last came in on `came_in` stands on `day`: tax ends when a car leaves, so only what was
    /// done since counts (Finance Act 2014 s.89: tax does not pass with the car).
    pub fn since(came_in: NaiveDate, day: NaiveDate, events: &[TaxEvent]) -> Self {
        let since: Vec<TaxEvent> = events.iter().filter(|event| event.on >= came_in).cloned().collect();
        Self::on(day, &since)
    }

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Taxed(_) => "taxed",
            Self::Sorn => "sorn",
            Self::Untaxed => "none",
        }
    }

    /// The last day of the tax.
    pub const fn until(self) -> Option<NaiveDate> {
        match self {
            Self::Taxed(until) => Some(until),
            Self::Sorn | Self::Untaxed => None,
        }
    }
}

/// The latest word on an item of the pre-sale list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CarCheck {
    /// The item's word.
    pub item: String,
    /// The entry that said so.
    pub entry: EntryNo,
    /// Done, not needed or not done.
    pub state: CheckState,
    /// The day it was said.
    pub on: NaiveDate,
    /// A note.
    pub note: Option<String>,
}

/// A dated document of the business.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Paper {
    /// The book's own number for it.
    pub paper_no: i64,
    /// The entry that added it.
    pub entry: EntryNo,
    /// What the trader calls it.
    pub name: String,
    /// Its last day.
    pub until: NaiveDate,
    /// Days ahead it wants to be seen; the setting when none.
    pub remind_days: Option<i64>,
}

/// How a car's MOT stands on a day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct MotStanding {
    /// The last day of the certificate known.
    pub until: Option<NaiveDate>,
    /// Whether the latest test was a fail.
    pub failed: bool,
    /// The gravest defect of the latest test: outstanding until a test finds otherwise.
    pub worst_defect: Option<DefectLevel>,
}

impl MotStanding {
    /// Days to the certificate's last day, negative once lapsed. It is good for the whole of that
    /// day.
    pub fn days_left(&self, day: NaiveDate) -> Option<i64> {
        self.until.map(|until| days_between(day, until))
    }

    /// Whether a certificate covers `day`.
    pub fn covers(&self, day: NaiveDate) -> bool {
        self.until.is_some_and(|until| until >= day)
    }
}

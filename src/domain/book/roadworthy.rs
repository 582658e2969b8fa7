//! What the book holds against letting a car be driven away: why a caution is made where it is sold or
//! offered. That nothing is held against it never says that it is roadworthy.

use crate::domain::book::dated_facts::MotStanding;
use crate::domain::book::facts::{Showing, Vehicle};
use crate::domain::days::day::long;
use crate::domain::law::mot::{DefectLevel, Region, first_due, may_be_exempt};
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;
use std::fmt;

/// To sell, to offer to sell and to show for sale are all to supply, and to supply a car in an unroadworthy
/// condition is an offence.
///
/// Source: Road Traffic Act 1988 s.75(1) and (2), legislation.gov.uk/ukpga/1988/52/section/75.
pub const OFFENCE: &str = "selling a car in an unroadworthy condition, or offering it for sale, is an offence (Road \
    Traffic Act 1988 s.75); if in doubt ask an MOT tester or your local trading standards";

/// One thing held against it. Little MOT left is none: that is only worth less.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Concern {
    /// No MOT certificate is known, and one is needed.
    NoMot,
    /// The certificate known ran out.
    MotEnded(NaiveDate),
    /// Its last test found something dangerous.
    Dangerous,
    /// Its last test found a major defect.
    Major,
    /// It failed its last test, and what on was not recorded.
    Failed,
}

impl fmt::Display for Concern {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&match self {
            Self::NoMot => "no MOT is recorded for it".to_owned(),
            Self::MotEnded(until) => format!("its MOT ran out on {}", long(*until)),
            Self::Dangerous => {
                "its last test found a dangerous defect, and it may not be driven until repaired".to_owned()
            }
            Self::Major => "its last test found a major defect, not passed since".to_owned(),
            Self::Failed => "it failed its last test and has not passed since".to_owned(),
        })
    }
}

/// What is held against a vehicle on `day`, by how its MOT stands then. A vehicle too new to need a test, or
/// old enough that it may need none, has no MOT held against it.
pub fn concerns(mot: &MotStanding, vehicle: &Vehicle, region: Region, day: NaiveDate) -> Vec<Concern> {
    let needs_none = vehicle.first_registered.is_some_and(|registered| {
        first_due(registered, region, vehicle.kind).last_day_without >= day || may_be_exempt(registered, day)
    });
    let certificate = match mot.until {
        _ if needs_none || mot.covers(day) => None,
        Some(until) => Some(Concern::MotEnded(until)),
        None => Some(Concern::NoMot),
    };
    let found = match mot.worst_defect {
        Some(DefectLevel::Dangerous) => Some(Concern::Dangerous),
        Some(DefectLevel::Major) => Some(Concern::Major),
        _ => mot.failed.then_some(Concern::Failed),
    };
    [certificate, found].into_iter().flatten().collect()
}

/// Whether a car in stock is on offer: advertised, or kept for somebody who paid a deposit.
pub fn on_offer(showing: &Showing, deposit_held: Pence) -> bool {
    showing.asking_price.is_some() || deposit_held.is_positive()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::fixture::bought;
    use crate::domain::value::words::Kind;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn held(mot: MotStanding, first_registered: Option<&str>, on: &str) -> Vec<Concern> {
        let car = bought(1, "2026-10-01", 385);
        let vehicle = Vehicle { kind: Kind::Car, first_registered: first_registered.map(day), ..car.vehicle };
        concerns(&mot, &vehicle, Region::Gb, day(on))
    }

    #[test]
    fn a_certificate_that_still_runs_is_enough_however_short() {
        let mot = MotStanding { until: Some(day("2026-11-25")), failed: false, worst_defect: None };
        assert_eq!(held(mot, None, "2026-11-25"), []);
        assert_eq!(held(mot, None, "2026-11-26"), [Concern::MotEnded(day("2026-11-25"))]);
        assert_eq!(held(MotStanding::default(), None, "2026-11-25"), [Concern::NoMot]);
    }

    #[test]
    fn what_the_last_test_found_counts_beside_a_certificate_that_runs() {
        let until = Some(day("2027-01-01"));
        for (worst_defect, failed, wanted) in [
            (Some(DefectLevel::Dangerous), true, Some(Concern::Dangerous)),
            (Some(DefectLevel::Major), true, Some(Concern::Major)),
            (Some(DefectLevel::Minor), false, None),
            (Some(DefectLevel::Advisory), false, None),
            (Some(DefectLevel::Advisory), true, Some(Concern::Failed)),
            (None, true, Some(Concern::Failed)),
            (None, false, None),
        ] {
            let mot = MotStanding { until, failed, worst_defect };
            assert_eq!(held(mot, None, "2026-11-25"), Vec::from_iter(wanted), "{worst_defect:?} {failed}");
        }
    }

    /// Road Traffic Act 1988 s.47 (three years), and "Historic (classic) vehicles", GOV.UK (forty).
    #[test]
    fn a_vehicle_that_needs_no_test_has_no_mot_held_against_it() {
        let none = MotStanding::default();
        for (registered, wanted) in [
            ("2023-11-26", &[][..]),
            ("2023-11-25", &[Concern::NoMot]),
            ("1986-11-26", &[Concern::NoMot]),
            ("1986-11-25", &[]),
        ] {
            assert_eq!(held(none, Some(registered), "2026-11-25"), wanted, "{registered}");
        }
        let failed = MotStanding { failed: true, worst_defect: Some(DefectLevel::Major), until: None };
        assert_eq!(held(failed, Some("1986-11-25"), "2026-11-25"), [Concern::Major]);
    }
}

//! Sales that an average leaves out: which and why, for machines and in a sentence.

use crate::domain::book::facts::Car;
use crate::domain::days::day::long;
use crate::domain::figures::period_figures::{Averages, LeftOut};
use crate::report::cell::IsoDay;
use crate::report::phrase;
use serde::Serialize;

/// The most cars named in one sentence.
const MOST_NAMED: usize = 4;

/// A sale that is not in every average.
#[derive(Clone, Debug, Serialize)]
pub struct LeftOutRow {
    stock_no: u32,
    mark: Option<String>,
    why: &'static str,
    taken_back_on: Option<IsoDay>,
    #[serde(skip)]
    label: String,
}

impl LeftOutRow {
    /// The sales that `averages` leave out.
    pub(super) fn all(averages: &Averages<'_>) -> Vec<Self> {
        averages.left_out.iter().map(|(car, why)| Self::from_car(car, *why)).collect()
    }

    fn from_car(car: &Car, why: LeftOut) -> Self {
        let (why, taken_back_on) = match why {
            LeftOut::TakenBack(on) => ("taken-back", Some(IsoDay(on))),
            LeftOut::StoodInAtNothing => ("stood-in-at-nothing", None),
        };
        Self {
            stock_no: car.stock_no.get(),
            mark: car.mark.as_ref().map(ToString::to_string),
            why,
            taken_back_on,
            label: car.label(),
        }
    }
}

/// Over which sales the averages are, where that is not all `sold`.
pub(super) fn over_which(sold: usize, left_out: &[LeftOutRow]) -> Option<String> {
    let back: Vec<String> = left_out
        .iter()
        .filter_map(|row| Some(format!("{} came back on {}", row.label, long(row.taken_back_on?.0))))
        .collect();
    if back.is_empty() {
        return None;
    }
    let named = named(&back);
    Some(match sold.saturating_sub(back.len()) {
        0 => format!("There are no averages: {named}."),
        over => format!("The averages are over {over} of the {} sold: {named}.", phrase::cars(sold)),
    })
}

/// Which sales have no return of their own.
pub(super) fn without_a_return(left_out: &[LeftOutRow]) -> Option<String> {
    let of_nothing = left_out.iter().filter(|row| row.taken_back_on.is_none());
    let labels: Vec<String> = of_nothing.map(|row| row.label.clone()).collect();
    (!labels.is_empty())
        .then(|| format!("Mean and median of the returns leave out {}: stood in at nothing.", named(&labels)))
}

/// `a, b and 3 more`.
pub(super) fn named(all: &[String]) -> String {
    let (shown, more) = all.split_at(all.len().min(MOST_NAMED));
    let shown = shown.join(", ");
    if more.is_empty() { shown } else { format!("{shown} and {} more", more.len()) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::fixture::{bought, day};

    fn rows(why: &[LeftOut]) -> Vec<LeftOutRow> {
        why.iter()
            .zip(8..)
            .map(|(why, number)| LeftOutRow::from_car(&bought(number, "2026-09-02", 620), *why))
            .collect()
    }

    #[test]
    fn it_says_how_many_the_averages_are_over_and_which_came_back() {
        let back = LeftOut::TakenBack(day("2026-11-05"));
        for (sold, why, said) in [
            (7, &[][..], None),
            (7, &[LeftOut::StoodInAtNothing], None),
            (
                7,
                &[back, LeftOut::StoodInAtNothing],
                Some("The averages are over 6 of the 7 cars sold: 8 (no plates) came back on 5 Nov 2026."),
            ),
            (1, &[back], Some("There are no averages: 8 (no plates) came back on 5 Nov 2026.")),
        ] {
            assert_eq!(over_which(sold, &rows(why)).as_deref(), said, "{why:?}");
        }
        let many = over_which(20, &rows(&[back; 6])).unwrap_or_default();
        assert!(many.starts_with("The averages are over 14 of the 20 cars sold: 8 "), "{many}");
        assert!(many.ends_with("and 2 more."), "{many}");
    }

    #[test]
    fn a_car_that_stood_in_at_nothing_has_no_return() {
        assert_eq!(without_a_return(&rows(&[LeftOut::TakenBack(day("2026-11-05"))])), None);
        assert_eq!(
            without_a_return(&rows(&[LeftOut::StoodInAtNothing])).as_deref(),
            Some("Mean and median of the returns leave out 8 (no plates): stood in at nothing.")
        );
    }
}

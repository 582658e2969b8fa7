//! Scales: from a value to its place, and where the marks of an axis stand.

/// A straight scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Scale {
    least: i64,
    most: i64,
    from: i64,
    to: i64,
}

impl Scale {
    /// From values between `least` and `most` to places between `from` and `to`, either way round.
    pub(super) const fn new((least, most): (i64, i64), (from, to): (i64, i64)) -> Self {
        Self { least, most, from, to }
    }

    /// The place of a value; one off the scale stands at its end.
    pub(super) fn place(&self, value: i64) -> i64 {
        let span = i128::from(self.most) - i128::from(self.least);
        let along =
            i128::from(value.clamp(self.least.min(self.most), self.most.max(self.least))) - i128::from(self.least);
        let room = i128::from(self.to) - i128::from(self.from);
        // To the nearest place; the halves do not matter on paper.
        let places = (2 * along * room + span * room.signum()).checked_div(2 * span).unwrap_or_default();
        self.from + i64::try_from(places).unwrap_or_default()
    }
}

/// An axis: the values its marks stand at, evenly, nothing among them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Axis {
    /// From the least to the greatest.
    pub(super) marks: Vec<i64>,
}

impl Axis {
    /// An axis that holds nothing and every one of `values`, with about `intervals` steps of 1, 2 or 5
    /// times a power of ten, none smaller than `smallest`.
    pub(super) fn spanning(values: impl IntoIterator<Item = i64>, intervals: i64, smallest: i64) -> Self {
        let (least, most) = values.into_iter().fold((0, 0), |(least, most), value| (value.min(least), value.max(most)));
        let span = i128::from(most) - i128::from(least);
        let intervals = i128::from(intervals.max(1));
        let step = round_step(((span + intervals - 1) / intervals).max(i128::from(smallest)));
        let first = i128::from(least).div_euclid(step);
        let last = -(-i128::from(most)).div_euclid(step);
        let last = if first == last { last + 1 } else { last };
        let marks = (first..=last).filter_map(|number| i64::try_from(number * step).ok());
        Self { marks: marks.collect() }
    }

    /// The least and the greatest mark.
    pub(super) fn ends(&self) -> (i64, i64) {
        (self.marks.first().copied().unwrap_or(0), self.marks.last().copied().unwrap_or(1))
    }
}

/// The smallest of 1, 2 or 5 times a power of ten that is not below `wanted`.
fn round_step(wanted: i128) -> i128 {
    let mut power = 1;
    loop {
        for times in [1, 2, 5] {
            if times * power >= wanted {
                return times * power;
            }
        }
        power *= 10;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_value_has_its_place_either_way_round() {
        let right = Scale::new((0, 100), (10, 210));
        assert_eq!([0, 50, 100].map(|value| right.place(value)), [10, 110, 210]);
        let up = Scale::new((-100, 100), (1000, 0));
        assert_eq!([-100, 0, 100].map(|value| up.place(value)), [1000, 500, 0]);
    }

    #[test]
    fn what_is_off_the_scale_stands_at_its_end_and_a_scale_of_nothing_at_its_beginning() {
        let scale = Scale::new((0, 10), (0, 100));
        assert_eq!((scale.place(-5), scale.place(11)), (0, 100));
        assert_eq!(Scale::new((7, 7), (3, 100)).place(7), 3);
    }

    #[test]
    fn marks_are_round_and_hold_every_value() {
        for (values, intervals, marks) in [
            (&[0, 34_015][..], 4, &[0, 10_000, 20_000, 30_000, 40_000][..]),
            (&[-12_000, 34_015], 4, &[-20_000, 0, 20_000, 40_000]),
            (&[-300, -100], 4, &[-300, -200, -100, 0]),
            (&[100], 1, &[0, 100]),
            (&[101], 1, &[0, 200]),
            (&[], 4, &[0, 100]),
            (&[0, 0], 4, &[0, 100]),
        ] {
            assert_eq!(Axis::spanning(values.iter().copied(), intervals, 100).marks, marks, "{values:?}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn an_axis_holds_its_values_in_few_steps(values in prop::collection::vec(any::<i64>().prop_map(|v| v / 4), 0..6), intervals in 1_i64..8) {
            let axis = Axis::spanning(values.iter().copied(), intervals, 1);
            let (least, most) = axis.ends();
            prop_assert!(least < most && axis.marks.contains(&0));
            prop_assert!(values.iter().all(|value| (least..=most).contains(value)));
            prop_assert!(axis.marks.len() <= usize::try_from(intervals + 3).unwrap());
        }

        #[test]
        fn places_keep_the_order_and_stay_inside(a in any::<i64>(), b in any::<i64>(), least in any::<i64>(), most in any::<i64>()) {
            let scale = Scale::new((least.min(most), least.max(most)), (100, 3_500));
            let (low, high) = (scale.place(a.min(b)), scale.place(a.max(b)));
            prop_assert!(low <= high && (100..=3_500).contains(&low) && (100..=3_500).contains(&high));
        }
    }
}

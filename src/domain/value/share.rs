//! Sharing an amount between cars so that the parts add up to it, to the penny.

use crate::domain::value::pence::Pence;

/// `total` divided in proportion to `weights`, in their order, by largest remainder.
///
/// Each part is first rounded towards zero; the pennies left over go one each to the parts
/// that lost most, ties to the earlier position (callers pass the lowest stock number first).
/// The parts always add up to `total`, which may be negative. A weight of zero or less takes
/// nothing, unless none is above zero: then all share equally. No weights, no parts.
pub fn divide(total: Pence, weights: &[i64]) -> Vec<Pence> {
    let mut shares: Vec<i128> = weights.iter().map(|&weight| i128::from(weight.max(0))).collect();
    let mut sum: i128 = shares.iter().sum();
    if sum == 0 {
        shares.fill(1);
        sum = shares.iter().sum();
    }
    // In i128 an i64 total times an i64 weight cannot overflow.
    let whole = i128::from(total.get().unsigned_abs());
    let mut parts: Vec<i128> = shares.iter().map(|share| whole * share / sum).collect();

    let mut by_remainder: Vec<usize> = (0..shares.len()).collect();
    // A stable sort, so equal remainders keep their order.
    by_remainder.sort_by_key(|&position| std::cmp::Reverse(whole * shares[position] % sum));
    let mut left_over = whole - parts.iter().sum::<i128>();
    for position in by_remainder {
        if left_over == 0 {
            break;
        }
        parts[position] += 1;
        left_over -= 1;
    }

    let sign = i128::from(total.get().signum());
    parts.into_iter().map(|part| pence(sign * part)).collect()
}

/// `total` divided into `n` parts that differ by a penny at most, the larger ones first.
pub fn divide_equally(total: Pence, n: usize) -> Vec<Pence> {
    divide(total, &vec![1; n])
}

/// No part is larger than the total, which was an `i64`, so the limit is never met.
fn pence(part: i128) -> Pence {
    Pence::new(i64::try_from(part).unwrap_or(if part < 0 { i64::MIN } else { i64::MAX }))
}

#[cfg(test)]
mod tests {
    use super::{divide, divide_equally};
    use crate::domain::value::pence::Pence;

    fn parts(total: i64, weights: &[i64]) -> Vec<i64> {
        divide(Pence::new(total), weights).into_iter().map(Pence::get).collect()
    }

    #[test]
    fn the_largest_remainders_take_the_pennies_left_over() {
        for (total, weights, expected) in [
            (100, &[1, 1, 1][..], &[34, 33, 33][..]),
            (200, &[1, 1, 1], &[67, 67, 66]),
            (100, &[1, 2, 3], &[17, 33, 50]),
            (10, &[1, 6, 1], &[1, 8, 1]),
            // 8.4, 2.1, 4.5: the penny goes to the last, not the first.
            (15, &[56, 14, 30], &[8, 2, 5]),
            (-100, &[1, 1, 1], &[-34, -33, -33]),
            (0, &[3, 4], &[0, 0]),
            (1, &[1, 1], &[1, 0]),
            (7, &[5], &[7]),
            (7, &[], &[]),
        ] {
            assert_eq!(parts(total, weights), expected, "{total} by {weights:?}");
        }
    }

    #[test]
    fn a_weight_of_nothing_takes_nothing() {
        assert_eq!(parts(101, &[0, 1, 1]), [0, 51, 50]);
        assert_eq!(parts(101, &[-7, 1, 1]), [0, 51, 50]);
        // None above zero: equally, as there is nothing to go by.
        assert_eq!(parts(101, &[0, 0]), [51, 50]);
        assert_eq!(parts(101, &[-1, -2]), [51, 50]);
    }

    #[test]
    fn equal_parts_differ_by_a_penny_at_most() {
        assert_eq!(divide_equally(Pence::new(-5), 3), [-2, -2, -1].map(Pence::new));
        assert_eq!(divide_equally(Pence::new(5), 0), []);
    }

    #[test]
    fn the_limits_do_not_overflow() {
        assert_eq!(parts(i64::MIN, &[i64::MAX]), [i64::MIN]);
        assert_eq!(parts(i64::MAX, &[i64::MAX, 0]), [i64::MAX, 0]);
        assert_eq!(parts(i64::MIN, &[i64::MAX, i64::MAX]), [i64::MIN / 2, i64::MIN / 2]);
    }
}

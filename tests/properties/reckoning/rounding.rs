//! Rounding and sharing, worked out again: whole numbers only, but for means of returns.

use rust_decimal::{Decimal, RoundingStrategy};
use serde_json::Value;

/// `top ÷ bottom`, half away from zero; `bottom` above zero.
pub fn rounded(top: i128, bottom: i128) -> i128 {
    assert!(bottom > 0);
    let size = (2 * top.abs() + bottom) / (2 * bottom);
    if top < 0 { -size } else { size }
}

/// The same for pence.
pub fn pence(top: i128, bottom: i128) -> i64 {
    i64::try_from(rounded(top, bottom)).expect("small sums")
}

/// Money as JSON tells it.
pub fn money(pence: i64) -> Value {
    let sign = if pence < 0 { "-" } else { "" };
    let size = pence.unsigned_abs();
    Value::String(format!("{sign}{}.{:02}", size / 100, size % 100))
}

/// A ratio to two decimals; null when there is nothing to divide by.
pub fn ratio(top: i128, bottom: i128) -> Value {
    if bottom > 0 { hundredths(rounded(top * 100, bottom)) } else { Value::Null }
}

/// A ratio that is held against a whole number and never rounded up to it.
pub fn ratio_against(top: i128, bottom: i128, mark: i128) -> Value {
    if bottom <= 0 {
        return Value::Null;
    }
    let plain = rounded(top * 100, bottom);
    hundredths(if top < mark * bottom { plain.min(mark * 100 - 1) } else { plain })
}

/// Selling price over what a car stood in at: two is doubled.
pub fn multiple(price: i64, stood_in: i64) -> Value {
    ratio_against(i128::from(price), i128::from(stood_in), 2)
}

/// Profit as a percentage of what a car stood in at: a hundred is doubled.
pub fn return_pct(profit: i64, stood_in: i64) -> Value {
    ratio_against(i128::from(profit) * 100, i128::from(stood_in), 100)
}

fn hundredths(number: i128) -> Value {
    let sign = if number < 0 { "-" } else { "" };
    let size = number.unsigned_abs();
    serde_json::from_str(&format!("{sign}{}.{:02}", size / 100, size % 100)).expect("a number")
}

/// The mean of whole numbers.
pub fn mean(of: &[i64]) -> Value {
    ratio(of.iter().map(|one| i128::from(*one)).sum(), i128::try_from(of.len()).expect("few"))
}

/// The middle one, or the mean of the middle two.
pub fn median(of: &[i64]) -> Value {
    let mut sorted = of.to_vec();
    sorted.sort_unstable();
    match sorted.len() {
        0 => Value::Null,
        odd if odd % 2 == 1 => mean(&sorted[odd / 2..=odd / 2]),
        even => mean(&sorted[even / 2 - 1..=even / 2]),
    }
}

/// Mean and median of returns, each profit over what its car stood in at; cars that stood in at
/// nothing have none.
pub fn mean_and_median_return(of: &[(i64, i64)]) -> (Value, Value) {
    let mut returns: Vec<Decimal> = of
        .iter()
        .filter(|(_, stood_in)| *stood_in > 0)
        .map(|(profit, stood_in)| Decimal::from(*profit) * Decimal::from(100) / Decimal::from(*stood_in))
        .collect();
    if returns.is_empty() {
        return (Value::Null, Value::Null);
    }
    returns.sort_unstable();
    let average = |of: &[Decimal]| {
        let mean = of.iter().sum::<Decimal>() / Decimal::from(of.len());
        let shown = mean.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
        hundredths((shown * Decimal::from(100)).try_into().expect("a small number"))
    };
    let (half, odd) = (returns.len() / 2, returns.len() % 2 == 1);
    (average(&returns), average(&returns[if odd { half } else { half - 1 }..=half]))
}

/// `whole` shared by `weights` to the penny: rounded down, then a penny each to those that lost
/// most, the earlier first. Equal shares where no weight is above nothing.
pub fn shared(whole: i64, weights: &[i64]) -> Vec<i64> {
    let weights: Vec<i64> = if weights.iter().sum::<i64>() == 0 { vec![1; weights.len()] } else { weights.to_vec() };
    let total: i128 = weights.iter().map(|weight| i128::from(*weight)).sum();
    let mut parts = Vec::new();
    let mut lost = Vec::new();
    for weight in &weights {
        let exact = i128::from(whole) * i128::from(*weight);
        parts.push(i64::try_from(exact / total).expect("a part"));
        lost.push(exact % total);
    }
    while parts.iter().sum::<i64>() < whole {
        let mut most = 0;
        for (place, loss) in lost.iter().enumerate() {
            if *loss > lost[most] {
                most = place;
            }
        }
        parts[most] += 1;
        lost[most] = -1;
    }
    parts
}

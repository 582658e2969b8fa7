//! What changes hands when a car is bought or sold, and how a cost is divided between cars.

use crate::domain::car_ref::StockNo;
use crate::domain::margin_vat::vat_in;
use crate::domain::pence::Pence;
use crate::domain::rates::standard_vat_rate;
use crate::domain::refusal::Refusal;
use crate::domain::share::{divide, divide_equally};
use chrono::NaiveDate;

/// What is paid to the seller on the day: the price less the part owed to a lender, unless
/// another amount, never more, was typed.
pub fn paid_for_purchase(price: Pence, finance: Pence, typed: Option<Pence>) -> Result<Pence, Refusal> {
    if finance > price {
        return Err(Refusal::FinanceTooBig { finance, price });
    }
    let due = price - finance;
    match typed {
        Some(paid) if paid > due => Err(Refusal::MoreThanOwed { given: paid, owed: due, who: "to the seller".into() }),
        Some(paid) => Ok(paid),
        None => Ok(due),
    }
}

/// What the buyer pays on the day: the price less what his cars were taken in at, unless another
/// amount, never more, was typed. Negative when the cars taken in are worth more than the price:
/// the difference is paid to him.
pub fn received_for_sale(price: Pence, allowances: Pence, typed: Option<Pence>) -> Result<Pence, Refusal> {
    let due = price - allowances;
    match typed {
        Some(paid) if due.is_negative() && !paid.is_zero() => Err(Refusal::DifferenceGoesToBuyer { due: -due }),
        Some(paid) if paid > due && !due.is_negative() => {
            Err(Refusal::MoreThanOwed { given: paid, owed: due, who: "by the buyer".into() })
        }
        Some(paid) if !due.is_negative() => Ok(paid),
        _ => Ok(due),
    }
}

/// VAT is part of what was paid and never more than the standard rate's fraction of it: a sixth at
/// 20 % (VAT Notice 700), give or take the penny a bill's own rounding may add.
pub fn check_vat(vat: Pence, amount: Pence, on: NaiveDate) -> Result<(), Refusal> {
    let most = standard_vat_rate(on).map_or(amount, |rate| vat_in(amount, rate));
    if vat > most + Pence::new(1) { Err(Refusal::VatTooBig { vat, amount, most }) } else { Ok(()) }
}

/// One car's (or the yard's) part of a cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// The car; none for the yard.
    pub stock_no: Option<StockNo>,
    /// Its part of the amount.
    pub amount: Pence,
    /// Its part of the usual price.
    pub usual_price: Option<Pence>,
    /// Its part of the VAT.
    pub vat: Pence,
}

/// Shares a cost equally between cars; odd pence go to the lower stock numbers.
pub fn share_equally(
    cars: &[StockNo],
    amount: Pence,
    usual_price: Option<Pence>,
    vat: Pence,
) -> Result<Vec<Part>, Refusal> {
    let mut cars = cars.to_vec();
    cars.sort_unstable();
    if let Some((car, _)) = cars.iter().zip(cars.iter().skip(1)).find(|(one, next)| one == next) {
        return Err(Refusal::NamedTwice { what: format!("car {car}") });
    }
    let amounts = divide_equally(amount, cars.len());
    let usual = usual_price.map(|usual| divide_equally(usual, cars.len()));
    let vats = divide(vat, &weights(&amounts));
    Ok(parts(cars.into_iter().map(Some).zip(amounts), usual.as_deref(), vats))
}

/// Splits a cost in stated parts, which must make the whole; usual price and VAT in proportion.
pub fn split(
    stated: &[(Option<StockNo>, Pence)],
    amount: Pence,
    usual_price: Option<Pence>,
    vat: Pence,
) -> Result<Vec<Part>, Refusal> {
    let mut stated = stated.to_vec();
    // Cars by number, the yard last: the order odd pence are given out in.
    stated.sort_by_key(|(car, _)| (car.is_none(), *car));
    if let Some(pair) = stated.windows(2).find(|pair| pair[0].0 == pair[1].0) {
        let what = pair[0].0.map_or_else(|| "overhead".to_owned(), |car| format!("car {car}"));
        return Err(Refusal::NamedTwice { what });
    }
    let sum: Pence = stated.iter().map(|(_, part)| *part).sum();
    if sum != amount {
        return Err(Refusal::PartsDoNotAddUp { amount, parts: sum });
    }
    let amounts: Vec<Pence> = stated.iter().map(|(_, part)| *part).collect();
    let usual = usual_price.map(|usual| divide(usual, &weights(&amounts)));
    let vats = divide(vat, &weights(&amounts));
    Ok(parts(stated.into_iter(), usual.as_deref(), vats))
}

fn weights(amounts: &[Pence]) -> Vec<i64> {
    amounts.iter().map(|amount| amount.get()).collect()
}

fn parts(
    stated: impl Iterator<Item = (Option<StockNo>, Pence)>,
    usual: Option<&[Pence]>,
    vats: Vec<Pence>,
) -> Vec<Part> {
    stated
        .zip(vats)
        .enumerate()
        .map(|(n, ((stock_no, amount), vat))| Part {
            stock_no,
            amount,
            usual_price: usual.and_then(|usual| usual.get(n).copied()),
            vat,
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pence(pence: i64) -> Pence {
        Pence::new(pence)
    }

    #[test]
    fn a_purchase_is_paid_in_full_unless_said() {
        assert_eq!(paid_for_purchase(pence(45_000), Pence::ZERO, None), Ok(pence(45_000)));
        assert_eq!(paid_for_purchase(pence(45_000), pence(20_000), None), Ok(pence(25_000)));
        assert_eq!(paid_for_purchase(pence(45_000), Pence::ZERO, Some(pence(10_000))), Ok(pence(10_000)));
        assert!(paid_for_purchase(pence(45_000), pence(20_000), Some(pence(25_001))).is_err());
        assert!(paid_for_purchase(pence(45_000), pence(45_001), None).is_err());
    }

    #[test]
    fn a_dearer_car_taken_in_leaves_money_for_the_buyer() {
        assert_eq!(received_for_sale(pence(90_000), pence(30_000), None), Ok(pence(60_000)));
        assert_eq!(received_for_sale(pence(90_000), pence(100_000), None), Ok(pence(-10_000)));
        assert_eq!(received_for_sale(pence(90_000), pence(100_000), Some(Pence::ZERO)), Ok(pence(-10_000)));
        assert!(received_for_sale(pence(90_000), pence(100_000), Some(pence(5))).is_err());
        assert!(received_for_sale(pence(90_000), Pence::ZERO, Some(pence(90_001))).is_err());
    }

    #[test]
    fn odd_pence_go_to_the_lower_stock_numbers() {
        let shared = share_equally(
            &[StockNo::new(9), StockNo::new(2), StockNo::new(4)],
            pence(1_000),
            Some(pence(2_000)),
            pence(100),
        )
        .unwrap();
        let got: Vec<_> = shared
            .iter()
            .map(|part| {
                (part.stock_no.unwrap().get(), part.amount.get(), part.usual_price.unwrap().get(), part.vat.get())
            })
            .collect();
        assert_eq!(got, [(2, 334, 667, 34), (4, 333, 667, 33), (9, 333, 666, 33)]);
        assert!(share_equally(&[StockNo::new(2), StockNo::new(2)], pence(10), None, Pence::ZERO).is_err());
    }

    #[test]
    fn a_split_must_make_the_whole() {
        let one = (Some(StockNo::new(1)), pence(4_500));
        let yard = (None, pence(1_500));
        assert_eq!(split(&[yard, one], pence(6_000), None, Pence::ZERO).unwrap()[0].stock_no, Some(StockNo::new(1)));
        assert!(split(&[yard, one], pence(6_001), None, Pence::ZERO).is_err());
        assert!(split(&[yard, yard], pence(3_000), None, Pence::ZERO).is_err());
    }

    #[test]
    fn vat_is_at_most_a_sixth_at_the_present_rate() {
        let on = "2026-11-25".parse().unwrap();
        assert!(check_vat(pence(1_000), pence(6_000), on).is_ok());
        assert!(check_vat(pence(1_001), pence(6_000), on).is_ok());
        assert!(check_vat(pence(1_002), pence(6_000), on).is_err());
        assert!(check_vat(Pence::ZERO, Pence::ZERO, on).is_ok());
    }
}

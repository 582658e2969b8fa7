//! What changes hands when a car is bought or sold, and how a cost is divided between cars.

use crate::domain::book::claims::Given;
use crate::domain::law::margin_vat::vat_in;
use crate::domain::law::rate_table::Rates;
use crate::domain::refusal::Refusal;
use crate::domain::refusal::deal_refusal::DealRefusal;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::share::{divide, divide_equally};
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

/// What the buyer pays on the day: the price less what their cars and their deposit count for, unless
/// another amount, never more, was typed. Negative when they are worth more than the price: the
/// difference is paid to them.
pub fn received_for_sale(price: Pence, credits: Pence, deposit: Pence, typed: Option<Pence>) -> Result<Pence, Refusal> {
    let due = price - credits - deposit;
    match typed {
        Some(paid) if due.is_negative() && !paid.is_zero() => Err(Refusal::DifferenceGoesToBuyer { due: -due }),
        Some(paid) if paid > due && !due.is_negative() => {
            Err(Refusal::MoreThanOwed { given: paid, owed: due, who: "by the buyer".into() })
        }
        Some(paid) if !due.is_negative() => Ok(paid),
        _ => Ok(due),
    }
}

/// How a take-back is settled.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settlement {
    /// Money to go back to the buyer; negative when they hand money over.
    pub refund: Pence,
    /// What they still owed, which lapses.
    pub lapsed: Pence,
    /// Allowances of the cars taken in that go back to them.
    pub returned: Pence,
    /// What they gave and do not get back.
    pub kept_back: Pence,
}

/// Settles a take-back of a sale at `price`, for which `given` was given. `returned` are the
/// allowances of cars that go back, `in_money` those of cars that should but are gone and so are paid
/// out. The refund is the money received so far and `in_money`, unless another, never more than what
/// was given and does not go back, was typed.
pub fn settle_take_back(
    price: Pence,
    given: Given,
    returned: Pence,
    in_money: Pence,
    typed: Option<Pence>,
) -> Result<Settlement, Refusal> {
    let most = given.total() - returned;
    let due = given.in_money() + in_money;
    let refund = match typed {
        Some(refund) if refund > most.max(Pence::ZERO) => {
            return Err(Refusal::from(DealRefusal::MoreThanGiven { given: refund, most: most.max(Pence::ZERO) }));
        }
        Some(refund) => refund,
        // They had money because their car was worth more: with their car back, they hand it over again.
        None if due.is_negative() && returned.is_zero() => Pence::ZERO,
        None => due,
    };
    Ok(Settlement { refund, lapsed: given.left_of(price), returned, kept_back: most - refund })
}

/// VAT is part of what was paid and never more than the standard rate's fraction of it: a sixth at
/// 20 % (VAT Notice 700), give or take the penny a bill's own rounding may add.
pub fn check_vat(vat: Pence, amount: Pence, on: NaiveDate, rates: &Rates) -> Result<(), Refusal> {
    let most = rates.standard_vat_rate(on).map_or(amount, |rate| vat_in(amount, rate));
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
        assert_eq!(paid_for_purchase(pence(53_500), Pence::ZERO, None), Ok(pence(53_500)));
        assert_eq!(paid_for_purchase(pence(53_500), pence(17_500), None), Ok(pence(36_000)));
        assert_eq!(paid_for_purchase(pence(53_500), Pence::ZERO, Some(pence(12_500))), Ok(pence(12_500)));
        assert!(paid_for_purchase(pence(53_500), pence(17_500), Some(pence(36_001))).is_err());
        assert!(paid_for_purchase(pence(53_500), pence(53_501), None).is_err());
    }

    #[test]
    fn a_dearer_car_taken_in_leaves_money_for_the_buyer() {
        let received = |credits, deposit, typed| {
            received_for_sale(pence(94_500), pence(credits), pence(deposit), typed).map(Pence::get)
        };
        assert_eq!(received(26_500, 0, None), Ok(68_000));
        assert_eq!(received(26_500, 7_500, None), Ok(60_500));
        assert_eq!(received(107_000, 0, None), Ok(-12_500));
        assert_eq!(received(88_000, 11_000, None), Ok(-4_500));
        assert_eq!(received(107_000, 0, Some(Pence::ZERO)), Ok(-12_500));
        assert!(received(107_000, 0, Some(pence(5))).is_err());
        assert!(received(0, 0, Some(pence(94_501))).is_err());
        assert!(received(0, 7_500, Some(pence(87_001))).is_err());
    }

    #[test]
    fn a_take_back_settles_everything_the_buyer_gave() {
        // Sold at £960: £180 deposit, £470 in money, a car taken in at £235; £75 still owed.
        let given = Given { credits: pence(23_500), deposit: pence(18_000), money: pence(47_000), ..Given::default() };
        let settle = |returned, in_money, typed: Option<i64>| {
            settle_take_back(pence(96_000), given, pence(returned), pence(in_money), typed.map(pence))
                .map(|done| [done.refund, done.lapsed, done.returned, done.kept_back].map(Pence::get))
        };
        // The money goes back, their car stays: its allowance is kept back.
        assert_eq!(settle(0, 0, None), Ok([65_000, 7_500, 0, 23_500]));
        // Their car goes back too, or its allowance in money once it is gone.
        assert_eq!(settle(23_500, 0, None), Ok([65_000, 7_500, 23_500, 0]));
        assert_eq!(settle(0, 23_500, None), Ok([88_500, 7_500, 0, 0]));
        // Something is taken off for use, but never more goes back than came.
        assert_eq!(settle(23_500, 0, Some(56_000)), Ok([56_000, 7_500, 23_500, 9_000]));
        assert!(settle(23_500, 0, Some(65_001)).is_err());
        assert_eq!(settle(0, 0, Some(88_500)), Ok([88_500, 7_500, 0, 0]));
        // Their car was worth £140 more than the price and they had that in money.
        let dearer = Given { credits: pence(110_000), money: pence(-14_000), ..Given::default() };
        let settle = |returned| settle_take_back(pence(96_000), dearer, pence(returned), Pence::ZERO, None).unwrap();
        assert_eq!((settle(110_000).refund, settle(110_000).kept_back), (pence(-14_000), Pence::ZERO));
        assert_eq!((settle(0).refund, settle(0).kept_back), (Pence::ZERO, pence(96_000)));
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
        let one = (Some(StockNo::new(1)), pence(4_730));
        let yard = (None, pence(1_500));
        assert_eq!(split(&[yard, one], pence(6_230), None, Pence::ZERO).unwrap()[0].stock_no, Some(StockNo::new(1)));
        assert!(split(&[yard, one], pence(6_231), None, Pence::ZERO).is_err());
        assert!(split(&[yard, yard], pence(3_000), None, Pence::ZERO).is_err());
    }

    #[test]
    fn vat_is_at_most_a_sixth_at_the_present_rate() {
        let on = "2026-11-25".parse().unwrap();
        assert!(check_vat(pence(1_000), pence(6_000), on, &Rates::default()).is_ok());
        assert!(check_vat(pence(1_001), pence(6_000), on, &Rates::default()).is_ok());
        assert!(check_vat(pence(1_002), pence(6_000), on, &Rates::default()).is_err());
        assert!(check_vat(Pence::ZERO, Pence::ZERO, on, &Rates::default()).is_ok());
    }
}

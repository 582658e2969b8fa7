//! VAT of a sale: on the margin of a second-hand car, or contained in a full price.
//!
//! Worked car by car and never netted: a loss on one car gives no credit against another. Costs
//! never enter: the purchase price is what was paid for the car alone. Only a registered trader
//! owes any of it; whether and when that is so is decided elsewhere.

use rust_decimal::Decimal;

use crate::domain::value::pence::Pence;

/// A rate of VAT in per cent, 0 to 100: 20 is 20 %.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct VatRate(Decimal);

impl From<Decimal> for VatRate {
    /// Takes a percentage from a table of rates. One below 0 or above 100, which no table holds,
    /// counts as the nearer of the two.
    fn from(percent: Decimal) -> Self {
        Self(percent.clamp(Decimal::ZERO, Decimal::ONE_HUNDRED))
    }
}

impl VatRate {
    /// The rate in per cent.
    pub fn percent(self) -> Decimal {
        self.0
    }

    /// The part of a VAT-inclusive amount in pounds that is VAT: rate ÷ (100 + rate), which is
    /// one sixth at 20 %. Rounded to the nearest penny, half away from zero: the permission to
    /// round down is for invoices, where supplier and customer offset each other (VAT Trader
    /// Records manual, VATREC12010), and a sale under the margin scheme shows no VAT.
    fn within(self, pounds: Decimal) -> Pence {
        Pence::from_pounds_rounded(pounds * self.0 / (Decimal::ONE_HUNDRED + self.0))
    }
}

/// VAT on the margin of one car: the VAT within max(0, selling price − purchase price), to the
/// nearest penny, half away from zero.
///
/// Source: Using the VAT margin scheme for second-hand vehicles (VAT Notice 718/1), GOV.UK. No
/// credit for a loss: Lyon v HMRC \[2009\] UKFTT 267 (TC), paragraph 5.
pub fn margin_vat(purchase_price: Pence, selling_price: Pence, rate: impl Into<VatRate>) -> Pence {
    let margin = selling_price.to_pounds() - purchase_price.to_pounds();
    rate.into().within(margin.max(Decimal::ZERO))
}

/// VAT contained in a full price, to the nearest penny, half away from zero: a car sold outside
/// the margin scheme, other taxable income, or the VAT to reclaim on a cost. Negative for an
/// amount paid back.
pub fn vat_in(gross: Pence, rate: impl Into<VatRate>) -> Pence {
    rate.into().within(gross.to_pounds())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn percent(tenths: i64) -> Decimal {
        Decimal::new(tenths, 1)
    }

    #[test]
    fn the_margin_alone_is_taxed_and_a_loss_is_nil() {
        for (bought, sold, tenths, vat) in [
            (84_000, 147_000, 200, 10_500),
            (0, 150_000, 200, 25_000),
            (150_000, 150_000, 200, 0),
            (150_000, 149_999, 200, 0),
            (150_000, 0, 200, 0),
            (100_000, 147_000, 175, 7_000),
            (100_000, 123_000, 150, 3_000),
            (84_000, 147_000, 0, 0),
            // a sixth of 2p is under half a penny, of 3p just a half, of 4p over it
            (0, 2, 200, 0),
            (0, 3, 200, 1),
            (0, 4, 200, 1),
            (0, 8, 200, 1),
            (0, 9, 200, 2),
        ] {
            let found = margin_vat(Pence::new(bought), Pence::new(sold), percent(tenths));
            assert_eq!(found, Pence::new(vat), "{bought} {sold} {tenths}");
        }
    }

    #[test]
    fn vat_in_a_full_price_keeps_the_sign_and_rounds_away_from_zero() {
        for (gross, vat) in [(120_000, 20_000), (0, 0), (3, 1), (-3, -1), (-120_000, -20_000)] {
            assert_eq!(vat_in(Pence::new(gross), percent(200)), Pence::new(vat), "{gross}");
        }
    }

    #[test]
    fn a_rate_stays_between_nothing_and_a_hundred() {
        let rate = |percent: Decimal| VatRate::from(percent).percent();
        assert_eq!(rate(percent(-1)), Decimal::ZERO);
        assert_eq!(rate(percent(175)), percent(175));
        assert_eq!(rate(Decimal::MAX), Decimal::ONE_HUNDRED);
        // Where the fraction could not be formed: −100 % and beyond what a decimal holds.
        assert_eq!(vat_in(Pence::new(120), percent(-1000)), Pence::new(0));
        assert_eq!(vat_in(Pence::new(120), Decimal::MAX), Pence::new(60));
    }
}

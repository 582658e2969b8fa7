//! What the papers of a deal have to say: whose name they go out in, what is said about VAT, and
//! how the price was settled, part by part, so that the parts and what is still due make the price.

use crate::domain::book::claims::{Given, owed_to_seller, paid_for, refund_owed};
use crate::domain::book::facts::{Car, Sale, TakeBack};
use crate::domain::law::margin_vat::vat_in;
use crate::domain::law::registration::Registration;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Outcome, Pocket};
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// The words an invoice for a car sold under the margin scheme carries, letter for letter.
///
/// Source: VAT margin schemes: Keeping records, GOV.UK, gov.uk/vat-margin-schemes/keeping-records.
pub const MARGIN_SCHEME: &str = "margin scheme - second hand goods";

/// Who the trader is, as far as the settings say.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Trader {
    /// The name the business goes by.
    pub name: Option<String>,
    /// Its address.
    pub address: Option<String>,
    /// Its telephone.
    pub phone: Option<String>,
    /// Its VAT registration number.
    pub vat_number: Option<String>,
}

impl Trader {
    /// Reads stored settings.
    pub fn read<'a>(stored: impl IntoIterator<Item = (&'a str, &'a str)>) -> Self {
        let mut trader = Self::default();
        for (key, value) in stored {
            let told = Some(value.to_owned());
            match key {
                "trader-name" => trader.name = told,
                "trader-address" => trader.address = told,
                "trader-phone" => trader.phone = told,
                "vat-number" => trader.vat_number = told,
                _ => {}
            }
        }
        trader
    }

    /// The settings a paper wants and does not find; the VAT number only of a trader registered.
    pub fn missing(&self, registered: bool) -> Vec<&'static str> {
        [
            ("trader-name", self.name.is_none()),
            ("trader-address", self.address.is_none()),
            ("trader-phone", self.phone.is_none()),
            ("vat-number", registered && self.vat_number.is_none()),
        ]
        .into_iter()
        .filter_map(|(key, missing)| missing.then_some(key))
        .collect()
    }
}

/// VAT as an ordinary VAT invoice shows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct VatShown {
    /// The rate, in per cent.
    pub rate: Decimal,
    /// The price without VAT.
    pub net: Pence,
    /// The VAT in it, to the nearest penny, half away from zero.
    pub vat: Pence,
}

/// What an invoice says about VAT.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum VatOnPaper {
    /// Nothing: the trader was not registered on the day of sale.
    None,
    /// The words of the margin scheme, and no VAT shown (VATMARG02150).
    MarginScheme,
    /// The VAT in the full price: a car bought on an invoice showing VAT is outside the scheme (VAT
    /// Notice 718/1), so its sale is an ordinary one.
    Shown(VatShown),
}

/// What the invoice for `sale` says about VAT, by the day of sale. What it shows is what the books
/// hold due on the sale.
pub fn vat_on_paper(car: &Car, sale: &Sale, registration: &Registration) -> VatOnPaper {
    match registration.rates.standard_vat_rate(sale.on) {
        Some(rate) if registration.holds_on(sale.on) && car.vat_invoice => {
            let vat = vat_in(sale.selling_price, rate);
            VatOnPaper::Shown(VatShown { rate, net: sale.selling_price - vat, vat })
        }
        Some(_) if registration.holds_on(sale.on) => VatOnPaper::MarginScheme,
        _ => VatOnPaper::None,
    }
}

/// One thing that settles part of a price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Settles {
    /// A car taken in, for what is left of its allowance once its finance is paid off.
    PartExchange {
        /// The car taken in.
        stock_no: StockNo,
        /// What was allowed for it.
        allowance: Pence,
        /// The part of that owed to a lender.
        finance: Pence,
    },
    /// The deposit that counted towards the price.
    Deposit,
    /// Money on a day; paid out to the buyer when negative.
    Payment {
        /// The day.
        on: NaiveDate,
        /// Where it went.
        pocket: Pocket,
    },
    /// Several payments together.
    Payments {
        /// How many.
        count: usize,
        /// The day of the last.
        last_on: NaiveDate,
    },
    /// Let off the buyer.
    WrittenOff,
    /// What was still owed when the car came back, and is owed no more.
    Lapsed,
    /// Money back to the buyer; money from them when negative.
    Refund,
    /// A car that had been taken in, given back.
    CarGivenBack {
        /// The car.
        stock_no: StockNo,
    },
    /// Kept of what was paid.
    KeptBack,
    /// Paid off to the lender out of the price.
    ToLender,
    /// Counted towards the price of a car sold.
    CountedTowardsSale,
    /// Paid to the seller on the day.
    ToSeller,
}

/// One part of a price and what settles it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// What settles it.
    pub by: Settles,
    /// How much of it.
    pub amount: Pence,
}

/// How a price was settled: the parts and what is due make the price.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// In the order they are told; none of nothing.
    pub parts: Vec<Part>,
    /// What is still due.
    pub balance_due: Pence,
}

impl Account {
    fn from_parts(price: Pence, parts: impl IntoIterator<Item = (Settles, Pence)>) -> Self {
        let parts: Vec<Part> =
            parts.into_iter().filter(|(_, amount)| !amount.is_zero()).map(|(by, amount)| Part { by, amount }).collect();
        let settled: Pence = parts.iter().map(|part| part.amount).sum();
        Self { parts, balance_due: price - settled }
    }

    /// The parts with the payments told as one when there are more than `most`, so that a price paid
    /// off week by week still goes on one page.
    pub fn parts_at_most(&self, most: usize) -> Vec<Part> {
        let day = |part: &Part| match part.by {
            Settles::Payment { on, .. } => Some(on),
            _ => None,
        };
        let days: Vec<NaiveDate> = self.parts.iter().filter_map(day).collect();
        let Some(last_on) = days.iter().copied().max().filter(|_| days.len() > most) else {
            return self.parts.clone();
        };
        let amount = self.parts.iter().filter(|part| day(part).is_some()).map(|part| part.amount).sum();
        let mut joined = Some(Part { by: Settles::Payments { count: days.len(), last_on }, amount });
        let told = |part: &Part| if day(part).is_some() { joined.take() } else { Some(part.clone()) };
        self.parts.iter().filter_map(told).collect()
    }
}

/// How the price of `sale` was settled by the last day `car` was loaded to.
pub fn account_of_sale(car: &Car, sale: &Sale) -> Account {
    let given = Given::for_sale(car, sale);
    let taken_in = sale.part_exchanges.iter().map(|taken| {
        let (stock_no, allowance, finance) = (taken.stock_no, taken.allowance, taken.finance);
        (Settles::PartExchange { stock_no, allowance, finance }, taken.credit())
    });
    let paid = paid_for(car, sale).map(|paid| (Settles::Payment { on: paid.on, pocket: paid.pocket }, paid.amount));
    let lapsed = sale.taken_back.as_ref().map_or(Pence::ZERO, |back| back.lapsed);
    let rest = [(Settles::WrittenOff, given.written_off), (Settles::Lapsed, lapsed)];
    Account::from_parts(sale.selling_price, taken_in.chain([(Settles::Deposit, given.deposit)]).chain(paid).chain(rest))
}

/// How the price of `sale`, credited when the car came back, was settled with the buyer: what went
/// back, what was kept, what was never paid. `taken_in` are the cars taken in for the sale.
pub fn account_of_credit(car: &Car, sale: &Sale, back: &TakeBack, taken_in: &[Car]) -> Account {
    let given_back = sale.part_exchanges.iter().filter(|part| {
        let other = taken_in.iter().find(|other| other.stock_no == part.stock_no);
        let left = other.and_then(|other| other.disposal.as_ref());
        left.is_some_and(|left| left.how == Outcome::Returned && left.entry == back.entry)
    });
    let given_back = given_back.map(|part| (Settles::CarGivenBack { stock_no: part.stock_no }, part.allowance));
    let written_off = Given::for_sale(car, sale).written_off;
    let rest =
        [(Settles::KeptBack, back.kept_back), (Settles::WrittenOff, written_off), (Settles::Lapsed, back.lapsed)];
    Account::from_parts(sale.selling_price, [(Settles::Refund, back.refund)].into_iter().chain(given_back).chain(rest))
}

/// What of the refund of the car's latest take-back is still to be paid on `day`.
pub fn refund_to_pay(car: &Car, back: &TakeBack, day: NaiveDate) -> Pence {
    let latest = car.sales.iter().rev().find_map(|sale| sale.taken_back.as_ref());
    if latest.is_some_and(|latest| latest.entry == back.entry) {
        refund_owed(car, day).min(back.refund).max(Pence::ZERO)
    } else {
        Pence::ZERO
    }
}

/// How the purchase price was settled on the day of purchase.
pub fn account_of_purchase(car: &Car) -> Account {
    let counted = car.taken_in_at.unwrap_or_default();
    // What is owed on the day holds the lender's part, unless more than the seller's own was paid.
    let to_pay = (owed_to_seller(car, car.bought_on) - car.finance).max(Pence::ZERO);
    let paid = car.purchase_price - car.finance - counted - to_pay;
    Account::from_parts(
        car.purchase_price,
        [(Settles::ToLender, car.finance), (Settles::CountedTowardsSale, counted), (Settles::ToSeller, paid)],
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn a_vat_number_is_wanted_only_of_a_trader_registered() {
        let trader = Trader::read([("trader-name", "Wend Lane Motors"), ("region", "GB")]);
        assert_eq!(trader.missing(false), ["trader-address", "trader-phone"]);
        assert_eq!(trader.missing(true), ["trader-address", "trader-phone", "vat-number"]);
    }

    #[test]
    fn many_payments_are_told_as_one_and_nothing_is_lost() {
        let payment = |n: u32| {
            let on = day("2026-11-01") + chrono::Days::new(n.into());
            (Settles::Payment { on, pocket: Pocket::Cash }, Pence::new(1_000))
        };
        let account = Account::from_parts(
            Pence::new(10_000),
            [(Settles::Deposit, Pence::new(500)), payment(0), payment(7), payment(3), (Settles::Lapsed, Pence::ZERO)],
        );
        assert_eq!(account.balance_due, Pence::new(6_500));
        assert_eq!(account.parts_at_most(3), account.parts);
        let joined = account.parts_at_most(2);
        let together = Settles::Payments { count: 3, last_on: day("2026-11-08") };
        assert_eq!(joined[1..], [Part { by: together, amount: Pence::new(3_000) }]);
        assert_eq!(joined.len(), 2);
    }
}

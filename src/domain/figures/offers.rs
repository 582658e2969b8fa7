//! What taking an offer would make.

use crate::domain::book::facts::{Car, Offer};
use crate::domain::figures::car_figures::{days_in_stock, stands_in};
use crate::domain::figures::stock_ratios::{multiple, return_pct};
use crate::domain::law::registration::Registration;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// What selling a car at some price would make.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WouldMake {
    /// Price less VAT due on it less what the car stands in at.
    pub profit: Pence,
    /// That as a percentage of what it stands in at.
    pub return_pct: Option<Decimal>,
    /// Price ÷ stands in at.
    pub multiple: Option<Decimal>,
    /// Days in stock.
    pub days: i64,
}

/// What the car would make if sold at `price` on `day`, on which it is in stock.
pub fn would_make(car: &Car, price: Pence, day: NaiveDate, registration: &Registration) -> WouldMake {
    let stands_in = stands_in(car, day, registration);
    let profit = price - registration.on_sale(car.purchase_price, price, car.vat_invoice, day) - stands_in;
    WouldMake {
        profit,
        return_pct: return_pct(profit, stands_in),
        multiple: multiple(price, stands_in),
        days: days_in_stock(car, day).unwrap_or_default(),
    }
}

/// Offers, each with what taking it on the day it was made would have made: it is told so ever after.
pub fn offers_made(car: &Car, offers: Vec<Offer>, registration: &Registration) -> Vec<(Offer, WouldMake)> {
    let made = |offer: Offer| {
        let makes = would_make(car, offer.amount, offer.on, registration);
        (offer, makes)
    };
    offers.into_iter().map(made).collect()
}

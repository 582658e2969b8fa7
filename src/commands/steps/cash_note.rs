//! The caution about cash: what was paid in notes for one deal, linked payments together.

use crate::commands::steps::lookup;
use crate::domain::law::cash_limit::caution;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Pocket, Purpose};
use crate::error::Error;
use crate::store::Reader;
use chrono::NaiveDate;

/// Scrap metal may not be bought for cash (Scrap Metal Dealers Act 2013 s.12, from memory).
pub const SCRAP_FOR_CASH: &str = "scrap may not be paid for in cash in England and Wales (Scrap Metal Dealers Act 2013 \
    s.12): have it paid by cheque or transfer";

/// Which of a car's two deals the cash was for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Deal {
    /// Its purchase.
    Purchase,
    /// Its sale: deposits and refunds too.
    Sale,
}

/// A caution when cash made or taken for the deal reaches the high-value-dealer limit of its day.
pub fn cash_note(reader: Reader<'_>, stock_no: StockNo, deal: Deal, on: NaiveDate) -> Result<Option<String>, Error> {
    let car = lookup::whole_car(reader, stock_no)?;
    let of_deal = |purpose| match purpose {
        Purpose::Purchase => deal == Deal::Purchase,
        Purpose::Sale | Purpose::Deposit | Purpose::Refund => deal == Deal::Sale,
        _ => false,
    };
    let cash: Vec<(NaiveDate, Pence)> = car
        .settlements
        .iter()
        .filter(|moved| moved.pocket == Pocket::Cash && of_deal(moved.purpose))
        .map(|moved| (moved.on, moved.amount.abs()))
        .collect();
    Ok(caution(&cash, on, &reader.rates()).map(|caution| caution.to_string()))
}

//! Sales and the cars taken in as part payment for them.

use crate::domain::car_ref::StockNo;
use crate::domain::pence::Pence;
use crate::store::{BookError, Recording};
use chrono::NaiveDate;
use rusqlite::params;

/// A sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewSale {
    /// The car sold.
    pub stock_no: StockNo,
    /// The day.
    pub sold_on: NaiveDate,
    /// The full price.
    pub selling_price: Pence,
    /// Who bought it.
    pub buyer: Option<String>,
    /// His address.
    pub address: Option<String>,
    /// Sold to another trader.
    pub to_trade: bool,
    /// Delivery, when later.
    pub delivered_on: Option<NaiveDate>,
    /// Sold at a distance.
    pub distance: bool,
}

impl Recording<'_> {
    /// Adds a sale and gives its number.
    pub fn add_sale(&self, sale: &NewSale) -> Result<i64, BookError> {
        self.transaction.execute(
            "INSERT INTO sale (entry_no, stock_no, sold_on, selling_price, buyer, address, to_trade, delivered_on, distance)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            params![
                self.entry(),
                sale.stock_no,
                sale.sold_on,
                sale.selling_price,
                sale.buyer,
                sale.address,
                sale.to_trade,
                sale.delivered_on,
                sale.distance
            ],
        )?;
        Ok(self.transaction.last_insert_rowid())
    }

    /// Adds a car taken in as part payment for a sale.
    pub fn add_part_exchange(&self, sale_no: i64, taken_in: StockNo, allowance: Pence) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO part_exchange (entry_no, sale_no, stock_no, allowance) VALUES (?1, ?2, ?3, ?4)",
            params![self.entry(), sale_no, taken_in, allowance],
        )?;
        Ok(())
    }
}

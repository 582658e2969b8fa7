//! Sales, the cars taken in as part payment for them, take-backs, disposals, offers, what became of
//! deposits, balances written off.

use crate::domain::book::dealing::Settlement;
use crate::domain::book::facts::{DepositEnd, Disposal, Offer, PartExchange, Sale, TakeBack, WriteOff};
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::Outcome;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::keep::entries::Recording;
use crate::store::values::{day, day_if_any};
use chrono::NaiveDate;
use rusqlite::{Row, params};
use std::collections::BTreeMap;

const SALES: &str = "
    SELECT s.stock_no, s.sale_no, s.entry_no, s.sold_on, s.selling_price, s.buyer, s.address, s.to_trade,
        s.delivered_on, s.distance, t.entry_no, t.dated, t.refund, t.lapsed, t.returned, t.kept_back, t.reason,
        t.take_back_no
    FROM sale s LEFT JOIN take_back t ON t.sale_no = s.sale_no AND t.dated <= ?2
    WHERE s.stock_no IN (SELECT value FROM json_each(?1)) AND s.sold_on <= ?2 ORDER BY s.sold_on, s.sale_no";

const PART_EXCHANGES: &str = "
    SELECT s.stock_no, s.sale_no, p.stock_no, p.allowance, c.finance
    FROM part_exchange p JOIN sale s USING (sale_no) JOIN car c ON c.stock_no = p.stock_no
    WHERE s.stock_no IN (SELECT value FROM json_each(?1)) AND s.sold_on <= ?2 ORDER BY p.part_exchange_no";

/// Rows of a table about cars, dated by a day.
fn on_cars(columns: &str, table: &str) -> String {
    format!(
        "SELECT stock_no, {columns} FROM {table} WHERE stock_no IN (SELECT value FROM json_each(?1)) AND dated <= ?2
         ORDER BY stock_no, dated, {table}_no"
    )
}

impl Reader<'_> {
    /// The sales of cars made by `to`, by car, with how each was reversed by then.
    pub(crate) fn sales_of_cars(&self, list: &str, to: NaiveDate) -> Result<BTreeMap<StockNo, Vec<Sale>>, BookError> {
        let mut found = self.connection.prepare_cached(SALES)?;
        let rows = found.query_map(params![list, to], |row| Ok((row.get(0)?, sale_from_row(row)?)))?;
        let mut sales: BTreeMap<StockNo, Vec<Sale>> = BTreeMap::new();
        for row in rows {
            let (stock_no, sale) = row?;
            sales.entry(stock_no).or_default().push(sale);
        }
        let mut parts = self.connection.prepare_cached(PART_EXCHANGES)?;
        let mut rows = parts.query(params![list, to])?;
        while let Some(row) = rows.next()? {
            let (sold, sale_no): (StockNo, i64) = (row.get(0)?, row.get(1)?);
            if let Some(sale) = sales.get_mut(&sold).and_then(|all| all.iter_mut().find(|sale| sale.sale_no == sale_no))
            {
                sale.part_exchanges.push(PartExchange {
                    stock_no: row.get(2)?,
                    allowance: row.get(3)?,
                    finance: row.get(4)?,
                });
            }
        }
        Ok(sales)
    }

    pub(crate) fn disposals_of_cars(
        &self,
        list: &str,
        to: NaiveDate,
    ) -> Result<BTreeMap<StockNo, Disposal>, BookError> {
        let mut found =
            self.connection.prepare_cached(&on_cars("entry_no, dated, how, value, party, certificate", "disposal"))?;
        let disposals = found
            .query_map(params![list, to], |row| {
                let disposal = Disposal {
                    entry: row.get(1)?,
                    on: day(row, 2)?,
                    how: row.get(3)?,
                    value: row.get(4)?,
                    party: row.get(5)?,
                    certificate: row.get(6)?,
                };
                Ok((row.get(0)?, disposal))
            })?
            .collect::<Result<_, _>>()?;
        Ok(disposals)
    }

    pub(crate) fn deposit_ends_on_cars(
        &self,
        list: &str,
        to: NaiveDate,
    ) -> Result<BTreeMap<StockNo, Vec<DepositEnd>>, BookError> {
        let mut found = self.connection.prepare_cached(&on_cars("entry_no, dated, amount, sale_no", "deposit_end"))?;
        let ends: Vec<(StockNo, DepositEnd)> = found
            .query_map(params![list, to], |row| {
                let end =
                    DepositEnd { entry: row.get(1)?, on: day(row, 2)?, amount: row.get(3)?, sale_no: row.get(4)? };
                Ok((row.get(0)?, end))
            })?
            .collect::<Result<_, _>>()?;
        Ok(by_car(ends))
    }

    pub(crate) fn write_offs_on_cars(
        &self,
        list: &str,
        to: NaiveDate,
    ) -> Result<BTreeMap<StockNo, Vec<WriteOff>>, BookError> {
        let mut found = self.connection.prepare_cached(&on_cars("entry_no, dated, amount", "write_off"))?;
        let offs: Vec<(StockNo, WriteOff)> = found
            .query_map(params![list, to], |row| {
                Ok((row.get(0)?, WriteOff { entry: row.get(1)?, on: day(row, 2)?, amount: row.get(3)? }))
            })?
            .collect::<Result<_, _>>()?;
        Ok(by_car(offs))
    }

    /// The offers made for a car by `to`, oldest first.
    pub fn offers(&self, car: StockNo, to: NaiveDate) -> Result<Vec<Offer>, BookError> {
        let mut found = self.connection.prepare_cached(
            "SELECT entry_no, dated, amount, party FROM offer WHERE stock_no = ?1 AND dated <= ?2
             ORDER BY dated, offer_no",
        )?;
        let offers = found
            .query_map(params![car, to], |row| {
                Ok(Offer { entry: row.get(0)?, on: day(row, 1)?, amount: row.get(2)?, by: row.get(3)? })
            })?
            .collect::<Result<_, _>>()?;
        Ok(offers)
    }
}

fn by_car<T>(rows: Vec<(StockNo, T)>) -> BTreeMap<StockNo, Vec<T>> {
    let mut groups: BTreeMap<StockNo, Vec<T>> = BTreeMap::new();
    for (stock_no, row) in rows {
        groups.entry(stock_no).or_default().push(row);
    }
    groups
}

fn sale_from_row(row: &Row<'_>) -> rusqlite::Result<Sale> {
    let taken_back = match day_if_any(row, 11)? {
        Some(on) => Some(TakeBack {
            take_back_no: row.get(17)?,
            entry: row.get(10)?,
            on,
            refund: row.get(12)?,
            lapsed: row.get(13)?,
            returned: row.get(14)?,
            kept_back: row.get(15)?,
            reason: row.get(16)?,
        }),
        None => None,
    };
    Ok(Sale {
        sale_no: row.get(1)?,
        entry: row.get(2)?,
        on: day(row, 3)?,
        selling_price: row.get(4)?,
        buyer: row.get(5)?,
        address: row.get(6)?,
        to_trade: row.get(7)?,
        delivered_on: day_if_any(row, 8)?,
        distance: row.get(9)?,
        part_exchanges: Vec::new(),
        taken_back,
    })
}

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

/// A car leaving stock without a sale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewDisposal {
    /// The day.
    pub on: NaiveDate,
    /// How.
    pub how: Outcome,
    /// What one kept is worth, or the allowance one goes back at.
    pub value: Pence,
    /// Who has it.
    pub party: Option<String>,
    /// Reference of the Certificate of Destruction.
    pub certificate: Option<String>,
}

impl Recording<'_> {
    /// Adds a sale and gives its number.
    pub fn add_sale(&self, sale: &NewSale) -> Result<i64, BookError> {
        self.transaction
            .prepare_cached(
                "INSERT INTO sale (entry_no, stock_no, sold_on, selling_price, buyer, address, to_trade, delivered_on,
                     distance)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            )?
            .execute(params![
                self.entry(),
                sale.stock_no,
                sale.sold_on,
                sale.selling_price,
                sale.buyer,
                sale.address,
                sale.to_trade,
                sale.delivered_on,
                sale.distance
            ])?;
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

    /// Adds an offer.
    pub fn add_offer(&self, car: StockNo, on: NaiveDate, amount: Pence, by: Option<&str>) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO offer (entry_no, stock_no, dated, amount, party) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![self.entry(), car, on, amount, by],
        )?;
        Ok(())
    }

    /// Keeps a car for whoever paid a deposit, until a day if one was agreed.
    pub fn add_deposit_hold(&self, car: StockNo, on: NaiveDate, until: Option<NaiveDate>) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO deposit_hold (entry_no, stock_no, dated, hold_until) VALUES (?1, ?2, ?3, ?4)",
            params![self.entry(), car, on, until],
        )?;
        Ok(())
    }

    /// Ends the holding of deposit money: it counts towards a sale, or is kept; of nothing, nothing.
    pub fn add_deposit_end(
        &self,
        car: StockNo,
        on: NaiveDate,
        amount: Pence,
        sale_no: Option<i64>,
    ) -> Result<(), BookError> {
        if amount.is_zero() {
            return Ok(());
        }
        self.transaction.execute(
            "INSERT INTO deposit_end (entry_no, stock_no, dated, amount, sale_no) VALUES (?1, ?2, ?3, ?4, ?5)",
            params![self.entry(), car, on, amount, sale_no],
        )?;
        Ok(())
    }

    /// Writes off part of what a buyer owes.
    pub fn add_write_off(&self, car: StockNo, on: NaiveDate, amount: Pence) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO write_off (entry_no, stock_no, dated, amount) VALUES (?1, ?2, ?3, ?4)",
            params![self.entry(), car, on, amount],
        )?;
        Ok(())
    }

    /// Reverses a sale.
    pub fn add_take_back(
        &self,
        sale_no: i64,
        on: NaiveDate,
        settled: &Settlement,
        reason: Option<&str>,
    ) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO take_back (entry_no, sale_no, dated, refund, lapsed, returned, kept_back, reason)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            params![
                self.entry(),
                sale_no,
                on,
                settled.refund,
                settled.lapsed,
                settled.returned,
                settled.kept_back,
                reason
            ],
        )?;
        Ok(())
    }

    /// Lets a car leave stock without a sale.
    pub fn add_disposal(&self, car: StockNo, disposal: &NewDisposal) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO disposal (entry_no, stock_no, dated, how, value, party, certificate)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            params![self.entry(), car, disposal.on, disposal.how, disposal.value, disposal.party, disposal.certificate],
        )?;
        Ok(())
    }

    /// Tells the hammer price from the auctioneer's fee in a purchase price.
    pub fn add_auction_purchase(&self, car: StockNo, hammer: Pence, fee: Pence) -> Result<(), BookError> {
        self.transaction.execute(
            "INSERT INTO auction_purchase (entry_no, stock_no, hammer_price, buyers_fee) VALUES (?1, ?2, ?3, ?4)",
            params![self.entry(), car, hammer, fee],
        )?;
        Ok(())
    }
}

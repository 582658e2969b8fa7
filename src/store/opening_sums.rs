//! What is owed and held before the first day of a slice of facts, as plain sums.

use crate::domain::day::LAST_DAY;
use crate::domain::facts::Opening;
use crate::domain::pence::Pence;
use crate::domain::registration::Registration;
use crate::store::{BookError, Reader};
use chrono::NaiveDate;
use rusqlite::params;

/// Sales on registered days; the third parameter, the first day not summed, is theirs by their last.
const SALES_MADE: &str = "
    SELECT c.purchase_price, s.selling_price, c.vat_invoice, s.sold_on FROM sale s JOIN car c USING (stock_no)
    WHERE s.sold_on BETWEEN ?1 AND ?2 AND s.sold_on < ?3";

/// Those of them reversed before the third parameter, whatever the day of the reversal.
const SALES_REVERSED: &str = "
    SELECT c.purchase_price, s.selling_price, c.vat_invoice, s.sold_on
    FROM take_back t JOIN sale s USING (sale_no) JOIN car c USING (stock_no)
    WHERE s.sold_on BETWEEN ?1 AND ?2 AND t.dated < ?3";

/// Deposits kept, and what was kept back of refunds, on registered days.
const MONEY_KEPT: &str = "
    SELECT c.purchase_price, d.amount, c.vat_invoice, d.dated FROM deposit_end d JOIN car c USING (stock_no)
    WHERE d.sale_no IS NULL AND d.dated BETWEEN ?1 AND ?2 AND d.dated < ?3
    UNION ALL SELECT c.purchase_price, t.kept_back, c.vat_invoice, t.dated
    FROM take_back t JOIN sale s USING (sale_no) JOIN car c USING (stock_no)
    WHERE t.kept_back > 0 AND t.dated BETWEEN ?1 AND ?2 AND t.dated < ?3";

impl Reader<'_> {
    /// The sums of everything dated before `from`.
    pub(super) fn opening(&self, from: NaiveDate, registration: &Registration) -> Result<Opening, BookError> {
        let sum = |sql: &str| -> Result<Pence, BookError> {
            Ok(self
                .connection
                .prepare_cached(sql)?
                .query_row([from], |row| row.get::<_, Option<Pence>>(0))?
                .unwrap_or_default())
        };
        let pocket = |pocket: &str| -> Result<Pence, BookError> {
            let spent = format!(
                "SELECT sum(CASE direction WHEN 'cost' THEN -amount ELSE amount END) FROM line
                 WHERE pocket = '{pocket}' AND dated < ?1"
            );
            let moved = format!("SELECT sum(amount) FROM movement WHERE pocket = '{pocket}' AND dated < ?1");
            Ok(sum(&spent)? + sum(&moved)?)
        };
        let settled = |purpose: &str| {
            sum(&format!("SELECT sum(amount) FROM movement WHERE purpose = '{purpose}' AND dated < ?1"))
        };
        let sold = sum("SELECT sum(selling_price) FROM sale WHERE sold_on < ?1")?;
        let credited = sum("SELECT sum(p.allowance - c.finance) FROM part_exchange p JOIN sale s USING (sale_no)
             JOIN car c ON c.stock_no = p.stock_no WHERE s.sold_on < ?1")?;
        let used = sum("SELECT sum(amount) FROM deposit_end WHERE sale_no IS NOT NULL AND dated < ?1")?;
        let written_off = sum("SELECT sum(amount) FROM write_off WHERE dated < ?1")?;
        let lapsed = sum("SELECT sum(lapsed) FROM take_back WHERE dated < ?1")?;
        let bought = sum("SELECT sum(purchase_price) FROM car WHERE bought_on < ?1")?;
        let taken_in = sum("SELECT sum(p.allowance - c.finance) FROM part_exchange p JOIN car c USING (stock_no)
             WHERE c.bought_on < ?1")?;
        Ok(Opening {
            cash: pocket("cash")?,
            bank: pocket("bank")?,
            owed_by_buyers: sold - credited - used - settled("sale")? - written_off - lapsed,
            deposits_held: settled("deposit")? - sum("SELECT sum(amount) FROM deposit_end WHERE dated < ?1")?,
            refunds_owed: settled("refund")? + sum("SELECT sum(refund) FROM take_back WHERE dated < ?1")?,
            owed_to_sellers: bought - taken_in + settled("purchase")?,
            bills: sum("SELECT sum(amount) FROM line WHERE pocket IS NULL AND dated < ?1")? + settled("bill")?,
            loans: settled("loan")?,
            vat_owed: self.vat_before(from, registration)? + settled("vat")?,
        })
    }

    /// VAT on sales and receipts less VAT reclaimed, on registered days before `from`.
    fn vat_before(&self, from: NaiveDate, registration: &Registration) -> Result<Pence, BookError> {
        let Some(registered) = registration.from.filter(|registered| *registered < from) else {
            return Ok(Pence::ZERO);
        };
        let until = registration.until.unwrap_or(LAST_DAY).min(from.pred_opt().unwrap_or(from));
        let span = params![registered, until];
        let mut vat: Pence = self
            .connection
            .prepare_cached(
                "SELECT sum(CASE direction WHEN 'cost' THEN -vat ELSE vat END) FROM line WHERE vat > 0 AND dated BETWEEN ?1 AND ?2",
            )?
            .query_row(span, |row| row.get::<_, Option<Pence>>(0))?
            .unwrap_or_default();
        vat -= self
            .connection
            .prepare_cached("SELECT sum(vat) FROM car WHERE vat_invoice = 1 AND bought_on BETWEEN ?1 AND ?2")?
            .query_row(span, |row| row.get::<_, Option<Pence>>(0))?
            .unwrap_or_default();
        vat += self.vat_by_sale(SALES_MADE, [registered, until, from], registration)?;
        vat -= self.vat_by_sale(SALES_REVERSED, [registered, until, from], registration)?;
        vat += self.vat_by_sale(MONEY_KEPT, [registered, until, from], registration)?;
        Ok(vat)
    }

    /// VAT worked out sale by sale: each row has the price bought at, the amount, whether it came on
    /// a VAT invoice, and the day that decides.
    fn vat_by_sale(&self, sql: &str, span: [NaiveDate; 3], registration: &Registration) -> Result<Pence, BookError> {
        let mut found = self.connection.prepare_cached(sql)?;
        let mut rows = found.query(span)?;
        let mut vat = Pence::ZERO;
        while let Some(row) = rows.next()? {
            vat += registration.on_sale(row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?);
        }
        Ok(vat)
    }
}

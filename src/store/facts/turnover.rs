//! Taxable turnover by month, for the watch on the VAT registration threshold.

use crate::domain::days::day::LAST_DAY;
use crate::domain::days::month::Month;
use crate::domain::law::registration::Registration;
use crate::domain::tax::vat_watch::Turnover;
use crate::domain::value::pence::Pence;
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::values::day;
use chrono::NaiveDate;
use rusqlite::params;

/// Full selling prices, less those of sales reversed; what was kept of deposits and refunds; cars kept, at
/// their value; receipts under headings that are sales on the return. The second and third parameters are
/// the first and last registered day, whose supplies stay out.
const BY_MONTH: &str = "
    SELECT month, sum(amount) FROM (
        SELECT date(sold_on, 'start of month') AS month, selling_price AS amount FROM sale
        WHERE sold_on <= ?1 AND sold_on NOT BETWEEN ?2 AND ?3
        UNION ALL SELECT date(t.dated, 'start of month'), -s.selling_price
        FROM take_back t JOIN sale s USING (sale_no) WHERE t.dated <= ?1 AND s.sold_on NOT BETWEEN ?2 AND ?3
        UNION ALL SELECT date(dated, 'start of month'), kept_back FROM take_back
        WHERE dated <= ?1 AND dated NOT BETWEEN ?2 AND ?3
        UNION ALL SELECT date(dated, 'start of month'), amount FROM deposit_end
        WHERE sale_no IS NULL AND dated <= ?1 AND dated NOT BETWEEN ?2 AND ?3
        UNION ALL SELECT date(dated, 'start of month'), value FROM disposal
        WHERE how = 'kept' AND dated <= ?1 AND dated NOT BETWEEN ?2 AND ?3
        UNION ALL SELECT date(dated, 'start of month'), amount FROM line
        WHERE heading IN (SELECT name FROM heading WHERE direction = 'receipt' AND return_heading = 'sales')
            AND dated <= ?1 AND dated NOT BETWEEN ?2 AND ?3
    ) GROUP BY month ORDER BY month";

impl Reader<'_> {
    /// Taxable turnover of every month up to `to`, leaving out what was supplied on days registered.
    pub fn turnover(&self, to: NaiveDate, without: &Registration) -> Result<Turnover, BookError> {
        let from = without.from.unwrap_or(LAST_DAY);
        let until = without.until.unwrap_or(LAST_DAY);
        let mut found = self.connection.prepare_cached(BY_MONTH)?;
        let months = found
            .query_map(params![to, from, until], |row| Ok((Month::containing(day(row, 0)?), row.get::<_, Pence>(1)?)))?
            .collect::<Result<Vec<_>, _>>()?;
        Ok(Turnover::new(months))
    }
}

//! Numbers of sales and take-backs that were given and are in the book no more, from the history.

use crate::domain::refusal::paper_refusal::NumberUndone;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::invoice_number::PaperNumber;
use crate::store::book::Reader;
use crate::store::book_error::BookError;

/// The last entry that removed each row; one brought back since is in its table again and not here.
const UNDONE: &str = "
    SELECT h.table_name = 'sale', h.row_no, max(h.entry_no)
    FROM entry_car a JOIN history h USING (entry_no)
    WHERE a.stock_no = ?1 AND h.after IS NULL AND (
        (h.table_name = 'sale' AND h.before ->> '$.stock_no' = ?1
            AND NOT EXISTS (SELECT 1 FROM sale s WHERE s.sale_no = h.row_no))
        OR (h.table_name = 'take_back'
            AND EXISTS (SELECT 1 FROM sale s WHERE s.sale_no = h.before ->> '$.sale_no' AND s.stock_no = ?1)
            AND NOT EXISTS (SELECT 1 FROM take_back t WHERE t.take_back_no = h.row_no)))
    GROUP BY h.table_name, h.row_no ORDER BY h.table_name, h.row_no";

impl Reader<'_> {
    /// The numbers of a car's sales, and of take-backs of sales that stand, that were undone, each
    /// with the entry that undid it, in order of number.
    pub fn numbers_undone(&self, car: StockNo) -> Result<Vec<NumberUndone>, BookError> {
        let mut found = self.connection.prepare_cached(UNDONE)?;
        let undone = found
            .query_map([car], |row| {
                let (is_sale, number): (bool, i64) = (row.get(0)?, row.get(1)?);
                let number = if is_sale { PaperNumber::Sale(number) } else { PaperNumber::TakeBack(number) };
                Ok(NumberUndone { number, by: row.get(2)? })
            })?
            .collect::<Result<_, _>>()?;
        Ok(undone)
    }
}

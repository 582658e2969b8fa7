//! Numbers that an undo took away: stock numbers, sales invoices, credit notes. They are never given
//! again, so the gap they leave is explained by the entries.

use crate::domain::figures::stock_book::{Series, UndoneNumber};
use crate::store::book::Reader;
use crate::store::book_error::BookError;

/// Rows added by an entry that an undo stands against, and that are not there now.
const UNDONE: &str = "
    SELECT h.table_name, h.row_no, e.entry_no, e.command, substr(e.recorded_at, 1, 10), u.entry_no,
        substr(u.recorded_at, 1, 10)
    FROM entry e JOIN entry u ON u.entry_no = e.undone_by JOIN history h ON h.entry_no = e.entry_no
    WHERE e.undone_by IS NOT NULL AND h.before IS NULL AND CASE h.table_name
        WHEN 'car' THEN NOT EXISTS (SELECT 1 FROM car WHERE stock_no = h.row_no)
        WHEN 'sale' THEN NOT EXISTS (SELECT 1 FROM sale WHERE sale_no = h.row_no)
        WHEN 'take_back' THEN NOT EXISTS (SELECT 1 FROM take_back WHERE take_back_no = h.row_no)
        ELSE FALSE END
    ORDER BY h.table_name, h.row_no";

impl Reader<'_> {
    /// Every number undone, series by series, in order.
    pub fn undone_numbers(&self) -> Result<Vec<UndoneNumber>, BookError> {
        let mut found = self.connection.prepare_cached(UNDONE)?;
        let undone = found
            .query_map([], |row| {
                let series = match row.get_ref(0)?.as_str()? {
                    "car" => Series::Stock,
                    "sale" => Series::Invoice,
                    _ => Series::CreditNote,
                };
                Ok(UndoneNumber {
                    series,
                    number: row.get(1)?,
                    entry: row.get(2)?,
                    command: row.get(3)?,
                    given_on: row.get(4)?,
                    undone_by: row.get(5)?,
                    undone_on: row.get(6)?,
                })
            })?
            .collect::<Result<_, _>>()?;
        Ok(undone)
    }
}

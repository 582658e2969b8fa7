//! What a shell is offered while a command is typed: read only, at once or not at all.

use crate::domain::law::rate_table::Rates;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::mark::Mark;
use crate::store::book::{Book, Reader};
use crate::store::book_error::BookError;
use crate::store::schema::opening::{check, connect_to_look};
use crate::store::schema::versions::{LADDER, version};
use rusqlite::params;
use std::path::Path;
use std::time::Duration;

/// How long a key press may wait for another program's writing.
const PATIENCE: Duration = Duration::from_millis(50);

/// A car that could be meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CarLike {
    /// Its number.
    pub stock_no: StockNo,
    /// The mark it carries now, if it has one.
    pub mark: Option<Mark>,
    /// Make and model, as far as known.
    pub description: String,
}

/// Which cars could be meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    /// Those in stock.
    InStock,
    /// Those that left it, the latest first.
    Gone,
}

/// Opens a book read-only for completing. One of another version is left alone: bringing it up to date is
/// writing.
pub fn open_to_complete(path: &Path) -> Result<Book, BookError> {
    let connection = connect_to_look(path)?;
    connection.busy_timeout(PATIENCE)?;
    check(&connection, path, LADDER)?;
    if version(&connection)? != LADDER.newest() {
        return Err(BookError::NotThere { path: path.to_owned() });
    }
    connection.execute_batch("BEGIN")?;
    Ok(Book { connection, path: path.to_owned(), rates: Rates::default() })
}

impl Reader<'_> {
    /// Cars whose mark (without spaces) or stock number begins so, in capitals or not.
    pub fn cars_like(&self, begun: &str, place: Place, most: usize) -> Result<Vec<CarLike>, BookError> {
        let (condition, order) = match place {
            Place::InStock => ("w.left_on IS NULL", "c.stock_no"),
            Place::Gone => ("w.left_on IS NOT NULL", "w.left_on DESC, c.stock_no DESC"),
        };
        let mut found = self.connection.prepare_cached(&format!(
            "SELECT c.stock_no, (SELECT m.mark FROM mark m WHERE m.vehicle_no = c.vehicle_no
                 ORDER BY m.dated DESC, m.mark_no DESC LIMIT 1) AS mark, coalesce(v.make, ''), coalesce(v.model, '')
             FROM whereabouts w JOIN car c USING (stock_no) JOIN vehicle v USING (vehicle_no)
             WHERE {condition} AND (substr(mark, 1, length(?1)) = ?1 OR substr(c.stock_no, 1, length(?1)) = ?1)
             ORDER BY {order} LIMIT ?2"
        ))?;
        let most = i64::try_from(most).unwrap_or(i64::MAX);
        let cars = found
            .query_map(params![begun.to_uppercase(), most], |row| {
                let (make, model): (String, String) = (row.get(2)?, row.get(3)?);
                let description = format!("{make} {model}").trim().to_owned();
                Ok(CarLike { stock_no: row.get(0)?, mark: row.get(1)?, description })
            })?
            .collect::<Result<_, _>>()?;
        Ok(cars)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_book_that_is_not_there_is_not_made() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("yard.book");
        assert!(open_to_complete(&path).is_err());
        assert!(!path.exists());
    }
}

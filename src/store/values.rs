//! How domain values stand in the book's columns: pence as integers, days and words as text.

use crate::domain::car_ref::StockNo;
use crate::domain::checklist::CheckState;
use crate::domain::dated_facts::TaxKind;
use crate::domain::mark::Mark;
use crate::domain::mot::DefectLevel;
use crate::domain::pence::Pence;
use crate::domain::vin::Vin;
use crate::domain::words::{Direction, Every, Kind, Outcome, Pocket, Purpose, Shared, Via};
use chrono::NaiveDate;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, ValueRef};
use rusqlite::{Row, ToSql};

/// A day as the book keeps it, ten characters that SQLite itself has checked. Read digit by digit: a
/// general parser of dates takes several times as long, on every line of every car.
struct KeptDay(NaiveDate);

impl FromSql for KeptDay {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let text = value.as_bytes()?;
        let number = |from: usize, to: usize| {
            let digits = text.get(from..to)?;
            digits.iter().try_fold(0, |number, digit| Some(number * 10 + char::from(*digit).to_digit(10)?))
        };
        let in_its_form = text.len() == 10 && text[4] == b'-' && text[7] == b'-';
        let year = number(0, 4).filter(|_| in_its_form).and_then(|year| i32::try_from(year).ok());
        let day = year.zip(number(5, 7)).zip(number(8, 10));
        match day.and_then(|((year, month), day)| NaiveDate::from_ymd_opt(year, month, day)) {
            Some(day) => Ok(Self(day)),
            // Not a day of the book's: whoever parses days in general says what is wrong with it.
            None => NaiveDate::column_result(value).map(Self),
        }
    }
}

/// The day in a column.
pub(super) fn day(row: &Row<'_>, column: usize) -> rusqlite::Result<NaiveDate> {
    row.get(column).map(|KeptDay(day)| day)
}

/// The day in a column that may hold none.
pub(super) fn day_if_any(row: &Row<'_>, column: usize) -> rusqlite::Result<Option<NaiveDate>> {
    row.get::<_, Option<KeptDay>>(column).map(|kept| kept.map(|KeptDay(day)| day))
}

impl ToSql for Pence {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.get().into())
    }
}

impl FromSql for Pence {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        i64::column_result(value).map(Self::new)
    }
}

impl ToSql for StockNo {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(i64::from(self.get()).into())
    }
}

impl FromSql for StockNo {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        u32::column_result(value).map(Self::new)
    }
}

/// Columns that hold a word or a normalised text: written as that text, read by parsing it.
macro_rules! stored_as_text {
    ($($name:ident => $text:ident),+ $(,)?) => {$(
        impl ToSql for $name {
            fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
                Ok(self.$text().into())
            }
        }

        impl FromSql for $name {
            fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
                value.as_str()?.parse().map_err(FromSqlError::other)
            }
        }
    )+};
}

stored_as_text! {
    Direction => word,
    Every => word,
    Kind => word,
    Outcome => word,
    Pocket => word,
    Purpose => word,
    Shared => word,
    Via => word,
    TaxKind => word,
    DefectLevel => word,
    CheckState => word,
    Vin => as_str,
}

impl ToSql for Mark {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.as_str().into())
    }
}

impl FromSql for Mark {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        // The prefix lets an all-digit mark through, as it does when typed.
        format!("mark:{}", value.as_str()?).parse().map_err(FromSqlError::other)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_read_as_the_general_parser_reads_it_or_refused() {
        for text in ["2026-11-25", "1990-01-01", "2024-02-29", "2100-12-31", "0001-01-01"] {
            let read = KeptDay::column_result(ValueRef::Text(text.as_bytes())).map(|KeptDay(day)| day);
            assert_eq!(read.ok(), text.parse().ok(), "{text}");
        }
        for text in
            ["2026-02-29", "2026-13-01", "2026-11-2x", "2026-0:-01", "26-11-2026", "2026/11/25", "", "yesterday"]
        {
            assert!(KeptDay::column_result(ValueRef::Text(text.as_bytes())).is_err(), "{text}");
        }
        assert!(KeptDay::column_result(ValueRef::Integer(20_261_125)).is_err());
        assert!(matches!(Option::<KeptDay>::column_result(ValueRef::Null), Ok(None)));
    }
}

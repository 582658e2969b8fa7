//! How domain values stand in the book's columns: pence as integers, days and words as text.

use crate::domain::book::dated_facts::TaxKind;
use crate::domain::days::month::Month;
use crate::domain::law::mot::DefectLevel;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::checklist::CheckState;
use crate::domain::value::mark::Mark;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::Multiple;
use crate::domain::value::vin::Vin;
use crate::domain::value::words::{Direction, Every, Kind, Outcome, Pocket, Purpose, Shared, Via};
use chrono::{Datelike, NaiveDate, NaiveDateTime};
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, ValueRef};
use rusqlite::{Row, ToSql};

/// A day as the book keeps it, ten characters that SQLite itself has checked. Read digit by digit: a
/// general parser of dates takes several times as long, on every line of every car.
pub(crate) struct KeptDay(NaiveDate);

/// The years a day of the book can be in. Those typed are in 1900 to 2100, and what follows from one (a year of
/// tax, an MOT) is not many years on; outside, a reckoning month by month would not come to an end.
const YEARS: std::ops::RangeInclusive<i32> = 1900..=2200;

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
            Some(day) if YEARS.contains(&day.year()) => Ok(Self(day)),
            _ => Err(no_such("day")),
        }
    }
}

/// A month as the book keeps it.
pub(crate) struct KeptMonth(pub(super) Month);

impl FromSql for KeptMonth {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let first = format!("{}-01", value.as_str()?);
        KeptDay::column_result(ValueRef::Text(first.as_bytes()))
            .map(|KeptDay(first)| Self(Month::containing(first)))
            .map_err(|_| no_such("month"))
    }
}

/// A time as the book keeps it, in UTC.
pub(crate) struct KeptTime;

impl FromSql for KeptTime {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let text = value.as_str()?;
        let is_time = text.len() == 20 && NaiveDateTime::parse_from_str(text, "%Y-%m-%dT%H:%M:%SZ").is_ok();
        if is_time { Ok(Self) } else { Err(no_such("time")) }
    }
}

/// A number of a row, or of things counted.
pub(crate) struct Whole(i64);

impl Whole {
    /// The number, which is never below nothing.
    pub(crate) const fn get(&self) -> u64 {
        self.0.unsigned_abs()
    }
}

impl FromSql for Whole {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let number = value.as_i64()?;
        if (0..=LARGEST_KEPT).contains(&number) { Ok(Self(number)) } else { Err(FromSqlError::OutOfRange(number)) }
    }
}

impl FromSql for Multiple {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        value.as_str()?.parse().map_err(FromSqlError::other)
    }
}

fn no_such(what: &'static str) -> FromSqlError {
    FromSqlError::Other(format!("is no {what}").into())
}

/// Why a value will not do, as it goes on from the name of its column.
pub(crate) fn why_not(value: ValueRef<'_>, error: &FromSqlError) -> String {
    match (value, error) {
        (ValueRef::Text(text), _) => match std::str::from_utf8(text) {
            Err(_) => format!("'{}' is not readable text", String::from_utf8_lossy(text)),
            Ok(text) => format!("'{text}' will not do"),
        },
        (ValueRef::Integer(number), FromSqlError::OutOfRange(_)) => format!("{number} is more than there can be"),
        (ValueRef::Integer(number), _) => format!("{number} is a number where words belong"),
        (ValueRef::Real(number), _) => format!("{number} is not a whole number"),
        (ValueRef::Blob(_), _) => "is neither text nor a number".to_owned(),
        (ValueRef::Null, _) => "is empty".to_owned(),
    }
}

/// The largest amount or number that is believed, ten thousand million pounds in pence: a thousand times the most
/// that can be typed. So bounded where it is read, no sum of a book's amounts comes near what an `i64` holds, and
/// no product of two near what a `Decimal` does.
pub(crate) const LARGEST_KEPT: i64 = 10_000_000_000_000;

/// The day in a column.
pub(crate) fn day(row: &Row<'_>, column: usize) -> rusqlite::Result<NaiveDate> {
    row.get(column).map(|KeptDay(day)| day)
}

/// The day in a column that may hold none.
pub(crate) fn day_if_any(row: &Row<'_>, column: usize) -> rusqlite::Result<Option<NaiveDate>> {
    row.get::<_, Option<KeptDay>>(column).map(|kept| kept.map(|KeptDay(day)| day))
}

impl ToSql for Pence {
    fn to_sql(&self) -> rusqlite::Result<ToSqlOutput<'_>> {
        Ok(self.get().into())
    }
}

impl FromSql for Pence {
    fn column_result(value: ValueRef<'_>) -> FromSqlResult<Self> {
        let pence = value.as_i64()?;
        if (-LARGEST_KEPT..=LARGEST_KEPT).contains(&pence) {
            Ok(Self::new(pence))
        } else {
            Err(FromSqlError::OutOfRange(pence))
        }
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
        for text in ["2026-11-25", "1990-01-01", "2024-02-29", "2100-12-31", "2200-12-31"] {
            let read = KeptDay::column_result(ValueRef::Text(text.as_bytes())).map(|KeptDay(day)| day);
            assert_eq!(read.ok(), text.parse().ok(), "{text}");
        }
        for text in [
            "2026-02-29",
            "2026-13-01",
            "2026-11-2x",
            "2026-0:-01",
            "26-11-2026",
            "2026/11/25",
            "",
            "yesterday",
            "0026-11-25",
            "9026-11-25",
        ] {
            assert!(KeptDay::column_result(ValueRef::Text(text.as_bytes())).is_err(), "{text}");
        }
        assert!(KeptDay::column_result(ValueRef::Integer(20_261_125)).is_err());
        assert!(matches!(Option::<KeptDay>::column_result(ValueRef::Null), Ok(None)));
    }
}

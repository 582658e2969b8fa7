//! How domain values stand in the book's columns: pence as integers, days and words as text.

use crate::domain::car_ref::StockNo;
use crate::domain::checklist::CheckState;
use crate::domain::dated_facts::TaxKind;
use crate::domain::mark::Mark;
use crate::domain::mot::DefectLevel;
use crate::domain::pence::Pence;
use crate::domain::vin::Vin;
use crate::domain::words::{Direction, Every, Kind, Outcome, Pocket, Purpose, Shared, Via};
use rusqlite::ToSql;
use rusqlite::types::{FromSql, FromSqlError, FromSqlResult, ToSqlOutput, ValueRef};

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

//! Typed cells: what one figure of a report *is*, and the one form machines read it in.
//!
//! A person sees `1,250.50` and `21 Nov 2026`, a machine `1250.50` and `2026-11-21`, from the same
//! cell. The machine forms (JSON and CSV) live here, because they are part of what a report promises
//! to others; the human forms live in the renderers. Nothing here computes a figure: the only
//! arithmetic is the last rounding to two decimals.

use std::borrow::Cow;

use chrono::NaiveDate;
use rust_decimal::Decimal;
use serde::{Serialize, Serializer};

use crate::domain::days::month::Month;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::ratio::round2;

/// One value of a report, still knowing what kind of thing it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// Words, a mark, a name: anything that is not reckoned with.
    Text(String),
    /// A sum of money, or a figure per day, per hour or per £100.
    Money(Pence),
    /// A civil date.
    Date(NaiveDate),
    /// A calendar month.
    Month(Month),
    /// Whole days.
    Days(i64),
    /// How many of something, or a whole number that names something (a stock number).
    Count(i64),
    /// A percentage: `74.36` means 74.36 %.
    Percent(Decimal),
    /// A multiple, a turn, hours, an average of days: shown to two decimals.
    Number(Decimal),
    /// Not known, or not computable. Never shown as 0.
    Missing,
    /// Nothing, where nothing belongs.
    Blank,
}

impl Cell {
    /// A text cell.
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A place where nothing belongs, as in a total row under a column that has no total. Unlike
    /// [`Cell::Missing`] it does not claim that there is something unknown.
    pub const fn blank() -> Self {
        Self::Blank
    }

    /// What is there; where nothing is, people read nothing, for it is known that there is nothing.
    pub fn or_blank(value: Option<impl Into<Self>>) -> Self {
        value.map_or(Self::Blank, Into::into)
    }

    /// Whole days; `None` is [`Cell::Missing`].
    pub fn days(days: impl Into<Option<i64>>) -> Self {
        days.into().map_or(Self::Missing, Self::Days)
    }

    /// A count; `None` is [`Cell::Missing`].
    pub fn count(count: impl Into<Option<i64>>) -> Self {
        count.into().map_or(Self::Missing, Self::Count)
    }

    /// A percentage (`74.36` means 74.36 %); `None` is [`Cell::Missing`].
    pub fn percent(percent: impl Into<Option<Decimal>>) -> Self {
        percent.into().map_or(Self::Missing, Self::Percent)
    }

    /// A number shown to two decimals; `None` is [`Cell::Missing`].
    pub fn number(number: impl Into<Option<Decimal>>) -> Self {
        number.into().map_or(Self::Missing, Self::Number)
    }

    /// Whether people compare it digit under digit, so that it lines up on the right.
    pub const fn is_figure(&self) -> bool {
        matches!(self, Self::Money(_) | Self::Days(_) | Self::Count(_) | Self::Percent(_) | Self::Number(_))
    }

    /// Whether it says nothing about what its column holds: missing, or blank.
    pub fn is_silent(&self) -> bool {
        match self {
            Self::Missing | Self::Blank => true,
            Self::Text(text) => text.is_empty(),
            _ => false,
        }
    }

    /// The form machines read, as in a CSV field: `1250.00`, `2026-11-21`, `2026-11`, `74.36`,
    /// nothing at all for a missing value. Text is as it was recorded, unguarded (see [`guard`]).
    pub fn machine_form(&self) -> Cow<'_, str> {
        match self {
            Self::Text(text) => Cow::Borrowed(text),
            Self::Money(pence) => Cow::Owned(pence.plain()),
            Self::Date(day) => Cow::Owned(iso_day(*day)),
            Self::Month(month) => Cow::Owned(month.iso()),
            Self::Days(whole) | Self::Count(whole) => Cow::Owned(whole.to_string()),
            Self::Percent(figure) | Self::Number(figure) => Cow::Owned(two_decimals(*figure)),
            Self::Missing | Self::Blank => Cow::Borrowed(""),
        }
    }
}

impl From<String> for Cell {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<Pence> for Cell {
    fn from(pence: Pence) -> Self {
        Self::Money(pence)
    }
}

impl From<NaiveDate> for Cell {
    fn from(day: NaiveDate) -> Self {
        Self::Date(day)
    }
}

impl From<Month> for Cell {
    fn from(month: Month) -> Self {
        Self::Month(month)
    }
}

impl From<StockNo> for Cell {
    fn from(stock_no: StockNo) -> Self {
        Self::Count(i64::from(stock_no.get()))
    }
}

impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Self::Missing, Into::into)
    }
}

/// The form the JSON contract gives each kind of value; a missing one is `null`.
impl Serialize for Cell {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Text(text) => serializer.serialize_str(text),
            Self::Money(pence) => MoneyText(*pence).serialize(serializer),
            Self::Date(day) => IsoDay(*day).serialize(serializer),
            Self::Month(month) => IsoMonth(*month).serialize(serializer),
            Self::Days(whole) | Self::Count(whole) => serializer.serialize_i64(*whole),
            Self::Percent(figure) | Self::Number(figure) => TwoDecimals(*figure).serialize(serializer),
            Self::Missing | Self::Blank => serializer.serialize_none(),
        }
    }
}

/// Money in JSON: a string with two decimals and no commas, `"1250.00"`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MoneyText(pub Pence);

impl Serialize for MoneyText {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.plain())
    }
}

impl From<MoneyText> for Cell {
    fn from(money: MoneyText) -> Self {
        Self::Money(money.0)
    }
}

/// A date in JSON: `"2026-11-21"` (ISO 8601).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct IsoDay(pub NaiveDate);

impl Serialize for IsoDay {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&iso_day(self.0))
    }
}

impl From<IsoDay> for Cell {
    fn from(day: IsoDay) -> Self {
        Self::Date(day.0)
    }
}

/// A month in JSON: `"2026-11"` (ISO 8601).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct IsoMonth(pub Month);

impl Serialize for IsoMonth {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.iso())
    }
}

impl From<IsoMonth> for Cell {
    fn from(month: IsoMonth) -> Self {
        Self::Month(month.0)
    }
}

/// A percentage, multiple, turn, average or hours in JSON: a number with at most two decimals.
///
/// The value is exact until its digits are written. A JSON number has to pass through `f64` in
/// `serde_json`; the digits `74.36` are read as the nearest `f64`, which the writer prints as the
/// shortest decimal that reads back as the same `f64`. A binary64 tells apart all decimals of up to
/// 15 significant digits (IEEE 754), so what is printed is again `74.36`, for every figure below
/// 10¹³. No arithmetic is done in binary.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TwoDecimals(pub Decimal);

impl Serialize for TwoDecimals {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let nearest: f64 = two_decimals(self.0).parse().map_err(serde::ser::Error::custom)?;
        serializer.serialize_f64(nearest)
    }
}

impl From<TwoDecimals> for Decimal {
    fn from(figure: TwoDecimals) -> Self {
        figure.0
    }
}

/// A figure to exactly two decimals, `74.36`: the last rounding before it is read, half away from
/// zero. What rounds to nothing is `0.00`, never `-0.00`.
pub fn two_decimals(figure: Decimal) -> String {
    round2(figure).to_string()
}

/// Marks a text that a spreadsheet would take for a formula, by one apostrophe in front.
///
/// Such a text begins with `=`, `+`, `-`, `@`, a tab or a carriage return. So that the mark can be
/// taken off exactly, a text that already looks marked (apostrophes, then one of those) is marked
/// too: `=1+1` becomes `'=1+1`, `'=1+1` becomes `''=1+1`, and `'twas` stays. [`unguard`] undoes it.
pub fn guard(text: &str) -> Cow<'_, str> {
    if starts_formula(text.trim_start_matches('\'')) { Cow::Owned(format!("'{text}")) } else { Cow::Borrowed(text) }
}

/// Takes off exactly the mark that [`guard`] puts on, and leaves every other text alone.
pub fn unguard(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if starts_formula(rest.trim_start_matches('\'')) => rest,
        _ => text,
    }
}

fn starts_formula(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r'])
}

fn iso_day(day: NaiveDate) -> String {
    day.format("%Y-%m-%d").to_string()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn day() -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 11, 21).unwrap()
    }

    fn json(value: &impl Serialize) -> String {
        serde_json::to_string(value).unwrap()
    }

    fn every_kind() -> Vec<(Cell, &'static str, &'static str)> {
        vec![
            (Cell::text("KX42 RTO"), "KX42 RTO", "\"KX42 RTO\""),
            (Cell::from(Pence::new(125_000)), "1250.00", "\"1250.00\""),
            (Cell::from(Pence::new(-5)), "-0.05", "\"-0.05\""),
            (Cell::from(day()), "2026-11-21", "\"2026-11-21\""),
            (Cell::from(Month::containing(day())), "2026-11", "\"2026-11\""),
            (Cell::days(42), "42", "42"),
            (Cell::count(1250), "1250", "1250"),
            (Cell::percent(Decimal::new(7436, 2)), "74.36", "74.36"),
            (Cell::number(Decimal::new(2, 0)), "2.00", "2.0"),
            (Cell::Missing, "", "null"),
        ]
    }

    #[test]
    fn each_kind_has_its_machine_forms() {
        for (cell, field, in_json) in every_kind() {
            assert_eq!(cell.machine_form(), field, "{cell:?}");
            assert_eq!(json(&cell), in_json, "{cell:?}");
        }
    }

    #[test]
    fn what_is_absent_is_missing() {
        assert_eq!(Cell::from(None::<Pence>), Cell::Missing);
        assert_eq!(Cell::from(None::<&str>), Cell::Missing);
        assert_eq!(Cell::from(Some(day())), Cell::Date(day()));
        assert_eq!(Cell::days(None), Cell::Missing);
        assert_eq!(Cell::count(None), Cell::Missing);
        assert_eq!(Cell::percent(None), Cell::Missing);
        assert_eq!(Cell::number(None), Cell::Missing);
        assert_eq!(json(&None::<MoneyText>), "null");
    }

    #[test]
    fn a_blank_is_silent_but_not_missing() {
        assert!(Cell::blank().is_silent());
        assert!(Cell::Missing.is_silent());
        assert!(!Cell::days(0).is_silent());
        assert_ne!(Cell::blank(), Cell::Missing);
    }

    #[test]
    fn two_decimals_round_half_away_from_zero() {
        for (mantissa, scale, shown) in [
            (125, 3, "0.13"),
            (-125, 3, "-0.13"),
            (124, 3, "0.12"),
            (-4, 3, "0.00"),
            (-5, 3, "-0.01"),
            (10, 1, "1.00"),
            (1_234_567, 0, "1234567.00"),
        ] {
            assert_eq!(two_decimals(Decimal::new(mantissa, scale)), shown);
        }
    }

    #[test]
    fn a_zero_in_json_has_no_sign() {
        assert_eq!(json(&TwoDecimals(Decimal::new(-4, 3))), "0.0");
    }

    #[test]
    fn only_formulas_are_guarded() {
        for (text, guarded) in [
            ("=1+1", "'=1+1"),
            ("+44", "'+44"),
            ("-", "'-"),
            ("@sum", "'@sum"),
            ("\tx", "'\tx"),
            ("\rx", "'\rx"),
            ("'=1", "''=1"),
            ("''=1", "'''=1"),
            ("'twas", "'twas"),
            ("'", "'"),
            ("", ""),
            ("a=1", "a=1"),
            (" =1", " =1"),
        ] {
            assert_eq!(guard(text), guarded);
            assert_eq!(unguard(guarded), text);
        }
    }

    #[test]
    fn unguarding_leaves_other_apostrophes() {
        for text in ["'twas", "''", "O'Neary", "=1+1"] {
            assert_eq!(unguard(text), text);
        }
    }

    proptest! {
        #[test]
        fn unguard_undoes_guard(text in "(?s)['=+@\t\r-]{0,4}.{0,6}") {
            let guarded = guard(&text);
            prop_assert!(!starts_formula(&guarded));
            prop_assert_eq!(unguard(&guarded), text.as_str());
        }

        #[test]
        fn json_numbers_carry_no_binary_noise(hundredths in -999_999_999_999_999_i64..=999_999_999_999_999) {
            let written = json(&TwoDecimals(Decimal::new(hundredths, 2)));
            let read: Decimal = written.parse().unwrap();
            prop_assert_eq!(read, Decimal::new(hundredths, 2));
        }
    }
}

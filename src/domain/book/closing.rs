//! Closed months: which changes to the book they forbid, and which months can be closed.
//!
//! Money, dates, quantities and which car are guarded up to the last closed day, so that figures
//! given to an accountant, a bank or HMRC stay as they were given. Names, addresses, notes, mileage
//! (the odometer) and receipts change no figure and may still be put right. What is judged is what
//! the history holds, rows before and after, so that recording, amending, undoing and importing all
//! pass the same gate.

use crate::domain::book::tables::{self, Role};
use crate::domain::days::day::{LAST_DAY, long};
use crate::domain::days::month::Month;
use chrono::NaiveDate;
use std::collections::BTreeMap;
use std::fmt;

/// A value as it stands in a column.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// Nothing is known.
    Nothing,
    /// A whole number: pence, miles, minutes, a stock number, yes or no.
    Number(i64),
    /// Text, a word or an ISO day.
    Text(String),
}

/// A row's values by column.
pub type Columns = BTreeMap<String, Value>;

/// A row as an entry found it and as it left it.
#[derive(Clone, Copy, Debug)]
pub struct ChangedRow<'a> {
    /// Its table.
    pub table: &'a str,
    /// Before; none when the entry added it.
    pub before: Option<&'a Columns>,
    /// After; none when the entry removed it.
    pub after: Option<&'a Columns>,
}

/// What a closed month forbids to change. It prints as `a cost dated 12 Oct 2026`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct InClosedMonth {
    what: &'static str,
    /// The day in a closed month; none when it cannot be read, which counts as closed.
    pub day: Option<NaiveDate>,
}

impl fmt::Display for InClosedMonth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.day {
            Some(day) => write!(f, "{} {}", self.what, long(day)),
            None => write!(f, "{} an unknown day", self.what),
        }
    }
}

/// The first of the rows that changes what a closed month guards, given the last closed day.
/// None when all of them may change.
pub fn in_closed_month(rows: &[ChangedRow<'_>], closed_to: NaiveDate) -> Option<InClosedMonth> {
    rows.iter().find_map(|row| {
        let found = match row.table {
            "setting" => registration(row),
            "standing" => dated_fact(row, closed_to).or_else(|| standing_end(row)),
            _ => dated_fact(row, closed_to),
        };
        found.filter(|found| is_closed(found.day, closed_to))
    })
}

/// A day that cannot be read sorts before every other, so it counts as closed: better to refuse a
/// change than to let one through to figures already given.
fn is_closed(day: Option<NaiveDate>, closed_to: NaiveDate) -> bool {
    day <= Some(closed_to)
}

/// A row of a guarded table that came, went or changed on a closed day, before or after.
fn dated_fact(row: &ChangedRow<'_>, closed_to: NaiveDate) -> Option<InClosedMonth> {
    let table = tables::table(row.table)?;
    let (what, dated) = table.guarded.zip(table.column_of(Role::Day))?;
    // A column nobody knows is guarded.
    let is_free = |column: &str| table.role_of(column).is_some_and(Role::is_free);
    if let (Some(before), Some(after)) = (row.before, row.after)
        && !before.keys().chain(after.keys()).any(|column| !is_free(column) && differs(before, after, column))
    {
        return None;
    }
    let (columns, day) = [row.before, row.after]
        .into_iter()
        .flatten()
        .map(|columns| (columns, day_in(columns, dated)))
        .find(|(_, day)| is_closed(*day, closed_to))?;
    let came_in = table.name == "line" && text_in(columns, "direction") == Some("receipt");
    Some(InClosedMonth { what: if came_in { "money received on" } else { what }, day })
}

/// The first day a standing cost could fall due on after its end moved: the one after the earlier
/// end. Stopping one later than the closed days leaves them as they were.
fn standing_end(row: &ChangedRow<'_>) -> Option<InClosedMonth> {
    let (before, after) = (row.before?, row.after?);
    let (old, new) = (end_in(before, "until"), end_in(after, "until"));
    (old != new).then(|| InClosedMonth { what: "a standing cost due from", day: day_after(old.min(new)) })
}

/// The first day whose registration for VAT changes. A first day moved changes days from the
/// earlier one on; a last day moved, those after the earlier one.
fn registration(row: &ChangedRow<'_>) -> Option<InClosedMonth> {
    let what = "the registration for VAT from";
    let set = |columns: Option<&Columns>, key: &str| match columns {
        Some(columns) if text_in(columns, "key") == Some(key) => end_in(columns, "value"),
        _ => Some(LAST_DAY),
    };
    let moved = |key: &str| {
        let (old, new) = (set(row.before, key), set(row.after, key));
        (old != new).then(|| old.min(new))
    };
    moved("vat-registered-from")
        .or_else(|| moved("vat-registered-until").map(day_after))
        .map(|day| InClosedMonth { what, day })
}

fn day_after(day: Option<NaiveDate>) -> Option<NaiveDate> {
    day.map(|day| day.succ_opt().unwrap_or(day))
}

/// A column left out, as before a migration added it, is one with nothing in it.
fn differs(before: &Columns, after: &Columns, column: &str) -> bool {
    let value = |columns: &Columns| columns.get(column).cloned().unwrap_or(Value::Nothing);
    value(before) != value(after)
}

fn text_in<'c>(columns: &'c Columns, column: &str) -> Option<&'c str> {
    match columns.get(column) {
        Some(Value::Text(text)) => Some(text),
        _ => None,
    }
}

/// The day in a column; none when there is none that can be read.
fn day_in(columns: &Columns, column: &str) -> Option<NaiveDate> {
    text_in(columns, column)?.parse().ok()
}

/// The day in a column where nothing, or the word `none`, means that it never comes.
fn end_in(columns: &Columns, column: &str) -> Option<NaiveDate> {
    match columns.get(column) {
        None | Some(Value::Nothing) => Some(LAST_DAY),
        Some(Value::Text(word)) if word == "none" => Some(LAST_DAY),
        Some(_) => day_in(columns, column),
    }
}

/// Why a month cannot be closed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CannotClose {
    /// Its last day is today or still to come.
    NotOver {
        /// The month.
        month: Month,
    },
    /// It, or a later one, is closed.
    ClosedAlready {
        /// The month.
        month: Month,
        /// The latest closed month.
        latest: Month,
    },
    /// All of it lies before the book begins.
    BeforeTheBook {
        /// The month.
        month: Month,
        /// The book's first day.
        first_day: NaiveDate,
    },
}

impl fmt::Display for CannotClose {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotOver { month } => {
                write!(f, "{month} is not over: it can be closed from {}", long(month.next().first_day()))
            }
            Self::ClosedAlready { month, latest } if month == latest => write!(f, "{month} is closed already"),
            Self::ClosedAlready { month, latest } => {
                write!(f, "{month} is closed already, with every month up to {latest}")
            }
            Self::BeforeTheBook { month, first_day } => {
                write!(f, "{month} is before the book begins, on {}", long(*first_day))
            }
        }
    }
}

impl std::error::Error for CannotClose {}

/// The months that closing `wanted` closes, in order: from the one after the latest closed month,
/// or the book's first, up to it. `first_day` is the day of the earliest fact in the book.
pub fn months_to_close(
    first_day: NaiveDate,
    latest_closed: Option<Month>,
    wanted: Month,
    today: NaiveDate,
) -> Result<Vec<Month>, CannotClose> {
    if wanted.last_day() >= today {
        return Err(CannotClose::NotOver { month: wanted });
    }
    if let Some(latest) = latest_closed.filter(|latest| wanted <= *latest) {
        return Err(CannotClose::ClosedAlready { month: wanted, latest });
    }
    if wanted.last_day() < first_day {
        return Err(CannotClose::BeforeTheBook { month: wanted, first_day });
    }
    let first = latest_closed.map_or(Month::containing(first_day), Month::next);
    Ok(std::iter::successors(Some(first), |month| Some(month.next())).take_while(|month| *month <= wanted).collect())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    /// October 2026 and all before it are closed.
    fn closed_to() -> NaiveDate {
        day("2026-10-31")
    }

    /// `dated=2026-10-12 amount=500 note=-`: digits are a number, `-` is nothing.
    fn columns(text: &str) -> Columns {
        text.split_whitespace()
            .map(|pair| {
                let (column, value) = pair.split_once('=').unwrap();
                let value = match value.parse() {
                    Ok(number) => Value::Number(number),
                    Err(_) if value == "-" => Value::Nothing,
                    Err(_) => Value::Text(value.to_owned()),
                };
                (column.to_owned(), value)
            })
            .collect()
    }

    /// What is in the way of a change, in words; empty when nothing. `""` stands for no row.
    fn verdict(table: &str, before: &str, after: &str) -> String {
        let (before, after) = (columns(before), columns(after));
        let row = ChangedRow {
            table,
            before: Some(&before).filter(|row| !row.is_empty()),
            after: Some(&after).filter(|row| !row.is_empty()),
        };
        in_closed_month(&[row], closed_to()).map(|found| found.to_string()).unwrap_or_default()
    }

    #[test]
    fn every_guarded_table_is_guarded_by_its_day_up_to_the_last_closed_one() {
        for (table, dated, words) in [
            ("line", "dated", "a cost dated"),
            ("movement", "dated", "a payment dated"),
            ("car", "bought_on", "a car bought on"),
            ("sale", "sold_on", "a sale dated"),
            ("own_hours", "dated", "own hours dated"),
            ("asking_price", "dated", "an asking price dated"),
            ("offer", "dated", "an offer dated"),
            ("deposit_hold", "dated", "a deposit dated"),
            ("deposit_end", "dated", "the end of a deposit dated"),
            ("write_off", "dated", "an amount written off on"),
            ("take_back", "dated", "a take-back dated"),
            ("disposal", "dated", "a disposal dated"),
            ("vehicle_tax", "dated", "vehicle tax dated"),
            ("mot_test", "dated", "an MOT test dated"),
            ("standing", "first_on", "a standing cost first due on"),
            ("standing_amount", "dated", "an amount of a standing cost dated"),
            ("standing_skip", "dated", "a standing cost let off on"),
            ("journey", "dated", "a journey dated"),
        ] {
            for (on, shown) in
                [("2026-10-12", "12 Oct 2026"), ("2026-10-31", "31 Oct 2026"), ("2024-02-29", "29 Feb 2024")]
            {
                let (row, words) = (format!("{dated}={on} amount=1"), format!("{words} {shown}"));
                assert_eq!(verdict(table, "", &row), words, "{table} added");
                assert_eq!(verdict(table, &row, ""), words, "{table} removed");
                assert_eq!(verdict(table, &row, &format!("{dated}={on} amount=2")), words, "{table} changed");
            }
            let open = format!("{dated}=2026-11-01 amount=1");
            assert_eq!(verdict(table, "", &open), "", "{table} added");
            assert_eq!(verdict(table, &open, ""), "", "{table} removed");
            assert_eq!(verdict(table, &open, &format!("{dated}=2026-11-01 amount=2")), "", "{table} changed");
        }
        let guarded = tables::TABLES.iter().filter(|table| table.guarded.is_some()).count();
        assert_eq!(guarded, 18, "a table guarded but not tried above");
    }

    #[test]
    fn a_fact_moved_into_or_out_of_a_closed_month_is_guarded() {
        for (before, after, words) in [
            ("2026-10-31", "2026-11-01", "a payment dated 31 Oct 2026"),
            ("2026-11-01", "2026-10-31", "a payment dated 31 Oct 2026"),
            ("2026-10-12", "2026-09-12", "a payment dated 12 Oct 2026"),
            ("2026-11-01", "2026-11-02", ""),
        ] {
            let row = |on: &str| format!("dated={on} amount=500");
            assert_eq!(verdict("movement", &row(before), &row(after)), words, "{before} to {after}");
        }
    }

    #[test]
    fn what_makes_no_figure_may_be_put_right() {
        for (table, dated, free) in [
            ("line", "dated", &["entry_no", "party", "note"][..]),
            ("movement", "dated", &["entry_no", "party", "note"]),
            ("car", "bought_on", &["entry_no", "seller", "purchase_invoice", "keys", "mark_at_purchase"]),
            ("sale", "sold_on", &["entry_no", "buyer", "address"]),
            ("own_hours", "dated", &["note"]),
            ("offer", "dated", &["party"]),
            ("take_back", "dated", &["reason"]),
            ("disposal", "dated", &["party", "certificate"]),
            ("mot_test", "dated", &["miles"]),
            ("standing", "first_on", &["name"]),
            ("journey", "dated", &["entry_no", "purpose"]),
        ] {
            for column in free {
                let row = |value: &str| format!("{dated}=2026-10-12 amount=1 {column}={value}");
                assert_eq!(verdict(table, &row("7"), &row("8")), "", "{table}.{column}");
                assert_eq!(verdict(table, &row("-"), &row("Ash")), "", "{table}.{column}");
            }
        }
    }

    #[test]
    fn money_quantities_and_which_car_are_guarded() {
        for (table, dated, guarded) in [
            ("line", "dated", &["stock_no", "heading", "amount", "usual_price", "vat", "pocket", "shared"][..]),
            ("movement", "dated", &["pocket", "amount", "purpose", "stock_no"]),
            ("car", "bought_on", &["vehicle_no", "purchase_price", "finance", "vat", "vat_invoice", "via"]),
            ("sale", "sold_on", &["stock_no", "selling_price", "to_trade", "delivered_on", "distance"]),
            ("own_hours", "dated", &["minutes", "stock_no"]),
            ("mot_test", "dated", &["result", "until"]),
            ("vehicle_tax", "dated", &["status", "starts", "until", "annual_rate"]),
            ("standing", "first_on", &["heading", "every", "pocket"]),
            ("standing_amount", "dated", &["amount", "vat"]),
            ("disposal", "dated", &["how", "value"]),
            ("journey", "dated", &["tenths", "miles"]),
        ] {
            for column in guarded {
                let row = |value: &str| format!("{dated}=2026-10-12 note=x {column}={value}");
                assert!(verdict(table, &row("7"), &row("8")).ends_with("12 Oct 2026"), "{table}.{column}");
                assert!(verdict(table, &row("-"), &row("8")).ends_with("12 Oct 2026"), "{table}.{column}");
            }
        }
    }

    #[test]
    fn a_column_missing_is_a_column_with_nothing() {
        let (old, new) = ("dated=2026-10-12 amount=5", "dated=2026-10-12 amount=5 usual_price=-");
        assert_eq!(verdict("line", old, new), "");
        assert_eq!(verdict("line", new, old), "");
        assert_eq!(verdict("line", old, "dated=2026-10-12 amount=5 usual_price=6"), "a cost dated 12 Oct 2026");
    }

    #[test]
    fn money_received_is_called_so() {
        let row = "dated=2026-10-12 amount=5 direction=receipt";
        assert_eq!(verdict("line", row, ""), "money received on 12 Oct 2026");
    }

    #[test]
    fn a_standing_cost_may_end_on_the_last_closed_day_or_later() {
        for (before, after, words) in [
            ("-", "2026-10-31", ""),
            ("-", "2026-11-30", ""),
            ("2026-12-31", "-", ""),
            ("2026-10-31", "2026-12-31", ""),
            ("-", "2026-10-30", "a standing cost due from 31 Oct 2026"),
            ("2026-09-30", "-", "a standing cost due from 1 Oct 2026"),
            ("2026-12-31", "2026-10-15", "a standing cost due from 16 Oct 2026"),
            ("2026-09-15", "2026-09-15", ""),
        ] {
            let row = |until: &str| format!("first_on=2026-01-31 every=month pocket=bank until={until}");
            assert_eq!(verdict("standing", &row(before), &row(after)), words, "{before} to {after}");
        }
        assert_eq!(verdict("standing", "first_on=2026-01-31", "first_on=2026-01-31 until=2026-12-31"), "");
        // The other columns stay guarded when the end moves too.
        assert_eq!(
            verdict(
                "standing",
                "first_on=2026-01-31 pocket=bank until=-",
                "first_on=2026-01-31 pocket=cash until=2026-12-31"
            ),
            "a standing cost first due on 31 Jan 2026"
        );
        // One that began after the closed days is free altogether.
        assert_eq!(verdict("standing", "first_on=2026-11-01 pocket=bank", "first_on=2026-11-01 pocket=cash"), "");
    }

    #[test]
    fn registration_may_change_on_open_days_alone() {
        let from = "the registration for VAT from";
        for (key, before, after, words) in [
            ("vat-registered-from", "", "2026-11-01", String::new()),
            ("vat-registered-from", "", "2026-10-31", format!("{from} 31 Oct 2026")),
            ("vat-registered-from", "2026-04-01", "", format!("{from} 1 Apr 2026")),
            ("vat-registered-from", "2026-04-01", "none", format!("{from} 1 Apr 2026")),
            ("vat-registered-from", "2026-04-01", "2027-01-01", format!("{from} 1 Apr 2026")),
            ("vat-registered-from", "2027-01-01", "2026-04-01", format!("{from} 1 Apr 2026")),
            ("vat-registered-from", "2026-11-01", "2026-12-01", String::new()),
            ("vat-registered-from", "2026-04-01", "2026-04-01", String::new()),
            ("vat-registered-from", "none", "", String::new()),
            ("vat-registered-until", "", "2026-10-31", String::new()),
            ("vat-registered-until", "none", "2026-12-31", String::new()),
            ("vat-registered-until", "", "2026-10-30", format!("{from} 31 Oct 2026")),
            ("vat-registered-until", "2026-06-30", "", format!("{from} 1 Jul 2026")),
            ("vat-registered-until", "2026-06-30", "2026-12-31", format!("{from} 1 Jul 2026")),
            ("vat-registered-until", "2026-10-31", "2026-12-31", String::new()),
            ("vat-registered-from", "2026-04-01", "soon", format!("{from} an unknown day")),
            ("region", "GB", "NI", String::new()),
            ("trader-name", "", "Ash", String::new()),
        ] {
            let row = |value: &str| if value.is_empty() { String::new() } else { format!("key={key} value={value}") };
            assert_eq!(verdict("setting", &row(before), &row(after)), words, "{key}: {before:?} to {after:?}");
        }
    }

    #[test]
    fn other_tables_are_free() {
        for table in [
            "vehicle",
            "mark",
            "reading",
            "mot_certificate",
            "mot_defect",
            "note",
            "paper",
            "car_check",
            "dealt_with",
            "receipt",
            "heading",
            "entry",
            "closed_month",
        ] {
            let row = "dated=2026-10-12 miles=1 wording=x";
            assert_eq!(verdict(table, "", row), "", "{table}");
            assert_eq!(verdict(table, row, "dated=2026-10-13 miles=2 wording=y"), "", "{table}");
        }
    }

    #[test]
    fn a_day_that_cannot_be_read_counts_as_closed() {
        for row in ["dated=- amount=1", "amount=1", "dated=20261112 amount=1", "dated=soon amount=1"] {
            assert_eq!(verdict("line", "", row), "a cost dated an unknown day", "{row}");
        }
    }

    #[test]
    fn the_first_row_in_the_way_is_named() {
        let (open, note, cost) =
            (columns("dated=2026-11-02 amount=1"), columns("dated=2026-10-02"), columns("dated=2026-10-12 amount=1"));
        let added = |table, after| ChangedRow { table, before: None, after: Some(after) };
        let rows = [added("line", &open), added("note", &note), added("line", &cost), added("movement", &cost)];
        let found = in_closed_month(&rows, closed_to()).unwrap();
        assert_eq!((found.to_string().as_str(), found.day), ("a cost dated 12 Oct 2026", Some(day("2026-10-12"))));
        assert_eq!(in_closed_month(&rows[..2], closed_to()), None);
        assert_eq!(in_closed_month(&[], closed_to()), None);
    }

    fn month(year: i32, number: u32) -> Month {
        Month::new(year, number).unwrap()
    }

    #[test]
    fn months_close_in_order_up_to_the_one_wanted() {
        for (first_day, latest, wanted, today, closes) in [
            ("2026-10-12", None, (2026, 10), "2026-11-01", &[(2026, 10)][..]),
            ("2026-08-31", None, (2026, 10), "2026-11-25", &[(2026, 8), (2026, 9), (2026, 10)]),
            ("2025-11-30", Some((2025, 12)), (2026, 1), "2026-02-01", &[(2026, 1)]),
            ("2025-11-30", Some((2025, 11)), (2026, 1), "2026-11-25", &[(2025, 12), (2026, 1)]),
        ] {
            let latest = latest.map(|(year, number)| month(year, number));
            let closes: Vec<Month> = closes.iter().map(|(year, number)| month(*year, *number)).collect();
            assert_eq!(
                months_to_close(day(first_day), latest, month(wanted.0, wanted.1), day(today)),
                Ok(closes),
                "{wanted:?} on {today}"
            );
        }
    }

    #[test]
    fn months_that_cannot_be_closed() {
        for (latest, wanted, today, words) in [
            (None, (2026, 11), "2026-11-25", "Nov 2026 is not over: it can be closed from 1 Dec 2026"),
            (None, (2026, 11), "2026-11-30", "Nov 2026 is not over: it can be closed from 1 Dec 2026"),
            (None, (2027, 1), "2026-11-30", "Jan 2027 is not over: it can be closed from 1 Feb 2027"),
            (Some((2026, 10)), (2026, 10), "2026-11-25", "Oct 2026 is closed already"),
            (Some((2026, 10)), (2026, 8), "2026-11-25", "Aug 2026 is closed already, with every month up to Oct 2026"),
            (None, (2026, 3), "2026-11-25", "Mar 2026 is before the book begins, on 12 Apr 2026"),
        ] {
            let latest = latest.map(|(year, number)| month(year, number));
            let refused = months_to_close(day("2026-04-12"), latest, month(wanted.0, wanted.1), day(today));
            assert_eq!(refused.unwrap_err().to_string(), words);
        }
    }
}

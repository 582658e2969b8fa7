//! The trader's own dated lines: `NAME FROM-DATE VALUE`, and after them where they have it from.
//!
//! One figure a line. A `#` at the beginning of a line, or after a space, begins a remark. A line
//! that will not do stops the whole file, with its number: a figure half believed is worse than
//! none.

use crate::domain::days::day::{DayAhead, LAST_DAY};
use crate::domain::law::every_table::tables;
use crate::domain::law::rate_table::{Listed, OwnRate};
use crate::domain::law::rates::Dated;
use crate::domain::value::value_error::ValueError;
use chrono::NaiveDate;
use std::fmt;

/// What is wrong with a file of figures, and where.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnRateError {
    line: usize,
    why: ValueError,
}

impl fmt::Display for OwnRateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}: {}", self.line, self.why)
    }
}

impl std::error::Error for OwnRateError {}

/// The lines of a file.
pub fn read(text: &'static str) -> Result<Vec<OwnRate>, OwnRateError> {
    let mut read: Vec<OwnRate> = Vec::new();
    // Windows editors put an invisible mark in front of UTF-8.
    for (line, number) in text.trim_start_matches('\u{feff}').lines().zip(1..) {
        let line = without_remark(line).trim();
        if line.is_empty() {
            continue;
        }
        let own = own_rate(line).and_then(|own| match read.iter().find(|known| is_same(known, &own)) {
            Some(_) => Err(ValueError::refused("figure", line, "is given for that day already, further up")),
            None => Ok(own),
        });
        read.push(own.map_err(|why| OwnRateError { line: number, why })?);
    }
    Ok(read)
}

fn is_same(one: &OwnRate, other: &OwnRate) -> bool {
    one.table == other.table && one.row.from == other.row.from
}

/// An address may have a `#` in it; a remark has a space before.
fn without_remark(line: &str) -> &str {
    let starts = |(at, _): &(usize, &str)| line[..*at].chars().next_back().is_none_or(char::is_whitespace);
    line.match_indices('#').find(starts).map_or(line, |(at, _)| &line[..at])
}

fn own_rate(line: &'static str) -> Result<OwnRate, ValueError> {
    let (name, rest) = word(line);
    let table = tables().find(|table| table.name() == name).ok_or_else(|| unknown(name))?;
    if table.is_fixed() {
        let verdict = "is listed only: the rule it belongs to is part of the program and no line changes it";
        return Err(ValueError::refused("figure", name, verdict));
    }
    let (from, rest) = word(rest);
    let (value, source) = word(rest);
    if from.is_empty() || value.is_empty() {
        let accepted = "write NAME FROM-DATE VALUE, such as vat-standard-rate 2027-04-01 20";
        return Err(ValueError::new("line", line, accepted));
    }
    Ok(OwnRate { table: table.name(), row: Dated { from: first_day(from)?, value: table.read(value)?, source } })
}

/// The next word, and what follows it.
fn word(text: &'static str) -> (&'static str, &'static str) {
    let text = text.trim_start();
    text.split_once(char::is_whitespace).map_or((text, ""), |(word, rest)| (word, rest.trim()))
}

fn unknown(name: &str) -> ValueError {
    let known: Vec<&str> = tables().filter(|table| !table.is_fixed()).map(Listed::name).collect();
    ValueError::refused("figure", name, format!("is not known: there is {}", known.join(", ")))
}

/// A day written so that it is the same whenever the file is read.
fn first_day(typed: &str) -> Result<NaiveDate, ValueError> {
    let written: DayAhead = typed.parse()?;
    // A day that depends on today comes out differently for another one.
    match (written.resolve(NaiveDate::default()), written.resolve(LAST_DAY)) {
        (Ok(one), Ok(other)) if one == other => Ok(one),
        _ => Err(ValueError::new("date", typed, "write it in full, such as 2027-04-01 or 1/4/2027")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::law::rates::day;

    fn refused(text: &'static str) -> String {
        read(text).unwrap_err().to_string()
    }

    #[test]
    fn a_line_is_a_name_a_day_a_value_and_a_source() {
        let text = "\u{feff}# what changes\r\n\r\nvat-standard-rate 1/4/2027 21% Finance Act 2027 s.2  # checked\r\n\
                    \tcash-limit  2028-01-01\t£12,000 gov.uk/a#b\n";
        let read = read(text).unwrap();
        let told: Vec<(&str, NaiveDate, String, &str)> =
            read.iter().map(|own| (own.table, own.row.from, own.row.value.to_string(), own.row.source)).collect();
        assert_eq!(
            told,
            [
                ("vat-standard-rate", day(2027, 4, 1), "21 %".to_owned(), "Finance Act 2027 s.2"),
                ("cash-limit", day(2028, 1, 1), "£12,000.00".to_owned(), "gov.uk/a#b"),
            ]
        );
        assert_eq!(super::read("# nothing\n"), Ok(Vec::new()));
    }

    #[test]
    fn a_line_that_will_not_do_is_named_by_its_number() {
        for (text, number, said) in [
            ("# a remark\nvat-rate 2027-04-01 20", 2, "figure 'vat-rate' is not known: there is vat-standard-rate, "),
            ("vat-standard-rate 2027-04-01", 1, "write NAME FROM-DATE VALUE"),
            ("vat-standard-rate", 1, "write NAME FROM-DATE VALUE"),
            ("vat-standard-rate 2027-04-01 many", 1, "'many'"),
            ("vat-standard-rate 2027-04-01 101", 1, "'101'"),
            ("vat-standard-rate 1/4 20", 1, "write it in full"),
            ("vat-standard-rate mon 20", 1, "write it in full"),
            ("vat-standard-rate today 20", 1, "write it in full"),
            ("vat-standard-rate 2027-02-30 20", 1, "2027-02-30"),
            ("cash-limit 2027-01-01 0", 1, "'0'"),
            ("vat-records 2027-01-01 6.5", 1, "'6.5'"),
            ("rejection 2027-01-01 20", 1, "is listed only"),
            ("vat-standard-rate 2027-04-01 20\n\nvat-standard-rate 1/4/2027 21", 3, "further up"),
        ] {
            let found = refused(text);
            assert!(found.starts_with(&format!("line {number}: ")) && found.contains(said), "{text}: {found}");
        }
    }
}

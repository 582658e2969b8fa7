//! Rows of a sheet, in order of their days, each met once.

use crate::commands::steps::context::Context;
use crate::commands::steps::recording::ReadBack;
use crate::domain::book::import_sheet::Sheet;
use crate::domain::refusal::Refusal;
use crate::domain::value::bad_row::BadRow;
use crate::error::Error;
use crate::store::BookError;
use chrono::NaiveDate;

/// How many rows go by between two words on how far it has come.
pub(super) const ROWS_A_WORD: usize = 20_000;

/// What stands of the day that rows are being met on: rows come in order of their days, and a day is looked
/// up when its first row comes.
#[derive(Default)]
pub(super) struct Standing<T> {
    on: Option<NaiveDate>,
    of_the_day: T,
    pub(super) passed_over: usize,
}

impl<T> Standing<T> {
    pub(super) fn on(&mut self, on: NaiveDate, of: impl FnOnce() -> Result<T, BookError>) -> Result<&mut T, BookError> {
        if self.on != Some(on) {
            self.of_the_day = of()?;
            self.on = Some(on);
        }
        Ok(&mut self.of_the_day)
    }
}

/// Says which rows were passed over, and how they are taken in all the same.
pub(super) fn say_passed_over(said: &mut ReadBack, passed_over: usize, taken_in: usize) {
    if passed_over > 0 {
        let rows = if passed_over == 1 { "1 row stands".to_owned() } else { format!("{passed_over} rows stand") };
        let stand = format!("{rows} from an earlier import");
        said.summary = if taken_in == 0 { stand } else { format!("{}; {stand}, passed over", said.summary) };
        said.notes.push("`runabout import FILE --again` takes in once more what stands already".to_owned());
    }
    said.passed_over = Some(passed_over);
    said.nothing = taken_in == 0;
}

/// The rows that can be read, in order of their days, and what is wrong with the others.
pub(super) fn rows<T>(
    sheet: &Sheet,
    read: impl Fn(usize) -> Result<T, BadRow>,
    day: impl Fn(&T) -> NaiveDate,
) -> (Vec<T>, Vec<BadRow>) {
    let (mut good, mut bad) = (Vec::with_capacity(sheet.rows.len()), Vec::new());
    for at in 0..sheet.rows.len() {
        match read(at) {
            Ok(row) => good.push(row),
            Err(row) => bad.push(row),
        }
    }
    good.sort_by_key(day);
    (good, bad)
}

pub(super) fn bad_rows(rows: Vec<BadRow>) -> Error {
    Error::Refused(Refusal::BadRows { rows })
}

/// Does each row, going on after one that will not do, so that all of them are told at once.
pub(super) fn each<T>(
    (rows, mut bad): (&[T], Vec<BadRow>),
    line: impl Fn(&T) -> u64,
    context: &Context,
    mut work: impl FnMut(&T) -> Result<(), Error>,
) -> Result<(), Error> {
    for (n, row) in rows.iter().enumerate() {
        if n > 0 && n.is_multiple_of(ROWS_A_WORD) {
            context.progress.say(&format!("{n} of {} rows", rows.len()));
        }
        match work(row) {
            Ok(()) => {}
            Err(Error::Refused(why)) => bad.push(BadRow { line: line(row), why: why.to_string() }),
            Err(other) => return Err(other),
        }
    }
    bad.sort_by_key(|row| row.line);
    if bad.is_empty() { Ok(()) } else { Err(bad_rows(bad)) }
}

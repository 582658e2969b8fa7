//! What an answer is taken for: checked at once, by the value's own parser and against the book.

use crate::cli::unfinished::{Part, Unfinished};
use crate::commands::ready::check;
use crate::commands::steps::lookup;
use crate::commands::steps::numbers::explained;
use crate::commands::steps::question::{Ask, Cars, Known, Takes};
use crate::domain::days::day::WrittenDay;
use crate::domain::law::mot::{Defect, DefectLevel};
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::{BoughtMark, SplitPart, Target};
use crate::domain::value::value_error::ValueError;
use crate::domain::value::words::Direction;
use crate::error::Error;
use crate::store::BookError;

/// An answer that was not taken.
#[derive(Debug)]
pub enum AnswerError {
    /// It will not do, and why: asked again.
    Answer(String),
    /// The book could not be asked.
    Book(Error),
}

impl From<Error> for AnswerError {
    fn from(error: Error) -> Self {
        match error {
            Error::Refused(refusal) => Self::Answer(refusal.to_string()),
            other => Self::Book(other),
        }
    }
}

impl From<BookError> for AnswerError {
    fn from(error: BookError) -> Self {
        Self::Book(error.into())
    }
}

impl From<ValueError> for AnswerError {
    fn from(error: ValueError) -> Self {
        Self::Answer(error.to_string())
    }
}

impl From<String> for AnswerError {
    fn from(why: String) -> Self {
        Self::Answer(why)
    }
}

/// Whether what is asked for is typed already.
pub(crate) fn is_answered(ask: &Ask, typed: &Unfinished) -> bool {
    let any = |ids: &[&str]| ids.iter().any(|id| typed.has(id));
    match ask.takes {
        Takes::SpentOn => any(&["car", "share", "split", "overhead"]),
        Takes::OwedFor => any(&["car", "to"]),
        Takes::CameFrom => any(&["car", "other"]),
        Takes::Tax => any(&["months", "sorn", "none"]),
        _ => typed.has(ask.id),
    }
}

/// What the answer adds to the command line.
pub(crate) fn take(ask: &Ask, known: &Known<'_>, answer: &str) -> Result<Vec<Part>, AnswerError> {
    let typed = known.typed;
    Ok(match ask.takes {
        Takes::Value => {
            let part = typed.take(ask.id, answer)?;
            if NAMES.contains(&ask.id) && is_a_day(answer) {
                return Err(
                    format!("'{}' is a day, and this asks for a name: the day comes last", answer.trim()).into()
                );
            }
            vec![part]
        }
        Takes::Car(cars) => vec![car(cars, known, answer)?],
        Takes::NewMark => vec![new_mark(ask.id, known, answer)?],
        Takes::Spent => {
            if answer.parse::<Pence>()?.is_zero() && !typed.has("usual") {
                return Err(ValueError::refused("amount", answer, "is nothing: write what was paid").into());
            }
            vec![typed.take(ask.id, answer)?]
        }
        Takes::Heading(direction) => vec![Part::value(ask.id, heading(known, answer, direction)?)],
        Takes::SpentOn => spent_on(known, answer)?,
        Takes::OwedFor => match car(Cars::Any, known, answer) {
            Ok(part) => vec![part],
            Err(AnswerError::Answer(_)) => vec![typed.take("to", answer)?],
            Err(broken) => return Err(broken),
        },
        Takes::CameFrom if is_word(answer, "other") => vec![Part::switch("other")],
        Takes::CameFrom => vec![car(Cars::Any, known, answer)?],
        Takes::Item => vec![Part::value(ask.id, check::item_meant(answer)?.word)],
        Takes::Tax if is_word(answer, "sorn") => vec![Part::switch("sorn")],
        Takes::Tax if is_word(answer, "none") => vec![Part::switch("none")],
        Takes::Tax => vec![typed.take("months", answer)?],
        Takes::Defect => vec![typed.take(ask.id, &defect(answer))?],
        Takes::LesserDefect => {
            let answer = defect(answer);
            if let Some(failing) = answer.parse().ok().filter(|found: &Defect| found.level.fails()) {
                return Err(failing.not_with_a_pass().into());
            }
            vec![typed.take(ask.id, &answer)?]
        }
    })
}

/// The parts that hold somebody's name.
const NAMES: &[&str] = &["from", "to", "by"];

/// Whether the answer was meant for another question. A word alone, such as May, may be a name.
fn is_a_day(answer: &str) -> bool {
    answer.starts_with(|letter: char| letter.is_ascii_digit()) && answer.parse::<WrittenDay>().is_ok()
}

/// A defect as it is typed on a command line; said with a space after its level it does as well.
fn defect(answer: &str) -> String {
    match answer.split_once(' ') {
        Some((level, what)) if level.parse::<DefectLevel>().is_ok() => format!("{level}:{what}"),
        _ => answer.to_owned(),
    }
}

fn is_word(answer: &str, word: &str) -> bool {
    answer.trim().eq_ignore_ascii_case(word)
}

/// Whether what is typed already for that part is in the book as it should be: nobody is asked for the
/// rest of a line that will be refused.
pub(crate) fn check_typed(ask: &Ask, known: &Known<'_>) -> Result<(), Error> {
    let typed = known.typed;
    let (car, word) = (typed.get::<CarRef>("car"), typed.get::<String>(ask.id));
    match ask.takes {
        Takes::Car(cars) => car.map_or(Ok(()), |car| check_car(cars, known, car)),
        Takes::SpentOn | Takes::CameFrom => car.map_or(Ok(()), |car| check_car(Cars::Any, known, car)),
        Takes::NewMark => typed.get(ask.id).map_or(Ok(()), |mark| check_new_mark(known, mark)),
        Takes::Heading(direction) => word.map_or(Ok(()), |word| heading(known, word, direction).map(|_| ())),
        Takes::Item => word.map_or(Ok(()), |word| check::item_meant(word).map(|_| ())),
        Takes::Value | Takes::Spent | Takes::OwedFor | Takes::Tax | Takes::Defect | Takes::LesserDefect => Ok(()),
    }
}

/// A car that is there, and where it should be.
fn car(cars: Cars, known: &Known<'_>, answer: &str) -> Result<Part, AnswerError> {
    let part = known.typed.take("car", answer)?;
    check_car(cars, known, &answer.parse()?)?;
    Ok(part)
}

fn check_car(cars: Cars, known: &Known<'_>, car: &CarRef) -> Result<(), Error> {
    let found = match cars {
        Cars::InStock => lookup::car_in_stock(known.reader, car, known.day()?).map(|_| ()),
        Cars::Sold => lookup::car_sold(known.reader, car).map(|_| ()),
        Cars::Any => lookup::stock_no(known.reader, car).map(|_| ()),
    };
    found.map_err(|error| explained(error, known.reader, known.context))
}

fn new_mark(id: &'static str, known: &Known<'_>, answer: &str) -> Result<Part, AnswerError> {
    let part = known.typed.take(id, answer)?;
    check_new_mark(known, &answer.parse()?)?;
    Ok(part)
}

fn check_new_mark(known: &Known<'_>, mark: &BoughtMark) -> Result<(), Error> {
    if let BoughtMark::Mark(mark) = mark
        && let Some(found) = known.reader.vehicle_by_mark(mark)?
        && let Some(stock_no) = found.in_stock_as
    {
        let car = lookup::whole_car(known.reader, stock_no)?.label();
        return Err(Refusal::InStockAlready { car }.into());
    }
    Ok(())
}

fn heading(known: &Known<'_>, typed: &str, direction: Direction) -> Result<String, Error> {
    match typed.trim().to_lowercase().as_str() {
        settles @ ("balance" | "vat") => Ok(settles.to_owned()),
        _ => lookup::heading(known.reader, typed, direction),
    }
}

/// A car, `overhead`, cars with commas between, or parts of the sum as `7=47.30,overhead=15`.
fn spent_on(known: &Known<'_>, answer: &str) -> Result<Vec<Part>, AnswerError> {
    let pieces: Vec<&str> = answer.split(',').map(str::trim).filter(|piece| !piece.is_empty()).collect();
    if answer.contains('=') {
        for piece in &pieces {
            let part: SplitPart = piece.parse()?;
            if let Target::Car(car) = part.target {
                check_car(Cars::Any, known, &car)?;
            }
        }
        return Ok(pieces.into_iter().map(|piece| Part::value("split", piece)).collect());
    }
    match *pieces.as_slice() {
        [only] if is_word(only, "overhead") => Ok(vec![Part::switch("overhead")]),
        [_] | [] => Ok(vec![car(Cars::Any, known, answer)?]),
        ref several => {
            for one in several {
                car(Cars::Any, known, one)?;
            }
            let joined: Vec<String> = several.iter().map(|one| one.split_whitespace().collect()).collect();
            Ok(vec![Part::value("share", joined.join(","))])
        }
    }
}

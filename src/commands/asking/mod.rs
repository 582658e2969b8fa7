//! What is asked on a terminal when a recording command is typed with parts left out: which question
//! comes next, what Enter stands for, and whether an answer will do. Asking itself is for the app.

mod answers;
mod suggestions;
mod tables;

pub use answers::Untaken;

use crate::cli::unfinished::{Part, Unfinished};
use crate::commands::Context;
use crate::domain::book::facts::Car;
use crate::domain::days::day::{WrittenDay, add_months_clamped};
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::words::Direction;
use crate::error::Error;
use crate::report::document::Document;
use crate::store::Reader;
use chrono::NaiveDate;

/// What there is to go by: the words so far, and the book.
#[derive(Clone, Copy, Debug)]
pub struct Known<'k> {
    /// The words so far.
    pub typed: &'k Unfinished,
    /// The book.
    pub reader: Reader<'k>,
    /// The day, and the rest of the world.
    pub context: &'k Context,
}

impl Known<'_> {
    /// The day it happened, as far as it is said.
    fn day(&self) -> Result<NaiveDate, Error> {
        self.context.past_day(self.typed.get::<WrittenDay>("on"))
    }

    /// The car it is about, once that is said.
    fn car(&self) -> Result<Option<Car>, Error> {
        self.typed.get::<CarRef>("car").map(|car| crate::commands::steps::lookup::car(self.reader, car)).transpose()
    }
}

/// One question a command can ask: a row of its table.
#[derive(Clone, Copy, Debug)]
struct Ask {
    /// The part of the command line it is for.
    id: &'static str,
    /// The question.
    words: &'static str,
    need: Need,
    enter: Enter,
    takes: Takes,
    /// Whether it arises at all.
    when: fn(&Known<'_>) -> Result<bool, Error>,
}

/// How much a part is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Need {
    /// Without it there is nothing to record.
    Needed,
    /// It can be passed over.
    Welcome,
    /// It can be passed over, and is asked again after each answer.
    Repeated,
}

/// What Enter alone stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Enter {
    /// What the command does when the part is left out, in words; nothing for a part that is needed.
    Leaves(&'static str),
    /// That there are none, or no more.
    NoMore,
    /// The way of paying that is set.
    PaidAsSet,
    /// The only car there is to choose.
    OnlyCar,
    /// The car last bought or spent on, else the yard.
    LatestCar,
    /// The price advertised.
    AskingPrice,
    /// Whoever paid the deposit held.
    Depositor,
    /// The last day of the MOT by the rule.
    LastDayOfMot,
}

/// What an answer is taken for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Takes {
    /// The value of the part.
    Value,
    /// A car, of some.
    Car(Cars),
    /// The mark of a car not in stock.
    NewMark,
    /// A sum spent, which may be nothing only beside a usual price.
    Spent,
    /// A heading for money going one way.
    Heading(Direction),
    /// What money was spent on: a car, several, parts, the yard.
    SpentOn,
    /// Whom or which car a balance is owed for.
    OwedFor,
    /// Where money received came from: a car, or none.
    CameFrom,
    /// An item of the pre-sale list.
    Item,
    /// What was done about vehicle tax.
    Tax,
    /// A defect a test found.
    Defect,
    /// A defect that does not fail a test.
    LesserDefect,
}

impl Takes {
    /// Whether it is what money was about, said by one of several options.
    const fn is_about(self) -> bool {
        matches!(self, Self::SpentOn | Self::OwedFor | Self::CameFrom)
    }
}

/// Which cars will do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Cars {
    /// Those in stock.
    InStock,
    /// Any in the book; those in stock are shown.
    Any,
    /// Those sold.
    Sold,
}

/// A question ready to be asked.
#[derive(Clone, Debug)]
pub struct Question {
    ask: Ask,
    /// What is shown before it.
    pub before: Option<Document>,
    /// What Enter stands for, in words; none where there is nothing to take.
    pub offered: Option<String>,
    /// What Enter types; without it Enter passes the question over.
    types: Option<Vec<Part>>,
}

impl Question {
    /// The question, without what Enter stands for.
    pub const fn words(&self) -> &'static str {
        self.ask.words
    }

    /// Whether it asks what money was about, the one thing a line typed out still lacks.
    pub const fn is_about(&self) -> bool {
        self.ask.takes.is_about()
    }

    /// What Enter alone gives: parts to type, or none to pass the question over. None at all where an
    /// answer is needed.
    pub fn on_enter(&self) -> Option<Option<Vec<Part>>> {
        match (&self.types, self.ask.need) {
            (Some(parts), _) => Some(Some(parts.clone())),
            (None, Need::Needed) => None,
            (None, _) => Some(None),
        }
    }
}

/// How far the asking has come.
#[derive(Clone, Debug)]
pub struct Asking {
    table: &'static [Ask],
    /// Whether what can be passed over is asked for too.
    whole: bool,
    passed: Vec<&'static str>,
}

impl Asking {
    /// Begins to ask; none when nothing that is needed is missing. What can be passed over is asked for
    /// too, unless all that is missing is what the money was about: that is a line typed out, and one
    /// thing forgotten.
    pub fn begin(known: &Known<'_>) -> Result<Option<Self>, Error> {
        let table = tables::of(known.typed.command());
        let repeated = |ask: &&Ask| ask.need == Need::Repeated && known.typed.has(ask.id);
        let passed = table.iter().filter(repeated).map(|ask| ask.id).collect();
        let mut asking = Self { table, whole: false, passed };
        if asking.has_enough(known)? {
            return Ok(None);
        }
        for ask in table.iter().filter(|ask| ask.need == Need::Needed) {
            if (ask.when)(known)? {
                answers::check_typed(ask, known)?;
            }
            asking.whole |= !ask.takes.is_about() && asking.is_open(ask, known)?;
        }
        Ok(Some(asking))
    }

    /// Whether nothing that is needed is missing.
    pub fn has_enough(&self, known: &Known<'_>) -> Result<bool, Error> {
        for ask in self.table.iter().filter(|ask| ask.need == Need::Needed) {
            if self.is_open(ask, known)? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// The next question, if there is one left.
    pub fn next(&self, known: &Known<'_>) -> Result<Option<Question>, Error> {
        for ask in self.table.iter().filter(|ask| self.whole || ask.need == Need::Needed) {
            if self.is_open(ask, known)? {
                return suggestions::question(ask, known).map(Some);
            }
        }
        Ok(None)
    }

    fn is_open(&self, ask: &Ask, known: &Known<'_>) -> Result<bool, Error> {
        let answered = ask.need != Need::Repeated && answers::is_answered(ask, known.typed);
        Ok(!answered && !self.passed.contains(&ask.id) && (ask.when)(known)?)
    }

    /// The question is passed over.
    pub fn pass(&mut self, question: &Question) {
        self.passed.push(question.ask.id);
    }
}

/// Whether a command asks anything at all.
pub fn has_questions(command: &str) -> bool {
    !tables::of(command).is_empty()
}

/// What an answer adds to the command line, or why it will not do.
pub fn take(question: &Question, known: &Known<'_>, answer: &str) -> Result<Vec<Part>, Untaken> {
    answers::take(&question.ask, known, answer)
}

/// What `?` is answered with.
pub fn explain(question: &Question, known: &Known<'_>) -> Result<Document, Error> {
    suggestions::explain(&question.ask, known)
}

/// What a day that needs its year and has none is asked with: for an expiry the year it comes round next, for
/// what begins or ends something the year of the nearest such day.
pub fn year_offered(typed: &Unfinished, id: &str, day: &WrittenDay, today: NaiveDate) -> Option<String> {
    let next = match (typed.command(), id) {
        // A first registration lies behind, nobody knows how far.
        (_, "first_registered") => None,
        // A pass is good for some twelve months: a day just ahead is meant a year on.
        ("mot", _) => day.next_after(add_months_clamped(today, MONTHS_A_PASS_RUNS)),
        (_, expiry) if expiry.ends_with("until") => day.next_after(today),
        _ => day.nearest(today),
    };
    next.map(|next| next.format("%Y").to_string())
}

/// No pass is good for less.
const MONTHS_A_PASS_RUNS: u32 = 11;

//! The questions a command can ask: what each is for, when it arises, what Enter stands for.

use crate::cli::unfinished::Unfinished;
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::domain::book::facts::Car;
use crate::domain::days::day::WrittenDay;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::words::Direction;
use crate::error::Error;
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
    pub(crate) fn day(&self) -> Result<NaiveDate, Error> {
        self.context.past_day(self.typed.get::<WrittenDay>("on"))
    }

    /// The car it is about, once that is said.
    pub(crate) fn car(&self) -> Result<Option<Car>, Error> {
        self.typed.get::<CarRef>("car").map(|car| lookup::car(self.reader, car)).transpose()
    }
}

/// One question a command can ask: a row of its table.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Ask {
    /// The part of the command line it is for.
    pub(crate) id: &'static str,
    /// The question.
    pub(crate) words: &'static str,
    pub(crate) need: Need,
    pub(crate) enter: Enter,
    pub(crate) takes: Takes,
    /// Whether it arises at all.
    pub(crate) when: fn(&Known<'_>) -> Result<bool, Error>,
}

/// How much a part is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Need {
    /// Without it there is nothing to record.
    Needed,
    /// It can be passed over.
    Optional,
    /// It can be passed over, and is asked again after each answer.
    Repeated,
}

/// What Enter alone stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Enter {
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
pub(crate) enum Takes {
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
    pub(crate) const fn is_about(self) -> bool {
        matches!(self, Self::SpentOn | Self::OwedFor | Self::CameFrom)
    }
}

/// Which cars will do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Cars {
    /// Those in stock.
    InStock,
    /// Any in the book; those in stock are shown.
    Any,
    /// Those sold.
    Sold,
}

pub(crate) const fn ask(id: &'static str, words: &'static str, need: Need) -> Ask {
    Ask { id, words, need, enter: Enter::Leaves("skip"), takes: Takes::Value, when: |_| Ok(true) }
}

pub(crate) const fn needed(id: &'static str, words: &'static str) -> Ask {
    Ask { enter: Enter::Leaves(""), ..ask(id, words, Need::Needed) }
}

pub(crate) const fn optional(id: &'static str, words: &'static str) -> Ask {
    ask(id, words, Need::Optional)
}

impl Ask {
    pub(crate) const fn words(self, words: &'static str) -> Self {
        Self { words, ..self }
    }

    pub(crate) const fn enter(self, enter: Enter) -> Self {
        Self { enter, ..self }
    }

    pub(crate) const fn takes(self, takes: Takes) -> Self {
        Self { takes, ..self }
    }

    pub(crate) const fn when(self, when: fn(&Known<'_>) -> Result<bool, Error>) -> Self {
        Self { when, ..self }
    }
}

pub(crate) const CAR: Ask =
    needed("car", "Which car (mark or number)").enter(Enter::OnlyCar).takes(Takes::Car(Cars::InStock));

pub(crate) const ANY_CAR: Ask = CAR.takes(Takes::Car(Cars::Any));

pub(crate) const SOLD_CAR: Ask = CAR.takes(Takes::Car(Cars::Sold));

pub(crate) const DAY: Ask = optional("on", "Which day").enter(Enter::Leaves("today"));

pub(crate) const PAID: Ask = optional("paid", "Paid by cash, bank, card or own").enter(Enter::PaidAsSet);

pub(crate) const MILES: Ask = optional("miles", "Miles on the odometer");

pub(crate) fn is_heading(known: &Known<'_>, heading: &str) -> bool {
    known.typed.get::<String>("heading").is_some_and(|typed| typed.trim() == heading)
}

/// Whether the money settles what is owed.
pub(crate) fn is_settling(known: &Known<'_>) -> bool {
    is_heading(known, "balance") || is_heading(known, "vat")
}

//! Which words an argument takes, for those that take one of a few: what completion offers and a near
//! miss is looked for among.

use crate::domain::book::import_sheet::Rows;
use crate::domain::days::month::WrittenMonth;
use crate::domain::due::due_item::DueKind;
use crate::domain::figures::lessons::By;
use crate::domain::value::checklist::{CheckState, ITEMS};
use crate::domain::value::words::{Every, Kind, Outcome, PaidBy, TestResult, Via};
use clap::Arg;
use std::any::TypeId;

const MONTHS: &[&str] = &[
    "this",
    "last",
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// The words `argument` takes; none when it takes anything else too.
pub fn accepted(argument: &Arg) -> Vec<String> {
    let owned = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>();
    if let Some(named) = named_lists(argument) {
        return named;
    }
    if argument.get_id() == "item" {
        return ITEMS.iter().map(|item| item.word.to_owned()).collect();
    }
    let takes = argument.get_value_parser().type_id();
    let by_type: [(TypeId, &'static [&'static str]); 10] = [
        (TypeId::of::<PaidBy>(), PaidBy::WORDS),
        (TypeId::of::<Via>(), Via::WORDS),
        (TypeId::of::<Kind>(), Kind::WORDS),
        (TypeId::of::<Outcome>(), Outcome::WORDS),
        (TypeId::of::<TestResult>(), TestResult::WORDS),
        (TypeId::of::<Every>(), Every::WORDS),
        (TypeId::of::<CheckState>(), CheckState::WORDS),
        (TypeId::of::<DueKind>(), DueKind::WORDS),
        (TypeId::of::<Rows>(), Rows::WORDS),
        (TypeId::of::<By>(), By::WORDS),
    ];
    let words = by_type.iter().find(|(of, _)| takes == *of).map(|(_, words)| owned(words));
    let is_month = takes == TypeId::of::<WrittenMonth>() || is_named(argument, "MONTH");
    words.unwrap_or_else(|| if is_month { owned(MONTHS) } else { Vec::new() })
}

/// The words a value of that kind is written with, for values that are read only once the command runs.
pub fn of_kind(what: &str) -> &'static [&'static str] {
    match what {
        "month" => MONTHS,
        "way of paying" => PaidBy::WORDS,
        _ => &[],
    }
}

/// Whether the help calls the argument's value that.
pub fn is_named(argument: &Arg, name: &str) -> bool {
    argument.get_value_names().is_some_and(|names| names.iter().any(|found| found == name))
}

/// The lists that `--part` picks from, as its own help names them.
fn named_lists(argument: &Arg) -> Option<Vec<String>> {
    let help = argument.get_help().filter(|_| argument.get_id() == "part")?.to_string();
    let named = help.split('`').skip(1).step_by(2);
    Some(named.map(str::to_owned).collect())
}

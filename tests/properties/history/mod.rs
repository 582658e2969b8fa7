//! Random histories of the trade: what a trader could have typed over eight months, each command
//! kept beside what it means.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod dealing;
mod dice;
mod keeping;
mod plain;
mod trader;

pub use dice::Dice;
pub use plain::{Every, History, Pocket, Step, What, Whose};

use crate::common::Yard;
use chrono::NaiveDate;
use proptest::prelude::*;
use trader::Trader;

/// The day every history ends on: mid-month, with a short February and a turn of the year behind.
pub fn today() -> NaiveDate {
    day("2026-03-20")
}

pub fn day(text: &str) -> NaiveDate {
    text.parse().expect("a day")
}

/// A history from a seed; a shorter one of the same seed is its beginning.
pub fn history(seed: u64, commands: usize) -> History {
    Trader::new(seed, today()).trade(commands)
}

/// Any history; a failing one is made shorter, never another.
pub fn any_history() -> impl Strategy<Value = (u64, usize)> {
    (any::<u64>().no_shrink(), 25..=60_usize)
}

impl History {
    /// Records all of it.
    pub fn record(&self) -> Yard {
        let yard = Yard::new(&self.today.to_string());
        for step in &self.steps {
            yard.ok(&step.line);
        }
        yard
    }

    /// The command lines, for reading when a check fails.
    pub fn typed(&self) -> String {
        self.steps.iter().map(|step| step.line.as_str()).collect::<Vec<_>>().join("\n")
    }
}

/// Random histories are worth nothing for what they never do.
#[test]
fn histories_do_all_there_is_to_do() {
    let mut seen = std::collections::BTreeMap::<String, usize>::new();
    for seed in 0..64 {
        let history = history(seed, 45);
        assert_eq!(history.steps.len(), 45);
        for (n, step) in history.steps.iter().enumerate() {
            *seen.entry(step.what.kind()).or_default() += 1;
            let late = n > 0 && step.on < history.steps[n - 1].on;
            for feature in features(&step.what).into_iter().chain(late.then_some("late")) {
                *seen.entry(feature.to_owned()).or_default() += 1;
            }
        }
    }
    let wanted = [
        "Bought",
        "Spent",
        "Received",
        "Sold",
        "SellerPaid",
        "BuyerPaid",
        "BillPaid",
        "Vat",
        "Owner",
        "Loan",
        "Moved",
        "StandingSet",
        "StandingStopped",
        "StandingChanged",
        "StandingSkipped",
        "Worked",
        "Asked",
        "Registered",
        "Deregistered",
        "UsuallyPaid",
        "late",
        "shared",
        "split",
        "split with the yard",
        "unpaid",
        "favour",
        "free favour",
        "own pocket",
        "part-exchange",
        "dearer part-exchange",
        "owed by buyer",
        "owed to seller",
        "for nothing",
        "invoice",
        "VAT",
        "VAT repaid",
        "loan paid back",
        "drawn",
        "other income",
    ];
    let missing: Vec<&str> = wanted.into_iter().filter(|kind| seen.get(*kind).is_none_or(|times| *times < 5)).collect();
    assert!(missing.is_empty(), "seldom or never: {missing:?} among {seen:?}");
}

fn features(what: &What) -> Vec<&'static str> {
    let own = |pocket: &Pocket| (*pocket == Pocket::Own).then_some("own pocket");
    let flags: Vec<Option<&'static str>> = match what {
        What::Bought { price, paid, pocket, invoice_vat, .. } => vec![
            (paid < price).then_some("owed to seller"),
            (*price == 0).then_some("for nothing"),
            invoice_vat.map(|_| "invoice"),
            own(pocket),
        ],
        What::Spent { amount, usual, vat, whose, pocket, .. } => vec![
            match whose {
                Whose::Equally(_) => Some("shared"),
                Whose::Parts(parts) if parts.iter().any(|(car, _)| car.is_none()) => Some("split with the yard"),
                Whose::Parts(_) => Some("split"),
                Whose::Car(_) | Whose::Yard => None,
            },
            pocket.is_none().then_some("unpaid"),
            usual.map(|_| if *amount == 0 { "free favour" } else { "favour" }),
            (*vat > 0).then_some("VAT"),
        ],
        What::Received { car, .. } => vec![car.is_none().then_some("other income")],
        What::Sold { price, received, taken_in, pocket, .. } => vec![
            (!taken_in.is_empty()).then_some("part-exchange"),
            (*received < 0).then_some("dearer part-exchange"),
            (received + taken_in.iter().map(|(_, allowed)| allowed).sum::<i64>() < *price).then_some("owed by buyer"),
            own(pocket),
        ],
        What::Vat { amount, .. } => vec![(*amount > 0).then_some("VAT repaid")],
        What::Loan { amount, .. } => vec![(*amount < 0).then_some("loan paid back")],
        What::Owner { amount, .. } => vec![(*amount < 0).then_some("drawn")],
        _ => vec![],
    };
    flags.into_iter().flatten().collect()
}

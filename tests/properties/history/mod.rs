//! Random histories of the trade: what a trader could have typed over eight months, each command
//! kept beside what it means.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod dealing;
mod dice;
mod keeping;
mod money;
mod plain;
mod returning;
mod trader;

pub use dice::Dice;
pub use plain::{Every, History, How, Pocket, Step, TakenIn, What, Whose};

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

/// A history that ends on another day.
pub fn history_to(seed: u64, commands: usize, today: NaiveDate) -> History {
    Trader::new(seed, today).trade(commands)
}

/// Any history; a failing one is made shorter, never another.
pub fn any_history() -> impl Strategy<Value = (u64, usize)> {
    (any::<u64>().no_shrink(), 30..=70_usize)
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
        let history = history(seed, 60);
        assert_eq!(history.steps.len(), 60);
        for (n, step) in history.steps.iter().enumerate() {
            *seen.entry(step.what.kind()).or_default() += 1;
            let late = n > 0 && step.on < history.steps[n - 1].on;
            let told = features(&step.what).into_iter().chain(late.then_some("late"));
            for feature in told.chain(features_of_the_line(&history.steps[..n], step)) {
                *seen.entry(feature.to_owned()).or_default() += 1;
            }
        }
    }
    let wanted = [
        "Bought",
        "Spent",
        "Received",
        "Sold",
        "Offered",
        "DepositTaken",
        "DepositGivenBack",
        "DepositKept",
        "WrittenOff",
        "TakenBack",
        "RefundPaid",
        "Disposed",
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
        "auction fee in the price",
        "auction fee with VAT",
        "auction costs",
        "price less a deposit",
        "deposit dearer than the car",
        "anothers deposit given back",
        "part-exchange with finance",
        "part of a deposit given back",
        "refund owed",
        "nothing refunded",
        "buyer pays on return",
        "part-exchange returned",
        "part-exchange gone",
        "stated refund",
        "seller and buyer told apart",
        "scrapped",
        "broken",
        "lost",
        "kept",
        "received for it",
        "parts of a broken car",
        "come back and sold again",
        "come back and disposed of",
        "gone without a sale and bought again",
    ];
    let missing: Vec<&str> = wanted.into_iter().filter(|kind| seen.get(*kind).is_none_or(|times| *times < 5)).collect();
    assert!(missing.is_empty(), "seldom or never: {missing:?} among {seen:?}");
}

fn features(what: &What) -> Vec<&'static str> {
    let own = |pocket: &Pocket| (*pocket == Pocket::Own).then_some("own pocket");
    let flags: Vec<Option<&'static str>> = match what {
        What::Bought { price, paid, pocket, invoice_vat, charges, .. } => vec![
            charges.iter().any(|(_, vat)| *vat > 0).then_some("auction fee with VAT"),
            (!charges.is_empty()).then_some("auction costs"),
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
        What::Sold { price, received, taken_in, pocket, deposit_used, deposit_given_back, .. } => vec![
            (!taken_in.is_empty()).then_some("part-exchange"),
            taken_in.iter().any(|taken| taken.to_lender > 0).then_some("part-exchange with finance"),
            (taken_in.iter().map(|taken| taken.allowance).sum::<i64>() > *price).then_some("dearer part-exchange"),
            (*deposit_used > 0).then_some("price less a deposit"),
            (deposit_used > price).then_some("deposit dearer than the car"),
            (*deposit_given_back > 0).then_some("anothers deposit given back"),
            (received + deposit_used + credits(taken_in) < *price).then_some("owed by buyer"),
            own(pocket),
        ],
        What::TakenBack { refund, pocket, returned, .. } => vec![
            pocket.is_none().then_some("refund owed"),
            (*refund == 0).then_some("nothing refunded"),
            (*refund < 0).then_some("buyer pays on return"),
            (!returned.is_empty()).then_some("part-exchange returned"),
        ],
        What::Disposed { how, received, .. } => vec![
            Some(match how {
                How::Scrapped => "scrapped",
                How::Broken => "broken",
                How::Lost => "lost",
                How::Kept(_) => "kept",
            }),
            received.map(|_| "received for it"),
        ],
        What::Vat { amount, .. } => vec![(*amount > 0).then_some("VAT repaid")],
        What::Loan { amount, .. } => vec![(*amount < 0).then_some("loan paid back")],
        What::Owner { amount, .. } => vec![(*amount < 0).then_some("drawn")],
        _ => vec![],
    };
    flags.into_iter().flatten().collect()
}

fn credits(taken_in: &[TakenIn]) -> i64 {
    taken_in.iter().map(|taken| taken.allowance - taken.to_lender).sum()
}

/// What only the words of a step, or the steps before it, tell.
fn features_of_the_line(before: &[Step], step: &Step) -> Vec<&'static str> {
    let said = |words: &str| step.line.contains(words);
    let came_back = |no: u32| before.iter().any(|step| matches!(step.what, What::TakenBack { car, .. } if car == no));
    let gone = |no: u32| before.iter().any(|step| matches!(step.what, What::Disposed { car, .. } if car == no));
    let flags = match &step.what {
        What::Bought { .. } => vec![
            (said("--buyers-fee") && !said("--fee-vat"), "auction fee in the price"),
            (bought_after_disposal(before, step), "gone without a sale and bought again"),
        ],
        What::Sold { car, .. } => vec![(came_back(*car), "come back and sold again")],
        What::Disposed { car, .. } => vec![(came_back(*car), "come back and disposed of")],
        What::DepositGivenBack { amount, .. } => {
            let all = format!("--give-back {}.", amount / 100);
            vec![(said(&all), "part of a deposit given back")]
        }
        What::TakenBack { returned, .. } => vec![
            (said("--refund"), "stated refund"),
            (said("--return-part-exchange") && returned.is_empty(), "part-exchange gone"),
        ],
        What::RefundPaid { .. } | What::SellerPaid { .. } => {
            vec![(said("--to"), "seller and buyer told apart")]
        }
        What::Received { car: Some(car), .. } => vec![(gone(*car) && said("parts-sold"), "parts of a broken car")],
        _ => vec![],
    };
    flags.into_iter().filter(|(there, _)| *there).map(|(_, feature)| feature).collect()
}

/// Whether a car is bought under the mark of one that left without a sale.
fn bought_after_disposal(before: &[Step], step: &Step) -> bool {
    let bought = |line: &str| line.strip_prefix("buy ").and_then(|rest| rest.split(' ').next()).map(str::to_owned);
    let mark = bought(&step.line);
    before.iter().any(|earlier| {
        let What::Bought { car: no, .. } = earlier.what else { return false };
        let gone = before.iter().any(|step| matches!(step.what, What::Disposed { car, .. } if car == no));
        gone && bought(&earlier.line) == mark
    })
}

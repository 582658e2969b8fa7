//! What the program said it had recorded, held against what is in the book.

use crate::common::Yard;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::{Command, Output};

/// The day it is.
pub const TODAY: &str = "2026-11-25";

/// The real program, on a book and with nothing of this machine's settings.
pub fn program(book: &Path) -> Command {
    let mut program = Command::new(env!("CARGO_BIN_EXE_runabout"));
    program.env("RUNABOUT_BOOK", book).env("RUNABOUT_TODAY", TODAY).env_remove("RUNABOUT_RATES");
    program
}

/// `spend` of an amount that no other entry has.
pub fn spend(yard: &Yard, pence: u32) -> Command {
    let mut spend = program(&yard.book());
    spend.args(["spend", &pounds(pence), "tools", "--overhead"]);
    spend
}

fn pounds(pence: u32) -> String {
    format!("{}.{:02}", pence / 100, pence % 100)
}

/// Amounts, in pence, by the entry the program said they are in.
#[derive(Debug, Default)]
pub struct Told(BTreeMap<i64, u32>);

impl Told {
    /// Takes note of an answer; whether it told of an entry.
    pub fn hear(&mut self, pence: u32, answer: &Output) -> bool {
        let said = String::from_utf8_lossy(&answer.stdout);
        let entry = said.strip_prefix("Entry ").and_then(|rest| rest.split(':').next()?.parse().ok());
        assert!(entry.is_some() || !answer.status.success(), "it ended well and said nothing: {answer:?}");
        if let Some(entry) = entry {
            assert_eq!(self.0.insert(entry, pence), None, "entry {entry} was told of twice");
        }
        entry.is_some()
    }

    /// How many entries were told of.
    pub fn count(&self) -> usize {
        self.0.len()
    }

    /// Every entry told of is in the book with its amount; whatever else is there was `tried` and is whole;
    /// no number and no amount is there twice. Gives how many entries there are that nobody was told of.
    ///
    /// The book begins with one entry of its own, a `pay-in` of `float` pence.
    pub fn hold_against(&self, yard: &Yard, tried: &BTreeSet<u32>, float: u32) -> usize {
        assert_eq!(yard.run("verify").code, 0, "{}", yard.run("verify").out);
        let log = yard.json("log --last 100000");
        let entries = log["entries"].as_array().unwrap();
        let numbers: Vec<i64> = entries.iter().rev().map(|entry| entry["entry"].as_i64().unwrap()).collect();
        let count = i64::try_from(numbers.len()).unwrap();
        assert_eq!(numbers, (1..=count).collect::<Vec<_>>(), "each number once, none left out");
        let mut found = BTreeMap::new();
        for entry in entries.iter().filter(|entry| entry["command"] == "spend") {
            let typed = entry["typed"].as_str().unwrap();
            let amount = typed.split(' ').nth(1).unwrap();
            let pence: u32 = amount.replace('.', "").parse().unwrap();
            assert!(entry["summary"].as_str().unwrap().contains(&format!("spent £{amount} on tools")), "half: {entry}");
            assert!(tried.contains(&pence), "never typed: {entry}");
            assert_eq!(found.insert(pence, entry["entry"].as_i64().unwrap()), None, "twice in the book: {entry}");
        }
        for (entry, pence) in &self.0 {
            assert_eq!(found.get(pence), Some(entry), "told of and lost: entry {entry} of {}", pounds(*pence));
        }
        // The money agrees with the log: each entry has its line, and no line is without an entry.
        let left = i64::from(float) - found.keys().map(|pence| i64::from(*pence)).sum::<i64>();
        let bank = yard.json("cash")["bank"].as_str().unwrap().replace('.', "");
        assert_eq!(bank.parse::<i64>().unwrap(), left);
        found.len() - self.count()
    }
}

//! The command that is meant by a word that is none: everyday words first, then words spelt alike.

use clap::Command;

/// What people say, and the commands it may mean, the likeliest first. A word that is a command of its own, or
/// becomes one, does not belong here; a test sees to it.
const SAID: &[(&[&str], &[&str])] = &[
    (&["bought", "buying", "buys", "purchase", "purchased", "get", "got"], &["buy"]),
    (&["sold", "sale", "sells", "selling"], &["sell"]),
    (&["sales", "turnover"], &["sell", "results"]),
    (&["spent", "spends", "spending", "pay", "paid", "pays", "cost", "costs", "expense", "expenses"], &["spend"]),
    (&["petrol", "diesel", "fuel", "parts", "part", "tyre", "tyres", "brakes", "battery", "labour"], &["spend"]),
    (&["valet", "repair", "repairs", "repaired", "mend", "garage", "mechanic"], &["spend"]),
    (&["fix", "fixed"], &["spend", "amend"]),
    (&["bill", "bills"], &["spend", "invoice"]),
    (&["got-paid", "receives", "received", "income", "earned", "takings"], &["receive"]),
    (&["refund", "refunds", "refunded", "payback", "return", "returns", "returned"], &["take-back"]),
    (&["takeback", "reject", "rejected", "came-back", "bring-back"], &["take-back"]),
    (&["offers", "offered", "haggle", "haggled"], &["offer"]),
    (&["deposits", "reserve", "reserved", "hold", "holding"], &["deposit"]),
    (&["asks", "asking", "price", "prices", "advertise", "advertised", "advert", "listing"], &["ask"]),
    (&["scrap", "scrapped", "break", "broken", "breaking", "dismantle", "lost", "stolen", "keep"], &["dispose"]),
    (&["writeoff", "bad-debt", "forgive"], &["write-off"]),
    (&["test", "tested", "pass", "passed", "fail", "failed", "retest"], &["mot"]),
    (&["taxed", "sorn", "road-tax", "tax-disc"], &["tax"]),
    (&["income-tax", "self-assessment", "accounts", "tax-return"], &["tax-year"]),
    (&["checks", "checked", "checklist", "inspect", "inspection", "inspected"], &["check"]),
    (&["hour", "time", "work", "worked"], &["hours"]),
    (&["journeys", "trip", "trips", "drive", "drove", "driven", "mileage", "miles"], &["journey"]),
    (&["notes", "noted", "memo", "remark", "remember", "write", "comment"], &["note"]),
    (&["plate", "plates", "number-plate", "reg", "registration", "marks"], &["mark"]),
    (&["list", "cars", "inventory", "yard", "ls"], &["stock"]),
    (&["show", "view", "details", "look", "vehicle"], &["car", "stock"]),
    (&["find", "search"], &["car", "log"]),
    (&["todo", "to-do", "tasks", "reminder", "reminders", "remind", "next"], &["due"]),
    (&["diary", "ical", "dates", "appointments"], &["calendar", "due"]),
    (&["money", "balance", "float", "bank", "tin", "pocket"], &["cash"]),
    (&["payin", "invest", "invested", "capital", "fund", "lend", "borrow", "loan"], &["pay-in"]),
    (&["drew", "drawing", "drawings", "wage", "wages", "salary", "take", "took"], &["draw"]),
    (&["withdraw", "withdrew"], &["draw", "move"]),
    (&["moved", "transfer", "transferred", "banked"], &["move"]),
    (&["rent", "rents", "recurring", "subscription", "direct-debit", "standing-order"], &["standing"]),
    (&["papers", "insurance", "licence", "policy"], &["paper"]),
    (&["profit", "profits", "made", "report", "monthly", "summary"], &["month", "results"]),
    (&["year", "years", "annual", "totals", "figures"], &["results"]),
    (&["invoices", "invoiced", "invoicing", "credit-note", "purchase-record"], &["invoice"]),
    (&["receipts", "photo", "photos", "attach", "scan"], &["receipt"]),
    (&["history", "entries", "journal", "ledger"], &["log"]),
    (&["cancel", "delete", "deleted", "remove", "revert", "undone", "unsell", "oops", "mistake"], &["undo"]),
    (&["edit", "change", "changed", "correct", "correction", "update", "modify", "rename", "wrong"], &["amend"]),
    (&["finish", "finished", "complete", "completed", "tick"], &["done"]),
    (&["save", "copy", "backups"], &["backup"]),
    (&["recover"], &["restore"]),
    (&["dump", "spreadsheet", "accountant"], &["export"]),
    (&["load", "upload"], &["import"]),
    (&["config", "configure", "options", "set", "setup", "setting", "preferences"], &["settings"]),
    (&["forecasts", "predict", "prediction", "future"], &["forecast"]),
    (&["plan", "plans", "slots", "slot", "budget", "target"], &["programme"]),
    (&["bids", "auction", "worth", "max"], &["bid"]),
    (&["learn", "learned", "lesson", "statistics", "stats", "analysis"], &["lessons"]),
    (&["stockbook", "register"], &["stock-book"]),
    (&["vat-return", "margin"], &["vat"]),
    (&["erase", "privacy"], &["forget"]),
    (&["lock", "finish-month", "reopen"], &["close"]),
    (&["verified", "validate", "audit"], &["verify"]),
    (&["rate", "threshold", "thresholds", "limits"], &["rates"]),
    (&["pictures", "chart", "charts", "graph", "graphs", "dashboard", "print"], &["page"]),
    (&["example", "examples", "sample", "try", "tutorial"], &["demo"]),
];

/// The same for the commands of a command.
const SAID_OF: &[(&str, &[&str], &str)] = &[
    ("standing", &["new", "create", "start"], "add"),
    ("standing", &["remove", "delete", "end", "cancel"], "stop"),
    ("standing", &["edit", "amend", "raise", "update"], "change"),
    ("standing", &["show", "view"], "list"),
    ("paper", &["new", "create"], "add"),
    ("paper", &["delete", "stop", "end", "cancel"], "remove"),
    ("paper", &["extend", "renewed", "update"], "renew"),
    ("paper", &["show", "view"], "list"),
];

/// The commands of `command` that are meant by a word; `near` finds those of some words that are spelt like it.
pub fn commands_meant(
    command: &Command,
    word: &str,
    near: impl Fn(&str, &mut dyn Iterator<Item = &str>) -> Vec<String>,
) -> Vec<String> {
    let word = word.to_lowercase();
    let by_meaning = meant(command, &word);
    if !by_meaning.is_empty() {
        return by_meaning;
    }
    let spelt_alike = near(&word, &mut command.get_subcommands().map(Command::get_name));
    if !spelt_alike.is_empty() {
        return spelt_alike;
    }
    let said = said_of(command);
    near(&word, &mut said.iter().copied()).first().map(|said| meant(command, said)).unwrap_or_default()
}

/// The commands that have an everyday word.
fn meant(command: &Command, word: &str) -> Vec<String> {
    let inner = SAID_OF.iter().filter(|(of, words, _)| *of == command.get_name() && words.contains(&word));
    let top = SAID.iter().filter(|(words, _)| is_top(command) && words.contains(&word));
    let found = top.flat_map(|(_, meant)| meant.iter().copied()).chain(inner.map(|(_, _, meant)| *meant));
    found.map(str::to_owned).collect()
}

/// Every everyday word for the commands of a command.
fn said_of(command: &Command) -> Vec<&'static str> {
    let inner = SAID_OF.iter().filter(|(of, ..)| *of == command.get_name()).flat_map(|(_, words, _)| words.iter());
    let top = SAID.iter().filter(|_| is_top(command)).flat_map(|(words, _)| words.iter());
    top.chain(inner).copied().collect()
}

/// Whether its commands are those of the program.
fn is_top(command: &Command) -> bool {
    command.get_name() == "runabout"
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::commands::Cli;
    use clap::CommandFactory;
    use std::collections::BTreeSet;

    #[test]
    fn every_word_is_said_once_is_no_command_and_means_one() {
        let root = Cli::command();
        let mut seen = BTreeSet::new();
        for (words, meant) in SAID {
            for word in *words {
                assert!(seen.insert(("", *word)), "{word} twice");
                assert!(root.find_subcommand(word).is_none(), "{word} is a command");
            }
            assert!(meant.iter().all(|name| root.find_subcommand(name).is_some()), "{meant:?}");
        }
        for (of, words, meant) in SAID_OF {
            let command = root.find_subcommand(of).unwrap();
            for word in *words {
                assert!(seen.insert((*of, *word)), "{of} {word} twice");
                assert!(command.find_subcommand(word).is_none(), "{of} {word} is a command");
            }
            assert!(command.find_subcommand(meant).is_some(), "{of} {meant}");
        }
    }

    /// Commands nobody would say otherwise: they are what they are called.
    #[test]
    fn every_command_has_an_everyday_word() {
        let meant: BTreeSet<&str> = SAID.iter().flat_map(|(_, meant)| meant.iter().copied()).collect();
        let without: Vec<String> = Cli::command()
            .get_subcommands()
            .map(|command| command.get_name().to_owned())
            .filter(|name| !meant.contains(name.as_str()))
            .collect();
        assert_eq!(without, ["completions", "manual"]);
    }
}

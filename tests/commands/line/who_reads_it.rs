//! What a customer will read is said so where it is typed; what is written for oneself reaches no customer.

use crate::common::Yard;
use clap::{Command, CommandFactory};
use runabout::commands::Cli;

/// Every paper of a deal that somebody else gets, as it is printed and as its facts.
fn papers(yard: &Yard) -> String {
    let lines = ["invoice 1", "invoice 1 --credit-note", "invoice 1 --purchase"];
    lines.iter().flat_map(|line| [yard.ok(line).out, yard.ok(&format!("{line} --format json")).out]).collect()
}

/// A line for each command with free text about a car, every such text a word of its own.
const TYPED: &[(&str, &str)] = &[
    ("buy", "buy TU12RTO 385 --on 3/10/2026 --note MARKbuynote"),
    ("check", "check 1 identity done --on 4/10/2026 --note MARKchecknote"),
    ("spend", "spend 15 parts --car 1 --on 5/10/2026 --note MARKspendnote"),
    ("receive", "receive 12 parts-sold --car 1 --on 6/10/2026 --note MARKreceivenote"),
    ("hours", "hours 1 2 --on 7/10/2026 --note MARKhoursnote"),
    ("note", "note 1 MARKnotetext --on 8/10/2026"),
    ("sell", "sell 1 760 --on 20/10/2026 --note MARKsellnote --address MARKselladdress"),
    ("take-back", "take-back 1 --on 2/11/2026 --reason MARKtakebackreason"),
];

/// The arguments of a command that take free text, with their help.
fn free_texts(command: &Command) -> Vec<(String, String)> {
    let is_text = |argument: &&clap::Arg| {
        argument.get_value_names().is_some_and(|names| names.iter().any(|name| name.as_str() == "TEXT"))
    };
    let help = |argument: &clap::Arg| argument.get_help().map(ToString::to_string).unwrap_or_default();
    command.get_arguments().filter(is_text).map(|it| (it.get_id().to_string(), help(it))).collect()
}

#[test]
fn free_text_reaches_a_customers_paper_only_where_its_help_says_so() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 2000 --on 1/9/2026");
    for (_, line) in TYPED {
        yard.ok(line);
    }
    let papers = papers(&yard);
    let root = Cli::command();
    let mut found = 0;
    for command in root.get_subcommands() {
        for (id, help) in free_texts(command) {
            let name = command.get_name();
            let mark = format!("MARK{}{}", name.replace('-', ""), id);
            let line = TYPED.iter().find(|(typed, _)| *typed == name).map(|(_, line)| *line).unwrap_or_default();
            assert!(line.contains(&mark), "{name} takes {id}, and nothing here shows who reads it");
            let says_so = help.contains("buyer reads") || help.contains("invoice");
            assert_eq!(papers.contains(&mark), says_so, "{name} {id}: {help}");
            assert!(says_so || help.contains("for yourself"), "{name} {id}: {help}");
            found += 1;
        }
    }
    assert_eq!(found, 9, "free texts in the program");
}

#[test]
fn why_a_car_came_back_is_said_to_be_read_by_its_buyer() {
    let yard = Yard::new("2026-11-25");
    for line in ["pay-in 2000 --on 1/9/2026", "buy TU12RTO 385 --on 3/10/2026", "sell 1 760 --on 20/10/2026"] {
        yard.ok(line);
    }
    let note = |entry: u32| {
        format!(
            "the buyer reads why it came back on the credit note, and the stock book shows it: `runabout amend {entry} \
             reason TEXT` changes it; what is for yourself goes in `runabout note 1 TEXT`"
        )
    };
    assert!(!yard.ok("take-back 1 --dry-run").err.contains("credit note"));
    let asked = yard.run_answering("take-back", &["1", "", "", "gearbox whines", "."]);
    assert!(asked.err.contains("Why it came back (the buyer reads it) [skip]: "), "{}", asked.err);
    let said = yard.ok("take-back 1 --reason \"gearbox whines\"").err;
    assert!(said.contains(&note(4)), "{said}");
    let said = yard.ok("amend 4 reason gearbox noisy").err;
    assert!(said.contains(&note(4)), "{said}");
    assert!(yard.ok("invoice 1 --credit-note").out.contains("gearbox noisy"));
    assert!(yard.ok("stock-book --format json").out.contains("gearbox noisy"));
}

#[test]
fn what_a_test_found_is_said_to_be_on_the_invoice() {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 2000 --on 1/9/2026");
    yard.ok("buy TU12RTO 385 --on 3/10/2026");
    let said = yard.ok("mot 1 pass --on 9/10 --defect \"advisory:tyre near limit\"").err;
    assert!(said.contains("the buyer's invoice lists what the last test found"), "{said}");
    assert!(!yard.ok("mot 1 pass --on 10/10").err.contains("the buyer's invoice"));
    yard.ok("undo");
    yard.ok("sell 1 760 --on 20/10/2026");
    assert!(yard.ok("invoice 1").out.contains("tyre near limit"));
}

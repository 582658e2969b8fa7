//! Help: every command has two real examples, and every one of them is run as written.

use crate::common::Yard;
use clap::{Command, CommandFactory};
use runabout::cli::reference::EXIT_CODES;
use runabout::cli::{self, Detail};
use runabout::commands::Cli;

/// Commands without subcommands of their own, with the words that lead to them.
fn leaves(command: &Command, words: &str) -> Vec<(String, Command)> {
    let inner: Vec<_> = command.get_subcommands().filter(|inner| inner.get_name() != "help").collect();
    let mut found = Vec::new();
    for inner in &inner {
        found.extend(leaves(inner, &format!("{words} {}", inner.get_name())));
    }
    // A command that also does something by itself has examples of its own.
    if inner.is_empty() || command.get_after_help().is_some_and(|help| help.to_string().contains("Examples:")) {
        found.push((words.trim().to_owned(), command.clone()));
    }
    found
}

fn examples(command: &Command) -> Vec<String> {
    let help = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    help.lines().filter_map(|line| line.strip_prefix("  runabout ")).map(str::to_owned).collect()
}

/// A yard in which everything the examples speak of is there.
fn filled() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 3,400 --on 1/9/2025",
        "pay-in 420 --loan \"Aunt Wyn\" --on 1/9/2025",
        "buy KX42RTO 485 --on 1/9/2026",
        "buy AB91CDE 375 --on 2/10/2026",
        "buy none 340 --vin WDX7654321 --on 2/11/2026",
        "standing add \"yard rent\" 115 --every month --from 1/9/2025 --heading rent",
        "paper add \"trade insurance\" --until 2027-03-14",
        "spend 58.60 parts --car 1 --unpaid --to \"Hob Lane Spares\" --on 3/11/2026",
        "pay-in 5",
        "pay-in 5",
        "pay-in 5",
        "spend 54.85 mot --car 1",
        "buy ST99WEM 520 --on 3/9/2026",
        "sell 4 935 --on 4/9/2026 --paid-amount 870",
        "buy UT48KEM 640 --on 5/9/2026",
        "sell 5 1,010 --on 6/9/2026 --paid-amount 815",
        "offer 1 925 --by \"R Ashdown\" --on 6/11/2026",
    ] {
        yard.ok(line);
    }
    for (name, first_bytes) in [
        ("mot-slip.jpg", &b"\xFF\xD8\xFF\xE0 a photo"[..]),
        ("invoice.pdf", b"%PDF-1.7 a bill"),
        ("cars.csv", b"mark,bought_on,purchase_price\r\nKX91RTO,3/9/2026,445\r\n"),
        ("money.csv", b"on,amount,heading\r\n3/9/2026,12.50,parts\r\n"),
    ] {
        std::fs::write(yard.folder().join(name), first_bytes).unwrap();
    }
    yard
}

#[test]
fn every_command_has_two_examples_and_they_run_as_written() {
    let mut ran = 0;
    let (filled, fresh) = (filled(), Yard::new("2026-11-25"));
    let closed = filled.copy();
    closed.ok("close oct 2026");
    for (words, command) in leaves(&Cli::command(), "") {
        let examples = examples(&command);
        assert!(examples.len() >= 2, "`{words}` has {} examples", examples.len());
        for example in examples {
            assert!(example.starts_with(words.split(' ').next().unwrap()), "{example}");
            // Files an example names are made in the yard's own folder, not where the tests run.
            let within = |yard: &Yard| {
                [
                    "practice.book",
                    "dates.ics",
                    "book.html",
                    "yard.html",
                    "month.html",
                    "record.html",
                    "mot-slip.jpg",
                    "invoice.pdf",
                    "year-end",
                    "whole-book",
                    "stick.book",
                    "cars.csv",
                    "money.csv",
                    "papers",
                    "man1",
                ]
                .iter()
                .fold(example.clone(), |line, file| line.replace(file, &yard.folder().join(file).to_string_lossy()))
            };
            let tries = [&filled, &fresh, &closed].map(|yard| {
                let yard = yard.copy();
                let line = within(&yard);
                if let Some(copy) = line.strip_prefix("restore ").and_then(|rest| rest.split(' ').next()) {
                    yard.run(&format!("backup {copy}"));
                }
                yard.run(&line)
            });
            // A check that finds something has answered.
            assert!(
                tries.iter().any(|ran| ran.code == 0 || ran.code == 3),
                "`runabout {example}`: {} / {}",
                tries[0].err,
                tries[1].err
            );
            ran += 1;
        }
    }
    assert!(ran > 40, "only {ran} examples were found");
}

#[test]
fn no_help_is_wider_than_the_terminal_and_no_example_is_folded() {
    for detail in [Detail::Full, Detail::Brief] {
        let mut root = cli::command(&runabout::commands::GRAMMAR, detail).term_width(80);
        root.build();
        for (words, mut command) in leaves(&root, "") {
            let help = command.render_help().to_string();
            let long = help.lines().find(|line| line.chars().count() > 80);
            assert_eq!(long, None, "`{words}`, {detail:?}");
            for example in examples(&command) {
                assert!(help.contains(&format!("\n  runabout {example}\n")), "`{words}`, {detail:?} folds `{example}`");
            }
        }
    }
    let yard = Yard::new("2026-11-25");
    let sell = yard.ok("sell -h").out;
    assert!(sell.contains("`runabout help sell` says more.") && !sell.contains("--rates"), "{sell}");
    assert!(yard.ok("help sell").out.contains("--rates"));
    for asking in ["help", "--help", "-h"] {
        let help = yard.ok(asking).out;
        assert_eq!(help.lines().find(|line| line.chars().count() > 80), None, "{asking}");
    }
    assert!(yard.ok("-h").out.lines().count() <= 24, "the brief help is not one screen");
}

#[test]
fn the_root_help_names_every_command_and_every_exit_code() {
    let help = Yard::new("2026-11-25").ok("help").out;
    for command in Cli::command().get_subcommands() {
        assert!(help.contains(&format!("\n  {} ", command.get_name())), "{} is not in the help", command.get_name());
    }
    for (code, meaning) in EXIT_CODES {
        assert!(help.contains(&format!("\n  {code:<6}  {meaning}\n")), "{code}");
    }
}

/// Everything the README types, in its order; the worked month comes to what is reckoned by hand.
#[test]
fn what_the_readme_types_runs_as_written() {
    let readme = include_str!("../../../README.md");
    let yard = Yard::new("2026-11-25");
    let typed = |text: &str| -> Vec<String> {
        text.lines().filter_map(|line| line.strip_prefix("$ runabout ")).map(str::to_owned).collect()
    };
    let (month, deals) = readme.split_once("## Deals").unwrap();
    let (deals, law) = deals.split_once("## What the law asks for").unwrap();
    let (month, deals, law) = (typed(month), typed(deals), typed(law));
    assert!(month.len() >= 9 && deals.len() >= 7 && law.len() >= 5, "{month:?} {deals:?} {law:?}");
    for line in month {
        yard.ok(&line);
    }
    // By hand: 485 + 62.40 + 35 + 54.85 = 637.25; 1,095 − 637.25 = 457.75; less 115 of rent 342.75. The float:
    // 1,450 + 240 − 637.25 + 1,095 − 115 = 2,032.75.
    let month = yard.json("month oct 2026");
    assert_eq!(month["profit"], "342.75");
    assert_eq!(month["cars_sold"][0]["stands_in"], "637.25");
    assert_eq!(month["bridge"]["float_at_end"], "2032.75");
    for line in deals {
        yard.ok(&line);
    }
    // The sale of car 2 came and went: £1,025 of money and car came in and £1,025 went back; car 3, taken in at 165,
    // brought 195; rent: 30 − 115 = −85.
    assert_eq!(yard.json("month nov 2026")["profit"], "-85.00");
    for line in law {
        yard.ok(&line);
    }
    // Registered by then, but October is closed and the sale of November reversed: no VAT in either.
    assert_eq!(yard.json("month nov 2026")["profit"], "-85.00");
    assert_eq!(yard.json("month oct 2026")["profit"], "342.75");
}

#[test]
fn a_number_too_many_is_no_word_of_a_name() {
    let yard = Yard::new("2026-11-25");
    let said = yard.run("bid 1350");
    assert!(said.code == 2 && !said.err.contains("quotes"), "{}", said.err);
    assert!(said.err.contains("for example: runabout bid --sells-for"), "{}", said.err);
    assert!(yard.run("buy KX42RTO 485 --from R Ashdown").err.contains("go in quotes"));
}

#[test]
fn a_wrong_command_line_is_exit_2_and_a_near_miss_is_suggested() {
    let yard = Yard::new("2026-11-25");
    let said = yard.run("spned 54.85 mot --car 1");
    assert_eq!(said.code, 2);
    assert!(said.err.contains("'spend'"), "{}", said.err);
    assert_eq!(yard.run("spend").code, 2);
    assert_eq!(yard.run("--help").code, 0);
    assert_eq!(yard.run("sell --help").code, 0);
    assert_eq!(yard.run("").code, 0);
}

//! Small trees, each with a fault made on purpose: the rule for it names it, and finds nothing in a sound tree.

use crate::circles::{circles, circles_of_folders};
use crate::clap_derives::beyond_derives;
use crate::command_folders::{crossing, missing};
use crate::fault::{Fault, beyond};
use crate::floors::climbing;
use crate::imports::arrows;
use crate::outside_world::{floating_point, printing, reading_the_clock, without_a_header};
use crate::rooms::not_in_the_table;
use crate::sizes::{crowded, overlong};
use crate::sql::{statements, tables_named};
use crate::tree::Tree;

type Rule = fn(&Tree) -> Vec<Fault>;

const SOUND: &[(&str, &str)] = &[
    ("Cargo.toml", "[dependencies]\nclap = \"4\"\nserde = \"1\"\n\n[dev-dependencies]\n"),
    (
        "migrations/0001_book.sql",
        "CREATE TABLE car (car_no INTEGER);\nCREATE TABLE sale (day TEXT);\nCREATE TABLE own_hours (day TEXT);\n",
    ),
    ("src/lib.rs", "//! The library.\npub mod cli;\npub mod commands;\npub mod domain;\npub mod store;\n"),
    ("src/main.rs", "//! The program.\nuse runabout::app;\nfn main() {}\n"),
    ("src/domain/mod.rs", "//! Rules.\npub mod book;\npub mod value;\n"),
    ("src/domain/value/mod.rs", "//! Values.\nmod pence;\npub use pence::Pence;\n"),
    (
        "src/domain/value/pence.rs",
        "//! Money.\npub struct Pence;\n#[cfg(test)]\nfn line() -> crate::domain::book::Line { loop {} }\n\
         #[cfg(test)]\nmod tests {\n    use crate::domain::book::Line;\n}\n",
    ),
    (
        "src/domain/book/mod.rs",
        "//! Facts.\n#[cfg(test)]\npub mod fixture;\npub mod line;\npub use self::line::Line;\n",
    ),
    ("src/domain/book/fixture.rs", "//! Facts for tests.\nuse crate::store::HOURS;\n"),
    (
        "src/domain/book/line.rs",
        "//! Lines. Not crate::domain::book::Line, and no f64.\nuse crate::domain::value::Pence;\npub struct Line(Pence);\n",
    ),
    (
        "src/store/mod.rs",
        "//! The store.\nconst HOURS: &str = \"SELECT day FROM own_hours\";\npub fn rows_of(table: &str) {}\n",
    ),
    (
        "src/commands/mod.rs",
        "//! Commands.\nmod context;\nmod deal;\nmod ready;\nmod steps;\npub use deal::sell::SellArgs;\n\
         fn run() { ready::mot::run(); deal::sell::run() }\n",
    ),
    ("src/commands/context.rs", "//! What a command is told.\npub struct Context;\n"),
    ("src/commands/deal/mod.rs", "//! Dealing.\npub mod sell;\n"),
    (
        "src/commands/deal/sell.rs",
        "//! A sale.\nuse crate::commands::steps::keep;\nuse clap::{Args, Subcommand};\n\
         #[derive(Args, clap::Parser)]\npub struct SellArgs;\nconst KEYS: [&str; 2] = [\"sale\", \"asking.price\"];\n",
    ),
    ("src/commands/ready/mod.rs", "//! Getting ready.\npub mod mot;\n"),
    (
        "src/commands/ready/mot.rs",
        "//! A test.\nuse super::super::context::Context;\nuse super::super::steps;\nfn run() { steps::keep() }\n",
    ),
    (
        "src/commands/steps/mod.rs",
        "//! Steps.\npub fn keep() { say(\"select one from the sale, or update the car\"); crate::store::rows_of(\"all\") }\n",
    ),
    ("src/cli/mod.rs", "//! The line.\nuse clap::Command;\nfn arg(of: &clap::Arg) {}\n"),
];

/// The sound tree, but for the files given.
pub fn tree(changed: &[(&str, &str)]) -> Tree {
    Tree::of(SOUND.iter().chain(changed).map(|(file, text)| ((*file).to_owned(), (*text).to_owned())).collect())
}

pub fn told(faults: &[Fault]) -> Vec<String> {
    faults.iter().map(Fault::to_string).collect()
}

pub fn in_circles(tree: &Tree) -> Vec<Fault> {
    circles(&arrows(tree))
}

fn crossed(tree: &Tree) -> Vec<Fault> {
    crossing(&arrows(tree))
}

fn in_circles_of_folders(tree: &Tree) -> Vec<Fault> {
    circles_of_folders(&arrows(tree))
}

fn too_many(tree: &Tree) -> Vec<Fault> {
    crowded(tree)
}

#[test]
fn a_sound_tree_breaks_no_rule() {
    const RULES: &[Rule] = &[
        in_circles,
        in_circles_of_folders,
        climbing,
        crossed,
        too_many,
        overlong,
        statements,
        tables_named,
        beyond_derives,
        not_in_the_table,
        printing,
        reading_the_clock,
        floating_point,
        without_a_header,
    ];
    for (at, rule) in RULES.iter().enumerate() {
        assert_eq!(told(&rule(&tree(&[]))), Vec::<String>::new(), "rule {at}");
    }
}

/// A rule, a file that breaks it, and the fault in words.
const FAULTS: &[(Rule, &str, &str, &str)] = &[
    (
        climbing,
        "src/domain/value/pence.rs",
        "\nuse crate::domain::{book::line};\n",
        ":2: value imports book, above it: crate::domain::book::line",
    ),
    (
        climbing,
        "src/domain/value/pence.rs",
        "fn due() { super::super::due::first() }\n",
        ":1: value imports due, above it: super::super::due::first",
    ),
    (
        climbing,
        "src/domain/value/pence.rs",
        "use crate::domain::{self};\n",
        ":1: value imports the whole domain, above it: crate::domain",
    ),
    (climbing, "src/domain/attic/mod.rs", "", ": attic is no room of the domain"),
    (climbing, "src/domain/attic.rs", "", ": stands in no room of the domain"),
    (
        crossed,
        "src/commands/ready/mot.rs",
        "\n\nuse crate::commands::deal::sell::SellArgs;\n",
        ":3: crate::commands::deal::sell::SellArgs leads to src/commands/deal/sell.rs",
    ),
    (
        crossed,
        "src/commands/ready/mot.rs",
        "use crate::commands::SellArgs;\n",
        ":1: crate::commands::SellArgs leads to src/commands/deal/sell.rs",
    ),
    (
        crossed,
        "src/commands/ready/mot.rs",
        "fn run() { super::super::run() }\n",
        ":1: super::super::run leads to src/commands/mod.rs, and from there to src/commands/deal/sell.rs",
    ),
    (statements, "src/cli/mod.rs", "\nconst A: &str = \"SELECT 1\";\n", ":2: \"SELECT 1\" belongs to the store"),
    (statements, "src/cli/mod.rs", "fn a() { b!(\"DELETE FROM x\") }", ":1: \"DELETE FROM x\" belongs to the store"),
    (
        statements,
        "src/cli/mod.rs",
        "const A: &str = \"UPDATE x SET y\";",
        ":1: \"UPDATE x SET y\" belongs to the store",
    ),
    (
        statements,
        "src/cli/mod.rs",
        "const A: &str = \"select day \\\n    from own_hours\";",
        ":1: \"select day from own_hours\" belongs to the store",
    ),
    (
        statements,
        "src/cli/mod.rs",
        "const A: &str = \"update sale set a = 1\";",
        ":1: \"update sale set a = 1\" belongs to the store",
    ),
    (statements, "src/cli/mod.rs", "const A: &str = include_str!(\"a.sql\");", ":1: \"a.sql\" belongs to the store"),
    (tables_named, "src/cli/mod.rs", "const A: &str = \"FROM car\";", ":1: \"FROM car\" belongs to the store"),
    (tables_named, "src/cli/mod.rs", "const A: &str = \"own_hours\";", ":1: \"own_hours\" belongs to the store"),
    (
        tables_named,
        "src/cli/mod.rs",
        "const A: &str = r\"own_hours.day\";",
        ":1: \"own_hours.day\" belongs to the store",
    ),
    (
        tables_named,
        "src/cli/mod.rs",
        "fn a(book: Book) { book.rows_of(\"sale\") }",
        ":1: \"sale\" belongs to the store",
    ),
    (
        beyond_derives,
        "src/commands/deal/sell.rs",
        "use clap::{\n    Args,\n    ArgMatches,\n};\n",
        ":3: names clap::ArgMatches",
    ),
    (beyond_derives, "src/commands/deal/sell.rs", "fn a(b: &clap::Command) {}", ":1: names clap::Command"),
    (beyond_derives, "src/commands/deal/sell.rs", "use clap::*;", ":1: names clap::*"),
    (beyond_derives, "src/commands/deal/sell.rs", "use clap as line;", ":1: names clap"),
    (
        beyond_derives,
        "src/commands/deal/sell.rs",
        "struct A {\n    #[arg(value_parser = clap::value_parser!(u8))]\n    b: u8,\n}",
        ":2: names clap::value_parser",
    ),
    (beyond_derives, "src/commands/deal/sell.rs", "pub use clap::Args;", ":1: passes on clap::Args"),
    (beyond_derives, "src/cli/mod.rs", "pub use clap::Command as Line;", ":1: passes on clap::Command"),
    (beyond_derives, "src/store/mod.rs", "use clap::Args;", ":1: names clap::Args"),
    (not_in_the_table, "src/cli/mod.rs", "\nuse crate::commands::deal;", ":2: cli -> commands: crate::commands::deal"),
    (not_in_the_table, "src/cli/mod.rs", "use super::{commands};", ":1: cli -> commands: super::commands"),
    (
        not_in_the_table,
        "src/main.rs",
        "fn main() { runabout::store::open() }",
        ":1: main -> store: runabout::store::open",
    ),
    (
        not_in_the_table,
        "src/domain/mod.rs",
        "use serde::Serialize;",
        ":1: domain uses the crate serde: serde::Serialize",
    ),
    (
        not_in_the_table,
        "src/domain/mod.rs",
        "#[derive(::serde::Serialize)]\nstruct A;",
        ":1: domain uses the crate serde: serde::Serialize",
    ),
    (not_in_the_table, "src/attic/mod.rs", "", ": attic is no room of the house"),
    (printing, "src/cli/mod.rs", "\nfn a() { println!(\"b\") }", ":2: println!"),
    (reading_the_clock, "src/store/mod.rs", "fn a() { Utc::now() }", ":1: ::now()"),
    (floating_point, "src/domain/book/line.rs", "struct Line(f64);", ":1: f64"),
    (without_a_header, "src/store/mod.rs", "pub fn open() {}", ":1: does not say what the module is for"),
];

#[test]
fn each_fault_is_named() {
    for (rule, file, text, fault) in FAULTS {
        assert_eq!(told(&rule(&tree(&[(file, text)]))), [format!("{file}{fault}")], "{text:?}");
    }
}

/// What is shared stands below the commands: it may not ask them, and whoever asks it is then told of it too.
#[test]
fn a_step_that_asks_a_command_is_named() {
    let tree = tree(&[("src/commands/steps/mod.rs", "//! Steps.\npub fn keep() {\n    super::deal::sell::run()\n}\n")]);
    let found = told(&crossed(&tree));
    let named = "src/commands/steps/mod.rs:3: super::deal::sell::run leads to src/commands/deal/sell.rs";
    assert!(found.contains(&named.to_owned()), "{found:?}");
}

#[test]
fn a_folder_of_commands_that_is_missing_is_named() {
    let found = told(&missing(&tree(&[])));
    assert!(found.contains(&"src/commands/money/: holds no command".to_owned()), "{found:?}");
    assert!(!found.iter().any(|fault| fault.contains("deal") || fault.contains("steps")), "{found:?}");
    let made = ["money", "month", "think", "law", "keep"].map(|name| format!("src/commands/{name}/mod.rs"));
    let made: Vec<(&str, &str)> = made.iter().map(|file| (file.as_str(), "//! A group.\n")).collect();
    assert_eq!(told(&missing(&tree(&made))), Vec::<String>::new());
}

#[test]
fn a_folder_of_too_many_files_is_named() {
    let files: Vec<String> = (1..=26).map(|number| format!("tests/commands/part_{number}.rs")).collect();
    let mut changed: Vec<(&str, &str)> = files.iter().map(|file| (file.as_str(), "//! A part.\n")).collect();
    assert_eq!(told(&crowded(&tree(&changed))), ["tests/commands: holds 26 source files, over 25"]);
    changed.pop();
    assert_eq!(told(&crowded(&tree(&changed))), Vec::<String>::new());
}

#[test]
fn a_file_of_too_many_lines_is_named_and_its_tests_are_not_counted() {
    let tests = format!("\n#[cfg(test)]\nmod tests {{\n{}}}\n", "    fn a() {}\n".repeat(90));
    let found =
        |lines: usize| told(&overlong(&tree(&[("src/error.rs", &format!("{}{tests}", "fn a() {}\n".repeat(lines)))])));
    assert_eq!(found(401), ["src/error.rs:401: is still code, of 402 lines"]);
    assert_eq!(found(399), Vec::<String>::new());
}

#[test]
fn an_excepted_file_is_left_out_and_named_once_nothing_needs_it() {
    let exceptions = ["src/store/mod.rs"];
    let asking = tree(&[("src/store/mod.rs", "use clap::Arg;\n")]);
    assert_eq!(told(&beyond(beyond_derives(&asking), &exceptions)), Vec::<String>::new());
    let found = told(&beyond(beyond_derives(&tree(&[])), &exceptions));
    assert_eq!(found, ["src/store/mod.rs: is an exception that nothing needs"]);
}

//! SQL, and the names of tables, stand in the store. Names of tables are also words of the trade, headings and keys, so
//! what counts outside the store is the shape of a string:
//! * a statement: `SELECT `, `INSERT `, `PRAGMA `, `UPDATE … SET` and their like in capitals, wherever they stand; in
//!   small letters only with what a sentence does not have, a table's name after `from`, `into`, `update` or `table`;
//! * a table after `FROM`, `JOIN`, `INTO`, `UPDATE` or `TABLE` in capitals;
//! * a column with its table before it, `own_hours.day`, where the table's name has an underscore, as no sentence and
//!   no key joins such words with a full stop;
//! * nothing but a table's name, where that name has an underscore, or where it is given to a function that only the
//!   store makes and whose argument is called `table`. "sale" alone, elsewhere, is a word;
//! * the name of a file of SQL.

use crate::fault::{Fault, assert_none, beyond};
use crate::source::Quoted;
use crate::tree::Tree;
use std::collections::BTreeSet;

const STORE: &str = "src/store/";

/// Files outside the store that name tables, each for a reason.
const NAMES_TABLES: &[&str] = &[
    // Which columns of a table can be put right.
    "src/commands/keep/amend_fields.rs",
    // Which tables a line, a deal or a paper is kept in.
    "src/commands/keep/amend_rows.rs",
    // How a row of each table is read again.
    "src/commands/keep/amend_tables.rs",
];

/// Names of tables that are also what is typed, or a key in JSON.
const WORDS_TOO: &[&str] = &["asking_price", "part_exchange"];

/// Each place outside the store that makes a statement.
pub fn statements(tree: &Tree) -> Vec<Fault> {
    let tables = tables(tree);
    outside_the_store(tree, |quoted| is_statement(&quoted.text, &tables))
}

/// Each place outside the store that names a table as a table.
pub fn tables_named(tree: &Tree) -> Vec<Fault> {
    let tables = tables(tree);
    let asked = asked_for_tables(tree);
    outside_the_store(tree, |quoted| {
        let given = quoted.given_to.as_deref().is_some_and(|function| asked.contains(function));
        names_a_table(&quoted.text, &tables) || (given && tables.contains(quoted.text.as_str()))
    })
}

/// Functions of the store that are given the name of a table; a name that others use too says nothing.
fn asked_for_tables(tree: &Tree) -> BTreeSet<&str> {
    let (store, others): (Vec<_>, Vec<_>) = tree.sources().partition(|(file, _)| file.starts_with(STORE));
    let asked = store.iter().flat_map(|(_, source)| &source.take_a_table);
    let only_here = asked.filter(|name| !others.iter().any(|(_, source)| source.functions.contains(*name)));
    only_here.map(String::as_str).collect()
}

fn outside_the_store(tree: &Tree, is_wrong: impl Fn(&Quoted) -> bool) -> Vec<Fault> {
    let elsewhere = tree.sources().filter(|(file, _)| !file.starts_with(STORE));
    let texts = elsewhere.flat_map(|(file, source)| source.strings.iter().map(move |quoted| (file, quoted)));
    let wrong = texts.filter(|(_, quoted)| is_wrong(quoted));
    wrong
        .map(|(file, quoted)| Fault::at(file, quoted.line, format!("{:?} belongs to the store", quoted.text)))
        .collect()
}

/// The tables that the migrations make.
fn tables(tree: &Tree) -> BTreeSet<&str> {
    let mut tables = BTreeSet::new();
    for (_, text) in tree.files("migrations/", ".sql") {
        for (at, made) in text.match_indices("CREATE TABLE ") {
            let after = text[at + made.len()..].trim_start_matches("IF NOT EXISTS ").trim_start_matches('"');
            tables.insert(first_word(after));
        }
    }
    tables
}

fn is_name(letter: char) -> bool {
    letter.is_alphanumeric() || letter == '_'
}

fn first_word(text: &str) -> &str {
    &text[..text.find(|c| !is_name(c)).unwrap_or(text.len())]
}

fn words(text: &str) -> Vec<&str> {
    text.split(|c: char| !is_name(c) && c != '.').filter(|word| !word.is_empty()).collect()
}

/// Whether a word that stands before tables, in capitals or as given, stands before one of them here.
fn asks_a_table(words: &[&str], before: &[&str], tables: &BTreeSet<&str>) -> bool {
    words.windows(2).any(|pair| before.contains(&pair[0]) && tables.contains(first_word(pair[1])))
}

fn is_statement(text: &str, tables: &BTreeSet<&str>) -> bool {
    const CAPITALS: &[&str] = &[
        "SELECT ",
        "INSERT ",
        "REPLACE INTO ",
        "DELETE FROM",
        "CREATE TABLE",
        "CREATE INDEX",
        "CREATE TRIGGER",
        "CREATE VIEW",
        "ALTER TABLE",
        "DROP ",
        "PRAGMA ",
        "BEGIN IMMEDIATE",
        "ATTACH ",
        "VACUUM",
    ];
    // Each way a statement begins, and what stands before the table in it.
    const SMALL: &[(&str, &[&str])] = &[
        ("select ", &["from", "join"]),
        ("with ", &["from", "join"]),
        ("insert ", &["into"]),
        ("replace ", &["into"]),
        ("delete ", &["from"]),
        ("update ", &["update"]),
        ("create ", &["table", "on"]),
        ("alter ", &["table"]),
        ("drop ", &["table"]),
    ];
    let lower = text.to_lowercase();
    let lower = lower.trim_start();
    let update = text.split_once("UPDATE ").is_some_and(|(_, rest)| rest.contains("SET"));
    let small = SMALL.iter().any(|(beginning, before)| {
        let goes_on = *beginning != "update " || lower.contains(" set ");
        lower.starts_with(beginning) && goes_on && asks_a_table(&words(lower), before, tables)
    });
    let pragma = lower.starts_with("pragma ");
    update
        || small
        || pragma
        || lower.rsplit_once('.').is_some_and(|(_, ending)| ending == "sql")
        || CAPITALS.iter().any(|capitals| text.contains(capitals))
}

/// A name with an underscore says enough by itself, or with a column; one without is known by the word before it.
fn names_a_table(text: &str, tables: &BTreeSet<&str>) -> bool {
    let words = words(text);
    let asked = asks_a_table(&words, &["FROM", "JOIN", "INTO", "UPDATE", "TABLE"], tables);
    let column = words.iter().filter_map(|word| word.split_once('.')).any(|(table, column)| {
        table.contains('_') && tables.contains(table) && column.starts_with(|c: char| c.is_ascii_lowercase())
    });
    let alone = text.contains('_') && tables.contains(text) && !WORDS_TOO.contains(&text);
    asked || column || alone
}

#[test]
fn only_the_store_speaks_sql() {
    let tables = tables(Tree::this());
    assert!(tables.len() > 30);
    for word in WORDS_TOO {
        assert!(tables.contains(word), "{word} is no table any more");
    }
    assert_none(&statements(Tree::this()));
    assert_none(&beyond(tables_named(Tree::this()), NAMES_TABLES));
}

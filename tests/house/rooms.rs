//! The rooms of `src`: which may import which, and the crates each may use.

use crate::fault::{Fault, assert_none};
use crate::imports::Modules;
use crate::tree::Tree;
use std::collections::BTreeSet;

/// A room, the rooms it may import, and the crates it may use.
type Room = (&'static str, &'static [&'static str], &'static [&'static str]);

/// The arrows of the house. A room may always import itself and `std`. Of clap, `clap_derives` says more.
const ROOMS: &[Room] = &[
    ("domain", &[], &["chrono", "rand_pcg", "rust_decimal"]),
    ("store", &["domain"], &["rusqlite", "chrono", "serde_json", "sha2", "thiserror"]),
    ("report", &["domain"], &["serde", "chrono", "rust_decimal"]),
    (
        "render",
        &["report", "domain"],
        &["serde", "serde_json", "csv", "maud", "tabled", "unicode_width", "anstyle", "chrono", "rust_decimal"],
    ),
    ("cli", &["domain"], &["clap"]),
    ("commands", &["cli", "domain", "store", "report", "error"], &["chrono", "clap", "rust_decimal", "strsim"]),
    ("error", &["domain", "store"], &["thiserror"]),
    ("env", &["domain"], &["chrono", "directories", "terminal_size"]),
    (
        "app",
        &["cli", "commands", "domain", "store", "report", "render", "error", "env"],
        &["anstyle", "clap", "clap_complete", "clap_mangen", "chrono", "csv", "shlex"],
    ),
    ("main", &["app", "env"], &[]),
    ("lib", &[], &[]),
];

/// The room a source file stands in: its folder below `src`, or its own name.
pub fn room(file: &str) -> &str {
    let inside = file.trim_start_matches("src/");
    inside.split('/').next().unwrap_or_default().trim_end_matches(".rs")
}

/// Every arrow between rooms, and every crate used, that is not in the table.
pub fn not_in_the_table(tree: &Tree) -> Vec<Fault> {
    let modules = Modules::of(tree);
    let crates = crates(tree);
    let mut faults = Vec::new();
    for (file, source) in tree.sources() {
        let own = room(file);
        let Some((_, rooms, may_use)) = ROOMS.iter().find(|(name, ..)| *name == own) else {
            faults.push(Fault::of(file, format!("{own} is no room of the house")));
            continue;
        };
        for path in &source.paths {
            let full = modules.full_path(file, path);
            let to = full.as_ref().map(|full| full.first().map_or("the whole crate", String::as_str));
            let crate_used = path.words[0].as_str();
            let fault = match to {
                Some(to) if to != own && !rooms.contains(&to) => format!("{own} -> {to}"),
                None if crates.contains(crate_used) && !may_use.contains(&crate_used) => {
                    format!("{own} uses the crate {crate_used}")
                }
                _ => continue,
            };
            faults.push(Fault::at(file, path.line, format!("{fault}: {}", path.words.join("::"))));
        }
    }
    faults
}

/// The crates that the manifest names for the program, as they are written in paths.
fn crates(tree: &Tree) -> BTreeSet<String> {
    let manifest = tree.text("Cargo.toml").unwrap_or_default();
    let lines = manifest.lines().skip_while(|line| *line != "[dependencies]").skip(1);
    let of_the_program = lines.take_while(|line| !line.starts_with('['));
    of_the_program.filter_map(|line| line.split_once(" = ")).map(|(name, _)| name.replace('-', "_")).collect()
}

#[test]
fn every_arrow_is_in_the_table() {
    let crates = crates(Tree::this());
    for (room, _, may_use) in ROOMS {
        for used in *may_use {
            assert!(crates.contains(*used), "{room} may use {used}, which the manifest does not name");
        }
    }
    assert_none(&not_in_the_table(Tree::this()));
}

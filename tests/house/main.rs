//! The tree itself is tested: which room imports which, headers, lengths, words that do not belong.
//!
//! A rule about the shape of the tree is a function that is given a tree and gives its faults in words, with file and
//! line: `broken` gives each a small tree that breaks it. A list of exceptions beside a rule only gets shorter: an
//! exception that nothing needs is a fault too.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod broken;
mod broken_circles;
mod circles;
mod clap_derives;
mod command_folders;
mod fault;
mod floors;
mod imports;
mod outside_world;
mod rooms;
mod sizes;
mod source;
mod sql;
mod swallowed;
mod tree;

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Every file of that ending below a folder; what only unit tests share is not part of the house.
fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files(&path, ending));
        } else if path.to_string_lossy().ends_with(ending) && !path.ends_with("fixture.rs") {
            found.push(path);
        }
    }
    found.sort();
    found
}

/// The code of a file: without its tests and comments.
fn code(path: &Path) -> String {
    code_of(&fs::read_to_string(path).unwrap())
}

fn code_of(text: &str) -> String {
    let before_tests = tree::before_tests(text);
    before_tests.lines().map(|line| line.split("//").next().unwrap_or_default()).collect::<Vec<_>>().join("\n")
}

#[test]
fn no_network_code_is_in_the_dependency_tree() {
    let lock = fs::read_to_string(root().join("Cargo.lock")).unwrap();
    for crate_name in
        ["tokio", "hyper", "reqwest", "ureq", "curl", "socket2", "mio", "rustls", "openssl", "native-tls", "url"]
    {
        assert!(!lock.contains(&format!("name = \"{crate_name}\"\n")), "{crate_name} is in Cargo.lock");
    }
}

#[test]
fn migrations_say_why() {
    for path in files(&root().join("migrations"), ".sql") {
        assert!(fs::read_to_string(&path).unwrap().starts_with("-- Why: "), "{}", path.display());
    }
}

/// Marks in examples are of half-years that have not come, so that none can be on a car: DVLA gives 40 to 49 from
/// March 2040 on and 90 to 99 from September 2040 on ("Vehicle registration numbers and number plates", leaflet INF104,
/// DVLA, <https://zbook.org/read/25b2c_vehicle-registration-numbers-and-number-plates.html>). What tells marks by their
/// shape and date has those of the leaflet.
#[test]
fn no_mark_in_an_example_can_be_on_a_car() {
    let mut read = files(&root().join("src"), ".rs");
    read.retain(|path| !path.ends_with("domain/value/mark.rs") && !path.ends_with("domain/days/mark_period.rs"));
    read.extend(["README.md", "DEVELOPERS.md", "demo/yard.txt"].map(|name| root().join(name)));
    for path in read {
        let text = fs::read_to_string(&path).unwrap();
        for line in text.lines() {
            for mark in current_marks(line) {
                assert!(
                    mark[2..].starts_with(['4', '9']),
                    "{}: {mark} could be on a car; let its digits be 40 to 49 or 90 to 99",
                    path.display()
                );
            }
        }
    }
}

/// Every mark of the series since 2001 in a line, with or without its space.
fn current_marks(line: &str) -> Vec<String> {
    let capitals = |word: &str, length: usize| word.len() == length && word.bytes().all(|b| b.is_ascii_uppercase());
    let words: Vec<&str> = line.split(|c: char| !c.is_ascii_alphanumeric()).collect();
    let next = words.iter().skip(1).copied().chain([""]);
    words
        .iter()
        .zip(next)
        .filter_map(|(word, next)| {
            let (tag, rest) = word.split_at_checked(2)?;
            let (age, end) = rest.split_at_checked(2)?;
            let dated = capitals(tag, 2) && age.bytes().all(|b| b.is_ascii_digit());
            (dated && (capitals(end, 3) || (end.is_empty() && capitals(next, 3)))).then(|| (*word).to_owned())
        })
        .collect()
}

/// A check against the world outside says where it was read: in its own words, or in its module's list of sources.
#[test]
fn every_published_check_names_its_source() {
    let mut without = Vec::new();
    for path in files(&root().join("tests/published"), ".rs") {
        let text = fs::read_to_string(&path).unwrap();
        let of_the_module: String = text.lines().take_while(|line| line.starts_with("//!")).collect();
        let lines: Vec<&str> = text.lines().map(str::trim).collect();
        for (at, _) in lines.iter().enumerate().filter(|(_, line)| **line == "#[test]") {
            let above = lines[..at].iter().rev().take_while(|line| line.starts_with("///") || line.starts_with("#["));
            let said = above.copied().collect::<Vec<_>>().join(" ");
            let name = lines[at..].iter().find(|line| line.starts_with("fn ")).unwrap();
            if !of_the_module.contains("<http") && !has_address(&said) && !is_marked(&said) {
                without.push(format!("{}: {name}", path.display()));
            }
        }
    }
    assert!(
        without.is_empty(),
        "no address, no 'common practice' and no 'from memory' above, nor a list of sources at the top:\n{}",
        without.join("\n")
    );
}

/// The name of a host, with or without the rest of its address.
fn has_address(said: &str) -> bool {
    const ENDINGS: &[&str] = &[".uk", ".com", ".org", ".net", ".io", ".hk", ".club", ".gov"];
    said.split(|c: char| c.is_whitespace() || "/,;:()<>?".contains(c)).any(|word| {
        let word = word.trim_end_matches('.');
        let begins = word.starts_with(|c: char| c.is_ascii_lowercase() || c.is_ascii_digit());
        begins && ENDINGS.iter().any(|ending| word.ends_with(ending))
    })
}

fn is_marked(said: &str) -> bool {
    let said = said.to_lowercase();
    said.contains("common practice") || said.contains("from memory")
}

#[test]
fn the_top_level_holds_what_it_may_and_the_text_of_every_licence_named() {
    const MAY: &[&str] =
        &["Cargo.toml", "Cargo.lock", "README.md", "DEVELOPERS.md", "src", "migrations", "tests", "demo", "benches"];
    for entry in fs::read_dir(root()).unwrap() {
        let name = entry.unwrap().file_name().into_string().unwrap();
        // What a build leaves behind is no part of the tree.
        assert!(name.starts_with('.') || name == "target" || MAY.contains(&name.as_str()), "{name} stands at the top");
    }
    let manifest = fs::read_to_string(root().join("Cargo.toml")).unwrap();
    let named = manifest.lines().find_map(|line| line.strip_prefix("license = ")).unwrap().trim_matches('"');
    for licence in named.split(" OR ") {
        let text = fs::read_to_string(root().join(".licences").join(format!("{licence}.txt"))).unwrap();
        assert!(text.contains("The Runabout authors"), "{licence}");
    }
}

/// A log that jumps back and forth is nobody's day at the yard, and its entries would not be in order of their days.
#[test]
fn the_demo_is_typed_in_the_order_of_its_days() {
    let script = fs::read_to_string(root().join("demo/yard.txt")).unwrap();
    let typed = script.lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
    let days: Vec<&str> = typed.map(|line| line.split_once(' ').unwrap().0).collect();
    for pair in days.windows(2) {
        assert!(pair[0] <= pair[1], "{} stands before {}", pair[0], pair[1]);
    }
}

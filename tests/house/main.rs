//! The tree itself is tested: which room imports which, headers, lengths, words that do not belong.

#![allow(clippy::expect_used, clippy::unwrap_used, reason = "a test that cannot go on has failed")]

mod swallowed;

use std::fs;
use std::path::{Path, PathBuf};

/// A room, the rooms it may import, and the crates it may use.
type Room = (&'static str, &'static [&'static str], &'static [&'static str]);

/// The arrows of the house. A room may always import itself and `std`.
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
    ("main", &[], &["runabout"]),
    ("lib", &[], &[]),
];

/// Crates that could be named in a path; `std` and `core` are free to all.
const CRATES: &[&str] = &[
    "anstyle",
    "chrono",
    "clap",
    "clap_complete",
    "clap_mangen",
    "csv",
    "directories",
    "maud",
    "rand_pcg",
    "rusqlite",
    "sha2",
    "rust_decimal",
    "serde",
    "serde_json",
    "shlex",
    "strsim",
    "tabled",
    "terminal_size",
    "thiserror",
    "unicode_width",
    "runabout",
];

const LONGEST: usize = 400;

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

/// The room a source file stands in: its folder below `src`, or its own name.
fn room(path: &Path) -> String {
    let inside = path.strip_prefix(root().join("src")).unwrap();
    let first = inside.components().next().unwrap().as_os_str().to_string_lossy().into_owned();
    first.trim_end_matches(".rs").to_owned()
}

/// The code of a file: without its tests, comments and quoted text.
fn code(path: &Path) -> String {
    let text = fs::read_to_string(path).unwrap();
    let before_tests = text.split("#[cfg(test)]\nmod tests").next().unwrap();
    before_tests.lines().map(|line| line.split("//").next().unwrap_or_default()).collect::<Vec<_>>().join("\n")
}

/// Every name that follows `prefix` in `code`.
fn names_after<'c>(code: &'c str, prefix: &str) -> Vec<&'c str> {
    code.match_indices(prefix)
        .map(|(at, _)| {
            let rest = &code[at + prefix.len()..];
            rest.split(|c: char| !c.is_alphanumeric() && c != '_').next().unwrap_or_default()
        })
        .collect()
}

#[test]
fn every_arrow_is_in_the_table() {
    let mut wrong = Vec::new();
    for path in files(&root().join("src"), ".rs") {
        let (room, code) = (room(&path), code(&path));
        let (_, rooms, crates) =
            ROOMS.iter().find(|(name, ..)| *name == room).unwrap_or_else(|| panic!("no room for {}", path.display()));
        for named in names_after(&code, "crate::") {
            if named != room && !rooms.contains(&named) {
                wrong.push(format!("{}: {room} -> {named}", path.display()));
            }
        }
        for other in CRATES {
            let used = names_after(&code, &format!("use {other}")).iter().any(|rest| rest.is_empty())
                || code
                    .split(|c: char| !c.is_alphanumeric() && c != '_' && c != ':')
                    .any(|word| word.starts_with(&format!("{other}::")));
            if used && !crates.contains(other) {
                wrong.push(format!("{}: {room} uses the crate {other}", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn only_the_rate_of_return_is_binary_floating_point() {
    for path in files(&root().join("src/domain"), ".rs") {
        if !path.ends_with("annual_return.rs") {
            let code = code(&path);
            assert!(!code.contains("f64") && !code.contains("f32"), "{} uses floating point", path.display());
        }
    }
}

#[test]
fn every_module_says_what_it_is_for() {
    for path in files(&root().join("src"), ".rs").into_iter().chain(files(&root().join("tests"), ".rs")) {
        let text = fs::read_to_string(&path).unwrap();
        assert!(text.starts_with("//! "), "{} has no header", path.display());
    }
}

#[test]
fn no_file_has_outgrown_one_idea() {
    for path in files(&root().join("src"), ".rs") {
        let text = fs::read_to_string(&path).unwrap();
        let lines = text.split("#[cfg(test)]").next().unwrap().lines().count();
        assert!(lines <= LONGEST, "{} has {lines} lines before its tests", path.display());
    }
}

#[test]
fn only_the_outside_world_prints_or_reads_the_clock() {
    for path in files(&root().join("src"), ".rs") {
        let code = code(&path);
        for banned in ["println!", "eprintln!", "dbg!", "todo!", "unimplemented!"] {
            assert!(!code.contains(banned), "{} has {banned}", path.display());
        }
        if room(&path) != "env" {
            assert!(!code.contains("::now()"), "{} reads the clock", path.display());
        }
        if !matches!(room(&path).as_str(), "store") {
            assert!(!code.contains("SELECT ") && !code.contains("INSERT "), "{} holds SQL", path.display());
        }
    }
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

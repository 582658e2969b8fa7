//! A folder that outgrows its number of files is two rooms; a file that outgrows its length is two ideas.

use crate::fault::{Fault, assert_none};
use crate::tree::{Tree, before_tests};
use std::collections::BTreeMap;

const MOST_FILES: usize = 25;
const MOST_LINES: usize = 400;

/// Folders that are still to be divided, with the files they hold: each number is lowered with its folder.
const STILL_CROWDED: &[(&str, usize)] = &[("tests/commands", 44)];

/// Every folder with more source files than a room holds, unless it is an exception with just that number of files,
/// and every exception that nothing needs. Folders inside a folder are counted by themselves.
pub fn crowded(tree: &Tree, exceptions: &[(&str, usize)]) -> Vec<Fault> {
    let mut counted: BTreeMap<&str, usize> = BTreeMap::new();
    for (file, _) in tree.files("", ".rs") {
        *counted.entry(file.rsplit_once('/').map_or("", |(folder, _)| folder)).or_default() += 1;
    }
    let mut faults = Vec::new();
    for (folder, count) in &counted {
        let exception = exceptions.iter().find(|(name, _)| name == folder).map(|(_, held)| *held);
        match exception {
            None if *count > MOST_FILES => {
                faults.push(Fault::of(folder, format!("holds {count} source files, over {MOST_FILES}")));
            }
            Some(held) if *count > MOST_FILES && *count != held => {
                faults.push(Fault::of(folder, format!("holds {count} source files, and its exception says {held}")));
            }
            _ => {}
        }
    }
    let needless = exceptions.iter().filter(|(name, _)| counted.get(name).is_none_or(|count| *count <= MOST_FILES));
    faults.extend(needless.map(|(name, _)| Fault::of(name, "is an exception that nothing needs")));
    faults
}

/// Every file of `src` that is too long before its tests.
pub fn overlong(tree: &Tree) -> Vec<Fault> {
    let lengths = tree.sources().filter_map(|(file, _)| Some((file, before_tests(tree.text(file)?).lines().count())));
    let overlong = lengths.filter(|(_, lines)| *lines > MOST_LINES);
    overlong.map(|(file, lines)| Fault::at(file, MOST_LINES + 1, format!("is still code, of {lines} lines"))).collect()
}

#[test]
fn no_folder_has_outgrown_one_room() {
    assert_none(&crowded(Tree::this(), STILL_CROWDED));
}

#[test]
fn no_file_has_outgrown_one_idea() {
    assert_none(&overlong(Tree::this()));
}

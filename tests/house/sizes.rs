//! A folder that outgrows its number of files is two rooms; a file that outgrows its length is two ideas.

use crate::fault::{Fault, assert_none};
use crate::tree::{Tree, before_tests};
use std::collections::BTreeMap;

const MOST_FILES: usize = 25;
const MOST_LINES: usize = 400;

/// Every folder with more source files than a room holds. Folders inside a folder are counted by themselves.
pub fn crowded(tree: &Tree) -> Vec<Fault> {
    let mut counted: BTreeMap<&str, usize> = BTreeMap::new();
    for (file, _) in tree.files("", ".rs") {
        *counted.entry(file.rsplit_once('/').map_or("", |(folder, _)| folder)).or_default() += 1;
    }
    let crowded = counted.into_iter().filter(|(_, count)| *count > MOST_FILES);
    crowded.map(|(folder, count)| Fault::of(folder, format!("holds {count} source files, over {MOST_FILES}"))).collect()
}

/// Every file of `src` that is too long before its tests.
pub fn overlong(tree: &Tree) -> Vec<Fault> {
    let lengths = tree.sources().filter_map(|(file, _)| Some((file, before_tests(tree.text(file)?).lines().count())));
    let overlong = lengths.filter(|(_, lines)| *lines > MOST_LINES);
    overlong.map(|(file, lines)| Fault::at(file, MOST_LINES + 1, format!("is still code, of {lines} lines"))).collect()
}

#[test]
fn no_folder_has_outgrown_one_room() {
    assert_none(&crowded(Tree::this()));
}

#[test]
fn no_file_has_outgrown_one_idea() {
    assert_none(&overlong(Tree::this()));
}

//! Imports run one way: no files import each other in a circle, and no folders inside a room do.

use crate::fault::{Fault, assert_none};
use crate::imports::{Arrows, Import, arrows, reached};
use crate::tree::Tree;
use std::collections::{BTreeMap, BTreeSet};

/// The fewest arrows from one file to another: each file but the last, with its arrow.
fn shortest<'a>(arrows: &'a Arrows, from: &'a str, to: &str) -> Vec<(&'a str, &'a Import)> {
    let mut ways: Vec<Vec<(&str, &Import)>> = vec![Vec::new()];
    let mut met = BTreeSet::new();
    let mut at = vec![from];
    while !at.is_empty() {
        let (mut next_at, mut next_ways) = (Vec::new(), Vec::new());
        for (file, way) in at.iter().zip(&ways) {
            for (next, import) in &arrows[*file] {
                let longer: Vec<(&str, &Import)> = way.iter().copied().chain([(*file, import)]).collect();
                if next == to {
                    return longer;
                }
                if met.insert(next.as_str()) {
                    next_at.push(next.as_str());
                    next_ways.push(longer);
                }
            }
        }
        (at, ways) = (next_at, next_ways);
    }
    Vec::new()
}

/// Every circle of imports: two files that import each other, and the shortest way round where no two do.
pub fn circles(arrows: &Arrows) -> Vec<Fault> {
    let reach: BTreeMap<&str, BTreeSet<&str>> =
        arrows.keys().map(|file| (file.as_str(), reached(arrows, file))).collect();
    let both = |one: &str| -> BTreeSet<&str> {
        reach[one].iter().filter(|other| reach[*other].contains(one)).copied().collect()
    };
    let rings: BTreeSet<BTreeSet<&str>> =
        arrows.keys().map(|file| both(file)).filter(|ring| !ring.is_empty()).collect();
    rings.iter().flat_map(|ring| circles_in(arrows, ring)).collect()
}

fn circles_in(arrows: &Arrows, ring: &BTreeSet<&str>) -> Vec<Fault> {
    let ways: Vec<Vec<(&str, &Import)>> = ring.iter().map(|file| shortest(arrows, file, file)).collect();
    let fewest = ways.iter().map(Vec::len).min().unwrap_or_default();
    let mut told = BTreeSet::new();
    let mut found = Vec::new();
    for way in ways.iter().filter(|way| way.len() == fewest) {
        let files: BTreeSet<&str> = way.iter().map(|(file, _)| *file).collect();
        if told.insert(files) {
            let import = |import: &Import| format!("{}:{} {}", import.file, import.line, import.written);
            let further: String = way.iter().skip(1).map(|(_, next)| format!(" -> {}", import(next))).collect();
            let (from, first) = way[0];
            found.push(Fault::at(&first.file, first.line, format!("{}{further} -> {from}, a circle", first.written)));
        }
    }
    found
}

/// The arrows between what files are part of.
fn between(arrows: &Arrows, part_of: fn(&str) -> String) -> Arrows {
    let mut folded = Arrows::new();
    for (file, to) in arrows {
        let own = part_of(file);
        let held = folded.entry(own.clone()).or_default();
        for (other, import) in to.iter().filter(|(other, _)| part_of(other) != own) {
            held.entry(part_of(other)).or_insert_with(|| import.clone());
        }
    }
    folded
}

/// The folder inside a room that a file stands in; a file that stands in none is by itself, as the front of a room is.
fn folder_of(file: &str) -> String {
    let parts: Vec<&str> = file.split('/').collect();
    if parts.len() > 3 { format!("{}/", parts[..3].join("/")) } else { file.to_owned() }
}

/// Every circle of the folders inside a room.
pub fn circles_of_folders(arrows: &Arrows) -> Vec<Fault> {
    circles(&between(arrows, folder_of))
}

#[test]
fn imports_make_no_circle() {
    assert_none(&circles(&arrows(Tree::this())));
}

#[test]
fn folders_make_no_circle() {
    assert_none(&circles_of_folders(&arrows(Tree::this())));
}

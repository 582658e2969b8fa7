//! The rooms of the domain stand on each other: each imports only those before it in the list.

use crate::fault::{Fault, assert_none};
use crate::imports::Modules;
use crate::tree::{Tree, folder_in};
use std::collections::BTreeSet;

const FLOORS: &[&str] = &["value", "days", "law", "refusal", "book", "figures", "tax", "plan", "due"];

/// Every arrow from a room of the domain to a later one, or to the front of the whole domain, and every room that has
/// no floor. Both the room a path names and the one it is passed on from have to be below.
pub fn climbing(tree: &Tree) -> Vec<Fault> {
    let modules = Modules::of(tree);
    let floor = |room: &str| FLOORS.iter().position(|name| *name == room);
    let mut faults = Vec::new();
    for (file, source) in tree.sources().filter(|(file, _)| file.starts_with("src/domain/")) {
        let Some(room) = folder_in(file, "src/domain/") else {
            if file != "src/domain/mod.rs" {
                faults.push(Fault::of(file, "stands in no room of the domain"));
            }
            continue;
        };
        let Some(own) = floor(room) else {
            faults.push(Fault::of(file, format!("{room} is no room of the domain")));
            continue;
        };
        let mut told = BTreeSet::new();
        for path in &source.paths {
            let Some(full) = modules.full_path(file, path) else { continue };
            let written = path.words.join("::");
            let named = full.get(1).filter(|_| full[0] == "domain").and_then(|named| floor(named));
            let defined = modules.defined_in(&full).filter(|to| to.starts_with("src/domain/"));
            let above = match defined.map(|to| folder_in(to, "src/domain/")) {
                Some(None) => Some("the whole domain"),
                Some(Some(room)) => floor(room).filter(|to| *to > own).map(|to| FLOORS[to]),
                None => None,
            };
            let above = named.filter(|to| *to > own).map(|to| FLOORS[to]).or(above);
            if let Some(above) = above.filter(|_| told.insert((path.line, written.clone()))) {
                faults.push(Fault::at(file, path.line, format!("{room} imports {above}, above it: {written}")));
            }
        }
    }
    faults
}

#[test]
fn no_arrow_of_the_domain_climbs() {
    for room in FLOORS {
        assert!(Tree::this().files(&format!("src/domain/{room}/"), ".rs").next().is_some(), "no {room} in the domain");
    }
    assert_none(&climbing(Tree::this()));
}

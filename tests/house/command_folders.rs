//! The folders of commands know nothing of each other. What several need stands in a folder below them, or in a file
//! that lies beside them and needs none of them itself.

use crate::fault::{Fault, assert_none};
use crate::imports::{Arrows, arrows, reached};
use crate::tree::{Tree, folder_in};

const COMMANDS: &str = "src/commands/";

/// The groups of the help that commands stand in.
const GROUPS: &[&str] = &["deal", "ready", "money", "month", "think", "law", "keep"];

/// What the groups stand on.
const BELOW: &[&str] = &["steps"];

/// Every import by which a file of a group, or of a folder below, comes to another group: straight, or by way of what
/// it imports.
pub fn crossing(arrows: &Arrows) -> Vec<Fault> {
    let group_of =
        |file: &str| folder_in(file, COMMANDS).and_then(|folder| GROUPS.iter().find(|name| **name == folder));
    let mut faults = Vec::new();
    for (file, to) in arrows {
        let own = group_of(file);
        if own.is_none() && !folder_in(file, COMMANDS).is_some_and(|folder| BELOW.contains(&folder)) {
            continue;
        }
        let foreign = |other: &str| group_of(other).is_some_and(|group| Some(group) != own);
        for (next, import) in to {
            let further = reached(arrows, next);
            if foreign(next) {
                faults.push(Fault::at(file, import.line, format!("{} leads to {next}", import.written)));
            } else if group_of(next).is_none()
                && let Some(last) = further.into_iter().find(|other| foreign(other))
            {
                let what = format!("{} leads to {next}, and from there to {last}", import.written);
                faults.push(Fault::at(file, import.line, what));
            }
        }
    }
    faults
}

/// Every folder of commands that is missing.
pub fn missing(tree: &Tree) -> Vec<Fault> {
    let named = GROUPS.iter().chain(BELOW).map(|name| format!("{COMMANDS}{name}/"));
    let missing = named.filter(|folder| tree.files(folder, ".rs").next().is_none());
    missing.map(|folder| Fault::of(&folder, "holds no command")).collect()
}

#[test]
fn no_folder_of_commands_leads_to_another() {
    assert_none(&crossing(&arrows(Tree::this())));
}

#[test]
fn commands_stand_in_the_folders_of_their_groups() {
    assert_none(&missing(Tree::this()));
}

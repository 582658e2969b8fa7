//! Commands are derived: of clap they name the derives and nothing more. Whatever else is asked of clap stands in
//! `cli` and `app`, which pass none of it on; no other room names it.

use crate::fault::{Fault, assert_none};
use crate::rooms::room;
use crate::source::Path;
use crate::tree::Tree;

/// The derives, and what the attribute of one takes to say that options exclude each other.
const DERIVES: &[&str] = &["ArgGroup", "Args", "Parser", "Subcommand", "ValueEnum"];

/// Every place where a room names more of clap than it may.
pub fn beyond_derives(tree: &Tree) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (file, source) in tree.sources() {
        let of_clap = source.paths.iter().filter(|path| path.words[0] == "clap");
        for path in of_clap.filter(|path| !is_allowed(room(file), path)) {
            let what = if path.import.as_ref().is_some_and(|import| import.passed_on) { "passes on" } else { "names" };
            let everything = if path.import.as_ref().is_some_and(|import| import.name.is_none()) { "::*" } else { "" };
            faults.push(Fault::at(file, path.line, format!("{what} {}{everything}", path.words.join("::"))));
        }
    }
    faults
}

fn is_allowed(room: &str, path: &Path) -> bool {
    let passed_on = path.import.as_ref().is_some_and(|import| import.passed_on);
    let derive = matches!(path.words.as_slice(), [_, name] if DERIVES.contains(&name.as_str()));
    match room {
        "app" | "cli" => !passed_on,
        "commands" => derive && !passed_on,
        _ => false,
    }
}

#[test]
fn commands_use_only_the_derives_of_clap() {
    assert_none(&beyond_derives(Tree::this()));
}

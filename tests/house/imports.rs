//! Which file of `src` imports which, read from every path in the code: in a `use`, nested or not, or in the middle of
//! an expression or a macro; from `crate`, `super`, `self`, a child or a name imported before.
//!
//! An arrow leads to where a name is defined: a front (`mod.rs`, or any file that imports a name) through which it is
//! asked for only passes it on. So a front that declares its children and passes their names on imports none of them,
//! and nobody imports it; one that calls its children, or whose own items its children ask for, is a file like others.

use crate::source::{Path, Source};
use crate::tree::{Tree, child, module_of};
use std::collections::{BTreeMap, BTreeSet};

/// Where a file imports another, and the path it writes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Import {
    pub file: String,
    pub line: usize,
    pub written: String,
}

/// Each file, or folder, with those it imports.
pub type Arrows = BTreeMap<String, BTreeMap<String, Import>>;

/// The modules of a tree, and what each name means in them.
pub struct Modules<'t> {
    tree: &'t Tree,
    files: BTreeMap<Vec<String>, &'t str>,
    names: BTreeMap<&'t str, BTreeMap<&'t str, Vec<String>>>,
}

impl<'t> Modules<'t> {
    pub fn of(tree: &'t Tree) -> Self {
        let files = tree.sources().map(|(file, _)| (module_of(file), file)).collect();
        let names = tree.sources().map(|(file, source)| (file, names_in(file, source))).collect();
        Self { tree, files, names }
    }

    /// A path written in a file, from the crate on; nothing where it leads out of the crate or into the file itself.
    pub fn full_path(&self, file: &str, path: &Path) -> Option<Vec<String>> {
        full_path(&path.words, &within(file, path), self.names.get(file)?)
    }

    /// The file in which what stands at a path is defined.
    pub fn defined_in(&self, path: &[String]) -> Option<&'t str> {
        self.followed(path, &mut BTreeSet::new())
    }

    fn followed(&self, path: &[String], met: &mut BTreeSet<Vec<String>>) -> Option<&'t str> {
        let length = (0..=path.len()).rev().find(|length| self.files.contains_key(&path[..*length]))?;
        let (file, rest) = (self.files[&path[..length]], &path[length..]);
        let Some(name) = rest.first() else { return Some(file) };
        let source = self.tree.source(file)?;
        if !met.insert(path.to_vec()) || source.defined.contains(name) {
            return Some(file);
        }
        let passed_on = self.names[file].get(name.as_str()).map(|from| [from, &rest[1..]].concat());
        if let Some(further) = passed_on {
            return self.followed(&further, met).or(Some(file));
        }
        let everything = source.paths.iter().filter(|path| path.import.as_ref().is_some_and(|one| one.name.is_none()));
        let held = everything.filter_map(|path| self.full_path(file, path)).find_map(|module| {
            let held = self.files.get(&module).filter(|from| self.holds(from, name));
            held.and_then(|_| self.followed(&[&module, rest].concat(), met))
        });
        held.or(Some(file))
    }

    fn holds(&self, file: &str, name: &str) -> bool {
        self.tree.source(file).is_some_and(|source| source.defined.contains(name))
            || self.names[file].contains_key(name)
    }
}

/// The module a path stands in.
fn within(file: &str, path: &Path) -> Vec<String> {
    path.within.iter().fold(module_of(file), |module, name| child(&module, name))
}

/// What each name stands for that a file declares or imports from the crate.
fn names_in<'t>(file: &str, source: &'t Source) -> BTreeMap<&'t str, Vec<String>> {
    let own = module_of(file);
    let mut names: BTreeMap<&str, Vec<String>> =
        source.modules.iter().map(|name| (name.as_str(), child(&own, name))).collect();
    let imports: Vec<(&Path, &str)> =
        source.paths.iter().filter_map(|path| Some((path, path.import.as_ref()?.name.as_deref()?))).collect();
    // A name may come from one that is imported further down.
    loop {
        let before = names.len();
        for (path, name) in &imports {
            if let Some(from) = full_path(&path.words, &within(file, path), &names) {
                names.entry(name).or_insert(from);
            }
        }
        if names.len() == before {
            return names;
        }
    }
}

fn full_path(words: &[String], own: &[String], names: &BTreeMap<&str, Vec<String>>) -> Option<Vec<String>> {
    let mut place = match words[0].as_str() {
        // The program asks the library by its name.
        "crate" | "runabout" => Vec::new(),
        "self" | "super" => own.to_vec(),
        name => return names.get(name).map(|from| [from, &words[1..]].concat()),
    };
    let ups = words.iter().take_while(|word| matches!(word.as_str(), "crate" | "runabout" | "self" | "super")).count();
    for _ in words[..ups].iter().filter(|word| *word == "super") {
        place.pop();
    }
    place.extend(words[ups..].iter().cloned());
    Some(place)
}

/// Every arrow between two files of `src`.
pub fn arrows(tree: &Tree) -> Arrows {
    let modules = Modules::of(tree);
    let macros: BTreeMap<&str, &str> =
        tree.sources().flat_map(|(file, source)| source.macros.iter().map(move |name| (name.as_str(), file))).collect();
    tree.sources().map(|(file, source)| (file.to_owned(), imports(&modules, &macros, file, source))).collect()
}

fn imports(modules: &Modules, macros: &BTreeMap<&str, &str>, file: &str, source: &Source) -> BTreeMap<String, Import> {
    let mut to: BTreeMap<String, Import> = BTreeMap::new();
    let mut add = |other: &str, line: usize, written: String| {
        if other != file {
            to.entry(other.to_owned()).or_insert(Import { file: file.to_owned(), line, written });
        }
    };
    for path in &source.paths {
        let Some(full) = modules.full_path(file, path) else { continue };
        let Some(other) = modules.defined_in(&full) else { continue };
        if !only_passes_on(modules, file, source, path, other) {
            add(other, path.line, path.words.join("::"));
        }
    }
    for (name, line) in &source.macro_calls {
        if let Some(other) = macros.get(name.as_str()) {
            add(other, *line, format!("{name}!"));
        }
    }
    to
}

/// Whether a file passes on what a module below it defines, and does not use it itself.
fn only_passes_on(modules: &Modules, file: &str, source: &Source, path: &Path, other: &str) -> bool {
    let Some(import) = path.import.as_ref().filter(|import| import.passed_on) else { return false };
    let below = module_of(other).starts_with(&module_of(file));
    let used = match (&import.name, modules.tree.source(other)) {
        (Some(name), _) => source.words.contains(name),
        (None, Some(from)) => from.defined.iter().any(|name| source.words.contains(name)),
        (None, None) => false,
    };
    below && !used
}

/// The files that can be reached from a file along the arrows.
pub fn reached<'a>(arrows: &'a Arrows, from: &str) -> BTreeSet<&'a str> {
    let mut met = BTreeSet::new();
    let mut open = vec![from];
    while let Some(file) = open.pop() {
        for next in arrows.get(file).into_iter().flat_map(BTreeMap::keys) {
            if met.insert(next.as_str()) {
                open.push(next);
            }
        }
    }
    met
}

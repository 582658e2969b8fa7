//! Which file of `src` imports which, read from every path in the code: in a `use`, nested or not, or in the middle of
//! an expression or a macro; from `crate`, `super`, `self`, a child or a name imported before.
//!
//! An arrow leads to where a name is defined: a front (`mod.rs`, or any file that imports a name) through which it is
//! asked for only passes it on. So a front that declares its children and passes their names on imports none of them,
//! and nobody imports it; one that calls its children, or whose own items its children ask for, is a file like others.

use crate::fault::Fault;
use crate::source::{Path, Source};
use crate::tree::{Tree, child, module_of};
use std::collections::{BTreeMap, BTreeSet};

/// Where one file imports another, and the path it writes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Import {
    pub line: usize,
    pub written: String,
}

/// Each file with the files it imports.
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
            to.entry(other.to_owned()).or_insert(Import { line, written });
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
            let further =
                way.iter().skip(1).map(|(file, import)| format!(" -> {file}:{} {}", import.line, import.written));
            let (file, import) = way[0];
            let what = format!("{}{} -> {file}, a circle", import.written, further.collect::<String>());
            found.push(Fault::at(file, import.line, what));
        }
    }
    found
}

/// Arrows that still make circles: from a file, to a file or to all below a folder.
pub const STILL_IN_CIRCLES: &[(&str, &str)] = &[
    ("src/app.rs", "src/app/"),
    ("src/cli/mod.rs", "src/cli/"),
    ("src/commands/asking/mod.rs", "src/commands/asking/"),
    ("src/commands/mod.rs", "src/commands/"),
    ("src/commands/recording.rs", "src/commands/close.rs"),
    ("src/render/html/chart.rs", "src/render/html/chart/"),
    ("src/report/picture/page.rs", "src/report/picture/page/"),
    ("src/store/files/mod.rs", "src/store/files/"),
    ("src/store/schema/versions.rs", "src/store/schema/shape.rs"),
];

/// The arrows without those that are still to be turned, and the exceptions among these that open no circle.
pub fn without(arrows: &Arrows, exceptions: &[(&str, &str)]) -> (Arrows, Vec<Fault>) {
    let mut left = arrows.clone();
    for (file, to) in &mut left {
        to.retain(|other, _| !exceptions.iter().any(|(from, below)| file == from && other.starts_with(below)));
    }
    let needed = |from: &str, below: &str| {
        let arrows = arrows.get(from).into_iter().flat_map(BTreeMap::keys);
        arrows.filter(|other| other.starts_with(below)).any(|other| reached(&left, other).contains(from))
    };
    let needless = exceptions.iter().filter(|(from, below)| !needed(from, below));
    let told = needless.map(|(from, below)| Fault::of(from, format!("-> {below} is an exception that nothing needs")));
    let told = told.collect();
    (left, told)
}

#[test]
fn imports_make_no_circle() {
    let (left, mut faults) = without(&arrows(Tree::this()), STILL_IN_CIRCLES);
    faults.extend(circles(&left));
    crate::fault::assert_none(&faults);
}

//! The tree under test: this one, or a small one that is made to break a rule.

use crate::source::Source;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;
use std::sync::OnceLock;

/// Files by their path from the root.
pub struct Tree {
    texts: BTreeMap<String, String>,
    sources: BTreeMap<String, Source>,
}

impl Tree {
    /// A tree of the files given.
    pub fn of(texts: BTreeMap<String, String>) -> Self {
        let rust = texts.iter().filter(|(file, _)| file.starts_with("src/"));
        let mut sources: BTreeMap<String, Source> =
            rust.map(|(file, text)| (file.clone(), Source::of(file, text))).collect();
        let for_tests: BTreeSet<Vec<String>> = sources
            .iter()
            .flat_map(|(file, source)| source.test_modules.iter().map(|name| child(&module_of(file), name)))
            .collect();
        sources.retain(|file, _| {
            let module = module_of(file);
            !(1..=module.len()).any(|length| for_tests.contains(&module[..length]))
        });
        Self { texts, sources }
    }

    fn read(root: &Path) -> Self {
        let mut texts = BTreeMap::new();
        for (place, ending) in [("src", ".rs"), ("tests", ".rs"), ("benches", ".rs"), ("migrations", ".sql")] {
            read_below(root, place, ending, &mut texts);
        }
        texts.insert("Cargo.toml".to_owned(), fs::read_to_string(root.join("Cargo.toml")).unwrap());
        Self::of(texts)
    }

    /// The tree these tests stand in, read once.
    pub fn this() -> &'static Self {
        static THIS: OnceLock<Tree> = OnceLock::new();
        THIS.get_or_init(|| Self::read(crate::root()))
    }

    /// The text of one file.
    pub fn text(&self, file: &str) -> Option<&str> {
        self.texts.get(file).map(String::as_str)
    }

    /// Every file of that ending below a folder, with its text.
    pub fn files<'t>(&'t self, folder: &'t str, ending: &'t str) -> impl Iterator<Item = (&'t str, &'t str)> {
        let texts = self.texts.iter().map(|(file, text)| (file.as_str(), text.as_str()));
        texts.filter(move |(file, _)| file.starts_with(folder) && file.ends_with(ending))
    }

    /// Every file of `src`, read; modules that only tests are compiled with are no part of the house.
    pub fn sources(&self) -> impl Iterator<Item = (&str, &Source)> {
        self.sources.iter().map(|(file, source)| (file.as_str(), source))
    }

    pub fn source(&self, file: &str) -> Option<&Source> {
        self.sources.get(file)
    }
}

fn read_below(root: &Path, place: &str, ending: &str, texts: &mut BTreeMap<String, String>) {
    let folder = root.join(place);
    if !folder.is_dir() {
        return;
    }
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let inside = format!("{place}/{}", entry.file_name().to_string_lossy());
        if entry.path().is_dir() {
            read_below(root, &inside, ending, texts);
        } else if inside.ends_with(ending) {
            texts.insert(inside, fs::read_to_string(entry.path()).unwrap());
        }
    }
}

/// `src/a/b.rs` and `src/a/b/mod.rs` are both the module `a::b`; `src/lib.rs` is the crate itself.
pub fn module_of(file: &str) -> Vec<String> {
    let inside = file.trim_start_matches("src/").trim_end_matches(".rs");
    let inside = inside.strip_suffix("/mod").unwrap_or(inside);
    if inside == "lib" { Vec::new() } else { inside.split('/').map(str::to_owned).collect() }
}

/// A module below another.
pub fn child(module: &[String], name: &str) -> Vec<String> {
    module.iter().cloned().chain([name.to_owned()]).collect()
}

/// The folder below `place` that a file stands in, if it stands in one.
pub fn folder_in<'f>(file: &'f str, place: &str) -> Option<&'f str> {
    file.strip_prefix(place)?.split_once('/').map(|(folder, _)| folder)
}

/// The lines of a file before its unit tests, which stand last.
pub fn before_tests(text: &str) -> &str {
    text.split("#[cfg(test)]\nmod tests").next().unwrap_or_default()
}

//! What stands in a place: every file by its name, a book by its rows. Moments are left out of both.

use crate::common::readable_rows_of;
use crate::failing::{Place, TEMPORARY};
use rusqlite::Connection;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// What each file holds, by its path in the place; files that differ only in the moment in their names are one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stands(BTreeMap<String, BTreeSet<String>>);

impl Stands {
    pub fn in_place(place: &Place) -> Self {
        let mut stands = Self::default();
        stands.look_into(place.folder(), place.folder());
        stands
    }

    fn look_into(&mut self, folder: &Path, root: &Path) {
        let mut paths: Vec<_> = fs::read_dir(folder).unwrap().map(|file| file.unwrap().path()).collect();
        paths.sort();
        // A journal is part of its book, which is read with it.
        paths.retain(|path| !path.ends_with(TEMPORARY) && !path.to_string_lossy().ends_with(".book-journal"));
        // Reading a book can take away the journal of a part of one.
        for path in paths.into_iter().filter(|path| path.exists()) {
            let is_folder = path.is_dir();
            let name = path.strip_prefix(root).unwrap().display().to_string();
            let name = dateless(&if is_folder { format!("{name}/") } else { name });
            let holds = if is_folder { Some("folder".to_owned()) } else { content(&path) };
            self.0.entry(name).or_default().extend(holds);
            if is_folder {
                self.look_into(&path, root);
            }
        }
        self.0.retain(|_, holds| !holds.is_empty());
    }

    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }

    /// What is held under a name, or under names below a folder.
    pub fn under<'s>(&'s self, name: &'s str) -> impl Iterator<Item = (&'s str, &'s BTreeSet<String>)> {
        let below = move |other: &str| other == name || (name.ends_with('/') && other.starts_with(name));
        self.0.iter().map(|(name, holds)| (name.as_str(), holds)).filter(move |(name, _)| below(name))
    }

    /// Whether a name holds the same in both.
    pub fn same(&self, other: &Self, name: &str) -> bool {
        self.0.get(name) == other.0.get(name)
    }

    pub fn has(&self, name: &str) -> bool {
        self.0.contains_key(name)
    }

    /// In which of some names two differ, each with what a line can tell of it.
    pub fn differences(&self, other: &Self, among: impl Fn(&str) -> bool) -> Vec<String> {
        let names: BTreeSet<&str> = self.names().chain(other.names()).filter(|name| among(name)).collect();
        names.into_iter().filter(|name| !self.same(other, name)).map(|name| self.difference(other, name)).collect()
    }

    fn difference(&self, other: &Self, name: &str) -> String {
        let lines = |stands: &Self| -> BTreeSet<String> {
            stands.0.get(name).into_iter().flatten().flat_map(|text| text.lines().map(str::to_owned)).collect()
        };
        let (here, there) = (lines(self), lines(other));
        let short = |line: &String| line.chars().take(80).collect::<String>();
        let some = |lines: Vec<&String>| lines.into_iter().take(2).map(short).collect::<Vec<_>>().join(" | ");
        let (more, less) = (some(here.difference(&there).collect()), some(there.difference(&here).collect()));
        format!("{name}: has [{more}] and not [{less}]")
    }
}

/// None for a book that nobody has recorded in: no command takes it for one.
fn content(path: &Path) -> Option<String> {
    let bytes = fs::read(path).unwrap();
    let is_book = path.extension().is_some_and(|extension| extension == "book");
    if !bytes.starts_with(b"SQLite format 3\0") {
        return (!is_book || !bytes.is_empty()).then(|| timeless(&String::from_utf8_lossy(&bytes)));
    }
    match whole_rows_of(path) {
        Ok(rows) if !rows.iter().any(|row| row.starts_with("entry: ")) => None,
        Ok(rows) => {
            let rows = rows.into_iter().filter(|row| !row.contains("\"backup_made\""));
            Some(rows.map(|row| timeless(&row)).collect::<Vec<_>>().join("\n"))
        }
        Err(error) => Some(format!("a book that cannot be read: {error}")),
    }
}

/// Every row but of copies made, of a file that SQLite finds whole.
fn whole_rows_of(book: &Path) -> rusqlite::Result<Vec<String>> {
    let rows = readable_rows_of(book, &["backup_made"])?;
    let found: String = Connection::open(book)?.query_row("PRAGMA integrity_check", [], |row| row.get(0))?;
    Ok(if found == "ok" { rows } else { vec![format!("entry: damaged: {found}")] })
}

/// With TIME for every `2026-11-25T12:00:00Z` and `20261125T120000Z`.
fn timeless(text: &str) -> String {
    if !text.contains('Z') {
        return text.to_owned();
    }
    replaced(text, |word| word.len() >= 16 && word.ends_with('Z') && word.contains('T') && begins_with_digits(word, 4))
}

/// With TIME for every `20261125-120000` of a name, and what may be counted up after it.
fn dateless(name: &str) -> String {
    replaced(name, |word| word.len() >= 15 && begins_with_digits(word, 8) && word.get(8..9) == Some("-"))
}

fn begins_with_digits(word: &str, count: usize) -> bool {
    word.bytes().take(count).all(|byte| byte.is_ascii_digit())
}

fn replaced(text: &str, is_moment: impl Fn(&str) -> bool) -> String {
    let of_a_moment = |character: char| character.is_ascii_digit() || matches!(character, 'T' | 'Z' | ':' | '-');
    let mut made = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(from) = rest.find(|character: char| character.is_ascii_digit()) {
        let word = rest.get(from..).unwrap();
        let word = word.get(..word.find(|character| !of_a_moment(character)).unwrap_or(word.len())).unwrap();
        made.push_str(rest.get(..from).unwrap());
        made.push_str(if is_moment(word) { "TIME" } else { word });
        rest = rest.get(from + word.len()..).unwrap();
    }
    made + rest
}

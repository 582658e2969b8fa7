//! How the words after `amend ENTRY` are read: one fact and its value, or several. Where both can be meant,
//! neither is chosen in silence.

use crate::domain::value::numbers::EntryNo;
use std::fmt;

/// A fact's name and the value it is to have.
pub type Pair = (String, String);

/// What begins a name of somebody only before a capital: "taken to the garage" stays a note.
const BEFORE_NAMES: &[&str] = &["to", "from", "by"];

/// The words as several facts: each of `names` in small letters, standing by itself, begins another. None
/// where there is no such name among them; a name at the very end has no value. What came as one word, in
/// quotes, is never taken apart.
pub fn apart(field: &str, words: &[String], names: &[&str]) -> Option<Vec<Pair>> {
    let mut pairs: Vec<(String, Vec<&str>)> = vec![(field.to_owned(), Vec::new())];
    for (n, word) in words.iter().enumerate() {
        let begun = pairs.last().is_some_and(|(_, value)| !value.is_empty());
        let next = words.get(n + 1);
        let somebody = !BEFORE_NAMES.contains(&word.as_str())
            || next.is_some_and(|next| next == "none" || next.starts_with(char::is_uppercase));
        if begun && somebody && names.contains(&word.as_str()) {
            pairs.push((word.clone(), Vec::new()));
        } else if let Some((_, value)) = pairs.last_mut() {
            value.push(word);
        }
    }
    (pairs.len() > 1).then(|| pairs.into_iter().map(|(name, value)| (name, value.join(" "))).collect())
}

/// The fact that is named more than once.
pub fn named_twice(pairs: &[Pair]) -> Option<&str> {
    let twice = |(n, (name, _)): (usize, &Pair)| pairs.iter().take(n).any(|(before, _)| before == name);
    pairs.iter().enumerate().find(|it| twice(*it)).map(|(_, (name, _))| name.as_str())
}

/// Words that can be read as one fact or as several.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TwoReadings {
    /// The entry.
    pub entry: EntryNo,
    /// One fact with all the words as its value.
    pub whole: Pair,
    /// Several.
    pub apart: Vec<Pair>,
}

impl TwoReadings {
    /// The words as several facts: `make Tamsin` and `model Pike`.
    fn several(&self) -> Vec<String> {
        self.apart.iter().map(|(name, value)| format!("{name} {}", quoted(value))).collect()
    }

    /// The question that settles it, and the option a yes stands for. A name at the very end has no value,
    /// so it cannot be settled by a yes.
    pub fn question(&self) -> Option<(String, &'static str)> {
        let finished = self.apart.iter().all(|(_, value)| !value.is_empty());
        finished.then(|| (format!("Are these {} facts: {}?", self.apart.len(), self.several().join(", ")), "--pairs"))
    }

    /// Both readings, each as it is typed to mean only that.
    pub fn details(&self) -> Vec<String> {
        let (field, value) = &self.whole;
        vec![
            format!("several facts: `runabout amend {} {} --pairs`", self.entry, self.several().join(" ")),
            format!("one fact: `runabout amend {} {field} {}`", self.entry, quoted(value)),
        ]
    }
}

impl fmt::Display for TwoReadings {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let name = self.apart.get(1).map_or("", |(name, _)| name.as_str());
        let (field, value) = &self.whole;
        write!(f, "'{name}' in '{value}' could be part of the {field}, or another fact of entry {}", self.entry)
    }
}

/// In quotes where a shell would take it apart; a word for one that was not typed.
fn quoted(value: &str) -> String {
    if value.is_empty() {
        "VALUE".to_owned()
    } else if !value.contains(char::is_whitespace) {
        value.to_owned()
    } else if value.contains('"') {
        format!("'{value}'")
    } else {
        format!("\"{value}\"")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NAMES: &[&str] = &["make", "model", "on", "to", "note", "colour"];

    fn read(field: &str, line: &str) -> String {
        let words: Vec<String> = line.split('|').map(str::to_owned).collect();
        let pairs = apart(field, &words, NAMES).unwrap_or_default();
        pairs.iter().map(|(name, value)| format!("{name}={value}")).collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn a_name_that_stands_by_itself_begins_another_fact() {
        for (field, line, wanted) in [
            ("make", "Tamsin|model|Pike", "make=Tamsin model=Pike"),
            ("make", "Tamsin|model|Pike|colour|dark|blue", "make=Tamsin model=Pike colour=dark blue"),
            ("make", "Tamsin model Pike", ""),
            ("make", "Tamsin|Model|Pike", ""),
            ("make", "Tamsin|model", "make=Tamsin model="),
            ("model", "model|Pike", ""),
            ("note", "taken|to|the|garage", ""),
            ("note", "exhaust|to|Hob|Lane", "note=exhaust to=Hob Lane"),
            ("note", "exhaust|to|none", "note=exhaust to=none"),
        ] {
            assert_eq!(read(field, line), wanted, "{field} {line}");
        }
    }

    #[test]
    fn both_readings_are_shown_as_they_are_typed() {
        let apart = vec![("make".to_owned(), "Tamsin".to_owned()), ("model".to_owned(), "Pike Six".to_owned())];
        let two = TwoReadings { entry: 7, whole: ("make".into(), "Tamsin model Pike Six".into()), apart };
        assert_eq!(
            two.to_string(),
            "'model' in 'Tamsin model Pike Six' could be part of the make, or another fact of entry 7"
        );
        assert_eq!(two.question(), Some(("Are these 2 facts: make Tamsin, model \"Pike Six\"?".into(), "--pairs")));
        assert_eq!(
            two.details(),
            [
                "several facts: `runabout amend 7 make Tamsin model \"Pike Six\" --pairs`",
                "one fact: `runabout amend 7 make \"Tamsin model Pike Six\"`"
            ]
        );
        let apart = vec![("make".to_owned(), "Tamsin".to_owned()), ("model".to_owned(), String::new())];
        let unfinished = TwoReadings { apart, ..two };
        assert_eq!(unfinished.question(), None);
        assert_eq!(unfinished.details()[0], "several facts: `runabout amend 7 make Tamsin model VALUE --pairs`");
        assert_eq!((named_twice(&unfinished.apart), named_twice(&[])), (None, None));
        let twice = ["make", "on", "make"].map(|name| (name.to_owned(), "x".to_owned()));
        assert_eq!(named_twice(&twice), Some("make"));
    }
}

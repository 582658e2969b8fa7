//! An error of the store, or of a command's step, is never swallowed: what can fail is asked with `?`, told, or
//! named below with the reason why its failing changes nothing.

use crate::{code, files, root};
use std::collections::BTreeSet;

/// What turns a failure into an answer, put after the call.
const AFTER: &[&str] = &[
    ".ok()",
    ".is_ok()",
    ".is_err()",
    ".is_ok_and(",
    ".unwrap_or(",
    ".unwrap_or_default()",
    ".unwrap_or_else(",
    ".map_or(",
    ".map_or_default(",
    ".map_or_else(",
    ".into_iter().flatten()",
];

/// What does so put before it.
const BEFORE: &[&str] = &["let _ =", "let Ok(", "let Err(", "filter_map(Result::ok)", "drop("];

/// Where failing is no failure: the file, what stands there, and why.
const ALLOWED: &[(&str, &str, &str)] = &[
    ("src/store/keep/receipt_files.rs", "check(book, &sha256", "a kept copy that is not as it should be is made again"),
    ("src/store/files/part.rs", "remove(&self.folder", "what cannot be taken away now a later run takes away"),
    (
        "src/store/keep/receipt_files.rs",
        "let _ = discard(",
        "a copy that cannot be taken away is a file nobody points at",
    ),
    ("src/commands/month/backup.rs", "if let Err(error) = remove_backup(", "the copy that stays is told of in a note"),
    ("src/commands/law/vat.rs", "Period::new(last.minus(11).first_day()", "the first day of a month, not of the book"),
    ("src/app/asking.rs", "let Ok(whole) = year_of(", "whoever leaves the question gets the refusal that led to it"),
    (
        "src/app/asking.rs",
        "read_words(words, env).ok()",
        "what does not read as a whole is refused when it is carried out",
    ),
    ("src/app/apart.rs", "manual::run(args, book_path(", "the manual is to be had without a book"),
    ("src/app/reading.rs", "book_path(&everywhere, env).ok()", "without a book no word is a car of it"),
    ("src/app/completing.rs", "script(shell, env).is_err()", "it is the exit code"),
    ("src/app/completing.rs", "let _ = print(env", "a key press is no place for a message"),
    ("src/app/completing.rs", "book_path(&everywhere, env).ok()", "nothing is offered without a book"),
    (
        "src/app/completing.rs",
        "open_to_complete(path).ok()",
        "while a command is typed nothing is offered on any error",
    ),
    ("src/app/completing.rs", "offered(wanted, begun, &book, &context).ok()", "as above"),
    ("src/app/mod.rs", "answer()", "what a person typed, not what a function gave"),
    ("src/app/recording.rs", "span_of_entries().is_ok_and(", "a new book that cannot be looked into is not taken away"),
];

/// The names of functions that can fail, in the rooms whose failures have to be told.
fn can_fail() -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    for room in ["store", "commands", "app"] {
        for path in files(&root().join("src").join(room), ".rs") {
            let code = code(&path);
            for (at, _) in code.match_indices("fn ") {
                let rest = &code[at + 3..];
                let name: String = rest.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
                let signature = rest.split(['{', ';']).next().unwrap_or_default();
                if signature.contains("-> Result<") || signature.contains("-> rusqlite::Result<") {
                    names.insert(name);
                }
            }
        }
    }
    names
}

/// Names that the standard library has too, and that say nothing of who is asked.
const COMMON: &[&str] = &["find", "make", "new", "next", "parse", "read"];

/// The value a method is asked of: back from the method to where its expression begins.
fn asked_of(before: &str) -> &str {
    let mut depth = 0;
    for (at, letter) in before.char_indices().rev() {
        match letter {
            ')' | ']' => depth += 1,
            '(' | '[' => depth -= 1,
            ',' | '=' | '|' | '&' | '!' | '<' | '>' if depth == 0 => return &before[at + 1..],
            _ => {}
        }
        if depth < 0 {
            return &before[at + 1..];
        }
    }
    before
}

/// What can fail and is called in a piece of code, after whatever was asked with `?` in it.
fn calls<'n>(piece: &str, names: &'n BTreeSet<String>) -> Option<&'n String> {
    let unasked = piece.rsplit('?').next().unwrap_or_default();
    names.iter().filter(|name| !COMMON.contains(&name.as_str())).find(|name| {
        unasked.match_indices(&format!("{name}(")).any(|(at, _)| {
            let before = unasked[..at].chars().next_back();
            !before.is_some_and(|c| c.is_alphanumeric() || c == '_')
        })
    })
}

/// Every place in a file where a failure is swallowed: the piece of code, and what can fail in it.
fn swallowed(code: &str, names: &BTreeSet<String>) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for piece in code.split([';', '{', '}']) {
        let line = piece.split_whitespace().collect::<Vec<_>>().join(" ");
        let joined = line.replace(" .", ".");
        let after = AFTER
            .iter()
            .flat_map(|token| joined.match_indices(token))
            .find_map(|(at, _)| calls(asked_of(&joined[..at]), names));
        // With `?` in it, it is asked.
        let before = BEFORE.iter().filter_map(|token| joined.split_once(token)).filter(|(_, rest)| !rest.contains('?'));
        if let Some(name) = after.or(before.into_iter().find_map(|(_, rest)| calls(rest, names))) {
            found.push((joined.clone(), name.clone()));
        }
    }
    found
}

#[test]
fn no_error_of_the_store_is_swallowed() {
    let names = can_fail();
    assert!(names.len() > 200, "{}", names.len());
    let (mut wrong, mut met) = (Vec::new(), BTreeSet::new());
    for room in ["store", "commands", "app"] {
        for path in files(&root().join("src").join(room), ".rs") {
            let shown = path.strip_prefix(root()).unwrap().display().to_string();
            for (piece, name) in swallowed(&code(&path), &names) {
                match ALLOWED.iter().position(|(file, part, _)| *file == shown && piece.contains(part)) {
                    Some(at) => {
                        met.insert(at);
                    }
                    None => wrong.push(format!("{shown}: `{name}` in `{piece}`")),
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(met.len(), ALLOWED.len(), "an allowance that nothing needs");
}

#[test]
fn what_swallows_is_seen_and_what_asks_is_not() {
    let names: BTreeSet<String> = ["heading", "entries"].map(str::to_owned).into();
    for swallows in [
        "let found = reader.heading(word).ok();",
        "words.find_map(|word| lookup::heading(reader, word).ok())",
        "let all = reader\n    .entries(None)\n    .unwrap_or_default();",
        "let _ = reader.entries(None);",
        "if let Ok(entries) = reader.entries(None) {",
        "if reader.entries(None).is_ok_and(|found| found.is_empty()) {",
        "let n = reader.heading(w)?.len() + reader.entries(None).unwrap_or_default();",
    ] {
        assert_eq!(swallowed(swallows, &names).len(), 1, "{swallows}");
    }
    for asks in [
        "let found = reader.heading(word)?.unwrap_or_default();",
        "let day = text.parse().ok();",
        "my_heading(word).ok();",
        "reader.entries(None)?.into_iter().find(|one| one.of.parse().is_ok())",
    ] {
        assert_eq!(swallowed(asks, &names), [], "{asks}");
    }
}

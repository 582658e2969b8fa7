//! What a source file says, read from its tokens: every path, every string, the modules it declares and the names it
//! defines. Comments are no tokens, and what is compiled for tests only is left out.
//!
//! Tokens rather than a syntax tree, because most of a page, a message or a check stands inside macros, whose insides
//! a syntax tree does not know; a path looks the same in them as everywhere.

use proc_macro2::{Delimiter, Group, Literal, TokenStream, TokenTree};
use std::collections::BTreeSet;

#[derive(Debug, Default)]
pub struct Source {
    pub paths: Vec<Path>,
    pub strings: Vec<Quoted>,
    /// Macros called by a name alone, with their lines.
    pub macro_calls: Vec<(String, usize)>,
    /// Macros made here.
    pub macros: BTreeSet<String>,
    /// Modules declared here that stand in files of their own.
    pub modules: BTreeSet<String>,
    /// Those of them that only tests are compiled with.
    pub test_modules: BTreeSet<String>,
    /// Items at the level of the module.
    pub defined: BTreeSet<String>,
    /// Every name outside imports and declarations of modules.
    pub words: BTreeSet<String>,
    /// Functions and methods made here.
    pub functions: BTreeSet<String>,
    /// Those of them that are given the name of a table.
    pub take_a_table: BTreeSet<String>,
}

/// A path as it is written: every one of two words or more, and every one of a `use`, with groups written out.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    pub words: Vec<String>,
    pub line: usize,
    /// Modules within the file that it stands in.
    pub within: Vec<String>,
    /// How it stands in a `use`; none elsewhere.
    pub import: Option<Import>,
}

#[derive(Clone, Debug, PartialEq)]
pub struct Import {
    /// The name it has from here on; none for everything in a module.
    pub name: Option<String>,
    /// Whether the `use` is public.
    pub passed_on: bool,
}

/// A string in the code.
#[derive(Clone, Debug, PartialEq)]
pub struct Quoted {
    pub text: String,
    pub line: usize,
    /// The function or macro it is an argument of.
    pub given_to: Option<String>,
}

/// Where tokens stand.
#[derive(Clone, Default)]
struct Around {
    within: Vec<String>,
    given_to: Option<String>,
    in_serde: bool,
    in_a_body: bool,
}

impl Source {
    pub fn of(file: &str, text: &str) -> Self {
        let tokens: TokenStream = text.parse().unwrap_or_else(|error| panic!("{file}: {error}"));
        let mut source = Self::default();
        source.read(tokens, &Around::default());
        // Places in the text are kept for a whole thread, and have been asked for.
        proc_macro2::extra::invalidate_current_thread_spans();
        source
    }

    fn read(&mut self, tokens: TokenStream, around: &Around) {
        let tokens: Vec<TokenTree> = tokens.into_iter().collect();
        let mut at = 0;
        while at < tokens.len() {
            at = self.read_one(&tokens, at, around);
        }
    }

    /// Reads what begins at `at`, and gives where the next begins.
    fn read_one(&mut self, tokens: &[TokenTree], at: usize, around: &Around) -> usize {
        if let Some((group, next)) = attribute(tokens, at) {
            return self.read_attribute(tokens, group, next, around);
        }
        match &tokens[at] {
            TokenTree::Group(group) => self.read_group(tokens, at, group, around),
            TokenTree::Literal(literal) => self.read_literal(literal, around),
            // A lifetime is a quote and a name.
            TokenTree::Punct(mark) => return at + 1 + usize::from(mark.as_char() == '\''),
            TokenTree::Ident(word) => return self.read_word(tokens, at, &word.to_string(), around),
        }
        at + 1
    }

    fn read_attribute(&mut self, tokens: &[TokenTree], group: &Group, next: usize, around: &Around) -> usize {
        let inside: Vec<TokenTree> = group.stream().into_iter().collect();
        let name = inside.first().map(TokenTree::to_string).unwrap_or_default();
        if name == "cfg" && inside.get(1).is_some_and(|of| of.to_string() == "(test)") {
            let end = end_of_item(tokens, next);
            self.test_modules.extend(declared_module(&tokens[next..end]));
            return end;
        }
        if name != "doc" {
            self.read(group.stream(), &Around { in_serde: name == "serde", ..around.clone() });
        }
        next
    }

    fn read_group(&mut self, tokens: &[TokenTree], at: usize, group: &Group, around: &Around) {
        let mut before = tokens[..at].iter().rev();
        let mut given_to = before.next();
        if given_to.is_some_and(|token| is_mark(token, '!')) {
            given_to = before.next();
        }
        let given_to = match (group.delimiter(), given_to) {
            (Delimiter::Parenthesis, Some(TokenTree::Ident(name))) => Some(name.to_string()),
            _ => None,
        };
        let made_by_a_macro = at > 0 && is_mark(&tokens[at - 1], '!');
        let in_a_body = around.in_a_body || !made_by_a_macro;
        self.read(group.stream(), &Around { given_to, in_a_body, ..around.clone() });
    }

    fn read_literal(&mut self, literal: &Literal, around: &Around) {
        let Some(text) = quoted(&literal.to_string()) else { return };
        if around.in_serde && text.contains("::") {
            // `serialize_with = "crate::a::b"` is a path in quotes.
            let path = text.split("::").map(str::to_owned).collect();
            self.push(path, literal.span().start().line, around, None);
        }
        let given_to = around.given_to.clone();
        self.strings.push(Quoted { text, line: literal.span().start().line, given_to });
    }

    fn read_word(&mut self, tokens: &[TokenTree], at: usize, word: &str, around: &Around) -> usize {
        let next = tokens.get(at + 1);
        match (word, next) {
            ("use", Some(next)) if !is_mark(next, '<') => {
                let end = tokens[at..].iter().position(|token| is_mark(token, ';')).map_or(tokens.len(), |to| at + to);
                self.read_use(&tokens[at + 1..end], &[], is_public(&tokens[..at]), around);
                end
            }
            ("mod", Some(TokenTree::Ident(name))) => match tokens.get(at + 2) {
                Some(TokenTree::Group(body)) => {
                    let within = around.within.iter().cloned().chain([name.to_string()]).collect();
                    self.read(body.stream(), &Around { within, ..around.clone() });
                    at + 3
                }
                _ => {
                    self.modules.insert(name.to_string());
                    at + 2
                }
            },
            // Who may see something is no import of it.
            ("pub", Some(TokenTree::Group(seen_by))) if is_sight(seen_by) => at + 2,
            _ => self.read_path(tokens, at, word, around),
        }
    }

    fn read_path(&mut self, tokens: &[TokenTree], at: usize, word: &str, around: &Around) -> usize {
        const KINDS: &[&str] = &["fn", "struct", "enum", "union", "trait", "type", "const", "static"];
        self.words.insert(word.to_owned());
        let mut path = vec![word.to_owned()];
        let mut end = at + 1;
        while let (true, Some(TokenTree::Ident(next))) = (is_step(tokens, end), tokens.get(end + 2)) {
            self.words.insert(next.to_string());
            path.push(next.to_string());
            end += 3;
        }
        if path.len() > 1 && begins_a_path(&tokens[..at]) {
            self.push(path, line_of(&tokens[at]), around, None);
        } else if path.len() == 1 && tokens.get(end).is_some_and(|next| is_mark(next, '!')) {
            self.macro_calls.push((word.to_owned(), line_of(&tokens[at])));
            if let (true, Some(TokenTree::Ident(name))) = (word == "macro_rules", tokens.get(at + 2)) {
                self.macros.insert(name.to_string());
                self.defined.insert(name.to_string());
            }
        }
        if let (true, Some(TokenTree::Ident(name))) = (KINDS.contains(&word), tokens.get(end)) {
            if !around.in_a_body {
                self.defined.insert(name.to_string());
            }
            if word == "fn" {
                self.functions.insert(name.to_string());
                if takes_a_table(&tokens[end..]) {
                    self.take_a_table.insert(name.to_string());
                }
            }
        }
        end
    }

    /// Reads one branch of what a `use` names.
    fn read_use(&mut self, tokens: &[TokenTree], above: &[String], passed_on: bool, around: &Around) {
        let mut path = above.to_vec();
        let mut name = None;
        for (at, token) in tokens.iter().enumerate() {
            match token {
                TokenTree::Group(group) => {
                    let inside: Vec<TokenTree> = group.stream().into_iter().collect();
                    for branch in inside.split(|token| is_mark(token, ',')).filter(|branch| !branch.is_empty()) {
                        self.read_use(branch, &path, passed_on, around);
                    }
                    return;
                }
                TokenTree::Punct(mark) if mark.as_char() == '*' => {
                    self.push(path, line_of(token), around, Some(Import { name: None, passed_on }));
                    return;
                }
                TokenTree::Ident(word) if *word == "as" => {
                    name = tokens.get(at + 1).map(TokenTree::to_string);
                    break;
                }
                // `a::{self}` is `a`.
                TokenTree::Ident(word) if *word == "self" && !path.is_empty() => {}
                TokenTree::Ident(word) => path.push(word.to_string()),
                _ => {}
            }
        }
        let name = name.or_else(|| path.last().cloned());
        if let Some(token) = tokens.first() {
            self.push(path, line_of(token), around, Some(Import { name, passed_on }));
        }
    }

    fn push(&mut self, words: Vec<String>, line: usize, around: &Around, import: Option<Import>) {
        self.paths.push(Path { words, line, within: around.within.clone(), import });
    }
}

fn line_of(token: &TokenTree) -> usize {
    token.span().start().line
}

fn is_mark(token: &TokenTree, mark: char) -> bool {
    matches!(token, TokenTree::Punct(punct) if punct.as_char() == mark)
}

/// Whether `::` stands here.
fn is_step(tokens: &[TokenTree], at: usize) -> bool {
    tokens.get(at..at + 2).is_some_and(|pair| pair.iter().all(|token| is_mark(token, ':')))
}

/// Not after `.`, which asks a method, nor after `a::` or `<A>::`; a range and a leading `::` are no such thing.
fn begins_a_path(before: &[TokenTree]) -> bool {
    let back = |steps: usize| before.len().checked_sub(steps).map(|at| &before[at]);
    if back(1).is_some_and(|token| is_mark(token, '.')) {
        return back(2).is_some_and(|token| is_mark(token, '.'));
    }
    let after_a_step = before.len() >= 2 && is_step(before, before.len() - 2);
    !(after_a_step && back(3).is_some_and(|token| matches!(token, TokenTree::Ident(_)) || is_mark(token, '>')))
}

/// Whether what stands ahead of a `use` is `pub` or `pub(…)`.
fn is_public(ahead: &[TokenTree]) -> bool {
    let mut back = ahead.iter().rev();
    let mut last = back.next();
    if last.is_some_and(|token| matches!(token, TokenTree::Group(_))) {
        last = back.next();
    }
    last.is_some_and(|token| token.to_string() == "pub")
}

/// `(crate)`, `(super)` or `(in a::b)` after `pub`, and not the field of a tuple.
fn is_sight(group: &Group) -> bool {
    let inside: Vec<TokenTree> = group.stream().into_iter().collect();
    let first = inside.first().map(TokenTree::to_string).unwrap_or_default();
    first == "in" || (inside.len() == 1 && matches!(first.as_str(), "crate" | "super" | "self"))
}

/// The brackets of an attribute that begins here, and what stands after it.
fn attribute(tokens: &[TokenTree], at: usize) -> Option<(&Group, usize)> {
    if !is_mark(tokens.get(at)?, '#') {
        return None;
    }
    let at = at + 1 + usize::from(is_mark(tokens.get(at + 1)?, '!'));
    match tokens.get(at)? {
        TokenTree::Group(group) if group.delimiter() == Delimiter::Bracket => Some((group, at + 1)),
        _ => None,
    }
}

/// Where the item that begins here ends, with its attributes.
fn end_of_item(tokens: &[TokenTree], mut at: usize) -> usize {
    while let Some((_, next)) = attribute(tokens, at) {
        at = next;
    }
    let words: Vec<String> = tokens[at..].iter().map(TokenTree::to_string).take(4).collect();
    let first = words.iter().position(|word| word != "pub" && !word.starts_with('(')).unwrap_or_default();
    let word = |place: usize| words.get(first + place).map_or("", String::as_str);
    let has_body = match (word(0), word(1)) {
        ("const" | "static", "fn" | "unsafe" | "async" | "extern") | ("macro_rules", _) => Some(true),
        ("use" | "const" | "static" | "type" | "let", _) => Some(false),
        ("fn" | "mod" | "struct" | "enum" | "union" | "trait" | "impl" | "unsafe" | "async" | "extern", _) => {
            Some(true)
        }
        _ => None,
    };
    let is_end = |token: &TokenTree| match has_body {
        Some(true) => is_mark(token, ';') || is_body(token),
        Some(false) => is_mark(token, ';'),
        // A field, a variant or an expression.
        None => is_mark(token, ',') || is_mark(token, ';') || is_body(token),
    };
    tokens[at..].iter().position(is_end).map_or(tokens.len(), |length| at + length + 1)
}

fn is_body(token: &TokenTree) -> bool {
    matches!(token, TokenTree::Group(group) if group.delimiter() == Delimiter::Brace)
}

fn declared_module(item: &[TokenTree]) -> Option<String> {
    let at = item.iter().position(|token| token.to_string() == "mod")?;
    let declared = item.get(at + 2).is_some_and(|token| is_mark(token, ';'));
    declared.then(|| item[at + 1].to_string())
}

/// Whether the arguments of a function, from its name on, have one called `table`.
fn takes_a_table(from_name: &[TokenTree]) -> bool {
    let arguments = from_name.iter().find_map(|token| match token {
        TokenTree::Group(group) if group.delimiter() == Delimiter::Parenthesis => Some(group.stream()),
        _ => None,
    });
    arguments.is_some_and(|arguments| arguments.into_iter().any(|token| token.to_string() == "table"))
}

/// What a string says; nothing for a number or a character. A line broken by a backslash is whole again.
fn quoted(literal: &str) -> Option<String> {
    let from = literal.trim_start_matches(['b', 'c']);
    let from = from.strip_prefix('r').unwrap_or(from).trim_start_matches('#');
    let text = from.trim_end_matches('#').strip_prefix('"')?.strip_suffix('"')?;
    let mut broken = text.split("\\\n");
    let first = broken.next().unwrap_or_default().to_owned();
    Some(broken.fold(first, |whole, line| whole + line.trim_start()))
}

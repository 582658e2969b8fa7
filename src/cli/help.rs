//! The command as clap is given it: what the derived types say, and the help arranged by groups.

use crate::cli::grammar::Grammar;
use crate::cli::reference::{EXIT_CODES, Entry, VALUES};
use crate::cli::word_joining::option_with_value;
use clap::Command;
use std::ffi::OsString;

/// How much the help says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Detail {
    /// Nothing is arranged: for what only reads the words.
    Plain,
    /// `-h`: the names of the commands; of one, what is typed and the examples.
    Brief,
    /// `--help` and `help`: everything.
    Full,
}

/// Columns that a group's name takes in the brief help.
const GROUP_WIDTH: usize = 21;
/// Columns for the names of commands beside it: 80 in all.
const NAMES_WIDTH: usize = 59;

/// Options of every command that the brief help of one leaves out.
const SAID_ELSEWHERE: &[&str] = &["book", "rates", "color", "yes"];

/// How much help the words ask for. Arranging it takes longer than most commands.
pub fn detail_asked(words: &[OsString]) -> Detail {
    let said = |what: &str| words.iter().skip(1).take_while(|word| *word != "--").any(|word| word == what);
    match () {
        () if said("-h") => Detail::Brief,
        () if said("--help") || said("help") => Detail::Full,
        () => Detail::Plain,
    }
}

/// The words with options that go with every command set before `help`, which takes none itself: as good as
/// `buy --color never` is `help buy --color never`.
pub fn options_before_help(root: &Command, words: Vec<OsString>) -> Vec<OsString> {
    let text = |at: usize| words.get(at).and_then(|word: &OsString| word.to_str());
    let words_of_option = |at: usize| {
        text(at)
            .filter(|word| word.len() > 1 && word.starts_with('-') && !matches!(*word, "--" | "-h" | "--help"))
            .map(|word| if option_with_value(root, root, word).is_some() { 2 } else { 1 })
    };
    let mut help = 1;
    while let Some(taken) = words_of_option(help) {
        help += taken;
    }
    if text(help) != Some("help") {
        return words;
    }
    let (mut before, mut after, mut at) = (words[..help].to_vec(), vec![words[help].clone()], help + 1);
    while at < words.len() {
        // Without its value it would take `help` for one.
        let whole = words_of_option(at).filter(|taken| at + taken <= words.len());
        let (to, taken) = whole.map_or((&mut after, 1), |taken| (&mut before, taken));
        to.extend(words[at..].iter().take(taken).cloned());
        at += taken;
    }
    before.extend(after);
    before
}

/// The whole command. A number with a sign in front is taken for a value, so that the value says what is
/// wrong with it.
pub fn command(grammar: &Grammar, detail: Detail) -> Command {
    fn signs_are_values(command: Command) -> Command {
        command.allow_negative_numbers(true).mut_subcommands(signs_are_values)
    }
    let root = signs_are_values((grammar.root)());
    match detail {
        Detail::Plain => root,
        Detail::Full => {
            let (template, after) = (full_template(grammar, &root), full_after_help());
            described(grammar, root).mut_subcommands(reflow).help_template(template).after_help(after)
        }
        Detail::Brief => {
            let template = brief_template(grammar, &root);
            let root = described(grammar, root).mut_subcommands(brief).help_template(template);
            SAID_ELSEWHERE.iter().fold(root, |root, id| root.mut_arg(id, |argument| argument.hide(true)))
        }
    }
}

/// Each command with its full description in place of the line the lists have.
fn described(grammar: &Grammar, root: Command) -> Command {
    grammar.rows.iter().fold(root, |root, row| {
        let bare = (row.arguments)(Command::new(row.word));
        let about = bare.get_long_about().or(bare.get_about()).cloned();
        root.mut_subcommand(row.word, |command| match about {
            Some(about) => command.about(about),
            None => command,
        })
    })
}

/// A command whose further help can be folded to any width: a paragraph becomes one line; examples and lists,
/// which are set in, stay as they are.
fn reflow(command: Command) -> Command {
    let command = match command.get_after_help().map(ToString::to_string) {
        Some(help) => command.after_help(help.split("\n\n").map(one_line).collect::<Vec<_>>().join("\n\n")),
        None => command,
    };
    command.mut_subcommands(reflow)
}

fn one_line(paragraph: &str) -> String {
    let mut text = String::new();
    for line in paragraph.lines() {
        match (text.is_empty(), line.starts_with("  ")) {
            (true, _) => {}
            (false, true) => text.push('\n'),
            (false, false) => text.push(' '),
        }
        text.push_str(line);
    }
    text
}

/// The command lines a command's help gives as examples.
pub fn examples(command: &Command) -> Vec<String> {
    let help = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    let lines = help.lines().filter_map(|line| line.strip_prefix("  runabout "));
    lines.map(|example| format!("runabout {example}")).collect()
}

/// A command with less said: its examples alone after it, and nothing that goes with every command.
fn brief(command: Command) -> Command {
    let help = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    let name = command.get_name().to_owned();
    let examples = help.split("\n\n").next().unwrap_or_default().to_owned();
    let command = if examples.is_empty() {
        command
    } else {
        command.after_help(format!("{examples}\n\n`runabout help {name}` says more."))
    };
    command.mut_subcommands(brief)
}

/// Group by group, each command with what it is for.
fn full_template(grammar: &Grammar, root: &Command) -> String {
    let title = root.get_styles().get_header();
    let literal = root.get_styles().get_literal();
    let mut template = "{about-with-newline}\n{usage-heading} {usage}\n".to_owned();
    for group in grammar.groups {
        template.push_str(&format!("\n{title}{}{title:#}\n", group.name));
        for name in group.commands {
            let about = root.find_subcommand(name).and_then(Command::get_about);
            let about = about.map(ToString::to_string).unwrap_or_default();
            template.push_str(&format!("  {literal}{name:<12}{literal:#}  {about}\n"));
        }
    }
    template.push_str(&format!("\n{title}With every command{title:#}\n{{options}}{{after-help}}"));
    template
}

/// The names alone, on one screen.
fn brief_template(grammar: &Grammar, root: &Command) -> String {
    let title = root.get_styles().get_header();
    let mut template = "{about-with-newline}\n{usage-heading} {usage}\n\n".to_owned();
    for group in grammar.groups {
        let mut named = group.name;
        for line in filled(group.commands) {
            let gap = " ".repeat(GROUP_WIDTH - named.len());
            template.push_str(&format!("{title}{named}{title:#}{gap}{line}\n"));
            named = "";
        }
    }
    template.push_str("\n`runabout --help` says what each is for; `runabout help COMMAND` explains one.\n");
    template
}

/// Names in lines of at most `NAMES_WIDTH`.
fn filled(names: &[&str]) -> Vec<String> {
    let mut lines = vec![String::new()];
    for name in names {
        let used = lines.last().map_or(0, String::len);
        if used > 0 && used + 1 + name.len() > NAMES_WIDTH {
            lines.push(String::new());
        }
        if let Some(line) = lines.last_mut() {
            if !line.is_empty() {
                line.push(' ');
            }
            line.push_str(name);
        }
    }
    lines
}

fn full_after_help() -> String {
    let lines = |entries: &[Entry]| {
        entries.iter().map(|(term, said)| format!("  {term:<6}  {said}")).collect::<Vec<_>>().join("\n")
    };
    format!(
        "How values are written:\n{}\n\nExit codes:\n{}\n\n\
         `runabout help COMMAND` explains one, with examples. `runabout` alone is the morning screen.",
        lines(VALUES),
        lines(EXIT_CODES)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::Row;
    use crate::commands::{Cli, GRAMMAR, GROUPS};
    use clap::CommandFactory;
    use std::collections::BTreeSet;

    #[test]
    fn every_command_is_in_one_group() {
        let grouped: Vec<&str> = GROUPS.iter().flat_map(|group| group.commands).copied().collect();
        let known: BTreeSet<String> = Cli::command().get_subcommands().map(|it| it.get_name().to_owned()).collect();
        let once: BTreeSet<String> = grouped.iter().map(|name| (*name).to_owned()).collect();
        assert_eq!(once, known);
        assert_eq!(once.len(), grouped.len(), "a command is in two groups");
    }

    #[test]
    fn every_group_row_has_the_arguments_of_its_command() {
        let root = Cli::command();
        for Row { word: name, arguments } in GRAMMAR.rows {
            let ids = |command: &Command| command.get_arguments().map(|it| it.get_id().clone()).collect::<Vec<_>>();
            let known = root.find_subcommand(name).unwrap();
            assert_eq!(ids(&arguments(Command::new(*name))), ids(known), "{name}");
            assert!(known.get_about().unwrap().to_string().len() <= 64, "{name} is too long for a list");
        }
    }

    #[test]
    fn options_of_every_command_go_before_help() {
        for (typed, wanted) in [
            ("help buy --color never", "--color never help buy"),
            ("--yes help -f json standing add --book=x.book", "--yes -f json --book=x.book help standing add"),
            ("--color always help --nonsense", "--color always --nonsense help"),
            ("help", "help"),
            ("help buy --color", "help buy --color"),
            ("help --help", "help --help"),
            ("buy help --color never", "buy help --color never"),
            ("--color help", "--color help"),
        ] {
            let words = std::iter::once("runabout").chain(typed.split(' ')).map(OsString::from).collect();
            let moved = options_before_help(&Cli::command(), words);
            let moved: Vec<&str> = moved.iter().skip(1).filter_map(|word| word.to_str()).collect();
            assert_eq!(moved.join(" "), wanted);
        }
    }

    #[test]
    fn names_fill_their_lines() {
        let lines = filled(GROUPS[0].commands);
        assert!(lines.len() > 1 && lines.iter().all(|line| line.len() <= NAMES_WIDTH), "{lines:?}");
        let names: Vec<&str> = GROUPS[0].commands.to_vec();
        assert_eq!(lines.join(" "), names.join(" "));
    }
}

//! The manual: a page for the whole and one for each command, in roff, made from the same help.

use crate::app::output::{hint, print};
use crate::cli::reference::{BEGINNING, CAUTIONS, ENVIRONMENT, EXIT_CODES, Entry, FILES, VALUES};
use crate::cli::{self, Detail};
use crate::commands::GRAMMAR;
use crate::commands::GROUPS;
use crate::commands::keep::manual::{LICENCE, ManualArgs};
use crate::commands::steps::lookup::near_words;
use crate::domain::refusal::Refusal;
use crate::domain::value::made::Made;
use crate::env::Env;
use crate::error::Error;
use crate::store::{FileError, Over, may_write, write};
use clap::Command;
use clap_mangen::Man;
use clap_mangen::roff::{Roff, bold, roman};
use std::io;
use std::path::Path;

/// The day the pages speak of: that of the last change to what they say.
const REVISED: &str = "2026-11-30";

/// The longest line of a page's source, in bytes.
const SOURCE_WIDTH: usize = 78;

/// The name of the command that all others are within.
const PROGRAM: &str = "runabout";

/// The section of `man` that commands are in.
const SECTION: &str = "1";

/// The two licences, of which anybody may choose one, whole.
const LICENCES: [&str; 2] = [include_str!("../../.licences/MIT.txt"), include_str!("../../.licences/Apache-2.0.txt")];

/// Prints a page or the licences, or writes every page to a folder.
pub(super) fn run(args: &ManualArgs, book: Option<&Path>, env: &mut Env) -> Result<(), Error> {
    if args.asks_for_the_licences() {
        return print(env, &licences());
    }
    let root = built();
    if let Some(folder) = &args.dir {
        let count = write_all(&root, folder, Over { made: Some(Made::ManualPage), replace: args.replace, book })?;
        hint(
            env,
            &format!(
                "{count} pages written to {}; read one with: man -l {}",
                folder.display(),
                folder.join("runabout.1").display()
            ),
        );
        return Ok(());
    }
    let mut command = &root;
    for word in &args.command {
        command = inner(command, word)?;
    }
    print(env, &page(command)?)?;
    if env.terminal {
        hint(env, "this is roff, for `man`: runabout manual | man -l -");
    }
    Ok(())
}

fn licences() -> String {
    let [mit, apache] = LICENCES;
    format!(
        "Runabout is licensed under either of two licences, at your choice: MIT, or Apache 2.0.\n\n\
         {mit}\n{rule}\n\n{apache}",
        rule = "-".repeat(SOURCE_WIDTH)
    )
}

/// The command of that name within another.
fn inner<'c>(command: &'c Command, word: &str) -> Result<&'c Command, Error> {
    let licence = (command.get_name() == PROGRAM).then_some(LICENCE);
    let names = || command.get_subcommands().map(Command::get_name).chain(licence);
    let unknown = || Refusal::WordUnknown {
        what: "command",
        given: word.to_owned(),
        near: near_words(word, names()),
        known: names().collect::<Vec<_>>().join(", "),
    };
    Ok(command.find_subcommand(word).ok_or_else(unknown)?)
}

fn built() -> Command {
    let mut root = cli::command(&GRAMMAR, Detail::Full).disable_help_subcommand(true);
    root.build();
    root
}

/// Writes every page, each whole; none where one of them may not be written over what is there.
fn write_all(root: &Command, folder: &Path, over: Over<'_>) -> Result<usize, Error> {
    let failed = |source: io::Error| FileError::Failed { path: folder.to_owned(), source };
    std::fs::create_dir_all(folder).map_err(failed)?;
    let mut pages = Vec::new();
    let mut waiting = vec![root];
    while let Some(command) = waiting.pop() {
        pages.push((folder.join(format!("{}.{SECTION}", page_name(command))), page(command)?));
        waiting.extend(command.get_subcommands());
    }
    for (path, _) in &pages {
        may_write(path, over)?;
    }
    for (path, text) in &pages {
        write(path, text.as_bytes(), over)?;
    }
    Ok(pages.len())
}

/// `runabout-standing-add`.
fn page_name(command: &Command) -> &str {
    command.get_display_name().unwrap_or_else(|| command.get_name())
}

fn page(command: &Command) -> Result<String, Error> {
    let mut text = format!("{}\n", Made::ManualPage.mark()).into_bytes();
    write_page(command, &mut text).map_err(|error| Error::Ours(format!("the manual could not be made: {error}")))?;
    Ok(tidied(&String::from_utf8_lossy(&text)))
}

/// Lines of text folded, and nothing trailing, as the makers of `man` like their source. What stands as it is
/// (`.nf`) and the line a tag is on are left whole.
fn tidied(page: &str) -> String {
    let mut tidy = String::new();
    let (mut as_is, mut is_tag) = (false, false);
    for line in page.lines().map(str::trim_end) {
        let is_request = line.starts_with(['.', '\'']);
        as_is = if is_request { line == ".nf" || (as_is && line != ".fi") } else { as_is };
        if is_request || as_is || is_tag {
            tidy.push_str(line);
        } else {
            fold_into(&mut tidy, line);
        }
        tidy.push('\n');
        is_tag = line == ".TP";
    }
    tidy
}

/// Folded at spaces, but never so that a line would begin like a request.
fn fold_into(tidy: &mut String, line: &str) {
    let mut used = 0;
    for (n, word) in line.split(' ').enumerate() {
        let fits = used + 1 + word.len() <= SOURCE_WIDTH || word.starts_with(['.', '\'']);
        match (n, fits) {
            (0, _) => used = word.len(),
            (_, true) => {
                tidy.push(' ');
                used += 1 + word.len();
            }
            (_, false) => {
                tidy.push('\n');
                used = word.len();
            }
        }
        tidy.push_str(word);
    }
}

fn write_page(command: &Command, out: &mut Vec<u8>) -> io::Result<()> {
    let is_whole = command.get_name() == PROGRAM;
    let version = env!("CARGO_PKG_VERSION");
    // What follows the help is told in sections of its own.
    let man = Man::new(command.clone().after_help("").version(version))
        .title(page_name(command).to_uppercase())
        .date(REVISED)
        .source(format!("runabout {version}"))
        .manual("Runabout");
    man.render_title(out)?;
    let mut name = Roff::new();
    name.control("SH", ["NAME"]);
    name.text([roman(format!("{} - {}", page_name(command), first_sentence(command)))]);
    name.to_writer(out)?;
    man.render_synopsis_section(out)?;
    man.render_description_section(out)?;
    man.render_options_section(out)?;
    let mut roff = Roff::new();
    if is_whole {
        groups(&mut roff, command);
        entries(&mut roff, "VALUES", VALUES);
        entries(&mut roff, "FILES", FILES);
        entries(&mut roff, "ENVIRONMENT", ENVIRONMENT);
        entries(&mut roff, "EXIT STATUS", EXIT_CODES);
        entries(&mut roff, "EXAMPLES", BEGINNING);
        roff.control("SH", ["CAUTIONS"]);
        for (n, caution) in CAUTIONS.iter().enumerate() {
            paragraph(&mut roff, caution, n > 0);
        }
    } else {
        within(&mut roff, command);
        after(&mut roff, command);
        roff.control("SH", ["SEE ALSO"]);
        roff.text([bold("runabout"), roman(format!("({SECTION})"))]);
    }
    roff.to_writer(out)
}

/// The commands by group.
fn groups(roff: &mut Roff, root: &Command) {
    roff.control("SH", ["COMMANDS"]);
    for group in GROUPS {
        roff.control("SS", [group.name]);
        for command in group.commands.iter().filter_map(|name| root.find_subcommand(name)) {
            listed(roff, command, first_sentence(command));
        }
    }
}

/// The commands within a command.
fn within(roff: &mut Roff, command: &Command) {
    if command.get_subcommands().next().is_some() {
        roff.control("SH", ["COMMANDS"]);
        command.get_subcommands().for_each(|inner| listed(roff, inner, first_sentence(inner)));
    }
}

/// What a command is for, up to the first end of a sentence.
fn first_sentence(command: &Command) -> String {
    let about = command.get_about().map(ToString::to_string).unwrap_or_default();
    let first = about.lines().next().unwrap_or_default();
    first.split_once(". ").map_or(first, |(sentence, _)| sentence).to_owned()
}

fn listed(roff: &mut Roff, command: &Command, about: String) {
    roff.control("TP", []);
    roff.text([bold(page_name(command)), roman(format!("({SECTION})"))]);
    roff.text([roman(about)]);
}

fn entries(roff: &mut Roff, section: &str, entries: &[Entry]) {
    roff.control("SH", [section]);
    for (term, said) in entries {
        roff.control("TP", []);
        roff.text([bold(*term)]);
        roff.text([roman(*said)]);
    }
}

fn paragraph(roff: &mut Roff, text: &str, apart: bool) {
    if apart {
        roff.control("PP", []);
    }
    roff.text([roman(text)]);
}

/// What follows a command's help: the examples as they are typed, then the rest.
fn after(roff: &mut Roff, command: &Command) {
    let help = command.get_after_help().map(ToString::to_string).unwrap_or_default();
    let mut notes = false;
    for part in help.split("\n\n") {
        let (examples, part) = match part.strip_prefix("Examples:\n") {
            Some(examples) => (true, examples),
            None => (false, part),
        };
        if examples {
            roff.control("SH", ["EXAMPLES"]);
        } else if !notes {
            notes = true;
            roff.control("SH", ["NOTES"]);
        } else {
            roff.control("PP", []);
        }
        // Lines set in are typed, or a list: they stand as they are.
        let as_is = part.lines().any(|line| line.starts_with("  "));
        if as_is {
            roff.control("nf", []);
        }
        for line in part.lines() {
            roff.text([roman(line.trim_start())]);
        }
        if as_is {
            roff.control("fi", []);
        }
    }
}

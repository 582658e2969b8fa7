//! A command line with something left out: what is there, whether an answer would do for a part that
//! is not, and the line with the answer in it.

use crate::cli::Everywhere;
use crate::cli::grammar::Grammar;
use crate::cli::help::{self, Detail};
use crate::cli::word_joining::{CAR_IDS, join_words, option_with_value, subcommand};
use crate::domain::days::day::{DayAhead, WrittenDay};
use crate::domain::value::value_error::ValueError;
use clap::builder::{StyledStr, ValueParser};
use clap::parser::ValueSource;
use clap::{Arg, ArgMatches, Command, FromArgMatches};
use std::any::Any;
use std::error::Error;
use std::ffi::OsString;

/// One part of a command line: an option or a positional word by its id, with its value, or a switch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    id: &'static str,
    value: Option<String>,
}

impl Part {
    /// An option or a positional word, and its value.
    pub fn value(id: &'static str, value: impl Into<String>) -> Self {
        Self { id, value: Some(value.into()) }
    }

    /// A switch.
    pub const fn switch(id: &'static str) -> Self {
        Self { id, value: None }
    }
}

/// A command line of which every part that is there reads well, whatever is not there.
#[derive(Debug)]
pub struct Unfinished {
    grammar: Grammar,
    words: Vec<String>,
    /// Where the word of the command stands, and how many positional words come after it.
    at: usize,
    command: Command,
    everywhere: Everywhere,
    matches: ArgMatches,
}

impl Unfinished {
    /// Reads the words typed, the program's own name first. None when there is no command in them, or
    /// they are wrong in another way than by something left out.
    pub fn read(grammar: Grammar, words: Vec<OsString>, is_car: &dyn Fn(&str) -> bool) -> Option<Self> {
        let words = join_words(&(grammar.root)(), words, is_car)
            .into_iter()
            .map(|word| word.into_string().ok())
            .collect::<Option<Vec<_>>>()?;
        // What comes after `--` is taken as it is, so nothing could be added there.
        if words.iter().any(|word| word == "--") {
            return None;
        }
        Self::parsed(grammar, words).ok()
    }

    fn parsed(grammar: Grammar, words: Vec<String>) -> Result<Self, Option<clap::Error>> {
        let root = (grammar.root)();
        let (at, command) = subcommand(&root, &words).ok_or(None)?;
        let command = command.clone();
        let whole = relaxed(help::command(&grammar, Detail::Plain)).try_get_matches_from(&words)?;
        let everywhere = Everywhere::from_arg_matches(&whole)?;
        let mut matches = whole;
        while let Some((_, inner)) = matches.remove_subcommand() {
            matches = inner;
        }
        Ok(Self { grammar, words, at, command, everywhere, matches })
    }

    /// The command's own word.
    pub fn command(&self) -> &str {
        self.command.get_name()
    }

    /// The options that go with every command.
    pub const fn everywhere(&self) -> &Everywhere {
        &self.everywhere
    }

    /// The words, the program's own name first.
    pub fn words(&self) -> Vec<OsString> {
        self.words.iter().map(OsString::from).collect()
    }

    /// Whether something is typed for that part.
    pub fn has(&self, id: &str) -> bool {
        self.matches.value_source(id) == Some(ValueSource::CommandLine)
    }

    /// What is typed for that part, as the value it is.
    pub fn get<T: Any + Clone + Send + Sync>(&self, id: &str) -> Option<&T> {
        self.matches.try_get_one::<T>(id).ok().flatten()
    }

    /// Whether nothing but the command itself is typed.
    pub fn is_bare(&self) -> bool {
        !self.command.get_arguments().any(|argument| self.has(argument.get_id().as_str()))
    }

    /// What the help says of that part, and how it is written where that is not the same.
    pub fn help(&self, id: &str) -> String {
        let Some(argument) = self.argument(id) else { return String::new() };
        let help = argument.get_help().map(StyledStr::to_string).unwrap_or_default();
        // The value's own parser says what it takes when it is given what no value is written with.
        let refused = parsed(argument.get_value_parser().clone(), "?").err();
        let accepted = refused.as_ref().and_then(|error| error.source()?.downcast_ref::<ValueError>()?.accepted());
        match accepted {
            // Some say it in the help.
            Some(accepted) if !help.contains(": ") && !accepted.contains(&help) => format!("{help}: {accepted}"),
            _ => help,
        }
    }

    fn argument(&self, id: &str) -> Option<&Arg> {
        self.command.get_arguments().find(|argument| argument.get_id() == id)
    }

    /// Takes an answer as the value of a part, by the very parser the command line has for it.
    pub fn take(&self, id: &'static str, answer: &str) -> Result<Part, String> {
        // The spaces in a mark are as good as none, and one word less to quote.
        let answer = if CAR_IDS.contains(&id) { answer.split_whitespace().collect() } else { answer.trim().to_owned() };
        let parser = self.argument(id).map_or_else(ValueParser::string, |argument| argument.get_value_parser().clone());
        parsed(parser, &answer).map_err(|error| reason(&error))?;
        // Typed as a word of its own it would be taken for an option, `--book` among them.
        let is_a_word = self.argument(id).is_none_or(|argument| argument.get_long().is_none());
        if is_a_word && answer.starts_with('-') {
            return Err(format!("'{answer}' begins with a dash: write it without"));
        }
        Ok(Part::value(id, answer))
    }

    /// The line with more in it, or why that does not go together.
    pub fn with(&self, parts: &[Part]) -> Result<Self, String> {
        let mut words = self.words.clone();
        for part in parts {
            let long = self.argument(part.id).and_then(Arg::get_long).map(|long| format!("--{long}"));
            match (long, &part.value) {
                (Some(long), None) => words.push(long),
                (Some(long), Some(value)) if value.starts_with('-') => words.push(format!("{long}={value}")),
                (Some(long), Some(value)) => words.extend([long, value.clone()]),
                (None, value) => words.insert(self.after_positionals(&words), value.clone().unwrap_or_default()),
            }
        }
        Self::parsed(self.grammar, words).map_err(|error| error.map(|error| reason(&error)).unwrap_or_default())
    }

    /// Where the next positional word goes: after those there are, or else after the command. At the very
    /// end it could be taken for the value of an option that may have one.
    fn after_positionals(&self, words: &[String]) -> usize {
        let root = (self.grammar.root)();
        let (mut at, mut after) = (self.at + 1, self.at + 1);
        while let Some(word) = words.get(at) {
            if word.starts_with('-') {
                at += if option_with_value(&self.command, &root, word).is_some() { 2 } else { 1 };
            } else {
                at += 1;
                after = at;
            }
        }
        after
    }

    /// A day that needs its year and has none, and the option it is typed for.
    pub fn day_without_year(&self) -> Option<(String, WrittenDay)> {
        self.command.get_arguments().find_map(|argument| {
            let id = argument.get_id().as_str();
            let day = self.get::<DayAhead>(id)?.written();
            day.has_no_year().then(|| (id.to_owned(), day.clone()))
        })
    }

    /// The line with another day for that option.
    pub fn with_day(&self, id: &str, day: &WrittenDay) -> Option<Self> {
        let long = format!("--{}", self.argument(id)?.get_long()?);
        let mut words = self.words.clone();
        let at = words.iter().position(|word| *word == long || word.starts_with(&format!("{long}=")))?;
        if words[at] == long {
            day.text().clone_into(words.get_mut(at + 1)?);
        } else {
            words[at] = format!("{long}={}", day.text());
        }
        Self::parsed(self.grammar, words).ok()
    }
}

/// Every command without anything that must be there.
fn relaxed(command: Command) -> Command {
    let groups: Vec<clap::Id> = command.get_groups().map(|group| group.get_id().clone()).collect();
    let command = command.mut_args(|argument| argument.required(false)).mut_subcommands(relaxed);
    groups.into_iter().fold(command, |command, id| command.mut_group(id, |group| group.required(false)))
}

/// Reads a word by the parser of a part.
fn parsed(parser: ValueParser, word: &str) -> Result<ArgMatches, clap::Error> {
    let alone = Arg::new("answer").value_parser(parser).allow_hyphen_values(true);
    Command::new("answer").arg(alone).try_get_matches_from(["answer", "--", word])
}

/// Why a value will not do, in the value's own words where it has some.
fn reason(error: &clap::Error) -> String {
    let own = error.source().map(ToString::to_string);
    own.unwrap_or_else(|| {
        let shown = error.render().to_string();
        shown.lines().next().unwrap_or_default().trim_start_matches("error: ").to_owned()
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::value::pence::Pence;

    fn read(line: &str) -> Option<Unfinished> {
        let words = shlex::split(line).unwrap();
        Unfinished::read(
            crate::commands::GRAMMAR,
            std::iter::once("runabout".to_owned()).chain(words).map(OsString::from).collect(),
            &|_| false,
        )
    }

    fn typed(line: &Unfinished) -> String {
        shlex::try_join(line.words.iter().skip(1).map(String::as_str)).unwrap()
    }

    #[test]
    fn what_is_there_is_known_and_what_is_not_is_not_needed() {
        let line = read("spend 38.60 --to \"Hob Lane\" --as-of 21 Nov").unwrap();
        assert_eq!((line.command(), line.has("amount"), line.has("heading")), ("spend", true, false));
        assert_eq!(line.get::<Pence>("amount"), Some(&Pence::new(3_860)));
        assert_eq!(line.everywhere().as_of.as_ref().map(WrittenDay::text), Some("21 Nov"));
        assert!(!line.is_bare() && read("sell --book x.book").unwrap().is_bare());
        assert_eq!(line.help("heading"), "What for; `balance` and `vat` settle what is owed");
        // A switch has a value whether it is typed or not.
        assert!(!read("deposit 1").unwrap().has("keep") && read("deposit 1 --keep").unwrap().has("keep"));
        for wrong in ["", "sell 1 x", "sell --nonsense", "spned", "note 1 -- text", "--help", "sell --help"] {
            assert!(read(wrong).is_none(), "{wrong}");
        }
    }

    #[test]
    fn an_answer_goes_where_it_could_have_been_typed() {
        for (line, parts, whole) in [
            ("buy", vec![Part::value("mark", "KX42RTO"), Part::value("price", "485")], "buy KX42RTO 485"),
            ("buy --from X KX42 RTO", vec![Part::value("price", "485")], "buy --from X KX42RTO 485"),
            ("sell --on 21 Nov", vec![Part::value("car", "7"), Part::value("price", "9")], "sell 7 9 --on '21 Nov'"),
            ("deposit --give-back", vec![Part::value("car", "7")], "deposit 7 --give-back"),
            ("--book b spend 4 mot", vec![Part::switch("overhead")], "--book b spend 4 mot --overhead"),
            ("sell 1 9", vec![Part::value("to", "-x")], "sell 1 9 '--to=-x'"),
            ("mot 1 fail", vec![Part::value("defect", "major:a b")], "mot 1 fail --defect 'major:a b'"),
        ] {
            assert_eq!(typed(&read(line).unwrap().with(&parts).unwrap()), whole);
        }
        let clash = read("sell 1 9 --to X").unwrap().with(&[Part::value("to", "Y")]).unwrap_err();
        assert!(clash.contains("cannot be used multiple times"), "{clash}");
    }

    #[test]
    fn an_answer_is_read_by_the_parser_of_its_part() {
        let line = read("buy").unwrap();
        assert_eq!(line.take("mark", " kx42 rto "), Ok(Part::value("mark", "kx42rto")));
        assert_eq!(line.take("from", " R Ashdown "), Ok(Part::value("from", "R Ashdown")));
        for (id, answer, why) in [
            ("price", "-5", "amount '-5' has a sign"),
            ("price", "4x", "amount '4x' has letters in it"),
            ("paid", "cheque", "way of paying 'cheque' is not understood: write cash, bank, card or own"),
            ("mot_until", "31/13/2027", "date '31/13/2027' has no such month as 13"),
        ] {
            let refused = line.take(id, answer).unwrap_err();
            assert!(refused.starts_with(why), "{refused}");
        }
    }

    #[test]
    fn an_answer_is_never_an_option() {
        let line = read("journey 12").unwrap();
        for dashed in ["--book=x", "-f", "--", "-", "--yes"] {
            let refused = line.take("purpose", dashed).unwrap_err();
            assert_eq!(refused, format!("'{dashed}' begins with a dash: write it without"));
        }
        assert_eq!(read("sell 1 9").unwrap().take("to", "-x"), Ok(Part::value("to", "-x")));
    }

    #[test]
    fn a_day_that_needs_its_year_is_found_and_given_it() {
        for (line, whole) in [
            ("buy KX42RTO 485 --on 21/3 --mot-until 21/3", "buy KX42RTO 485 --on 21/3 --mot-until 21/3/2027"),
            ("deposit 1 50 --hold-until=21 --on mon", ""),
            ("deposit 1 50 --hold-until=21/3 --on mon", "deposit 1 50 '--hold-until=21/3/2027' --on mon"),
            ("paper add insurance --until 21 Mar", "paper add insurance --until 21/3/2027"),
            ("mot 1 pass --until 21/3/2027", ""),
            ("spend 54.85 mot --car 1 --on 21/3", ""),
        ] {
            let day = read(line).and_then(|line| line.day_without_year().map(|(id, day)| (line, id, day)));
            let given = day.map(|(line, id, day)| typed(&line.with_day(&id, &day.with_year("2027").unwrap()).unwrap()));
            assert_eq!(given.unwrap_or_default(), whole, "{line}");
        }
    }
}

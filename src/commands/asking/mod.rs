//! What is asked on a terminal when a recording command is typed with parts left out: which question
//! comes next, what Enter stands for, and whether an answer will do. Asking itself is for the app.
//!
//! On a terminal a recording command typed with parts left out asks for them; in a script (`Env::answer` is none)
//! and with `--yes` it is refused as a wrong command line. There is one path for what is recorded:
//! `cli/unfinished.rs` reads the line with nothing required, says what is there and where an answer goes;
//! `commands/asking` says which question is next, what is shown with it and what Enter stands for; `app/asking.rs`
//! asks, adds the answer to the words typed and in the end runs those words. So the entry holds a whole command
//! line, and it is shown at the end to be typed next time.
//!
//! Which car or heading is typed already is looked up before the first question; a wrong one is refused there. An
//! answer is checked three times before the next question: by the parser clap has for that part, against the book
//! (`answers.rs`: is there such a car, such a heading), and, once nothing needed is missing, by the command itself
//! tried with `--dry-run`, so that a closed month or a day before the purchase is told where it was typed. A
//! refusal that can only come from what was typed before ends the asking and is told as usual. A refusal with a
//! `question()` waits for the end, where it is asked. The book is opened for each look and shut again: nobody is
//! kept waiting while somebody thinks.
//!
//! What can be passed over is asked too, unless all that is missing is what money was about (`spend 54.85 mot`). A
//! day that looks ahead or begins something (`DayAhead`, a type beside `WrittenDay`) and has no year is asked its
//! year, typed on the line or in answer; where only the command can tell (`amend 3 mot-until 21/3`), after its
//! refusal. Questions, lists and errors go to standard error; names in them are written out. A full stop, the end
//! of input, or Enter twice where something is needed leaves with exit code 1; Ctrl-C ends the program where it
//! stands, with nothing begun.

mod answers;
mod ready_question;
mod suggestions;

pub use answers::AnswerError;
pub use ready_question::Question;

use crate::cli::unfinished::{Part, Unfinished};
use crate::commands::QUESTIONS;
use crate::commands::steps::question::{Ask, Known, Need};
use crate::domain::days::day::{WrittenDay, add_months_clamped};
use crate::error::Error;
use crate::report::document::Document;
use chrono::NaiveDate;

/// How far the asking has come.
#[derive(Clone, Debug)]
pub struct Asking {
    table: &'static [Ask],
    /// Whether what can be passed over is asked for too.
    whole: bool,
    passed: Vec<&'static str>,
}

impl Asking {
    /// Begins to ask; none when nothing that is needed is missing. What can be passed over is asked for
    /// too, unless all that is missing is what the money was about: that is a line typed out, and one
    /// thing forgotten.
    pub fn begin(known: &Known<'_>) -> Result<Option<Self>, Error> {
        let table = questions_of(known.typed.command());
        let repeated = |ask: &&Ask| ask.need == Need::Repeated && known.typed.has(ask.id);
        let passed = table.iter().filter(repeated).map(|ask| ask.id).collect();
        let mut asking = Self { table, whole: false, passed };
        if asking.has_enough(known)? {
            return Ok(None);
        }
        for ask in table.iter().filter(|ask| ask.need == Need::Needed) {
            if (ask.when)(known)? {
                answers::check_typed(ask, known)?;
            }
            asking.whole |= !ask.takes.is_about() && asking.is_open(ask, known)?;
        }
        Ok(Some(asking))
    }

    /// Whether nothing that is needed is missing.
    pub fn has_enough(&self, known: &Known<'_>) -> Result<bool, Error> {
        for ask in self.table.iter().filter(|ask| ask.need == Need::Needed) {
            if self.is_open(ask, known)? {
                return Ok(false);
            }
        }
        Ok(true)
    }

    /// The next question, if there is one left.
    pub fn next(&self, known: &Known<'_>) -> Result<Option<Question>, Error> {
        for ask in self.table.iter().filter(|ask| self.whole || ask.need == Need::Needed) {
            if self.is_open(ask, known)? {
                return suggestions::question(ask, known).map(Some);
            }
        }
        Ok(None)
    }

    fn is_open(&self, ask: &Ask, known: &Known<'_>) -> Result<bool, Error> {
        let answered = ask.need != Need::Repeated && answers::is_answered(ask, known.typed);
        Ok(!answered && !self.passed.contains(&ask.id) && (ask.when)(known)?)
    }

    /// The question is passed over.
    pub fn pass(&mut self, question: &Question) {
        self.passed.push(question.ask.id);
    }
}

/// Whether a command asks anything at all.
pub fn has_questions(command: &str) -> bool {
    !questions_of(command).is_empty()
}

/// What an answer adds to the command line, or why it will not do.
pub fn take(question: &Question, known: &Known<'_>, answer: &str) -> Result<Vec<Part>, AnswerError> {
    answers::take(&question.ask, known, answer)
}

/// What `?` is answered with.
pub fn explain(question: &Question, known: &Known<'_>) -> Result<Document, Error> {
    suggestions::explain(&question.ask, known)
}

/// What a day that needs its year and has none is asked with: for an expiry the year it comes round next, for
/// what begins or ends something the year of the nearest such day.
pub fn year_offered(typed: &Unfinished, id: &str, day: &WrittenDay, today: NaiveDate) -> Option<String> {
    let next = match (typed.command(), id) {
        // A first registration lies behind, nobody knows how far.
        (_, "first_registered") => None,
        // A pass is good for some twelve months: a day just ahead is meant a year on.
        ("mot", _) => day.next_after(add_months_clamped(today, MONTHS_A_PASS_RUNS)),
        (_, expiry) if expiry.ends_with("until") => day.next_after(today),
        _ => day.nearest(today),
    };
    next.map(|next| next.format("%Y").to_string())
}

/// No pass is good for less.
const MONTHS_A_PASS_RUNS: u32 = 11;

/// The questions of a command; none for one that does not ask.
fn questions_of(command: &str) -> &'static [Ask] {
    QUESTIONS.iter().find(|(word, _)| *word == command).map_or(&[], |(_, table)| table)
}

#[cfg(test)]
mod tests {
    use crate::commands::steps::question::{Need, Takes};
    use crate::commands::{Cli, QUESTIONS};
    use clap::{Command, CommandFactory};

    fn command(name: &str) -> Command {
        Cli::command().find_subcommand(name).unwrap().clone()
    }

    #[test]
    fn every_question_is_for_a_part_its_command_has() {
        for (name, table) in QUESTIONS.iter().filter(|(_, table)| !table.is_empty()) {
            let command = command(name);
            for ask in *table {
                let is_argument = command.get_arguments().any(|argument| argument.get_id() == ask.id);
                let is_several = ask.takes.is_about() || ask.takes == Takes::Tax;
                assert!(is_argument || is_several, "{name} has no {}", ask.id);
                assert!(!ask.words.ends_with([':', '?', ' ']) && ask.words.len() < 50, "{}", ask.words);
            }
        }
    }

    #[test]
    fn every_word_that_must_be_there_is_asked_for() {
        for (name, table) in QUESTIONS.iter().filter(|(_, table)| !table.is_empty()) {
            for word in command(name).get_positionals().filter(|word| word.is_required_set()) {
                let asked = table.iter().any(|ask| word.get_id() == ask.id && ask.need == Need::Needed);
                assert!(asked, "{name} does not ask for {}", word.get_id());
            }
        }
    }

    #[test]
    fn the_help_of_exactly_these_commands_says_that_they_ask() {
        let says_so = |command: &&Command| {
            command
                .get_after_help()
                .is_some_and(|help| help.to_string().contains("On a terminal it asks for what is left"))
        };
        let mut says: Vec<String> =
            Cli::command().get_subcommands().filter(says_so).map(|command| command.get_name().to_owned()).collect();
        let mut asks: Vec<&str> =
            QUESTIONS.iter().filter(|(_, table)| !table.is_empty()).map(|(name, _)| *name).collect();
        says.sort();
        asks.sort_unstable();
        assert_eq!(says, asks);
    }
}

//! Asks, on a terminal, for what a recording command was typed without, and types the answers: what is
//! recorded is what the whole command line records, and it is shown, so that it can be typed next time.

use crate::app::context::{attached, book_path, context, rates, typed};
use crate::app::output::{aside, hint, say_error, text_style};
use crate::app::reading::{CarsKnown, read_words};
use crate::app::recording::{naming_the_row, record};
use crate::cli::Everywhere;
use crate::cli::unfinished::{Part, Unfinished};
use crate::commands::asking::{self, AnswerError, Asking, Question};
use crate::commands::steps::context::Context;
use crate::commands::steps::question::Known;
use crate::commands::{Act, Cli, GRAMMAR};
use crate::domain::days::day::WrittenDay;
use crate::domain::refusal::Refusal;
use crate::env::Env;
use crate::error::Error;
use crate::render;
use crate::report::document::Document;
use crate::store::{BookError, open_blank, open_to_read};
use clap::error::ErrorKind;
use std::path::PathBuf;

/// What became of a command line before it is carried out.
pub enum LineOutcome {
    /// Nothing was asked.
    AsTyped,
    /// Everything was answered, and the answers are typed.
    Completed,
    /// It is not to be carried out; the exit code.
    Ended(u8),
}

/// Said before the first question.
const HOW: &str = "Enter takes what is in [ ]. Type ? for help, . to leave with nothing recorded.";

/// Why the asking came to an end.
enum End {
    /// The person left.
    Left,
    /// It could not go on.
    Failed(Error),
}

impl From<Error> for End {
    fn from(error: Error) -> Self {
        Self::Failed(error)
    }
}

impl From<BookError> for End {
    fn from(error: BookError) -> Self {
        Self::Failed(error.into())
    }
}

/// Asks for what is missing from the arguments, and adds it to them. Nobody is asked in a script, or
/// with `--yes`.
pub fn complete(read: &Result<Cli, clap::Error>, env: &mut Env) -> LineOutcome {
    if env.answer.is_none() || !could_be_unfinished(read) {
        return LineOutcome::AsTyped;
    }
    let Some(unfinished) = read_unfinished(env).filter(|read| !read.everywhere().yes) else {
        return LineOutcome::AsTyped;
    };
    let everywhere = unfinished.everywhere().clone();
    match converse(unfinished, env) {
        Ok(None) => LineOutcome::AsTyped,
        Ok(Some(finished)) => {
            env.arguments = finished.words();
            LineOutcome::Completed
        }
        Err(End::Left) => {
            hint(env, "nothing recorded");
            LineOutcome::Ended(LEFT)
        }
        Err(End::Failed(error)) => {
            let error = naming_the_row(&everywhere, error, env);
            say_error(env, &error);
            LineOutcome::Ended(error.exit_code())
        }
    }
}

fn read_unfinished(env: &Env) -> Option<Unfinished> {
    let cars = CarsKnown::named_in(&env.arguments, env);
    Unfinished::read(GRAMMAR, env.arguments.clone(), &|word| cars.has(word))
}

/// What was asked for is not carried out, by the contract's exit codes.
const LEFT: u8 = 1;

/// Only what records, or would with more words, is looked at more closely.
fn could_be_unfinished(read: &Result<Cli, clap::Error>) -> bool {
    match read {
        Ok(cli) => cli.command.as_ref().is_some_and(|command| matches!(command.on_book(), Some(Act::Records { .. }))),
        Err(error) => error.kind() == ErrorKind::MissingRequiredArgument,
    }
}

/// The command line as it was run after asking.
pub fn show_whole_line(env: &mut Env) {
    let line = typed(&env.arguments);
    hint(env, &format!("in one line: `runabout {line}`"));
}

/// The line with every answer in it; none when nothing had to be asked.
fn converse(unfinished: Unfinished, env: &mut Env) -> Result<Option<Unfinished>, End> {
    let conversation = Conversation::new(unfinished.everywhere(), env)?;
    let (mut line, mut asked) = conversation.give_years(unfinished, env)?;
    if !asking::has_questions(line.command()) {
        return Ok(asked.then_some(line));
    }
    let Some(mut asking) = conversation.look(&line, |known| Asking::begin(&known))? else {
        return Ok(asked.then_some(line));
    };
    let bare = line.is_bare();
    let mut begun = false;
    while let Some(question) = conversation.look(&line, |known| asking.next(&known))? {
        if !begun {
            hint(env, HOW);
        }
        (asked, begun) = (true, true);
        let had_enough = conversation.look(&line, |known| asking.has_enough(&known))?;
        match conversation.put(&question, &asking, (&line, had_enough || bare || question.is_about()), env)? {
            Reply::Passed => asking.pass(&question),
            Reply::Answered(longer) => line = *longer,
            Reply::Refused(longer) => return Ok(Some(*longer)),
        }
    }
    Ok(asked.then_some(line))
}

/// What came of a question.
enum Reply {
    Passed,
    Answered(Box<Unfinished>),
    /// The line is whole, but the command refuses it for something else than this answer.
    Refused(Box<Unfinished>),
}

/// Where the book is, and the day it is.
struct Conversation {
    path: PathBuf,
    context: Context,
}

impl Conversation {
    fn new(everywhere: &Everywhere, env: &Env) -> Result<Self, Error> {
        let path = book_path(everywhere, env)?;
        let mut context = context(everywhere, env, &path, String::new())?;
        context.rates = rates(everywhere, env, &path)?;
        Ok(Self { path, context })
    }

    /// Looks into the book. It is not kept open while somebody thinks: others could not record.
    fn look<T, E: From<BookError>>(
        &self,
        line: &Unfinished,
        work: impl FnOnce(Known<'_>) -> Result<T, E>,
    ) -> Result<T, E> {
        let book = match open_to_read(&self.path) {
            Err(BookError::NotThere { .. }) => open_blank()?,
            book => book?,
        };
        let book = book.with_rates(self.context.rates);
        work(Known { typed: line, reader: book.read(), context: &self.context })
    }

    /// Asks one question until the answer will do.
    fn put(
        &self,
        question: &Question,
        asking: &Asking,
        (line, is_to_blame): (&Unfinished, bool),
        env: &mut Env,
    ) -> Result<Reply, End> {
        if let Some(before) = &question.before {
            show(before, line.everywhere(), env);
        }
        let (mut nudged, mut told) = (false, None);
        loop {
            let answer = ask(question.words(), question.offered.as_deref(), env)?;
            let parts = match (answer.as_str(), question.on_enter()) {
                ("?", _) => {
                    let explained = self.look(line, |known| asking::explain(question, &known))?;
                    show(&explained, line.everywhere(), env);
                    continue;
                }
                ("", Some(None)) => return Ok(Reply::Passed),
                ("", Some(Some(parts))) => parts,
                ("", None) if !nudged => {
                    nudged = true;
                    hint(env, "that is needed: type it, or . to leave with nothing recorded");
                    continue;
                }
                ("", None) => return Err(End::Left),
                (answer, _) => match self.take(question, line, answer) {
                    Ok(parts) => parts,
                    Err(AnswerError::Answer(why)) => {
                        hint(env, &why);
                        continue;
                    }
                    Err(AnswerError::Book(error)) => return Err(error.into()),
                },
            };
            let longer = match line.with(&parts) {
                Ok(longer) => self.give_years(longer, env)?.0,
                Err(why) => {
                    hint(env, &why);
                    continue;
                }
            };
            if let Some(refusal) = self.refusal(&longer, asking, env)? {
                let why = refusal.to_string();
                if !is_to_blame || told.as_ref() == Some(&why) {
                    return Ok(Reply::Refused(Box::new(longer)));
                }
                hint(env, &why);
                told = Some(why);
                continue;
            }
            return Ok(Reply::Answered(Box::new(longer)));
        }
    }

    fn take(&self, question: &Question, line: &Unfinished, answer: &str) -> Result<Vec<Part>, AnswerError> {
        // Typed in letters this program was not told of: a name with them would be kept wrong.
        if answer.contains(char::REPLACEMENT_CHARACTER) {
            return Err(AnswerError::Answer("that holds letters that cannot be read: type it again".to_owned()));
        }
        self.look(line, |known| asking::take(question, &known, answer))
    }

    /// Why the command refuses the line as it is, once nothing that it needs is missing. It is tried, and
    /// nothing is kept; so every answer is told at once what the whole line would be told at the end.
    fn refusal(&self, line: &Unfinished, asking: &Asking, env: &mut Env) -> Result<Option<Error>, Error> {
        if !self.look(line, |known| asking.has_enough(&known))? {
            return Ok(None);
        }
        let mut words = line.words();
        if !line.has("dry_run") {
            words.push("--dry-run".into());
        }
        // What does not read as a whole is refused when it is carried out, in its own words.
        let Some(command) = read_words(words, env).ok().and_then(|cli| cli.command) else { return Ok(None) };
        let context = Context { attached: attached(&command)?, ..self.context.clone() };
        let Some(act) = command.on_book() else { return Ok(None) };
        match record(act, &self.path, &context, true, env) {
            Ok(_) => Ok(None),
            // That is asked about when it is carried out.
            Err(Error::Refused(refusal)) if refusal.question().is_some() => Ok(None),
            Err(error @ (Error::Refused(_) | Error::Receipt(_))) => Ok(Some(error)),
            Err(error) => Err(error),
        }
    }

    /// Asks for the year of every day that needs one and has none, and says whether it asked.
    fn give_years(&self, mut line: Unfinished, env: &mut Env) -> Result<(Unfinished, bool), End> {
        let mut asked = false;
        while let Some((id, day)) = line.day_without_year() {
            asked = true;
            let offered = asking::year_offered(&line, &id, &day, self.context.today);
            let whole = year_of(&day, offered.as_deref(), env)?;
            match line.with_day(&id, &whole) {
                Some(longer) => line = longer,
                None => return Err(Error::Ours(format!("{day} could not be given a year")).into()),
            }
        }
        Ok((line, asked))
    }
}

fn year_of(day: &WrittenDay, offered: Option<&str>, env: &mut Env) -> Result<WrittenDay, End> {
    loop {
        let answer = ask(&format!("{day} in which year"), offered, env)?;
        match (answer.as_str(), offered) {
            ("", None) => return Err(End::Left),
            ("", Some(year)) | (year, _) => match day.with_year(year) {
                Ok(whole) => return Ok(whole),
                Err(why) => hint(env, &why.to_string()),
            },
        }
    }
}

/// Where only the command could tell that a day needs its year (`amend 3 mot-until 21/3`): asks for it, and
/// types it. Nobody is asked in a script, or with `--yes`.
pub fn gives_year(cli: &Cli, error: &Error, env: &mut Env) -> bool {
    let Error::Refused(Refusal::Value(value)) = error else { return false };
    let Some(day) = WrittenDay::refused_without_year(value) else { return false };
    let at = env.arguments.iter().rposition(|word| word.to_str().is_some_and(|word| word.trim() == day.text()));
    let Some(at) = at.filter(|_| !cli.everywhere.yes && env.answer.is_some()) else { return false };
    let Ok(whole) = year_of(&day, None, env) else { return false };
    env.arguments[at] = whole.text().into();
    true
}

/// Asks, and gives what was typed; a full stop alone, or no more input, leaves.
fn ask(words: &str, offered: Option<&str>, env: &mut Env) -> Result<String, End> {
    let offered = offered.map(|offered| format!(" [{offered}]")).unwrap_or_default();
    let _ = write!(env.err, "{}: ", aside(&format!("{words}{offered}"), env.width)).and_then(|()| env.err.flush());
    match env.answer.as_mut().and_then(|answer| answer()) {
        None => {
            // The cursor still stands behind the question.
            let _ = writeln!(env.err);
            Err(End::Left)
        }
        Some(answer) if answer == "." => Err(End::Left),
        Some(answer) => Ok(answer),
    }
}

/// Shows something beside a question: to standard error, for it is not the answer.
fn show(document: &Document, everywhere: &Everywhere, env: &mut Env) {
    let rendered = render::text::text(document, text_style(everywhere, env));
    let _ = write!(env.err, "{}", rendered.out);
}

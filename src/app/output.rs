//! What the trader sees: answers on standard output; hints, cautions and errors on standard error.

use crate::cli::{self, Colour, Everywhere, Format};
use crate::commands::steps::lookup::near_words;
use crate::domain::refusal::Refusal;
use crate::domain::value::control_chars::escape_control_chars;
use crate::env::Env;
use crate::error::Error;
use crate::render;
use crate::render::text::TextStyle;
use crate::report::Report;
use crate::report::document::Document;
use anstyle::{AnsiColor, Style};
use std::io::Write;

/// Renders the report as asked, or one list of it, and writes it.
pub(super) fn show(report: &Report, part: Option<&str>, everywhere: &Everywhere, env: &mut Env) -> Result<(), Error> {
    let ours = |error: &dyn std::error::Error| Error::Ours(format!("the answer could not be made: {error}"));
    let document = report.document();
    if part.is_some() && document.part(part).is_none() {
        return Err(no_such_part(part.unwrap_or_default(), &document));
    }
    match everywhere.format {
        Format::Json if part.is_some() => {
            let with = "--format json, which holds every list; --format csv gives one";
            Err(Refusal::DoesNotGoWith { what: "--part", with }.into())
        }
        Format::Json => print(env, &render::json::pretty(report).map_err(|error| ours(&error))?),
        Format::Csv => {
            let table = document.part(part).ok_or_else(|| no_such_part("main", &document))?;
            print(env, &render::csv::table_csv(table).map_err(|error| ours(&error))?)
        }
        Format::Table => {
            let shown = part.and_then(|part| document.only(part)).unwrap_or(document);
            let rendered = render::text::text(&shown, text_style(everywhere, env));
            print(env, &format!("{}\n", rendered.out.trim_end()))?;
            for note in rendered.notes {
                hint(env, &format!("note: {note}"));
            }
            Ok(())
        }
    }
}

fn no_such_part(part: &str, document: &Document) -> Error {
    let names = || document.tables().map(|table| table.name);
    let (near, accepted) = (near_words(part, names()), names().collect::<Vec<_>>().join(", "));
    Refusal::NoSuchPart { part: part.to_owned(), near, accepted }.into()
}

pub(super) fn text_style(everywhere: &Everywhere, env: &Env) -> TextStyle {
    TextStyle { width: env.width, colour: colours(everywhere.color, env), unicode: env.unicode }
}

fn colours(colour: Colour, env: &Env) -> bool {
    match colour {
        Colour::Auto => env.colour,
        Colour::Always => true,
        Colour::Never => false,
    }
}

/// Writes an answer, whole or not at all.
pub(super) fn print(env: &mut Env, text: &str) -> Result<(), Error> {
    env.out.write_all(text.as_bytes()).and_then(|()| env.out.flush()).map_err(Error::Output)
}

/// Writes a hint or caution; when even that cannot be written there is nobody to tell.
pub(super) fn hint(env: &mut Env, text: &str) {
    let _ = writeln!(env.err, "{}", aside(text, env.width));
}

/// What goes to standard error: nothing unseen in it, and no line wider than the terminal.
pub(super) fn aside(text: &str, width: usize) -> String {
    render::folding::folded(&escape_control_chars(text), width)
}

pub(super) fn say_error(env: &mut Env, error: &Error) {
    let mut lines = vec![format!("error: {error}")];
    if let Error::Refused(refusal) = error {
        lines.extend(refusal.details());
        lines.extend(near_value(refusal));
    }
    let mut cause = std::error::Error::source(error);
    while let Some(source) = cause {
        lines.push(format!("caused by: {source}"));
        cause = source.source();
    }
    lines.extend(error.hint().map(|hint| format!("hint: {hint}")));
    say(env, &lines);
}

/// Writes the lines of an error, its first word in colour where that is wanted.
pub(super) fn say(env: &mut Env, lines: &[String]) {
    let red = if wants_colour(env) { Style::new().bold().fg_color(Some(AnsiColor::Red.into())) } else { Style::new() };
    let text = lines.iter().map(|line| aside(line, env.width)).collect::<Vec<_>>().join("\n");
    let text = text.strip_prefix("error:").map_or_else(|| text.clone(), |rest| format!("{red}error:{red:#}{rest}"));
    let _ = writeln!(env.err, "{text}");
}

/// Whether errors and help are coloured: `--color` may not have been read yet when they are shown.
pub(super) fn wants_colour(env: &Env) -> bool {
    let words: Vec<&str> = env.arguments.iter().filter_map(|word| word.to_str()).collect();
    let said = |when: &str| {
        words.iter().any(|word| *word == format!("--color={when}"))
            || words.windows(2).any(|pair| pair == ["--color", when])
    };
    (env.colour || said("always")) && !said("never")
}

/// The word most like one that was read only once the command ran.
fn near_value(refusal: &Refusal) -> Option<String> {
    let Refusal::Value(error) = refusal else { return None };
    let words = cli::words::of_kind(error.what()).iter().copied();
    let near = near_words(&error.given().to_lowercase(), words).into_iter().next()?;
    Some(format!("hint: did you mean '{near}'?"))
}

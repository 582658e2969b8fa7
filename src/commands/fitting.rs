//! Parts of a line that were each read well and do not go together: what clap cannot be told, because it
//! depends on which command it is and on what its words say.

use crate::cli::Format;
use crate::commands::think::programme::ProgrammeAction;
use crate::commands::{Cli, Command};
use crate::domain::days::tax_year::TaxYear;
use crate::domain::refusal::Refusal;
use std::path::Path;

/// Words in the name of a folder for what an accountant asks for of a year.
const OF_A_YEAR: &[&str] = &["year", "yearend", "tax", "accountant", "accounts"];

/// Why the line as a whole cannot be meant, if it cannot.
pub fn misfit(cli: &Cli) -> Option<Refusal> {
    let command = cli.command.as_ref()?;
    let refused = |what, with| Some(Refusal::DoesNotGoWith { what, with });
    let format = match cli.everywhere.format {
        Format::Table => None,
        Format::Json => Some("--format json"),
        Format::Csv => Some("--format csv"),
    };
    if let (Some(format), Some(instead)) = (format, made_another_way(command)) {
        return refused(format, instead);
    }
    match command {
        Command::Programme(args) if args.part.is_some() && matches!(args.action, Some(ProgrammeAction::Set { .. })) => {
            refused("--part", "`programme set`, which answers with one line")
        }
        Command::Export(args) if args.year.is_none() && !args.whole && is_of_a_year(&args.folder) => {
            Some(Refusal::WholeOrYear { folder: args.folder.display().to_string() })
        }
        _ => None,
    }
}

/// How a command answers that knows one form only, and which commands give the same in others.
const fn made_another_way(command: &Command) -> Option<&'static str> {
    Some(match command {
        Command::Page(_) => {
            "`page`, which is always one HTML page; `stock`, `month`, `results` and `due` give its figures that way"
        }
        Command::Month(args) if args.page => "--page, which is always one HTML page; leave one of them out",
        Command::StockBook(args) if args.html => "--html, which is always a page to print; leave one of them out",
        Command::Calendar(_) => "`calendar`, which is always iCalendar; `due --within 365` lists the same that way",
        Command::Manual(_) => "`manual`, which is always pages for `man`",
        Command::Completions(_) => "`completions`, which is always a script for the shell",
        Command::Demo(_) => "`demo`, which shows screens; `--book FILE` keeps its book, to be asked that way",
        _ => return None,
    })
}

/// Whether a folder's name says that a tax year's papers are meant: `year-end`, `tax`, `2026-27`.
fn is_of_a_year(folder: &Path) -> bool {
    let Some(name) = folder.file_name() else { return false };
    let name = name.to_string_lossy().to_lowercase();
    name.parse::<TaxYear>().is_ok()
        || name.split(|letter: char| !letter.is_alphanumeric()).any(|word| OF_A_YEAR.contains(&word))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_folder_may_be_named_for_a_year() {
        for (name, is) in [
            ("year-end", true),
            ("papers/Year End", true),
            ("2026-27", true),
            ("tax", true),
            ("for-the-accountant", true),
            ("whole-book", false),
            ("yearling", false),
            ("2026-11-30", false),
            ("..", false),
        ] {
            assert_eq!(is_of_a_year(Path::new(name)), is, "{name}");
        }
    }
}

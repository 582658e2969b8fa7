//! `settings`: listed, or one set; headings listed, or one added.

use crate::cli::Trying;
use crate::commands::steps::act::{Act, Looks, Records};
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::lookup;
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::book::settings::{KEYS, RETURN_HEADINGS, auction_key, normalised, return_heading};
use crate::domain::days::day::long;
use crate::domain::refusal::Refusal;
use crate::domain::value::heading::heading_name;
use crate::domain::value::wording::Wording;
use crate::error::Error;
use crate::report::Report;
use crate::report::keep::headings::{HeadingLine, HeadingsReport};
use crate::report::keep::settings::{SettingRow, SettingsReport};
use crate::store::{Book, Reader, Recording};
use chrono::NaiveDate;
use clap::{Args, Subcommand};

/// Your name, VAT, headings and what is flagged.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout settings\n  runabout settings set default-paid cash\n  runabout settings set heading:dents goods"
)]
pub struct SettingsArgs {
    /// What to do; the settings are listed when nothing is said.
    #[command(subcommand)]
    pub action: Option<SettingsAction>,
}

/// What to do with the settings.
#[derive(Debug, Subcommand)]
pub enum SettingsAction {
    /// Record a setting; `heading:NAME` adds a heading under a return heading
    #[command(
        after_help = "Examples:\n  runabout settings set trader-name \"Wend Lane Motors\"\n  runabout settings set heading:dents goods"
    )]
    Set {
        /// Which setting
        #[arg(value_name = "KEY")]
        key: String,
        /// What it should be; `none` puts most back to their default
        #[arg(value_name = "VALUE")]
        value: String,
        #[command(flatten)]
        #[allow(missing_docs)]
        trying: Trying,
    },
    /// List the headings money can go under
    #[command(after_help = "Examples:\n  runabout settings headings\n  runabout settings headings --format csv")]
    Headings,
}

impl SettingsArgs {
    fn dry_run(&self) -> bool {
        matches!(&self.action, Some(SettingsAction::Set { trying, .. }) if trying.dry_run)
    }

    /// What the words come to.
    pub(crate) fn act(&self) -> Act<'_> {
        match self.action {
            None | Some(SettingsAction::Headings) => Act::Looks(self),
            Some(SettingsAction::Set { .. }) => Act::Records { command: self, dry_run: self.dry_run() },
        }
    }
}

impl Looks for SettingsArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        match &self.action {
            Some(SettingsAction::Headings) => Ok(headings(reader, context)?.into()),
            _ => Ok(every_setting(reader, context)?.into()),
        }
    }
}

impl Records for SettingsArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        run(self, book, context)
    }
}

fn run(args: &SettingsArgs, book: &mut Book, context: &Context) -> Result<Report, Error> {
    match &args.action {
        None | Some(SettingsAction::Headings) => args.look(book.read(), context),
        Some(SettingsAction::Set { key, value, trying }) => {
            Ok(record(book, context, "settings", trying.dry_run, |recording| match key.split_once(':') {
                Some(("heading", name)) => set_heading(recording, name, value),
                _ => set(recording, context, key, value),
            })?
            .into())
        }
    }
}

fn set(recording: &Recording<'_>, context: &Context, key: &str, value: &str) -> Result<ReadBack, Error> {
    let key = match key.split_once(':') {
        Some(("auction", name)) => auction_key(name.parse::<Wording>()?.as_str()),
        _ => key.trim().to_lowercase(),
    };
    let known = || KEYS.iter().map(|(key, _, _)| *key);
    let value = normalised(&key, value, context.today).ok_or_else(|| Refusal::WordUnknown {
        what: "setting",
        given: key.clone(),
        near: lookup::near_words(&key, known()),
        known: known().collect::<Vec<_>>().join(", "),
    })??;
    let before = recording.read().settings()?.into_iter().find(|(known, _)| *known == key).map(|(_, value)| value);
    recording.set_setting(&key, value.as_deref())?;
    let span = settings_of(recording.read())?.registration;
    if let (Some(from), Some(until)) = (span.from, span.until)
        && until < from
    {
        return Err(Refusal::EndsBeforeItBegins { what: "VAT registration", from, until }.into());
    }
    let default = KEYS.iter().find(|(known, _, _)| *known == key).map_or("", |(_, _, default)| *default);
    let said = |value: Option<String>| match value.as_deref().unwrap_or(default) {
        "" => "not set".to_owned(),
        value => value.parse::<NaiveDate>().map_or_else(|_| format!("'{value}'"), long),
    };
    Ok(ReadBack::new(format!("{key} is now {}, was {}", said(value), said(before)), []))
}

fn set_heading(recording: &Recording<'_>, name: &str, value: &str) -> Result<ReadBack, Error> {
    let name = heading_name(name)?;
    let (return_heading, direction) = return_heading(value).ok_or_else(|| Refusal::WordUnknown {
        what: "return heading",
        given: value.to_owned(),
        near: lookup::near_words(value, RETURN_HEADINGS.iter().map(|(word, _, _)| *word)),
        known: RETURN_HEADINGS.iter().map(|(word, _, _)| *word).collect::<Vec<_>>().join(", "),
    })?;
    if let Some(found) = recording.read().headings()?.into_iter().find(|row| row.name == name)
        && (!found.added || found.direction != direction)
    {
        return Err(Refusal::HeadingFixed { name }.into());
    }
    recording.set_heading(&name, direction, return_heading)?;
    Ok(ReadBack::new(format!("heading '{name}' goes under '{return_heading}' on the return"), []))
}

/// Every setting there is, as it stands.
fn every_setting(reader: Reader<'_>, context: &Context) -> Result<SettingsReport, Error> {
    let stored = reader.settings()?;
    let auctions = stored.iter().filter(|(key, _)| key.starts_with("auction:")).map(|(key, value)| SettingRow {
        key: key.clone(),
        value: Some(value.clone()),
        default: "",
        meaning: "buyer's fees of this auction, by hammer price",
    });
    let rows = KEYS
        .iter()
        .map(|(key, meaning, default)| SettingRow {
            key: (*key).to_owned(),
            value: stored.iter().find(|(stored, _)| stored == key).map(|(_, value)| value.clone()),
            default,
            meaning,
        })
        .chain(auctions)
        .collect();
    Ok(SettingsReport::new(context.today, rows, context.book.clone()))
}

/// The headings money can go under.
fn headings(reader: Reader<'_>, context: &Context) -> Result<HeadingsReport, Error> {
    let rows = reader.headings()?.into_iter().map(|row| HeadingLine {
        heading: row.name,
        direction: row.direction,
        return_heading: row.return_heading,
        added: row.added,
    });
    Ok(HeadingsReport::new(context.today, rows.collect()))
}

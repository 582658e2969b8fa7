//! `calendar`: what `due` lists, for a phone.

use crate::cli::Replacing;
use crate::commands::steps::context::Context;
use crate::commands::steps::due_items::every_item;
use crate::domain::value::count::DaysAhead;
use crate::error::Error;
use crate::report::yard::agenda::{Agenda, Event};
use crate::store::Reader;
use clap::Args;
use std::path::PathBuf;

/// Write what `due` lists as a calendar file (iCalendar) a phone can take in.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  runabout calendar --out dates.ics\n  runabout calendar --within 365 --out dates.ics"
)]
pub struct CalendarArgs {
    /// How many days ahead, up to 3650
    #[arg(long, value_name = "DAYS", default_value = "365")]
    pub within: DaysAhead,
    /// Where to write it [standard output, or runabout.ics on a terminal]
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub replacing: Replacing,
}

/// What the calendar file holds.
pub fn run(args: &CalendarArgs, reader: Reader<'_>, context: &Context) -> Result<Agenda, Error> {
    let begun = reader.begun_at()?.unwrap_or_default();
    let book: String = begun.chars().filter(char::is_ascii_alphanumeric).collect();
    let mut events = Vec::new();
    for item in every_item(reader, context)? {
        let Some(on) = item.on.filter(|_| item.days_left.is_some_and(|left| left <= args.within.days())) else {
            continue;
        };
        let lead = item.lead_days.filter(|lead| *lead > 0).and_then(|lead| u32::try_from(lead).ok());
        events.push(Event {
            uid: format!("{}-{book}@runabout.invalid", item.number),
            stamp: context.now,
            on,
            summary: format!("{}: {}", item.subject, item.kind),
            description: item.action,
            alarm_days_before: lead.into_iter().chain([0]).collect(),
        });
    }
    Ok(Agenda { name: "Runabout".into(), events })
}

//! `runabout` alone: the morning screen, put together from what its commands show.
//!
//! `runabout` alone is `commands/morning.rs`: the reports of `due`, `stock` and `cash`, and the next slot, cut to
//! 24 lines by `report/yard/morning.rs`; in JSON they are whole. A table too wide for the terminal even with its
//! columns dropped and cut is told row by row (`render/narrow.rs`).

use crate::commands::money::cash;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::due_items::every_item;
use crate::commands::think::stock;
use crate::domain::days::month::Month;
use crate::domain::plan::programme::{Purse, next_slot};
use crate::error::Error;
use crate::report::yard::due::DueReport;
use crate::report::yard::morning::MorningReport;
use crate::store::Reader;

/// Days ahead that `due` looks when nothing is said.
const AHEAD: i64 = 30;

/// What the morning screen shows.
pub fn run(reader: Reader<'_>, context: &Context) -> Result<MorningReport, Error> {
    let day = context.today;
    let mut items = every_item(reader, context)?;
    items.retain(|item| item.days_left.is_none_or(|left| left <= AHEAD));
    let facts = reader.facts(day, day, context.standing_to, settings_of(reader)?.registration)?;
    let purse = Purse::from_balances(&facts.balances(day), &facts.standings, day);
    let filled = reader.slots_filled(Month::containing(day).first_day(), day)?;
    Ok(MorningReport::new(
        day,
        DueReport::new(day, items, false, false),
        stock::run(reader, context)?,
        cash::run(reader, context)?,
        next_slot(&reader.programmes()?, filled, day, purse).as_ref(),
    ))
}

//! What a closed month guards stays as it is.

use crate::domain::book::closing::{ChangedRow, in_closed_month};
use crate::domain::refusal::Refusal;
use crate::error::Error;
use crate::store::{Reader, Recording};

/// Refuses an entry that changes what a closed month guards.
pub fn guard_closed_months(recording: &Recording<'_>) -> Result<(), Error> {
    match closed_fact(recording.read(), recording.entry())? {
        Some(refusal) => Err(refusal.into()),
        None => Ok(()),
    }
}

fn closed_fact(reader: Reader<'_>, entry: i64) -> Result<Option<Refusal>, Error> {
    let Some(latest) = reader.latest_closed_month()? else { return Ok(None) };
    let closed_to = latest.last_day();
    let changes = reader.row_changes(entry)?;
    let rows: Vec<ChangedRow<'_>> = changes
        .iter()
        .map(|change| ChangedRow { table: &change.table, before: change.before.as_ref(), after: change.after.as_ref() })
        .collect();
    Ok(in_closed_month(&rows, closed_to).map(|found| Refusal::Closed { what: found.to_string(), closed_to }))
}

//! A number that is not of the kind asked for, told for what it is: a car, an entry, an item of `due`.

use crate::commands::steps::context::Context;
use crate::commands::steps::due_items::every_item;
use crate::commands::steps::lookup;
use crate::domain::refusal::Refusal;
use crate::domain::refusal::number_meant::{NumberIs, NumberMeant};
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::error::Error;
use crate::store::Reader;

/// The same error; where it is a number that nothing of its kind has, with what the number is instead.
pub fn explained(error: Error, reader: Reader<'_>, context: &Context) -> Error {
    let Error::Refused(refusal) = &error else { return error };
    let Some(number) = refusal.number_unknown() else { return error };
    match meanings(number, refusal, reader, context) {
        Ok(is) if is.is_empty() => error,
        Ok(is) => Refusal::NumberMeant(NumberMeant { number, why: refusal.to_string(), is }).into(),
        Err(broken) => broken,
    }
}

/// What the number is the number of, the kind asked for left out.
fn meanings(number: i64, asked: &Refusal, reader: Reader<'_>, context: &Context) -> Result<Vec<NumberIs>, Error> {
    let mut is = Vec::new();
    if !matches!(asked, Refusal::CarUnknown { .. })
        && let Ok(stock_no) = u32::try_from(number).map(StockNo::new)
        && let Some(found) = reader.find_car(&CarRef::StockNo(stock_no))?
    {
        is.push(NumberIs::Car { label: lookup::whole_car(reader, found)?.label() });
    }
    if !matches!(asked, Refusal::EntryUnknown { .. })
        && let Some(entry) = reader.entry(number)?
    {
        is.push(NumberIs::Entry { summary: entry.summary });
    }
    if !matches!(asked, Refusal::NotDue { .. })
        && let Some(item) = every_item(reader, context)?.into_iter().find(|item| item.number == number)
    {
        is.push(NumberIs::Due { subject: item.subject, until_done: item.until_done });
    }
    Ok(is)
}

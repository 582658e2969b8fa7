//! `check`: how an item of the pre-sale list stands.

use crate::cli::check::CheckArgs;
use crate::commands::recording::{Said, record};
use crate::commands::{Context, lookup, settings_of};
use crate::domain::book::car_checks::{ItemStanding, Known, whole_list};
use crate::domain::book::facts::Car;
use crate::domain::book::stay::Left;
use crate::domain::days::day::long;
use crate::domain::refusal::Refusal;
use crate::domain::value::checklist::{ITEMS, Item, item};
use crate::error::Error;
use crate::report::keep::recorded::Recorded;
use crate::store::{Book, Reader};
use chrono::NaiveDate;

pub fn run(args: &CheckArgs, book: &mut Book, context: &Context) -> Result<Recorded, Error> {
    let on = context.past_day(args.on.as_ref())?;
    let found = item_meant(&args.item)?;
    record(book, context, "check", args.trying.dry_run, |recording| {
        let car = lookup::car(recording.read(), &args.car)?;
        let note = args.note.as_ref().map(AsRef::as_ref);
        recording.add_car_check(car.stock_no, on, found.word, args.state, note)?;
        let note = note.map(|note| format!(": {note}")).unwrap_or_default();
        Ok(Said::new(
            format!("{} of {} is {} on {}{note}", found.word, car.label(), args.state.in_words(), long(on)),
            [car.stock_no],
        ))
    })
}

/// The whole pre-sale list of a car as it stands on `day`.
pub fn list_of(reader: Reader<'_>, car: &Car, day: NaiveDate) -> Result<Vec<ItemStanding>, Error> {
    let vehicle_no = car.vehicle.vehicle_no;
    let known = Known {
        car,
        said: &reader.car_checks(car.stock_no, day)?,
        tests: &reader.mot_tests(vehicle_no, day)?,
        mot_until: reader.mot_until(vehicle_no, car.left_by(day).map_or(day, Left::on))?,
        minimum_mot_days: settings_of(reader)?.minimum_mot_days,
    };
    Ok(whole_list(&known, day))
}

/// The item of the pre-sale list meant.
pub fn item_meant(typed: &str) -> Result<&'static Item, Error> {
    let words = || ITEMS.iter().map(|item| item.word);
    Ok(item(typed).ok_or_else(|| Refusal::WordUnknown {
        what: "item on the pre-sale list",
        given: typed.to_owned(),
        near: lookup::near_words(typed, words()),
        known: words().collect::<Vec<_>>().join(", "),
    })?)
}

//! Finding the car or heading a word means, and offering near misses when it means none.

use crate::domain::book::facts::{Car, Sale};
use crate::domain::book::stay::Left;
use crate::domain::days::day::LAST_DAY;
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::{CarRef, StockNo};
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::words::Direction;
use crate::error::Error;
use crate::store::{EntryRow, Reader};
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// How many near misses are worth offering.
const OFFERED: usize = 3;

/// The car meant.
pub fn stock_no(reader: Reader<'_>, car: &CarRef) -> Result<StockNo, Error> {
    if let Some(found) = reader.find_car(car)? {
        return Ok(found);
    }
    let typed = match car {
        CarRef::Mark(mark) => mark.as_str().to_owned(),
        CarRef::StockNo(stock_no) => stock_no.to_string(),
    };
    let mut close: BTreeMap<usize, Vec<String>> = BTreeMap::new();
    for (_, known) in reader.every_mark()? {
        let distance = strsim::damerau_levenshtein(&typed, known.as_str());
        let label = CarRef::Mark(known).to_string();
        let offered = close.entry(distance).or_default();
        // One digit is near every other: only longer words are worth comparing.
        if distance <= 2 && typed.len() > 3 && !offered.contains(&label) {
            offered.push(label);
        }
    }
    let near = close.into_values().flatten().take(OFFERED).collect();
    Err(Refusal::CarUnknown { given: car.to_string(), near }.into())
}

/// The car meant, with every fact in the book.
pub fn car(reader: Reader<'_>, car: &CarRef) -> Result<Car, Error> {
    let stock_no = stock_no(reader, car)?;
    whole_car(reader, stock_no)
}

/// The car meant, which must be in stock, and have been since `on`.
pub fn car_in_stock(reader: Reader<'_>, typed: &CarRef, on: NaiveDate) -> Result<Car, Error> {
    let car = car(reader, typed)?;
    let label = car.label();
    let refusal = match car.left() {
        Some(Left::Sold(sale)) => Refusal::SoldAlready { car: label, on: sale.on },
        Some(Left::Disposed(disposal)) => Refusal::Disposed { car: label, how: disposal.how, on: disposal.on },
        None if on < car.bought_on => Refusal::BeforePurchase { car: label, given: on, bought: car.bought_on },
        None if on < car.last_in_from() => {
            Refusal::BeforeItCameBack { car: label, given: on, back: car.last_in_from() }
        }
        None => return Ok(car),
    };
    Err(refusal.into())
}

/// The car meant, which must be sold, and its sale.
pub fn car_sold(reader: Reader<'_>, typed: &CarRef) -> Result<(Car, Sale), Error> {
    let car = car(reader, typed)?;
    let left = car.left();
    if let Some(disposal) = left.and_then(Left::disposal) {
        let refusal = Refusal::Disposed { car: car.label(), how: disposal.how, on: disposal.on };
        return Err(refusal.into());
    }
    match left.and_then(Left::sale).cloned() {
        Some(sale) => Ok((car, sale)),
        None => Err(Refusal::NotSold { car: car.label() }.into()),
    }
}

/// A car known to be there, with every fact in the book whatever its day.
pub fn whole_car(reader: Reader<'_>, stock_no: StockNo) -> Result<Car, Error> {
    let car = reader.car(stock_no, LAST_DAY)?;
    Ok(car.ok_or_else(|| Refusal::CarUnknown { given: stock_no.to_string(), near: Vec::new() })?)
}

/// The heading meant, for money going one way.
pub fn heading(reader: Reader<'_>, typed: &str, direction: Direction) -> Result<String, Error> {
    let wanted = typed.trim().to_lowercase().replace(' ', "-");
    let headings = reader.headings()?;
    if let Some(found) = headings.iter().find(|heading| heading.name == wanted) {
        if found.direction == direction {
            return Ok(wanted);
        }
        let command = match found.direction {
            Direction::Cost => "spend",
            Direction::Receipt => "receive",
        };
        return Err(Refusal::HeadingForTheOtherWay { given: wanted, command }.into());
    }
    let names =
        || headings.iter().filter(|heading| heading.direction == direction).map(|heading| heading.name.as_str());
    let under_that = UNDER_ANOTHER.iter().find(|(word, name)| *word == wanted && names().any(|found| found == *name));
    Err(Refusal::HeadingUnknown {
        given: typed.trim().to_owned(),
        under: under(direction),
        near: under_that.map_or_else(|| near_words(&wanted, names()), |(_, name)| vec![(*name).to_owned()]),
    }
    .into())
}

/// What people call a cost, and the heading it is usually put under (common practice).
const UNDER_ANOTHER: &[(&str, &str)] = &[
    ("petrol", "fuel"),
    ("diesel", "fuel"),
    ("brakes", "parts"),
    ("battery", "parts"),
    ("exhaust", "parts"),
    ("clutch", "parts"),
    ("mechanic", "labour"),
    ("welding", "bodywork"),
    ("paint", "bodywork"),
    ("windscreen", "glass"),
    ("cleaning", "valet"),
    ("recovery", "transport"),
    ("electric", "power"),
    ("electricity", "power"),
    ("advert", "advertising"),
    ("skip", "waste"),
    ("bank", "bank-charges"),
];

/// Where a new heading for money going that way could belong.
const fn under(direction: Direction) -> &'static str {
    match direction {
        Direction::Cost => "goods",
        Direction::Receipt => "other-income",
    }
}

/// That nothing of that name is known, with the names spelt alike.
pub fn name_unknown(what: &'static str, name: &str, known: Vec<String>) -> Refusal {
    let wanted = name.to_lowercase();
    let folded: Vec<(String, &String)> = known.iter().map(|name| (name.to_lowercase(), name)).collect();
    let near = near_words(&wanted, folded.iter().map(|(folded, _)| folded.as_str()));
    let near = near.iter().filter_map(|near| folded.iter().find(|(folded, _)| folded == near));
    Refusal::NameUnknown { what, name: name.to_owned(), near: near.map(|(_, name)| (*name).clone()).collect(), known }
}

/// The words spelt most like `typed`, nearest first.
pub fn near_words<'w>(typed: &str, words: impl Iterator<Item = &'w str>) -> Vec<String> {
    let mut close: Vec<(f64, &str)> =
        words.map(|word| (strsim::jaro_winkler(typed, word), word)).filter(|(likeness, _)| *likeness > 0.8).collect();
    close.sort_by(|one, other| other.0.total_cmp(&one.0));
    close.into_iter().take(OFFERED).map(|(_, word)| word.to_owned()).collect()
}

/// The entry, if it is there and still stands.
pub fn standing_entry(reader: Reader<'_>, target: EntryNo, this: EntryNo) -> Result<EntryRow, Error> {
    let row = reader.entry(target)?.filter(|row| row.entry != this).ok_or(Refusal::EntryUnknown { entry: target })?;
    match row.undone_by {
        Some(by) => Err(Refusal::UndoneAlready { entry: target, by }.into()),
        None => Ok(row),
    }
}

//! What the book holds that a word being typed could become, for completion.

use crate::commands::keep::amend_fields::names_for;
use crate::commands::steps::context::Context;
use crate::commands::steps::due_items::every_item;
use crate::domain::book::settings::KEYS;
use crate::domain::value::words::Direction;
use crate::error::Error;
use crate::store::{Book, CarLike, Place, Reader};

/// How many words are worth choosing from.
const MOST: usize = 50;

/// How far ahead an item of `due` is worth offering.
const DAYS_AHEAD: i64 = 90;

/// What a word stands for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// A car in stock.
    CarInStock,
    /// A car that was sold or otherwise left, the latest first.
    CarGone,
    /// Any car, those in stock first.
    AnyCar,
    /// A car in stock or the yard, with the sign that its part of an amount follows.
    Target,
    /// A heading for money going one way.
    Heading(Direction),
    /// The name of a standing cost.
    Standing,
    /// The name of a paper.
    Paper,
    /// The number of an entry, the latest first.
    Entry,
    /// A fact that the entry of that number has.
    Field(i64),
    /// The number of a `due` item that is dealt with by saying so.
    DueItem,
    /// The key of a setting.
    SettingKey,
    /// An auction whose fees are kept.
    Auction,
}

/// A word, and what it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offered {
    /// As it would be typed.
    pub word: String,
    /// In a few words.
    pub meaning: String,
}

impl Offered {
    fn new(word: &(impl ToString + ?Sized), meaning: impl Into<String>) -> Self {
        Self { word: word.to_string(), meaning: meaning.into() }
    }
}

/// What could stand where `begun` has been typed so far, at most fifty of it.
pub fn offered(wanted: &Wanted, begun: &str, book: &Book, context: &Context) -> Result<Vec<Offered>, Error> {
    let reader = book.read();
    let mut found = match wanted {
        Wanted::CarInStock => cars(reader, begun, &[Place::InStock])?,
        Wanted::CarGone => cars(reader, begun, &[Place::Gone])?,
        // Before anything is typed the yard is meant, not everything that was ever on it.
        Wanted::AnyCar => match cars(reader, begun, &[Place::InStock])? {
            in_stock if begun.is_empty() && !in_stock.is_empty() => in_stock,
            _ => cars(reader, begun, &[Place::InStock, Place::Gone])?,
        },
        Wanted::Target => {
            let yard = Offered::new("overhead", "the yard");
            let targets = cars(reader, begun, &[Place::InStock])?.into_iter().chain([yard]);
            targets.map(|it| Offered { word: it.word + "=", ..it }).collect()
        }
        Wanted::Heading(direction) => headings(reader, *direction)?,
        Wanted::Standing => {
            let standing =
                reader.standings()?.into_iter().filter(|it| it.until.is_none_or(|until| until >= context.today));
            standing.map(|it| Offered::new(&it.name, format!("each {}", it.every))).collect()
        }
        Wanted::Paper => {
            let papers = reader.papers()?.into_iter();
            papers.map(|paper| Offered::new(&paper.name, format!("until {}", paper.until))).collect()
        }
        Wanted::Entry => {
            let entries = reader.entries(None, u32::try_from(MOST).unwrap_or(u32::MAX))?.into_iter();
            entries.map(|entry| Offered::new(&entry.entry, entry.summary)).collect()
        }
        Wanted::Field(entry) => {
            names_for(reader, *entry)?.into_iter().map(|name| Offered::new(name, String::new())).collect()
        }
        Wanted::DueItem => {
            let near = |days_left: Option<i64>| days_left.is_none_or(|days| days <= DAYS_AHEAD);
            let items = every_item(reader, context)?.into_iter().filter(|item| item.until_done && near(item.days_left));
            items.map(|item| Offered::new(&item.number, format!("{}, {}", item.subject, item.kind))).collect()
        }
        Wanted::SettingKey => KEYS.iter().map(|(key, meaning, _)| Offered::new(key, *meaning)).collect(),
        Wanted::Auction => {
            let settings = reader.settings()?.into_iter();
            settings.filter_map(|(key, fees)| Some(Offered::new(key.strip_prefix("auction:")?, fees))).collect()
        }
    };
    let begun = begun.to_lowercase();
    found.retain(|offer| offer.word.to_lowercase().starts_with(&begun));
    found.truncate(MOST);
    Ok(found)
}

/// Marks first, as one word: a shell would take the halves of one for two. The numbers after them.
fn cars(reader: Reader<'_>, begun: &str, places: &[Place]) -> Result<Vec<Offered>, Error> {
    let mut found: Vec<CarLike> = Vec::new();
    for place in places {
        found.extend(reader.cars_like(begun, *place, MOST - found.len().min(MOST))?);
    }
    // A car is offered by what was begun, so that either way of naming it is left to the typist.
    let as_typed = |mark: &str| if begun.contains(char::is_lowercase) { mark.to_lowercase() } else { mark.to_owned() };
    let marks = found.iter().filter_map(|car| {
        let mark = car.mark.as_ref()?;
        let meaning = format!("{} {}", car.stock_no, car.description);
        // Digits alone are a stock number, so an all-digit mark says what it is.
        let digits = mark.as_str().chars().all(|c| c.is_ascii_digit());
        let word = if digits { format!("mark:{}", mark.as_str()) } else { as_typed(mark.as_str()) };
        Some(Offered::new(&word, meaning.trim_end()))
    });
    let numbers = found.iter().map(|car| {
        let mark = car.mark.as_ref().map_or_else(|| "no plates".to_owned(), ToString::to_string);
        Offered::new(&car.stock_no, format!("{mark} {}", car.description).trim_end())
    });
    Ok(marks.chain(numbers).collect())
}

fn headings(reader: Reader<'_>, direction: Direction) -> Result<Vec<Offered>, Error> {
    let settling: &[(&str, &str)] = match direction {
        Direction::Cost => &[("balance", "what is still owed"), ("vat", "VAT paid to HMRC")],
        Direction::Receipt => &[("balance", "what a buyer still owes"), ("vat", "VAT repaid by HMRC")],
    };
    let kept = reader.headings()?.into_iter().filter(|heading| heading.direction == direction);
    Ok(kept
        .map(|heading| Offered::new(&heading.name, heading.return_heading))
        .chain(settling.iter().map(|(word, meaning)| Offered::new(word, *meaning)))
        .collect())
}

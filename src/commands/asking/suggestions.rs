//! What is shown before a question, what Enter stands for, and what `?` tells.

use crate::cli::unfinished::Part;
use crate::commands::asking::ready_question::Question;
use crate::commands::ready::mot;
use crate::commands::steps::context::settings_of;
use crate::commands::steps::lookup;
use crate::commands::steps::question::{Ask, Cars, Enter, Known, Takes};
use crate::commands::think::stock;
use crate::domain::book::claims::{deposit_held, depositor};
use crate::domain::book::facts::Car;
use crate::domain::book::stay::Left;
use crate::domain::days::day::{LAST_DAY, long};
use crate::domain::figures::car_figures::stands_in;
use crate::domain::refusal::Refusal;
use crate::domain::value::checklist::ITEMS;
use crate::domain::value::words::Direction;
use crate::error::Error;
use crate::report::document::Document;
use crate::report::keep::choosing;
use crate::report::yard::stock::StockReport;

/// How many of the cars sold last are shown to choose from.
const SOLD_SHOWN: u32 = 10;

/// How many entries back the car last handled is looked for.
const LOOKED_BACK: u32 = 50;

/// The question, with what there is to choose from and what Enter stands for.
pub(crate) fn question(ask: &Ask, known: &Known<'_>) -> Result<Question, Error> {
    let mut question = Question { ask: *ask, before: before(ask, known)?, offered: None, types: None };
    let gives = |id: &'static str, (value, shown): (String, String)| (shown, Some(vec![Part::value(id, value)]));
    let is_of_the_yard = ask.enter == Enter::LatestCar && is_under_the_yard(known)?;
    let offer = match ask.enter {
        Enter::Leaves("") => None,
        Enter::Leaves(shown) => Some((shown.to_owned(), None)),
        Enter::NoMore => Some((if known.typed.has(ask.id) { "no more" } else { "none" }.to_owned(), None)),
        Enter::PaidAsSet => Some((settings_of(known.reader)?.default_paid.to_string(), None)),
        Enter::OnlyCar => only_car(ask, known)?.map(|car| gives("car", car)),
        Enter::LatestCar => Some(match latest_car(known)?.filter(|_| !is_of_the_yard) {
            Some(car) => gives("car", car),
            None => ("overhead".to_owned(), Some(vec![Part::switch("overhead")])),
        }),
        Enter::AskingPrice => match known.car()? {
            Some(car) => {
                let showing = known.reader.showing(&[car.stock_no], known.context.today)?.remove(&car.stock_no);
                let asking = showing.and_then(|showing| showing.asking_price);
                asking.map(|asking| gives(ask.id, (asking.plain(), asking.grouped())))
            }
            None => None,
        },
        Enter::Depositor => {
            let by = known.car()?.filter(|car| deposit_held(car, LAST_DAY).is_positive());
            Some((by.as_ref().and_then(depositor).unwrap_or("skip").to_owned(), None))
        }
        Enter::LastDayOfMot => match known.car()? {
            Some(car) => Some((long(mot::worked_out(known.reader, &car, known.day()?)?), None)),
            None => None,
        },
    };
    if let Some((offered, types)) = offer {
        (question.offered, question.types) = (Some(offered), types);
    }
    Ok(question)
}

/// The cars to choose from where one is asked for; before a price, what there is to know of the car.
fn before(ask: &Ask, known: &Known<'_>) -> Result<Option<Document>, Error> {
    Ok(match ask.takes {
        Takes::Car(cars) => Some(cars_to_choose(cars, known)?),
        Takes::SpentOn | Takes::CameFrom => Some(in_stock(known)?.to_choose()),
        Takes::NewMark | Takes::Value if ask.enter == Enter::AskingPrice => {
            known.car()?.map(|car| of_the_car(&car, known)).transpose()?
        }
        _ => None,
    })
}

fn in_stock(known: &Known<'_>) -> Result<StockReport, Error> {
    stock::run(known.reader, known.context)
}

fn cars_to_choose(cars: Cars, known: &Known<'_>) -> Result<Document, Error> {
    match cars {
        Cars::Sold => {
            let sold = sold(known)?;
            if sold.is_empty() { Err(Refusal::NoCars { kind: "sold" }.into()) } else { Ok(choosing::sold_cars(&sold)) }
        }
        Cars::InStock | Cars::Any => {
            let stock = in_stock(known)?;
            let none_at_all = || known.reader.every_car(LAST_DAY).map(|cars| cars.is_empty());
            if stock.labels().is_empty() && (cars == Cars::InStock || none_at_all()?) {
                return Err(Refusal::NoCars { kind: "in stock" }.into());
            }
            Ok(stock.to_choose())
        }
    }
}

fn sold(known: &Known<'_>) -> Result<Vec<Car>, Error> {
    let mut sold = Vec::new();
    for stock_no in known.reader.latest_gone(known.context.today, SOLD_SHOWN)? {
        let car = lookup::whole_car(known.reader, stock_no)?;
        if car.left().and_then(Left::sale).is_some() {
            sold.push(car);
        }
    }
    Ok(sold)
}

/// The number and name of the only car that will do.
fn only_car(ask: &Ask, known: &Known<'_>) -> Result<Option<(String, String)>, Error> {
    if ask.takes == Takes::Car(Cars::Sold) {
        let sold = sold(known)?;
        return Ok(match sold.as_slice() {
            [only] => Some((only.stock_no.to_string(), only.label())),
            _ => None,
        });
    }
    Ok(match in_stock(known)?.labels().as_slice() {
        [(number, label)] => Some((number.to_string(), label.clone())),
        _ => None,
    })
}

/// The number and name of the car last bought or spent on, of those in stock.
fn latest_car(known: &Known<'_>) -> Result<Option<(String, String)>, Error> {
    let labels = in_stock(known)?.labels();
    let latest = known.reader.latest_handled(LOOKED_BACK)?;
    let found = latest.iter().find_map(|car| labels.iter().find(|(number, _)| *number == car.get()));
    Ok(found.or(labels.last()).map(|(number, label)| (number.to_string(), label.clone())))
}

/// The headings of the self-employment page that costs of a car belong under.
const OF_CARS: &[&str] = &["goods", "travel"];

/// Whether money under the heading typed goes on the yard as a rule: rent, insurance, the telephone.
fn is_under_the_yard(known: &Known<'_>) -> Result<bool, Error> {
    let Some(typed) = known.typed.get::<String>("heading") else { return Ok(false) };
    let headings = known.reader.headings()?;
    let found = headings.iter().find(|heading| heading.name.eq_ignore_ascii_case(typed.trim()));
    Ok(found.is_some_and(|heading| !heading.added && !OF_CARS.contains(&heading.return_heading.as_str())))
}

/// What it stands in at, and the deposit held.
fn of_the_car(car: &Car, known: &Known<'_>) -> Result<Document, Error> {
    let registration = settings_of(known.reader)?.registration;
    let held = deposit_held(car, LAST_DAY);
    let held = held.is_positive().then(|| (held, depositor(car)));
    Ok(choosing::before_the_price(&car.label(), stands_in(car, known.context.today, &registration), held))
}

/// What there is to choose from, or what the part is.
pub(crate) fn explain(ask: &Ask, known: &Known<'_>) -> Result<Document, Error> {
    let way = |direction| -> Result<Document, Error> {
        let headings = known.reader.headings()?;
        let names = headings.iter().filter(|heading| heading.direction == direction);
        Ok(choosing::headings(names.map(|heading| heading.name.as_str())))
    };
    match ask.takes {
        Takes::Heading(Direction::Cost) => way(Direction::Cost),
        Takes::Heading(Direction::Receipt) => way(Direction::Receipt),
        Takes::Item => Ok(choosing::items(ITEMS.iter().map(|item| (item.word, item.meaning)))),
        Takes::Car(cars) => cars_to_choose(cars, known),
        Takes::SpentOn => Ok(choosing::targets(in_stock(known)?.to_choose())),
        Takes::CameFrom => Ok(in_stock(known)?.to_choose()),
        _ => Ok(choosing::meaning(known.typed.help(ask.id))),
    }
}

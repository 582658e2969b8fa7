//! A small invented book as facts, for the tests of every report, and reports read without layout.

use crate::domain::book::dated_facts::MotStanding;
use crate::domain::book::facts::{Car, Facts, Line, Movement, Opening, Sale, Showing};
use crate::domain::book::standing::{Standing, StandingAmount};
use crate::domain::law::registration::Registration;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Direction, Every, Pocket, Purpose, Shared, Via};
use crate::report::document::{Block, Document, Readers, Table};
use chrono::NaiveDate;
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

/// The book in November 2026, up to the 25th: car 1 sold, cars 2 and 3 in stock.
pub fn november() -> Facts {
    facts_from("2026-11-01", 109_515)
}

/// The same from September on.
pub fn autumn() -> Facts {
    facts_from("2026-09-01", 174_000)
}

/// A book with nothing in it.
pub fn nothing() -> Facts {
    Facts {
        first_day: None,
        cars: Vec::new(),
        yard_lines: Vec::new(),
        standings: Vec::new(),
        opening: Opening::default(),
        ..november()
    }
}

/// `bank` is what was at the bank the day before, rent left out.
fn facts_from(from: &str, bank: i64) -> Facts {
    let mut yard_lines = vec![
        line(9, None, Direction::Cost, "2026-11-12", "tools", 6_000, Pocket::Cash),
        line(10, None, Direction::Receipt, "2026-11-13", "storage", 1_500, Pocket::Bank),
    ];
    yard_lines[0].party = Some("Ridley Tool Hire".into());
    yard_lines[1].note = Some("a caravan, one month".into());
    Facts {
        from: day(from),
        to: day("2026-11-25"),
        standing_to: day("2026-11-25"),
        first_day: Some(day("2026-08-20")),
        registration: Registration::default(),
        opening: Opening { bank: Pence::new(bank), ..Opening::default() },
        cars: vec![harrow(), osprey(), without_plates()],
        yard_lines,
        movements: Vec::new(),
        standings: vec![Standing {
            standing_no: 1,
            entry: 1,
            name: "yard rent".into(),
            heading: "rent".into(),
            every: Every::Month,
            first_on: day("2026-09-01"),
            until: None,
            pocket: Pocket::Bank,
            amounts: vec![StandingAmount { from: day("2026-09-01"), amount: Pence::new(12_000), vat: Pence::ZERO }],
            skipped: Vec::new(),
        }],
    }
}

pub fn car(facts: &Facts, stock_no: u32) -> &Car {
    facts.cars.iter().find(|car| car.stock_no.get() == stock_no).unwrap()
}

pub fn showing() -> BTreeMap<StockNo, Showing> {
    BTreeMap::from([(
        StockNo::new(2),
        Showing {
            asking_price: Some(Pence::new(129_500)),
            lowest_price: Some(Pence::new(110_000)),
            mot: MotStanding { until: Some(day("2026-12-07")), ..MotStanding::default() },
            mileage: Some((day("2026-11-05"), 84_120)),
            hold_until: None,
        },
    )])
}

/// Sold, with a line paid ahead, a favour, wheels sold off it and a repair after the sale.
fn harrow() -> Car {
    let mut car = bought(1, 2, "2026-10-01", 48_500, "Dora Quill");
    car.mark = Some("KX42 RTO".parse().unwrap());
    car.mark_at_purchase.clone_from(&car.mark);
    car.vehicle.make = Some("Brindle".into());
    car.vehicle.model = Some("Harrow".into());
    car.vehicle.year = Some(2012);
    car.vehicle.colour = Some("blue".into());
    car.sales = vec![Sale {
        sale_no: 1,
        entry: 6,
        on: day("2026-11-03"),
        selling_price: Pence::new(118_500),
        buyer: Some("Wilf Ashdown".into()),
        address: None,
        to_trade: false,
        delivered_on: None,
        distance: false,
        part_exchanges: Vec::new(),
        taken_back: None,
    }];
    let on_it =
        |entry, direction, on, heading, amount| line(entry, Some(1), direction, on, heading, amount, Pocket::Bank);
    car.lines = vec![
        on_it(1, Direction::Cost, "2026-09-29", "inspection", 2_500),
        on_it(3, Direction::Cost, "2026-10-03", "mot", 5_485),
        on_it(4, Direction::Cost, "2026-10-05", "parts", 12_000),
        on_it(5, Direction::Receipt, "2026-10-06", "parts-sold", 4_000),
        on_it(8, Direction::Cost, "2026-11-10", "labour", 3_500),
    ];
    car.lines[1].party = Some("Hob Lane Garage".into());
    car.lines[2].party = Some("Hob Lane Spares".into());
    car.lines[2].usual_price = Some(Pence::new(18_000));
    car.lines[2].note = Some("exhaust, fitted by a friend".into());
    car.lines[3].party = Some("Ned Tarrow".into());
    car.settlements = vec![
        settled(2, 1, "2026-10-01", Pocket::Bank, -48_500, Purpose::Purchase),
        settled(6, 1, "2026-11-03", Pocket::Cash, 118_500, Purpose::Sale),
    ];
    car.own_minutes = vec![(day("2026-10-04"), 150), (day("2026-10-08"), 120)];
    car
}

/// In stock, £100 of its price still owed, its MOT soon out.
fn osprey() -> Car {
    let mut car = bought(2, 7, "2026-11-05", 64_000, "Marsh Auctions");
    car.via = Via::Auction;
    car.mark = Some("ST99 WEM".parse().unwrap());
    car.mark_at_purchase.clone_from(&car.mark);
    car.vehicle.make = Some("Pell".into());
    car.vehicle.model = Some("Osprey".into());
    car.vehicle.year = Some(2009);
    car.lines = vec![line(11, Some(2), Direction::Cost, "2026-11-07", "tyres", 8_000, Pocket::Bank)];
    car.settlements = vec![settled(7, 2, "2026-11-05", Pocket::Bank, -54_000, Purpose::Purchase)];
    car
}

/// Long in stock, without plates, nothing known about it but its VIN.
fn without_plates() -> Car {
    let mut car = bought(3, 1, "2026-08-20", 35_500, "Dora Quill");
    car.vehicle.vin = Some("SZZZZZ00000000003".parse().unwrap());
    car.settlements = vec![settled(1, 3, "2026-08-20", Pocket::Bank, -35_500, Purpose::Purchase)];
    car
}

fn bought(stock_no: u32, entry: i64, on: &str, price: i64, seller: &str) -> Car {
    Car {
        entry,
        purchase_price: Pence::new(price),
        seller: Some(seller.into()),
        ..crate::domain::book::fixture::bought(stock_no, on, 0)
    }
}

fn line(
    entry: i64,
    stock_no: Option<u32>,
    direction: Direction,
    on: &str,
    heading: &str,
    amount: i64,
    pocket: Pocket,
) -> Line {
    Line {
        line_no: entry,
        entry,
        stock_no: stock_no.map(StockNo::new),
        direction,
        on: day(on),
        heading: heading.into(),
        amount: Pence::new(amount),
        usual_price: None,
        vat: Pence::ZERO,
        pocket: Some(pocket),
        shared: Shared::Whole,
        party: None,
        note: None,
    }
}

fn settled(entry: i64, stock_no: u32, on: &str, pocket: Pocket, amount: i64, purpose: Purpose) -> Movement {
    Movement {
        movement_no: entry,
        entry,
        on: day(on),
        pocket,
        amount: Pence::new(amount),
        purpose,
        stock_no: Some(StockNo::new(stock_no)),
        party: None,
        note: None,
    }
}

/// The owner's money, into the pocket positive.
pub fn owners(entry: i64, on: &str, pocket: Pocket, amount: i64) -> Movement {
    Movement { stock_no: None, ..settled(entry, 0, on, pocket, amount, Purpose::Owner) }
}

/// The object at `pointer` of the report's JSON has exactly these keys; a report's own object
/// begins with `report`, `version`, `as_of`.
pub fn assert_keys(report: &impl Serialize, pointer: &str, expected: &str) {
    let json = serde_json::to_value(report).unwrap();
    let object = json.pointer(pointer).and_then(|at| at.as_object()).unwrap();
    let keys: BTreeSet<&str> = object.keys().map(String::as_str).collect();
    assert_eq!(keys, expected.split_whitespace().collect());
    if keys.contains("as_of") {
        let text = serde_json::to_string(report).unwrap();
        let name = object["report"].as_str().unwrap();
        assert!(text.starts_with(&format!("{{\"report\":\"{name}\",\"version\":1,\"as_of\":\"")), "{text}");
    }
}

/// What people are told, without layout: a line for each sentence, fact and row.
pub fn plain(document: &Document) -> String {
    let mut lines = Vec::new();
    for block in &document.blocks {
        match block {
            Block::Headline(text) | Block::Sentence(text) | Block::Heading(text) => lines.push(text.clone()),
            Block::Note(text) => lines.push(format!("note: {text}")),
            Block::Facts(facts) => {
                lines.extend(facts.iter().map(|(label, cell)| format!("{label}: {}", cell.machine_form())));
            }
            Block::Table(table) if table.rows.is_empty() => lines.push(table.empty.to_owned()),
            Block::Table(table) => lines.extend(rows_for_people(table)),
        }
    }
    lines.retain(|line| !line.is_empty());
    lines.join("\n") + "\n"
}

fn rows_for_people(table: &Table) -> Vec<String> {
    let seen = |index: &usize| table.columns[*index].readers != Readers::Machines;
    let columns: Vec<usize> = (0..table.columns.len()).filter(seen).collect();
    let titles = columns.iter().map(|index| table.columns[*index].title).collect::<Vec<_>>().join(" | ");
    let cells = table.rows.iter().chain(&table.total);
    let rows = cells.map(|row| columns.iter().map(|index| row[*index].machine_form()).collect::<Vec<_>>().join(" | "));
    if columns.is_empty() { Vec::new() } else { std::iter::once(titles).chain(rows).collect() }
}

/// The records machines read of one part, the main one when none is named, header first.
pub fn records(document: &Document, part: Option<&str>) -> Vec<String> {
    let table = document.part(part).unwrap();
    let columns: Vec<usize> =
        (0..table.columns.len()).filter(|index| table.columns[*index].readers != Readers::People).collect();
    let header = columns.iter().map(|index| table.columns[*index].key).collect::<Vec<_>>().join(",");
    let rows = table
        .rows
        .iter()
        .map(|row| columns.iter().map(|index| row[*index].machine_form()).collect::<Vec<_>>().join(","));
    std::iter::once(header).chain(rows).collect()
}

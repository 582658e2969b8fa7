//! Books to measure on, filled through the store.

use chrono::{DateTime, Days, NaiveDate};
use runabout::domain::value::car_ref::StockNo;
use runabout::domain::value::pence::Pence;
use runabout::domain::value::words::{Direction, Pocket, Purpose, Shared, Via};
use runabout::store::{NewCar, NewLine, NewMovement, NewSale, NewVehicle, Recording, open_to_record};
use std::path::Path;

/// How much there is in a book.
#[derive(Clone, Copy)]
pub struct Filled {
    /// Cars bought and sold, over the days before the last 60.
    pub sold: u32,
    /// Cars in stock.
    pub in_stock: u32,
    /// Lines on each car.
    pub lines_a_car: u32,
    /// Lines on the yard, over the same days as the cars sold.
    pub yard_lines: u32,
}

/// A book as it grows by one trader's way of working: half its money lines on cars, twenty a car sold, and
/// whatever the size the same last 60 days.
pub const fn grown(lines: u32) -> Filled {
    Filled { sold: lines / 40, in_stock: 6, lines_a_car: 20, yard_lines: lines / 2 }
}

/// Lines in one entry.
const LINES_AN_ENTRY: u32 = 5_000;

/// The days the past is spread over: twenty years.
const PAST_DAYS: u32 = 7_300;

pub fn day(text: &str) -> NaiveDate {
    text.parse().expect("a day")
}

/// A day of the past by how far into it one is: the `n`th of `of`.
pub fn past_day(n: u32, of: u32) -> NaiveDate {
    let days = u64::from(n) * u64::from(PAST_DAYS) / u64::from(of.max(1));
    day("2006-10-01") + Days::new(days)
}

pub fn fill(path: &Path, filled: Filled) {
    let (mut book, _) = open_to_record(path).expect("a new book");
    let mut in_entries = |count: u32, rows: u32, work: &dyn Fn(&Recording<'_>, u32)| {
        let step = (LINES_AN_ENTRY / rows.max(1)).max(1);
        for first in (0..count).step_by(usize::try_from(step).expect("small")) {
            let recording = book.begin("fill", "fill", DateTime::UNIX_EPOCH).expect("an entry");
            (first..count.min(first + step)).for_each(|n| work(&recording, n));
            recording.describe("filled for measuring", &[]).expect("a summary");
            recording.keep().expect("kept");
        }
    };
    in_entries(filled.sold, filled.lines_a_car, &|recording, n| {
        let bought = past_day(n, filled.sold);
        let car = buy(recording, n, bought, filled.lines_a_car);
        sell(recording, car, bought + Days::new(20 + u64::from(n % 40)));
    });
    in_entries(filled.in_stock, filled.lines_a_car, &|recording, n| {
        buy(recording, filled.sold + n, day("2026-10-05"), filled.lines_a_car);
    });
    in_entries(filled.yard_lines, 1, &|recording, n| {
        spend(recording, None, past_day(n, filled.yard_lines), n);
    });
    // Overheads of the month looked at, the same in every book.
    in_entries(40, 1, &|recording, n| spend(recording, None, day("2026-11-01") + Days::new(u64::from(n % 25)), n));
}

/// A car bought with its papers, price and lines.
fn buy(recording: &Recording<'_>, n: u32, bought: NaiveDate, lines: u32) -> StockNo {
    let vehicle = NewVehicle { make: Some("Brindle".into()), model: Some("Harrow".into()), ..NewVehicle::default() };
    let vehicle_no = recording.add_vehicle(&vehicle).expect("a vehicle");
    let mark = mark(n).parse().expect("a mark");
    recording.add_mark(vehicle_no, &mark, bought).expect("a mark");
    recording.add_mot_certificate(vehicle_no, bought, bought + Days::new(330)).expect("a certificate");
    let stock_no = recording
        .add_car(&NewCar {
            vehicle_no,
            mark: Some(mark),
            bought_on: bought,
            purchase_price: Pence::new(48_500),
            finance: Pence::ZERO,
            vat: Pence::ZERO,
            vat_invoice: false,
            via: Via::Private,
            seller: Some("R Ashdown".into()),
            purchase_invoice: None,
            keys: None,
        })
        .expect("a car");
    recording.add_asking_price(stock_no, bought, Pence::new(99_500), None).expect("a price");
    settle(recording, stock_no, bought, Pence::new(-48_500), Purpose::Purchase);
    for line in 0..lines {
        spend(recording, Some(stock_no), bought + Days::new(u64::from(line % 15)), line);
    }
    stock_no
}

fn sell(recording: &Recording<'_>, stock_no: StockNo, on: NaiveDate) {
    let price = Pence::new(95_000 + i64::from(stock_no.get() % 100) * 100);
    recording
        .add_sale(&NewSale {
            stock_no,
            sold_on: on,
            selling_price: price,
            buyer: Some("P Quill".into()),
            address: None,
            to_trade: false,
            delivered_on: None,
            distance: false,
        })
        .expect("a sale");
    settle(recording, stock_no, on, price, Purpose::Sale);
}

fn settle(recording: &Recording<'_>, stock_no: StockNo, on: NaiveDate, amount: Pence, purpose: Purpose) {
    let movement =
        NewMovement { on, pocket: Pocket::Bank, amount, purpose, stock_no: Some(stock_no), party: None, note: None };
    recording.add_movement(&movement).expect("a movement");
}

fn spend(recording: &Recording<'_>, stock_no: Option<StockNo>, on: NaiveDate, n: u32) {
    let heading = if stock_no.is_some() { "parts" } else { "tools" };
    recording
        .add_line(NewLine {
            stock_no,
            direction: Direction::Cost,
            on,
            heading: heading.into(),
            amount: Pence::new(1_000 + i64::from(n % 100)),
            usual_price: None,
            vat: Pence::ZERO,
            pocket: Some(if n.is_multiple_of(2) { Pocket::Bank } else { Pocket::Cash }),
            shared: Shared::Whole,
            party: Some("Hob Lane Spares".into()),
            note: None,
        })
        .expect("a line");
}

/// The mark of the `n`th car, of half-years still to come; 160,000 are unlike.
pub fn mark(n: u32) -> String {
    format!("JT{:02}{}{}{}", 80 + n % 20, letter(n / 20), letter(n / 400), letter(n / 8_000))
}

fn letter(n: u32) -> char {
    const LETTERS: &[u8; 20] = b"ABCDEFGHJKLMNOPRSTUV";
    char::from(LETTERS[usize::try_from(n % 20).expect("small")])
}

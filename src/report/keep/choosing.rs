//! What is shown beside a question: cars and headings to choose from, what there is to know before a
//! price is said.

use crate::domain::book::facts::Car;
use crate::domain::value::pence::Pence;
use crate::report::car::car_facts::CarFacts;
use crate::report::cell::Cell;
use crate::report::document::{Column, Document, Table};

/// Cars in stock, to choose one from.
pub(crate) fn cars(cars: &[CarFacts]) -> Table {
    let columns = vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("description", "Car").elastic().importance(1),
        Column::new("stands_in", "Stands in").importance(2),
        Column::new("asking_price", "Asking").importance(3),
    ];
    let mut table = Table::new("cars", columns, "No cars in stock.");
    for car in cars {
        table.row(vec![
            Cell::count(i64::from(car.stock_no)),
            car.mark.clone().into(),
            car.description.clone().into(),
            car.stands_in.into(),
            car.asking_price.into(),
        ]);
    }
    table
}

/// Cars sold, the latest first, to choose one from.
pub fn sold_cars(cars: &[Car]) -> Document {
    let columns = vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("sold_on", "Sold").importance(2),
        Column::new("buyer", "To").elastic().importance(1),
        Column::new("selling_price", "Price").importance(3),
    ];
    let mut table = Table::new("cars", columns, "No cars sold.");
    for car in cars {
        let sale = car.sale();
        table.row(vec![
            Cell::count(i64::from(car.stock_no.get())),
            car.mark.as_ref().map(ToString::to_string).into(),
            sale.map(|sale| sale.on).into(),
            sale.and_then(|sale| sale.buyer.clone()).into(),
            sale.map(|sale| sale.selling_price).into(),
        ]);
    }
    let mut document = Document::new();
    document.table(table);
    document
}

/// What the car stands in at, and the deposit held and who paid it.
pub fn before_the_price(label: &str, stands_in: Pence, held: Option<(Pence, Option<&str>)>) -> Document {
    let mut document = Document::new();
    document.sentence(format!("{label} stands you in at {stands_in}."));
    if let Some((held, by)) = held {
        let by = by.map(|by| format!(" from {by}")).unwrap_or_default();
        document.sentence(format!("A deposit of {held}{by} is held and counts towards the price."));
    }
    document
}

/// The headings money can go under.
pub fn headings<'h>(names: impl Iterator<Item = &'h str>) -> Document {
    let names: Vec<&str> = names.collect();
    let mut document = Document::new();
    document.sentence(format!("{}.", names.join(", ")));
    document
}

/// The items of the pre-sale list, and what has to be true for each.
pub fn items(items: impl Iterator<Item = (&'static str, &'static str)>) -> Document {
    let mut document = Document::new();
    document.facts(items.map(|(word, meaning)| (word, Cell::text(meaning))));
    document
}

/// The ways to say what money was spent on, below the cars there are.
pub fn targets(mut cars: Document) -> Document {
    cars.sentence(
        "One car: its number or mark. Shared equally: 1,2. In parts: 1=47.30,overhead=15. The yard: overhead.",
    );
    cars
}

/// What one part of a command line means.
pub fn meaning(help: String) -> Document {
    let mut document = Document::new();
    document.sentence(help);
    document
}

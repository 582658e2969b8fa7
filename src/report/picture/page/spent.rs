//! Where the money went, heading by heading.

use crate::report::cell::Cell;
use crate::report::document::{Column, Table};
use crate::report::picture::chart::{Bar, Chart, Drawing, Part};
use crate::report::picture::page::facts::{MOST_HEADINGS, PageFacts};
use crate::report::picture::picture::Section;

/// A bar for the cars themselves and for each heading.
pub fn section(facts: &PageFacts<'_>) -> Section {
    let spending = facts.spending;
    let is_empty = spending.headings.is_empty() && spending.purchase_prices.is_zero();
    let cost = format!(
        "The cars sold cost {} in all, {} of it what was paid for them; the yard cost {}. Cars still in stock are not \
         in it yet.",
        spending.cost_of_cars_sold(),
        spending.purchase_prices,
        spending.on_yard
    );
    let said = if is_empty { "No sales and no overheads in these months.".to_owned() } else { cost };
    let mut bars = vec![Bar {
        name: "purchase prices".into(),
        told: spending.purchase_prices.to_string(),
        parts: vec![(Part::OnCars, spending.purchase_prices)],
        pointer: None,
    }];
    bars.extend(spending.headings.iter().take(MOST_HEADINGS).map(|row| Bar {
        name: row.heading.clone(),
        told: row.total().to_string(),
        parts: vec![(Part::OnCars, row.on_cars), (Part::OnYard, row.on_yard)],
        pointer: None,
    }));
    let told = format!(
        "A bar for what was paid for the cars sold, then one for each heading, the dearest first, in two parts: in \
         the cars sold, and on the yard. {said}"
    );
    let chart = Chart { title: "Where the money went".into(), told, drawing: Drawing::Bars(bars) };
    let shown = spending.headings.len().min(MOST_HEADINGS);
    let more = (shown < spending.headings.len()).then(|| {
        format!("Drawn: the {shown} dearest of {} headings; the figures behind hold them all.", spending.headings.len())
    });
    Section::new("spent", "Where the money went", said)
        .drawn((!is_empty).then_some(chart))
        .behind("Where the money went", table(facts))
        .noting(more)
}

fn table(facts: &PageFacts<'_>) -> Table {
    let spending = facts.spending;
    let columns = vec![
        Column::new("heading", "Heading"),
        Column::new("on_cars", "In the cars sold"),
        Column::new("on_yard", "On the yard"),
        Column::new("total", "Together"),
    ];
    let mut table = Table::new("spending", columns, "");
    if spending.headings.is_empty() && spending.purchase_prices.is_zero() {
        return table;
    }
    let prices = spending.purchase_prices;
    table.row(vec![Cell::text("purchase prices"), prices.into(), Cell::blank(), prices.into()]);
    for row in &spending.headings {
        table.row(vec![Cell::text(&*row.heading), row.on_cars.into(), row.on_yard.into(), row.total().into()]);
    }
    table.total_row(vec![
        Cell::text("Together"),
        spending.cost_of_cars_sold().into(),
        spending.on_yard.into(),
        spending.total().into(),
    ]);
    table
}

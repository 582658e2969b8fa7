//! Each car's money, from what was paid for it to what was made on it.

use crate::domain::figures::spending::CostKind;
use crate::report::cell::Cell;
use crate::report::document::{Column, Table};
use crate::report::phrase::{self, capitalised};
use crate::report::picture::chart::{Bar, Chart, Drawing, Part, Pointer};
use crate::report::picture::page::facts::{PageCar, PageFacts};
use crate::report::picture::picture::{Section, left_out};

/// A bar for each car.
pub fn section(facts: &PageFacts<'_>) -> Section {
    let gone = facts.cars.iter().filter_map(|car| car.money.left);
    let (made, lost) = gone.fold(
        (0, 0),
        |(made, lost), left| {
            if left.profit.is_negative() { (made, lost + 1) } else { (made + 1, lost) }
        },
    );
    let here = facts.cars.len() - made - lost;
    let counts = [(here, "in stock"), (made, "made money or came out even"), (lost, "lost it")];
    let counts: Vec<String> =
        counts.iter().filter(|(count, _)| *count > 0).map(|(count, what)| format!("{count} {what}")).collect();
    let said = if facts.cars.is_empty() {
        "No cars in these months.".to_owned()
    } else {
        format!("{} drawn: {}.", capitalised(&phrase::cars(facts.cars.len())), counts.join(", "))
    };
    let told = format!(
        "A bar for each car, the newest first: what was paid for it, then its costs by kind, then VAT if there is any, \
         then profit. All of a bar is what came in for the car. On a loss the bar is what went out and a pointer \
         marks what came in; a car in stock has a pointer at its asking price. {said}"
    );
    let bars: Vec<Bar> = facts.cars.iter().rev().map(bar).collect();
    let chart = Chart { title: "Each car's money".into(), told, drawing: Drawing::Bars(bars) };
    Section::new("cars", "Each car's money", said)
        .drawn((!facts.cars.is_empty()).then_some(chart))
        .behind("Each car's money", table(facts.cars))
        .noting(left_out(facts.cars.len(), facts.cars_in_all, "cars of the last twelve months", "stock-book"))
        .noting(["`runabout car CAR` shows every line behind a bar. After-sale costs are not in it.".to_owned()])
}

fn bar(car: &PageCar<'_>) -> Bar {
    let money = &car.money;
    let mut parts = vec![(Part::Purchase, money.purchase_price)];
    parts.extend(money.costs.iter().map(|(kind, amount)| (Part::Cost(*kind), *amount)));
    let left = money.left;
    parts.extend(left.map(|left| (Part::Vat, left.vat)));
    parts.extend(left.filter(|left| left.profit.is_positive()).map(|left| (Part::Profit, left.profit)));
    parts.retain(|(_, amount)| !amount.is_zero());
    let (told, pointer) = match left {
        Some(left) if left.profit.is_negative() => {
            (phrase::made(left.profit), Some((Pointer::CameIn, money.came_in())))
        }
        Some(left) => (phrase::made(left.profit), None),
        None => (
            car.asking_price.map_or_else(
                || format!("stands in at {}", money.stands_in),
                |asking| format!("stands in at {}, asking {asking}", money.stands_in),
            ),
            car.asking_price.map(|asking| (Pointer::Asking, asking)),
        ),
    };
    Bar { name: car.car.label(), told, parts, pointer }
}

fn table(cars: &[PageCar<'_>]) -> Table {
    let columns = vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("purchase_price", "Price paid"),
        Column::new("finding", "Tests, checks"),
        Column::new("righting", "Putting right"),
        Column::new("moving", "Moving"),
        Column::new("selling", "Selling"),
        Column::new("other", "Other"),
        Column::new("income", "Brought in"),
        Column::new("stands_in", "Stands in at"),
        Column::new("selling_price", "Fetched"),
        Column::new("vat_on_sale", "VAT"),
        Column::new("profit", "Profit"),
    ];
    let mut table = Table::new("car-money", columns, "");
    for PageCar { car, money, .. } in cars.iter().rev() {
        let cost = |kind: CostKind| money.costs.iter().find(|(other, _)| *other == kind).map(|(_, amount)| *amount);
        table.row(vec![
            Cell::count(i64::from(car.stock_no.get())),
            car.mark.as_ref().map(ToString::to_string).into(),
            money.purchase_price.into(),
            cost(CostKind::Finding).into(),
            cost(CostKind::Righting).into(),
            cost(CostKind::Moving).into(),
            cost(CostKind::Selling).into(),
            cost(CostKind::Other).into(),
            money.income.into(),
            money.stands_in.into(),
            money.left.map(|left| left.fetched).into(),
            money.left.map(|left| left.vat).into(),
            money.left.map(|left| left.profit).into(),
        ]);
    }
    table
}

//! What is wanted first: the answers, the cars in the yard, what is due.

use crate::domain::book::facts::Showing;
use crate::domain::days::day::long;
use crate::domain::due::due_item::{DueItem, DueKind};
use crate::domain::figures::yard::{Flag, YardCar};
use crate::domain::value::car_ref::StockNo;
use crate::report::car::car_facts::{CarFacts, offer_caution};
use crate::report::cell::Cell;
use crate::report::document::{Column, Table};
use crate::report::phrase::{self, capitalised, days};
use crate::report::picture::page::facts::{MOST_DUE, MOST_IN_YARD, PageFacts};
use crate::report::picture::picture::{Answer, Entry, Section, left_out};
use std::collections::BTreeMap;

/// What a trader who looks at nothing else should know.
pub fn answers(facts: &PageFacts<'_>) -> Vec<Answer> {
    let here = facts.yard.cars.len();
    let stock = &facts.yard.balances;
    let mut answers = vec![Answer {
        name: "In the yard".into(),
        figure: capitalised(&phrase::cars(here)),
        remark: (here > 0).then(|| {
            let they_stand = if here == 1 { "stands" } else { "stand" };
            format!("{they_stand} you in at {}; cash tied up {}", stock.stock_at_cost, stock.cash_tied_up())
        }),
    }];
    answers.extend(facts.results.months.last().map(|(month, figures)| Answer {
        name: month.first_day().format("%B").to_string() + if facts.day < month.last_day() { " so far" } else { "" },
        figure: capitalised(&phrase::made(figures.profit)),
        remark: Some(format!(
            "after everything; {} sold, {} bought",
            phrase::cars(figures.cars_sold.len()),
            figures.cars_bought.len()
        )),
    }));
    answers.push(Answer {
        name: "Float".into(),
        figure: facts.balances.float().to_string(),
        remark: Some(format!("{} in hand, {} at the bank", facts.balances.cash, facts.balances.bank)),
    });
    answers.push(next_due(facts.due));
    answers.extend(facts.next_slot.and_then(|slot| {
        let (affordable, budget) = (slot.is_affordable()?, slot.budget?);
        let free = slot.purse.free();
        Some(Answer {
            name: format!("A car for {}", slot.month),
            figure: if affordable { "The float can carry it".into() } else { "Not yet".into() },
            remark: Some(if affordable {
                format!("{free} free for a budget of {budget}")
            } else {
                format!("{} short of {budget}", slot.short_by()?)
            }),
        })
    }));
    answers
}

fn next_due(items: &[DueItem]) -> Answer {
    let name = "Due next".to_owned();
    let overdue = items.iter().filter(|item| item.days_left.is_some_and(|left| left < 0)).count();
    let next = items.iter().find(|item| item.days_left.is_none_or(|left| left >= 0));
    match (overdue, next) {
        (0, None) => Answer { name, figure: "Nothing in the next 30 days".into(), remark: None },
        (0, Some(item)) => {
            Answer { name, figure: when(item), remark: Some(format!("{}: {}", item.subject, kind_in_words(item.kind))) }
        }
        (overdue, _) => Answer {
            name,
            figure: format!("{} overdue", phrase::grouped(overdue)),
            remark: items.first().map(|item| format!("{}: {}", item.subject, kind_in_words(item.kind))),
        },
    }
}

/// `1 Dec 2026, in 6 days`; `Now` without a day.
fn when(item: &DueItem) -> String {
    match (item.on, how_far(item)) {
        (Some(on), Some(how_far)) => format!("{}, {how_far}", long(on)),
        _ => "Now".into(),
    }
}

/// `in 6 days`, `today`, `18 days ago`.
fn how_far(item: &DueItem) -> Option<String> {
    Some(match item.days_left? {
        0 => "today".into(),
        left if left < 0 => format!("{} ago", days(-left)),
        left => format!("in {}", days(left)),
    })
}

/// The kind as people say it.
fn kind_in_words(kind: DueKind) -> String {
    match kind {
        DueKind::Mot => "MOT ends".into(),
        DueKind::NoMot => "no MOT".into(),
        DueKind::FirstMot => "first MOT".into(),
        DueKind::MotWindow => "MOT can be renewed".into(),
        DueKind::VatRegistration => "VAT registration".into(),
        DueKind::VatReturn => "VAT return".into(),
        other => other.word().replace('-', " "),
    }
}

/// The cars in the yard.
pub fn here(facts: &PageFacts<'_>) -> Section {
    let cars = &facts.yard.cars;
    let mut next: BTreeMap<StockNo, &DueItem> = BTreeMap::new();
    for item in facts.due.iter().filter(|item| item.kind != DueKind::StockAge) {
        if let Some(stock_no) = item.stock_no {
            next.entry(stock_no).or_insert(item);
        }
    }
    let said = match facts.yard.average_days_in_stock {
        None => "No cars in stock. `runabout buy MARK PRICE` records one.".to_owned(),
        Some(_) if cars.len() == 1 => "What it stands you in at is its price and everything put into it.".to_owned(),
        Some(average) => format!("Here {} days on average.", average.normalize()),
    };
    let mut section = Section::new("yard", "In the yard", said);
    let shown = &cars[..cars.len().min(MOST_IN_YARD)];
    section.entries = shown.iter().map(|on| entry(on, next.get(&on.car.stock_no).copied())).collect();
    section
        .noting(left_out(shown.len(), cars.len(), "cars in stock", "stock"))
        .behind("The cars in the yard", table(shown))
}

fn laid_out(on: &YardCar<'_>) -> CarFacts {
    CarFacts::new(on.car, &on.figures, &on.showing, on.on_day.clone())
}

fn entry(on: &YardCar<'_>, next: Option<&DueItem>) -> Entry {
    let car = laid_out(on);
    let watch: Vec<String> = on.on_day.flags.iter().filter_map(|flag| in_words(*flag)).collect();
    let step = next.map(|item| format!("{}: {}", when(item), item.action));
    let wanting = on.showing.asking_price.is_none().then(|| "set an asking price".to_owned());
    Entry {
        name: on.car.label(),
        when: None,
        more: car.description,
        facts: vec![
            ("days", Cell::days(car.days_in_stock)),
            ("stands in at", car.stands_in.into()),
            ("asking", car.asking_price.into()),
            ("MOT left", mot_left(&on.showing, car.mot_days_left)),
        ],
        watch: (!watch.is_empty()).then(|| capitalised(&watch.join("; "))),
        next: step.or(wanting).map(|step| capitalised(&step)),
    }
}

/// What wants looking at, in words. Two say nothing here: every bought car starts untaxed, and a missing
/// asking price is seen.
fn in_words(flag: Flag) -> Option<String> {
    Some(match flag {
        Flag::DangerousDefect => "dangerous defect found: not to be driven or sold as it is".into(),
        Flag::MajorDefect => "major defect found: not to be sold as it is".into(),
        Flag::NoMot => "failed its MOT".into(),
        Flag::MotUnknown => "no MOT known".into(),
        Flag::MotLapsed => "MOT has run out".into(),
        Flag::MotSoon => "MOT ends soon".into(),
        Flag::BelowMinimumMot => "MOT shorter than you want at a sale".into(),
        Flag::Over(days) => format!("over {days} days here"),
        Flag::Deposit => "deposit held".into(),
        Flag::Untaxed | Flag::NoAskingPrice => return None,
    })
}

/// Days left, or in words that it is out; a dash where none is known.
fn mot_left(showing: &Showing, left: Option<i64>) -> Cell {
    match left {
        Some(left) if left < 0 => Cell::text("out"),
        Some(left) => Cell::text(days(left)),
        None if showing.mot.failed => Cell::text("none"),
        None => Cell::Missing,
    }
}

fn table(shown: &[YardCar<'_>]) -> Table {
    let columns = vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("description", "Car"),
        Column::new("bought_on", "Bought"),
        Column::new("days_in_stock", "Days"),
        Column::new("purchase_price", "Price paid"),
        Column::new("stands_in", "Stands in at"),
        Column::new("asking_price", "Asking"),
        Column::new("mot_until", "MOT until"),
    ];
    let mut table = Table::new("cars", columns, "");
    for car in shown.iter().map(laid_out) {
        table.row(vec![
            Cell::count(i64::from(car.stock_no)),
            car.mark.into(),
            car.description.into(),
            car.bought_on.into(),
            Cell::days(car.days_in_stock),
            car.purchase_price.into(),
            car.stands_in.into(),
            car.asking_price.into(),
            car.mot_until.into(),
        ]);
    }
    table
}

/// The caution about cars on offer that something is held against.
pub fn against_offers(facts: &PageFacts<'_>) -> Option<String> {
    let cars: Vec<CarFacts> = facts.yard.cars.iter().map(laid_out).collect();
    offer_caution(&cars).map(|caution| capitalised(&caution) + ".")
}

/// What is due.
pub fn due(facts: &PageFacts<'_>) -> Section {
    let items = facts.due;
    let overdue = items.iter().filter(|item| item.days_left.is_some_and(|left| left < 0)).count();
    let said = match (items.len(), overdue) {
        (0, _) => "Nothing overdue, and nothing in the next 30 days.".to_owned(),
        (1, 0) => "1 date in the next 30 days, none overdue.".to_owned(),
        (count, 0) => format!("{} dates in the next 30 days, none overdue.", phrase::grouped(count)),
        (count, overdue) => {
            format!("{} dates, {} of them overdue.", phrase::grouped(count), phrase::grouped(overdue))
        }
    };
    let shown = &items[..items.len().min(MOST_DUE)];
    let mut section = Section::new("due", "What is due", said);
    section.entries = shown
        .iter()
        .map(|item| Entry {
            name: item.on.map_or_else(|| "Now".into(), long),
            when: how_far(item),
            more: Some(format!("{}, {}", item.subject, kind_in_words(item.kind))),
            facts: Vec::new(),
            watch: None,
            next: Some(capitalised(&item.action)),
        })
        .collect();
    section.noting(left_out(shown.len(), items.len(), "dates", "due"))
}

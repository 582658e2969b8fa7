//! When each car was here, against the slots of the programme.

use crate::domain::book::stay::Left;
use crate::domain::days::day::days_between;
use crate::report::cell::Cell;
use crate::report::document::{Column, Table};
use crate::report::picture::chart::{Chart, Drawing, Stay, Stretch, StretchEnd, Timeline};
use crate::report::picture::page::facts::{PageCar, PageFacts};
use crate::report::picture::picture::{Section, left_out};
use chrono::NaiveDate;

/// A line for each car, month by month.
pub fn section(facts: &PageFacts<'_>) -> Section {
    let begun = || facts.slots.iter().filter(|slots| slots.month.first_day() <= facts.day);
    let planned: u32 = begun().map(|slots| slots.planned).sum();
    let filled: u32 = begun().map(|slots| slots.filled).sum();
    let said = if planned == 0 {
        "Each car from the day it was bought to the day it left.".to_owned()
    } else {
        let beyond: u32 = begun().map(|slots| slots.beyond).sum();
        let beyond = match beyond {
            0 => String::new(),
            1 => " 1 car was bought beyond them.".to_owned(),
            more => format!(" {more} cars were bought beyond them."),
        };
        format!("{filled} of {planned} slots of the programme filled, this month's among them.{beyond}")
    };
    let cars: Vec<Stay> = facts.cars.iter().map(|car| stay(car, facts.day)).collect();
    let told = format!(
        "A row for each car, the oldest at the top, from the day it was bought to the day it was sold, with the last \
         day of its MOT marked{}. {said}",
        if planned == 0 { "" } else { "; above them the slots of the programme, filled or empty, month by month" }
    );
    let chart = facts.slots.first().zip(facts.slots.last()).map(|(first, last)| Chart {
        title: "When each car was here".into(),
        told,
        drawing: Drawing::Timeline(Timeline {
            from: first.month.first_day(),
            to: last.month.last_day(),
            today: facts.day,
            slots: facts.slots.to_vec(),
            cars,
        }),
    });
    Section::new("stays", "When each car was here", said)
        .drawn(chart.filter(|_| !facts.cars.is_empty()))
        .behind("When each car was here", table(facts))
        .noting(left_out(facts.cars.len(), facts.cars_in_all, "cars of the last twelve months", "stock-book"))
        .noting(["An MOT on its last day says nothing of the days after: look at the car.".to_owned()])
}

fn stay(car: &PageCar<'_>, day: NaiveDate) -> Stay {
    let begun = car.car.stretches().filter(|stretch| stretch.from <= day);
    let stretches = begun.map(|stretch| Stretch {
        from: stretch.from,
        until: stretch.end_by(day),
        end: match stretch.left.filter(|left| left.on() <= day) {
            Some(Left::Sold(_)) => StretchEnd::Sold,
            Some(Left::Disposed(_)) => StretchEnd::Gone,
            None => StretchEnd::Here,
        },
    });
    Stay { name: car.car.label(), stretches: stretches.collect(), mot_until: car.mot_until }
}

fn table(facts: &PageFacts<'_>) -> Table {
    let columns = vec![
        Column::new("stock_no", "No"),
        Column::new("mark", "Mark"),
        Column::new("from", "In stock from"),
        Column::new("until", "Until"),
        Column::new("days", "Days"),
        Column::new("end", "How it left"),
        Column::new("mot_until", "MOT until"),
    ];
    let mut table = Table::new("stays", columns, "");
    for car in facts.cars {
        for stretch in stay(car, facts.day).stretches {
            let (until, end) = match stretch.end {
                StretchEnd::Here => (Cell::text("still here"), Cell::blank()),
                StretchEnd::Sold => (stretch.until.into(), Cell::text("sold")),
                StretchEnd::Gone => (
                    stretch.until.into(),
                    Cell::text(car.car.disposal.as_ref().map_or("gone", |disposal| disposal.how.word())),
                ),
            };
            table.row(vec![
                Cell::count(i64::from(car.car.stock_no.get())),
                car.car.mark.as_ref().map(ToString::to_string).into(),
                stretch.from.into(),
                until,
                Cell::days(days_between(stretch.from, stretch.until)),
                end,
                car.mot_until.into(),
            ]);
        }
    }
    table
}

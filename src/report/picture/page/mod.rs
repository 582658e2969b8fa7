//! `page`: the yard, the month, the float and every car in pictures, with the figures behind them. The
//! figures are those of `stock`, `due`, `results`, `forecast` and `car`; nothing is worked out here.

mod cars;
pub mod facts;
mod float;
mod months;
mod sold;
mod spent;
mod timeline;
mod yard;

use crate::domain::days::day::long;
use crate::report::phrase;
use crate::report::picture::page::facts::PageFacts;
use crate::report::picture::picture::PicturePage;

/// Lays the page out.
pub fn page(facts: &PageFacts<'_>) -> PicturePage {
    let sections = vec![
        yard::here(facts),
        yard::due(facts),
        months::section(facts),
        float::section(facts),
        cars::section(facts),
        timeline::section(facts),
        spent::section(facts),
        sold::section(facts),
    ];
    PicturePage {
        title: format!("The yard on {}", long(facts.day)),
        day: facts.day,
        trader: facts.trader.clone(),
        answers: yard::answers(facts),
        sections,
        cautions: [
            Some(format!("Drawn from the book as of {}. {}", long(facts.day), phrase::CAUTION)),
            Some("The forecast is arithmetic on the past, not advice.".to_owned()),
            yard::against_offers(facts),
        ]
        .into_iter()
        .flatten()
        .collect(),
        file_name: format!("runabout-{}.html", facts.day.format("%Y-%m-%d")),
    }
}

//! Pictures as inline SVG, drawn for this book. Places are whole numbers, ten to a unit of the page; a
//! picture is 360 units wide, so that its words are read on a phone as they are set, and larger on a desk.
//!
//! Where a part of a bar begins is where the one before it ended: places on the paper, not figures.

mod bars;
mod course;
mod ink;
mod months;
mod scale;
mod scatter;
mod stays;
mod walk;
mod words;

use crate::render::html::page::text;
use crate::report::chart::{Chart, Drawing};
use maud::{Markup, html};

/// The width of every picture.
const WIDTH: i64 = 3600;

/// What is drawn, and how high it came out.
struct Drawn {
    height: i64,
    marks: Markup,
}

/// The picture, its title and its text equivalent. `id` is its section's, the only one of the page.
pub(super) fn chart(id: &str, chart: &Chart) -> Markup {
    let drawn = match &chart.drawing {
        Drawing::Months(columns) => months::drawn(columns),
        Drawing::Course(course) => course::drawn(course),
        Drawing::Bars(bars) => bars::drawn(bars),
        Drawing::Walk(steps) => walk::drawn(steps),
        Drawing::Stays(stays) => stays::drawn(stays),
        Drawing::Scatter(dots) => scatter::drawn(dots),
    };
    let (title, told) = (format!("{id}-title"), format!("{id}-told"));
    html! {
        svg viewBox={ "0 0 " (WIDTH) " " (drawn.height) } preserveAspectRatio="xMinYMin" role="img" aria-labelledby={ (title) " " (told) } {
            title id=(title) { (text(&chart.title)) }
            desc id=(told) { (text(&chart.told)) }
            (drawn.marks)
        }
    }
}

//! The float at month ends: a line to today, then a broken line inside a band.

use crate::render::html::chart::drawn::{Drawn, WIDTH};
use crate::render::html::chart::months::{gutter, nothing, path, rules};
use crate::render::html::chart::scale::{Axis, Scale};
use crate::render::html::chart::style::{Area, Key, key};
use crate::report::picture::chart::LineBand;
use chrono::{Datelike, NaiveDate};
use maud::{Markup, html};
use std::fmt::Write;

const PLOT: i64 = 1700;
/// The distance between the strokes of the band.
const STROKES: i64 = 50;
/// The least room between two names of months.
const NAMES_APART: i64 = 380;

/// How near an edge the middle of a name may come.
const EDGE: i64 = 140;

/// A place in the band: across, and the heights of its low, middle and high.
type Across = (i64, [i64; 3]);

pub(super) fn drawn(course: &LineBand) -> Drawn {
    let sums = course.behind.iter().map(|(_, sum)| sum.get());
    let ahead = course.ahead.iter().flat_map(|ahead| [ahead.low.get(), ahead.high.get()]);
    let axis = Axis::spanning(sums.chain(ahead), 5, 100);
    let gutter = gutter(&axis);
    let (key, top) = key(&[], &SIGNS, 0);
    let top = top + 150;
    let up = Scale::new(axis.ends(), (top + PLOT, top));
    let days = || course.behind.iter().map(|(on, _)| *on).chain(course.ahead.iter().map(|ahead| ahead.on));
    let number = |on: NaiveDate| i64::from(on.num_days_from_ce());
    let (first, last) = (days().map(number).min().unwrap_or(0), days().map(number).max().unwrap_or(1));
    let right = Scale::new((first, last.max(first + 1)), (gutter + 60, WIDTH - 60));
    let behind: Vec<(i64, i64)> =
        course.behind.iter().map(|(on, sum)| (right.place(number(*on)), up.place(sum.get()))).collect();
    let today = course.behind.last().map(|(on, sum)| (right.place(number(*on)), [up.place(sum.get()); 3]));
    let to_come = course.ahead.iter().map(|ahead| {
        let heights = [ahead.low, ahead.middle, ahead.high].map(|sum| up.place(sum.get()));
        (right.place(number(ahead.on)), heights)
    });
    let band: Vec<Across> = today.into_iter().chain(to_come).collect();
    let edge = |which: usize| band.iter().map(|(x, heights)| (*x, heights[which])).collect::<Vec<_>>();
    let around: Vec<(i64, i64)> = edge(2).into_iter().chain(edge(0).into_iter().rev()).collect();
    let marks = html! {
        (key)
        polygon.pale.edgeless points=(path(&around)) {}
        (rules(&axis, &up, gutter))
        path.lines d=(strokes(&band)) {}
        @for which in [0, 2] { polyline.edge points=(path(&edge(which))) {} }
        (nothing(&up, gutter))
        polyline.ahead points=(path(&edge(1))) {}
        polyline.course points=(path(&behind)) {}
        @for (x, y) in &behind { circle.point cx=(x) cy=(y) r="30" {} }
        @if let Some((x, _)) = today {
            line.today x1=(x) y1=(top - 20) x2=(x) y2=(top + PLOT) {}
            text.small.mid x=(x.clamp(gutter + 200, WIDTH - 200)) y=(top - 50) { "today" }
        }
        (month_names(&days().collect::<Vec<_>>(), |on| right.place(number(on)), top + PLOT))
    };
    Drawn { height: top + PLOT + 290, marks }
}

/// Upright strokes from the low edge to the high one.
fn strokes(band: &[Across]) -> String {
    let mut drawn = String::new();
    for pair in band.windows(2) {
        let ((from, begins), (to, ends)) = (pair[0], pair[1]);
        for x in (from / STROKES + 1..=to / STROKES).map(|n| n * STROKES) {
            let between = |which: usize| Scale::new((from, to), (begins[which], ends[which])).place(x);
            // Writing to a string does not fail.
            let _ = write!(drawn, "M{x} {}V{}", between(0), between(2));
        }
    }
    drawn
}

/// The months under the line, as many as there is room for, with the year of the first and of the first
/// named in each year.
fn month_names(days: &[NaiveDate], place: impl Fn(NaiveDate) -> i64, low: i64) -> Markup {
    let (mut free, mut year) = (0, None);
    let named = days.iter().filter_map(|on| {
        let x = place(*on);
        let has_room = x >= free;
        has_room.then(|| free = x + NAMES_APART)?;
        let new_year = year != Some(on.year());
        year = Some(on.year());
        Some((x.clamp(EDGE, WIDTH - EDGE), *on, new_year))
    });
    html! {
        @for (x, on, new_year) in named {
            line.rule x1=(x) y1=(low) x2=(x) y2=(low + 40) {}
            text.small.mid x=(x) y=(low + 135) { (on.format("%b").to_string()) }
            @if new_year { text.small.mid x=(x) y=(low + 245) { (on.year()) } }
        }
    }
}

const SIGNS: [Key; 3] = [
    Key { sign: course_sign, name: "float so far" },
    Key { sign: ahead_sign, name: "middle of the runs" },
    Key { sign: band_sign, name: "eight runs in ten" },
];

fn course_sign(area: Area) -> Markup {
    let y = area.y + area.height / 2;
    html! {
        line.course x1=(area.x) y1=(y) x2=(area.x + area.width) y2=(y) {}
        circle.point cx=(area.x + area.width / 2) cy=(y) r="30" {}
    }
}

fn ahead_sign(area: Area) -> Markup {
    let y = area.y + area.height / 2;
    html! { line.ahead x1=(area.x) y1=(y) x2=(area.x + area.width) y2=(y) {} }
}

fn band_sign(area: Area) -> Markup {
    let both = [area.y + area.height, area.y + area.height / 2, area.y];
    html! {
        rect.pale x=(area.x) y=(area.y) width=(area.width) height=(area.height) {}
        path.lines d=(strokes(&[(area.x, both), (area.x + area.width, both)])) {}
    }
}

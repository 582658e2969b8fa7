//! Cars sold, further right the longer they were here, higher the more they returned.

use crate::render::html::chart::drawn::{Drawn, WIDTH};
use crate::render::html::chart::scale::{Axis, Scale};
use crate::render::html::chart::style::{Area, Key, key};
use crate::render::html::chart::words::Size;
use crate::report::picture::chart::Dot;
use maud::{Markup, html};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

const PLOT: i64 = 1700;
/// The return that doubles the money.
const DOUBLED: i64 = 100;

/// A dot in its place.
struct Placed {
    x: i64,
    y: i64,
    is_loss: bool,
    name: String,
}

pub(super) fn drawn(dots: &[Dot]) -> Drawn {
    let per_cent = |dot: &Dot| dot.return_pct.round().to_i64().unwrap_or_default();
    let up = Axis::spanning(dots.iter().map(per_cent).chain([DOUBLED]), 5, 1);
    let right = Axis::spanning(dots.iter().map(|dot| dot.days), 5, 1);
    let gutter = up.marks.iter().map(|mark| Size::Small.room(&percent(*mark))).max().unwrap_or_default() + 80;
    let (key, top) = key(&[], &SIGNS, 0);
    let top = top + 100;
    let height = Scale::new(up.ends(), (top + PLOT, top));
    let across = Scale::new(right.ends(), (gutter + 60, WIDTH - 160));
    let placed: Vec<Placed> = dots
        .iter()
        .map(|dot| Placed {
            x: across.place(dot.days),
            y: height.place(per_cent(dot)),
            is_loss: dot.return_pct < Decimal::ZERO,
            name: dot.stock_no.to_string(),
        })
        .collect();
    let doubled = height.place(DOUBLED);
    let marks = html! {
        (key)
        @for mark in &up.marks {
            @let y = height.place(*mark);
            line.rule x1=(gutter) y1=(y) x2=(WIDTH) y2=(y) {}
            text.small.end x=(gutter - 50) y=(y + 34) { (percent(*mark)) }
        }
        @for mark in &right.marks {
            text.small.mid x=(across.place(*mark)) y=(top + PLOT + 140) { (mark) }
        }
        text.small.end x=(WIDTH) y=(top + PLOT + 260) { "days from bought to sold" }
        line.base x1=(gutter) y1=(height.place(0)) x2=(WIDTH) y2=(height.place(0)) {}
        line.ahead x1=(gutter) y1=(doubled) x2=(WIDTH) y2=(doubled) {}
        @for dot in &placed {
            @if dot.is_loss { (cross(dot.x, dot.y)) } @else { circle.dot cx=(dot.x) cy=(dot.y) r="42" {} }
        }
        @for (x, y, name) in names(&placed, (gutter, top, WIDTH, top + PLOT), doubled) { text.small x=(x) y=(y) { (name) } }
    };
    Drawn { height: top + PLOT + 300, marks }
}

fn percent(mark: i64) -> String {
    format!("{mark} %")
}

/// Names beside their dots, right, left, above or below, where they touch neither another name nor another
/// dot nor the broken line; one without room is left to the figures behind.
fn names(placed: &[Placed], (left, top, right, low): (i64, i64, i64, i64), line: i64) -> Vec<(i64, i64, &str)> {
    type Box = (i64, i64, i64, i64);
    let apart = |a: &Box, b: &Box| a.2 <= b.0 || b.2 <= a.0 || a.3 <= b.1 || b.3 <= a.1;
    let dots: Vec<Box> = placed.iter().map(|dot| (dot.x - 45, dot.y - 45, dot.x + 45, dot.y + 45)).collect();
    let mut taken: Vec<Box> = vec![(left, line - 12, right, line + 12)];
    let mut named = Vec::new();
    for dot in placed {
        let room = Size::Small.room(&dot.name);
        let spots = [
            (dot.x + 60, dot.y + 34),
            (dot.x - 60 - room, dot.y + 34),
            (dot.x - room / 2, dot.y - 60),
            (dot.x - room / 2, dot.y + 130),
        ];
        let free = spots.into_iter().find_map(|(x, y)| {
            let around = (x, y - 80, x + room, y + 10);
            let inside = around.0 >= left && around.1 >= top - 60 && around.2 <= right && around.3 <= low;
            let is_free = inside && taken.iter().chain(&dots).all(|other| apart(&around, other));
            is_free.then_some((x, y, around))
        });
        if let Some((x, y, around)) = free {
            taken.push(around);
            named.push((x, y, dot.name.as_str()));
        }
    }
    named
}

fn cross(x: i64, y: i64) -> Markup {
    html! { path.stop d={ "M" (x - 40) " " (y - 40) "l80 80m0 -80l-80 80" } {} }
}

const SIGNS: [Key; 3] = [
    Key {
        sign: |area| html! { circle.dot cx=(area.x + area.width / 2) cy=(area.y + 50) r="42" {} },
        name: "made money, with its number",
    },
    Key { sign: |area| cross(area.x + area.width / 2, area.y + 50), name: "lost it" },
    Key {
        sign: |area: Area| html! { line.ahead x1=(area.x) y1=(area.y + 50) x2=(area.x + area.width) y2=(area.y + 50) {} },
        name: "doubled",
    },
];

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn names_never_touch(spots in prop::collection::vec((500_i64..3400, 300_i64..1900), 0..60)) {
            let placed: Vec<Placed> = spots
                .iter()
                .enumerate()
                .map(|(n, (x, y))| Placed { x: *x, y: *y, is_loss: false, name: (n + 1).to_string() })
                .collect();
            let named = names(&placed, (400, 200, WIDTH, 2000), 1100);
            for (n, (x, y, name)) in named.iter().enumerate() {
                for (other_x, other_y, other) in &named[n + 1..] {
                    let beside = x + Size::Small.room(name) <= *other_x || other_x + Size::Small.room(other) <= *x;
                    prop_assert!(beside || (y - other_y).abs() >= 90, "{name} and {other}");
                }
            }
            prop_assert!(spots.len() != 1 || named.len() == 1);
        }
    }
}

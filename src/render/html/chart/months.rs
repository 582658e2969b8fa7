//! Months side by side: parts up from nothing and down from it, and a line through what is left.

use crate::render::html::chart::drawn::{Drawn, WIDTH, stacked};
use crate::render::html::chart::scale::{Axis, Scale};
use crate::render::html::chart::style::{Area, Key, filled, key};
use crate::render::html::chart::words::{Size, sum};
use crate::report::picture::chart::{MonthColumn, Part};
use maud::{Markup, html};

const PLOT: i64 = 1600;
/// The widest a column is drawn.
const WIDEST: i64 = 320;

pub(super) fn drawn(columns: &[MonthColumn]) -> Drawn {
    let stacks: Vec<Vec<(Part, i64, i64)>> = columns.iter().map(|column| stacked(&column.parts)).collect();
    let ends = stacks.iter().flatten().flat_map(|(_, from, to)| [*from, *to]);
    let axis = Axis::spanning(ends.chain(columns.iter().map(|column| column.profit.get())), 5, 100);
    let gutter = gutter(&axis);
    let mut parts: Vec<Part> = stacks.iter().flatten().map(|(part, ..)| *part).collect();
    parts.sort_by_key(|part| columns.first().and_then(|c| c.parts.iter().position(|(other, _)| other == part)));
    parts.dedup();
    let line = Key { sign: line_sign, name: "profit that is left" };
    let (key, top) = key(&parts, &[line], 0);
    let top = top + 80;
    let scale = Scale::new(axis.ends(), (top + PLOT, top));
    let slot = (WIDTH - gutter) / i64::try_from(columns.len().max(1)).unwrap_or(1);
    let width = (slot * 3 / 5).min(WIDEST);
    let middle = |n: usize| gutter + slot * i64::try_from(n).unwrap_or_default() + slot / 2;
    let points: Vec<(i64, i64)> =
        columns.iter().enumerate().map(|(n, column)| (middle(n), scale.place(column.profit.get()))).collect();
    let marks = html! {
        (key)
        (rules(&axis, &scale, gutter))
        @for (n, stack) in stacks.iter().enumerate() {
            @for (part, from, to) in stack {
                @let (low, high) = (scale.place(*from.min(to)), scale.place(*from.max(to)));
                (filled(*part, Area { x: middle(n) - width / 2, y: high, width, height: low - high }))
            }
        }
        (nothing(&scale, gutter))
        polyline.course points=(path(&points)) {}
        @for (x, y) in &points { circle.point cx=(x) cy=(y) r="34" {} }
        @for (n, column) in columns.iter().enumerate() {
            // A year under December would touch the one under January.
            @let begins = n == 0 && (columns.len() == 1 || column.month.number() < 12);
            (month_label(column, begins || column.month.number() == 1, middle(n), top + PLOT))
        }
    };
    Drawn { height: top + PLOT + 290, marks }
}

/// The room at the left for the sums of an axis.
pub(super) fn gutter(axis: &Axis) -> i64 {
    axis.marks.iter().map(|mark| Size::Small.room(&sum(*mark))).max().unwrap_or_default() + 80
}

/// The rules across a picture at the marks of its axis, each with its sum.
pub(super) fn rules(axis: &Axis, scale: &Scale, gutter: i64) -> Markup {
    html! {
        @for mark in &axis.marks {
            @let y = scale.place(*mark);
            line.rule x1=(gutter) y1=(y) x2=(WIDTH) y2=(y) {}
            text.small.end x=(gutter - 50) y=(y + 34) { (sum(*mark)) }
        }
    }
}

/// The rule at nothing.
pub(super) fn nothing(scale: &Scale, gutter: i64) -> Markup {
    let y = scale.place(0);
    html! { line.base x1=(gutter) y1=(y) x2=(WIDTH) y2=(y) {} }
}

/// `Nov`, and under it the year where wanted.
fn month_label(column: &MonthColumn, with_year: bool, x: i64, low: i64) -> Markup {
    html! {
        text.small.mid x=(x) y=(low + 130) { (column.month.first_day().format("%b").to_string()) }
        @if with_year { text.small.mid x=(x) y=(low + 245) { (column.month.year()) } }
    }
}

/// Points as a polyline has them.
pub(super) fn path(points: &[(i64, i64)]) -> String {
    points.iter().map(|(x, y)| format!("{x},{y}")).collect::<Vec<_>>().join(" ")
}

fn line_sign(area: Area) -> Markup {
    let y = area.y + area.height / 2;
    html! {
        line.course x1=(area.x) y1=(y) x2=(area.x + area.width) y2=(y) {}
        circle.point cx=(area.x + area.width / 2) cy=(y) r="34" {}
    }
}

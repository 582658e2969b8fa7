//! Bars one under another, each with its name above it and its parts end to end.

use crate::render::html::chart::drawn::{Drawn, WIDTH, stacked};
use crate::render::html::chart::scale::{Axis, Scale};
use crate::render::html::chart::style::{Area, Key, filled, key};
use crate::render::html::chart::words::{Size, sum};
use crate::report::picture::chart::{Bar, Part, Pointer};
use maud::{Markup, html};

/// The height of a row, of its bar, and from the top of the row to its bar.
pub(super) const ROW: i64 = 355;
pub(super) const BAR: i64 = 130;
pub(super) const ABOVE: i64 = 150;
/// Room left at both ends for the outline of a bar.
const ENDS: i64 = 10;

pub(super) fn drawn(bars: &[Bar]) -> Drawn {
    let ends = bars.iter().flat_map(|bar| stacked(&bar.parts).into_iter().flat_map(|(_, from, to)| [from, to]));
    let pointed = bars.iter().filter_map(|bar| bar.pointer).map(|(_, at)| at.get());
    let axis = Axis::spanning(ends.chain(pointed), 4, 100);
    let scale = across(&axis);
    let mut parts: Vec<Part> = bars.iter().flat_map(|bar| stacked(&bar.parts)).map(|(part, ..)| part).collect();
    parts.sort_unstable();
    parts.dedup();
    let has = |wanted| bars.iter().any(|bar| bar.pointer.is_some_and(|(pointer, _)| pointer == wanted));
    let mut signs = Vec::new();
    signs.extend(has(Pointer::CameIn).then_some(Key { sign: short_sign, name: "came in, and the loss" }));
    signs.extend(has(Pointer::Asking).then_some(Key { sign: asking_sign, name: "asking price" }));
    // One part in every bar needs no key.
    let (key, top) = if parts.len() > 1 || !signs.is_empty() { key(&parts, &signs, 0) } else { (html! {}, 0) };
    let top = top + 160;
    let low = top + ROW * i64::try_from(bars.len()).unwrap_or_default();
    let marks = html! {
        (key)
        (sums(&axis, &scale, top - 40))
        @for (n, bar) in bars.iter().enumerate() {
            @let y = top + ROW * i64::try_from(n).unwrap_or_default();
            (rules(&axis, &scale, y))
            (heading(&bar.name, &bar.told, y))
            @for (part, from, to) in stacked(&bar.parts) {
                @let (left, right) = (scale.place(from.min(to)), scale.place(from.max(to)));
                (filled(part, Area { x: left, y: y + ABOVE, width: right - left, height: BAR }))
            }
            (base(&scale, y))
            (pointer(bar, &scale, y + ABOVE))
        }
    };
    Drawn { height: low + 40, marks }
}

/// The scale of sums across a picture.
pub(super) fn across(axis: &Axis) -> Scale {
    Scale::new(axis.ends(), (ENDS, WIDTH - ENDS))
}

/// The sums of an axis above a picture; those at its ends stay inside it.
pub(super) fn sums(axis: &Axis, scale: &Scale, y: i64) -> Markup {
    let last = axis.marks.len().saturating_sub(1);
    html! {
        @for (n, mark) in axis.marks.iter().enumerate() {
            text class={ "small " (if n == 0 { "" } else if n == last { "end" } else { "mid" }) }
                x=(if n == 0 { 0 } else if n == last { WIDTH } else { scale.place(*mark) }) y=(y) { (sum(*mark)) }
        }
    }
}

/// Rules behind one bar at the marks of the axis, so that none runs through words; the one at nothing is
/// drawn over it by [`base`].
pub(super) fn rules(axis: &Axis, scale: &Scale, y: i64) -> Markup {
    html! {
        @for x in axis.marks.iter().map(|mark| scale.place(*mark)) {
            line.rule x1=(x) y1=(y + ABOVE - 10) x2=(x) y2=(y + ABOVE + BAR + 10) {}
        }
    }
}

/// The rule at nothing.
pub(super) fn base(scale: &Scale, y: i64) -> Markup {
    let x = scale.place(0);
    html! { line.base x1=(x) y1=(y + ABOVE - 10) x2=(x) y2=(y + ABOVE + BAR + 10) {} }
}

/// A name at the left and what it comes to at the right; the name gives way.
pub(super) fn heading(name: &str, told: &str, y: i64) -> Markup {
    let told = Size::Plain.cut(told, WIDTH * 3 / 4);
    let name = Size::Plain.cut(name, WIDTH - Size::Plain.room(&told) - 100);
    html! {
        text.name x="0" y=(y + 115) { (name) }
        text.end x=(WIDTH) y=(y + 115) { (told) }
    }
}

/// What a bar points at: what is asked as an open mark, what came in with the loss under the bar.
fn pointer(bar: &Bar, scale: &Scale, y: i64) -> Markup {
    let end = stacked(&bar.parts).iter().map(|(_, _, to)| *to).max().unwrap_or_default();
    html! {
        @match bar.pointer {
            None => {},
            Some((Pointer::Asking, at)) => (asking(scale.place(at.get()), y)),
            Some((Pointer::CameIn, at)) => (short(scale.place(at.get()), scale.place(end), y)),
        }
    }
}

fn asking(x: i64, y: i64) -> Markup {
    html! { path.mark d={ "M" (x) " " (y + 8) "v" (BAR - 16) "m-40 0h80m-80 " (16 - BAR) "h80" } {} }
}

fn short(from: i64, to: i64, y: i64) -> Markup {
    html! {
        path.stop d={ "M" (from) " " (y) "v" (BAR + 65) } {}
        (filled(Part::Loss, Area { x: from, y: y + BAR + 15, width: to - from, height: 50 }))
    }
}

fn short_sign(area: Area) -> Markup {
    html! {
        path.stop d={ "M" (area.x) " " (area.y - 10) "v" (area.height + 20) } {}
        (filled(Part::Loss, Area { y: area.y + 50, height: 50, ..area }))
    }
}

fn asking_sign(area: Area) -> Markup {
    html! { path.mark d={ "M" (area.x + area.width / 2) " " (area.y) "v100m-40 0h80m-80 -100h80" } {} }
}

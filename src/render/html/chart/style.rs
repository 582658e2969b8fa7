//! What parts look like: each has a tone and a pattern of its own, so that they are told apart in black
//! and white, and by eyes that do not see every colour. Patterns are lines drawn inside the part.

use crate::domain::figures::spending::CostKind;
use crate::render::html::chart::drawn::WIDTH;
use crate::render::html::chart::words::Size;
use crate::report::picture::chart::Part;
use maud::{Markup, html};
use std::fmt::Write;

/// The distance between the lines of a pattern.
const STEP: i64 = 60;
/// The height of one line of the key, and of what stands for a part in it.
const KEY_LINE: i64 = 170;
const SWATCH: (i64, i64) = (170, 100);

/// A pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Pattern {
    None,
    Rising,
    Falling,
    Upright,
    Level,
    Dots,
    Crossed,
}

/// The class of the tone, which the style sheet colours, and the pattern.
const fn look(part: Part) -> (&'static str, Pattern) {
    match part {
        Part::Purchase | Part::StoodIn | Part::OnCars | Part::Gross | Part::Sum => ("deep", Pattern::None),
        Part::Cost(CostKind::Finding) | Part::Rest => ("pale", Pattern::Dots),
        Part::Cost(CostKind::Righting) | Part::OnYard => ("pale", Pattern::Rising),
        Part::Cost(CostKind::Moving) => ("pale", Pattern::Upright),
        Part::Cost(CostKind::Selling) => ("pale", Pattern::Level),
        Part::Cost(CostKind::Other) => ("pale", Pattern::Crossed),
        Part::Vat => ("bare", Pattern::Falling),
        Part::TakenBack => ("bare", Pattern::Level),
        Part::Profit | Part::More => ("gain", Pattern::None),
        Part::Overheads | Part::Less => ("want", Pattern::Rising),
        Part::Loss => ("want", Pattern::Crossed),
    }
}

/// A rectangle, its corner, width and height.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Area {
    pub(super) x: i64,
    pub(super) y: i64,
    pub(super) width: i64,
    pub(super) height: i64,
}

/// The part as it looks, filling the area; nothing where there is none.
pub(super) fn filled(part: Part, area: Area) -> Markup {
    let (tone, pattern) = look(part);
    html! {
        @if area.width > 0 && area.height > 0 {
            rect class=(tone) x=(area.x) y=(area.y) width=(area.width) height=(area.height) {}
            @if let Some(lines) = lines(pattern, area) {
                path class=(if pattern == Pattern::Dots { "dots" } else { "lines" }) d=(lines) {}
            }
        }
    }
}

/// The lines of a pattern that lie in the area, as one path; none where it has none.
fn lines(pattern: Pattern, area: Area) -> Option<String> {
    let mut path = String::new();
    let (right, low) = (area.x + area.width, area.y + area.height);
    let mut line = |x1: i64, y1: i64, x2: i64, y2: i64| {
        // Writing to a string does not fail.
        let _ = write!(path, "M{x1} {y1}L{x2} {y2}");
    };
    let multiples =
        |step: i64, from: i64, to: i64| (from.div_euclid(step) + 1..=(to - 1).div_euclid(step)).map(move |n| n * step);
    if matches!(pattern, Pattern::Rising | Pattern::Crossed) {
        for sum in multiples(STEP, area.x + area.y, right + low) {
            let (x1, x2) = ((sum - low).max(area.x), (sum - area.y).min(right));
            line(x1, sum - x1, x2, sum - x2);
        }
    }
    if matches!(pattern, Pattern::Falling | Pattern::Crossed) {
        for difference in multiples(STEP, area.x - low, right - area.y) {
            let (x1, x2) = ((difference + area.y).max(area.x), (difference + low).min(right));
            line(x1, x1 - difference, x2, x2 - difference);
        }
    }
    if pattern == Pattern::Upright {
        multiples(STEP, area.x, right).for_each(|x| line(x, area.y, x, low));
    }
    if matches!(pattern, Pattern::Level | Pattern::Dots) {
        multiples(STEP / 2, area.y, low).for_each(|y| line(area.x, y, right, y));
    }
    (!path.is_empty()).then_some(path)
}

/// A line of the key: what stands for something, and its name.
pub(super) struct Key {
    /// Drawn in this area.
    pub(super) sign: fn(Area) -> Markup,
    /// Its name.
    pub(super) name: &'static str,
}

/// The key of a picture from `y` on, as many names to a line as there is room for, and how high it is.
pub(super) fn key(parts: &[Part], signs: &[Key], y: i64) -> (Markup, i64) {
    let parts = parts.iter().map(|part| (Ok(*part), part.name()));
    let signs = signs.iter().map(|sign| (Err(sign.sign), sign.name));
    let (mut x, mut line) = (0, 0);
    let mut placed = Vec::new();
    for (sign, name) in parts.chain(signs) {
        let room = SWATCH.0 + 60 + Size::Small.room(name) + 130;
        if x > 0 && x + room > WIDTH {
            (x, line) = (0, line + 1);
        }
        placed.push((sign, name, x, y + line * KEY_LINE));
        x += room;
    }
    let height = if placed.is_empty() { 0 } else { (line + 1) * KEY_LINE };
    let marks = html! {
        @for (sign, name, x, y) in placed {
            @let area = Area { x: x + 10, y: y + 20, width: SWATCH.0, height: SWATCH.1 };
            @match sign { Ok(part) => (filled(part, area)), Err(sign) => (sign(area)) }
            text.small x=(x + SWATCH.0 + 60) y=(y + 105) { (name) }
        }
    };
    (marks, height)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const ALL: [Part; 19] = [
        Part::Purchase,
        Part::StoodIn,
        Part::Cost(CostKind::Finding),
        Part::Cost(CostKind::Righting),
        Part::Cost(CostKind::Moving),
        Part::Cost(CostKind::Selling),
        Part::Cost(CostKind::Other),
        Part::Vat,
        Part::Profit,
        Part::Loss,
        Part::TakenBack,
        Part::OnCars,
        Part::OnYard,
        Part::Gross,
        Part::Overheads,
        Part::Rest,
        Part::Sum,
        Part::More,
        Part::Less,
    ];

    /// The parts that can stand in one bar look different, whatever the colours.
    #[test]
    fn no_two_parts_of_one_bar_look_alike() {
        for together in [
            &ALL[2..10],
            &[Part::Purchase, Part::Cost(CostKind::Other), Part::Vat, Part::Profit, Part::Loss][..],
            &[Part::StoodIn, Part::Vat, Part::Profit, Part::TakenBack],
            &[Part::OnCars, Part::OnYard],
            &[Part::Gross, Part::Overheads, Part::Rest],
            &[Part::Sum, Part::More, Part::Less],
        ] {
            for (n, part) in together.iter().enumerate() {
                for other in &together[n + 1..] {
                    assert_ne!(look(*part), look(*other), "{part:?} {other:?}");
                }
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn every_line_of_a_pattern_lies_in_its_area(x in 0_i64..3000, y in 0_i64..9000, width in 1_i64..3000, height in 1_i64..2000) {
            let area = Area { x, y, width, height };
            for pattern in [Pattern::Rising, Pattern::Falling, Pattern::Upright, Pattern::Level, Pattern::Dots, Pattern::Crossed] {
                let path = lines(pattern, area).unwrap_or_default();
                for point in path.split(['M', 'L']).filter(|point| !point.is_empty()) {
                    let (at_x, at_y) = point.split_once(' ').unwrap();
                    prop_assert!((x..=x + width).contains(&at_x.parse().unwrap()), "{pattern:?} {path}");
                    prop_assert!((y..=y + height).contains(&at_y.parse().unwrap()), "{pattern:?} {path}");
                }
            }
        }

        #[test]
        fn a_key_stays_inside_the_picture(which in prop::collection::vec(0_usize..19, 0..15)) {
            let parts: Vec<Part> = which.into_iter().map(|n| ALL[n]).collect();
            let (_, height) = key(&parts, &[], 0);
            prop_assert_eq!(height == 0, parts.is_empty());
            prop_assert!(parts.iter().all(|part| SWATCH.0 + 60 + Size::Small.room(part.name()) <= WIDTH));
        }
    }
}

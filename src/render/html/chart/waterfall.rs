//! From one sum to another, step by step: each step begins where the one before it ended.

use crate::domain::value::pence::Pence;
use crate::render::html::chart::bars::{ABOVE, BAR, ROW, across, base, heading, rules, sums};
use crate::render::html::chart::drawn::Drawn;
use crate::render::html::chart::scale::Axis;
use crate::render::html::chart::style::{Area, filled, key};
use crate::report::picture::chart::{Part, Step};
use maud::{Markup, html};

/// The least width of a step.
const LEAST: i64 = 12;

pub(super) fn drawn(steps: &[Step]) -> Drawn {
    let placed = placed(steps);
    let axis = Axis::spanning(placed.iter().flat_map(|(from, to)| [*from, *to]), 4, 100);
    let scale = across(&axis);
    let mut parts: Vec<Part> = steps.iter().filter(|step| !step.amount.is_zero()).map(part).collect();
    parts.sort_unstable();
    parts.dedup();
    let (key, top) = key(&parts, &[], 0);
    let top = top + 160;
    let low = top + ROW * i64::try_from(steps.len()).unwrap_or_default();
    let marks = html! {
        (key)
        (sums(&axis, &scale, top - 40))
        @for (n, (step, (from, to))) in steps.iter().zip(&placed).enumerate() {
            @let y = top + ROW * i64::try_from(n).unwrap_or_default();
            @let (left, right) = (scale.place(*from.min(to)), scale.place(*from.max(to)));
            (rules(&axis, &scale, y))
            (heading(&step.name, &told(step), y))
            // A step of nothing is still seen, at either end of the scale.
            @let x = left.min(scale.place(axis.ends().1) - LEAST);
            (filled(part(step), Area { x, y: y + ABOVE, width: (right - left).max(LEAST), height: BAR }))
            (base(&scale, y))
            @if n + 1 < steps.len() { (link(scale.place(*to), y + ABOVE + BAR)) }
        }
    };
    Drawn { height: low + 40, marks }
}

/// A tick below the end of a step, where the next one begins; the words between stay clear.
fn link(x: i64, y: i64) -> Markup {
    html! { path.link d={ "M" (x) " " (y) "v30" } {} }
}

fn part(step: &Step) -> Part {
    match (step.is_sum, step.amount.is_negative()) {
        (true, _) => Part::Sum,
        (false, true) => Part::Less,
        (false, false) => Part::More,
    }
}

/// `£120.00`, and a change with its sign.
fn told(step: &Step) -> String {
    if step.is_sum || step.amount <= Pence::ZERO { step.amount.to_string() } else { format!("+{}", step.amount) }
}

/// Where each step begins and ends: a sum from nothing, a change from where the step before ended.
fn placed(steps: &[Step]) -> Vec<(i64, i64)> {
    let mut at = 0_i64;
    let place = |step: &Step| {
        let from = if step.is_sum { 0 } else { at };
        at = from.saturating_add(step.amount.get());
        (from, at)
    };
    steps.iter().map(place).collect()
}

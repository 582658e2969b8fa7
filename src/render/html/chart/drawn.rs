//! What every picture has in common: its width, what is drawn, and parts laid end to end.

use crate::domain::value::pence::Pence;
use crate::report::picture::chart::Part;
use maud::Markup;

/// The width of every picture.
pub(super) const WIDTH: i64 = 3600;

/// What is drawn, and how high it came out.
pub(super) struct Drawn {
    pub(super) height: i64,
    pub(super) marks: Markup,
}

/// Where each part of a bar begins and ends, nil ones left out: the positive end to end one way from
/// nothing, the negative the other.
pub(super) fn stacked(parts: &[(Part, Pence)]) -> Vec<(Part, i64, i64)> {
    let (mut more, mut less) = (0_i64, 0_i64);
    let placed = parts.iter().filter(|(_, amount)| !amount.is_zero()).map(|(part, amount)| {
        let end = if amount.is_negative() { &mut less } else { &mut more };
        let from = *end;
        *end = end.saturating_add(amount.get());
        (*part, from, *end)
    });
    placed.collect()
}

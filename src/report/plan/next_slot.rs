//! The next slot: whether it is affordable, in a sentence, and what is free for it, step by step.

use crate::domain::plan::programme::{NextSlot, Purse};
use crate::report::cell::{Cell, IsoMonth, MoneyText};
use serde::Serialize;

/// The next slot and what the float must carry before it.
#[derive(Clone, Debug, Serialize)]
pub(crate) struct NextRow {
    month: IsoMonth,
    pub(crate) affordable: Option<bool>,
    pub(crate) budget: Option<MoneyText>,
    short_by: Option<MoneyText>,
    float: MoneyText,
    deposits_held: MoneyText,
    owed_to_sellers: MoneyText,
    refunds_owed: MoneyText,
    unpaid_bills: MoneyText,
    vat_owed: MoneyText,
    standing_costs_ahead: MoneyText,
    free: MoneyText,
}

impl From<&NextSlot> for NextRow {
    fn from(next: &NextSlot) -> Self {
        let Purse { float, deposits_held, owed_to_sellers, refunds_owed, bills, vat_owed, standing_costs } = next.purse;
        Self {
            month: IsoMonth(next.month),
            affordable: next.is_affordable(),
            budget: next.budget.map(MoneyText),
            short_by: next.short_by().map(MoneyText),
            float: MoneyText(float),
            deposits_held: MoneyText(deposits_held),
            owed_to_sellers: MoneyText(owed_to_sellers),
            refunds_owed: MoneyText(refunds_owed),
            unpaid_bills: MoneyText(bills),
            vat_owed: MoneyText(vat_owed),
            standing_costs_ahead: MoneyText(standing_costs),
            free: MoneyText(next.purse.free()),
        }
    }
}

/// Whether the next slot is affordable, in a sentence.
pub(crate) fn next_in_words(next: Option<&NextRow>) -> String {
    let Some(next) = next else {
        return "No slots are planned from here on.".to_owned();
    };
    let (slot, free) = (format!("The next slot, in {},", next.month.0), next.free_in_words());
    match (next.affordable, next.budget, next.short_by) {
        (Some(true), Some(budget), _) => {
            format!("{slot} is affordable: {free}, against a budget of {}.", budget.0)
        }
        (Some(false), Some(budget), Some(short_by)) => {
            format!("{slot} is not affordable yet: {free}, {} short of its budget of {}.", short_by.0, budget.0)
        }
        _ => format!("{slot} has no budget, so whether it is affordable is not known: {free}."),
    }
}

impl NextRow {
    fn free_in_words(&self) -> String {
        if self.free.0.is_positive() {
            format!("{} of the float is free", self.free.0)
        } else {
            "nothing of the float is free".to_owned()
        }
    }

    /// From the float to what is free of it, signed so that the eye can add it up. What is nil is
    /// left out.
    pub(crate) fn steps(&self) -> Vec<(&'static str, Cell)> {
        let held_back = [
            ("Deposits held", self.deposits_held),
            ("Owed to sellers", self.owed_to_sellers),
            ("Refunds owed to buyers", self.refunds_owed),
            ("Unpaid bills", self.unpaid_bills),
            ("VAT owed", self.vat_owed),
            ("Standing costs in the next 30 days", self.standing_costs_ahead),
        ];
        let held_back = held_back.into_iter().filter(|(_, amount)| !amount.0.is_zero());
        std::iter::once(("Float", self.float.into()))
            .chain(held_back.map(|(label, amount)| (label, (-amount.0).into())))
            .chain([("Free", self.free.into())])
            .collect()
    }
}

//! The bridge that proves a period's profit against the cash, to the penny: from the float at the
//! start to the float at the end, part by part.

use crate::domain::book::claims::Given;
use crate::domain::book::facts::Facts;
use crate::domain::days::period::Period;
use crate::domain::figures::balances::{Balances, Moved, MovedFor};
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Outcome, Pocket, Purpose};

/// From the float at the start to the float at the end, part by part.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Bridge {
    /// Float at the end of the day before the period.
    pub float_at_start: Pence,
    /// The period's profit.
    pub profit: Pence,
    /// Increase in stock at cost.
    pub stock_increase: Pence,
    /// Increase in what buyers owe.
    pub owed_by_buyers_increase: Pence,
    /// Increase in what is owed to sellers.
    pub owed_to_sellers_increase: Pence,
    /// Increase in deposits held.
    pub deposits_increase: Pence,
    /// Increase in VAT owed.
    pub vat_owed_increase: Pence,
    /// The owner's money put in.
    pub paid_in: OwnersMoney,
    /// The owner's money taken out.
    pub drawn: OwnersMoney,
    /// Everything else, each part named and signed as it changes the float.
    pub other_parts: Vec<(&'static str, Pence)>,
    /// Float at the end of the period.
    pub float_at_end: Pence,
}

/// The owner's money one way, in or out, never negative.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct OwnersMoney {
    /// Moved between the owner and the cash in hand or the bank.
    pub through_float: Pence,
    /// Spent from the owner's own pocket, or received into it: the float itself never moved.
    pub own_pocket: Pence,
}

impl OwnersMoney {
    /// Both together.
    pub fn total(self) -> Pence {
        self.through_float + self.own_pocket
    }
}

impl Bridge {
    /// From the balances of the day before a period to those of its last day.
    pub(super) fn between(
        opening: &Balances,
        closing: &Balances,
        profit: Pence,
        flow: &FloatFlow,
        passed: &WithoutMoney,
    ) -> Self {
        Self {
            float_at_start: opening.float(),
            profit,
            stock_increase: closing.stock_at_cost - opening.stock_at_cost,
            owed_by_buyers_increase: closing.owed_by_buyers - opening.owed_by_buyers,
            owed_to_sellers_increase: closing.owed_to_sellers - opening.owed_to_sellers,
            deposits_increase: closing.deposits_held - opening.deposits_held,
            vat_owed_increase: closing.vat_owed - opening.vat_owed,
            paid_in: flow.paid_in,
            drawn: flow.drawn,
            other_parts: [
                ("paid ahead", opening.paid_ahead - closing.paid_ahead),
                ("cars kept", -passed.cars_kept),
                ("unpaid bills", closing.bills - opening.bills),
                ("loans", closing.loans - opening.loans),
                ("refunds owed", closing.refunds_owed - opening.refunds_owed),
                ("written off", -passed.written_off),
            ]
            .into_iter()
            .filter(|(_, amount)| !amount.is_zero())
            .collect(),
            float_at_end: closing.float(),
        }
    }

    /// The named parts together.
    pub fn other(&self) -> Pence {
        self.other_parts.iter().map(|(_, amount)| *amount).sum()
    }

    /// What the parts say the float at the end should be.
    pub fn expected_float_at_end(&self) -> Pence {
        self.float_at_start + self.profit - self.stock_increase - self.owed_by_buyers_increase
            + self.owed_to_sellers_increase
            + self.deposits_increase
            + self.vat_owed_increase
            + self.paid_in.total()
            - self.drawn.total()
            + self.other()
    }
}

/// What passed in the period without money moving or a claim staying open.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct WithoutMoney {
    /// What cars taken into the owner's own use were worth to them: drawn in kind.
    pub cars_kept: Pence,
    /// What buyers owed and will never pay, less what had been written off sales reversed in the
    /// period. It is no part of the profit.
    pub written_off: Pence,
}

impl WithoutMoney {
    pub(super) fn from_facts(facts: &Facts, period: Period) -> Self {
        let kept = facts.cars.iter().filter_map(|car| car.disposal.as_ref());
        let kept = kept.filter(|disposal| disposal.how == Outcome::Kept && period.contains(disposal.on));
        let written_off = facts.cars.iter().flat_map(|car| &car.write_offs).filter(|off| period.contains(off.on));
        // What was let off lapses with the rest of the balance when the car comes back.
        let lapsed = facts.cars.iter().flat_map(|car| car.sales.iter().map(move |sale| (car, sale)));
        let lapsed = lapsed.filter(|(_, sale)| sale.taken_back.as_ref().is_some_and(|back| period.contains(back.on)));
        let lapsed: Pence = lapsed.map(|(car, sale)| Given::for_sale(car, sale).written_off).sum();
        Self {
            cars_kept: kept.map(|disposal| disposal.value).sum(),
            written_off: written_off.map(|off| off.amount).sum::<Pence>() - lapsed,
        }
    }
}

/// Money in and out of the float, and the owner's part of it. Spending from the owner's own
/// pocket is money paid in and spent the same moment; money received into it, received and drawn.
#[derive(Debug, Default)]
pub(super) struct FloatFlow {
    pub(super) money_in: Pence,
    pub(super) money_out: Pence,
    paid_in: OwnersMoney,
    drawn: OwnersMoney,
}

impl FloatFlow {
    pub(super) fn from_facts(facts: &Facts, period: Period) -> Self {
        let mut flow = Self::default();
        for moved in facts.moved().filter(|moved| period.contains(moved.on)) {
            flow.add(moved);
        }
        flow
    }

    fn add(&mut self, moved: Moved) {
        let amount = moved.amount.abs();
        let inward = moved.amount.is_positive();
        if moved.why == MovedFor::Settling(Purpose::Transfer) {
            return;
        }
        let own_pocket = moved.pocket == Pocket::Own;
        if inward || own_pocket {
            self.money_in += amount;
        }
        if !inward || own_pocket {
            self.money_out += amount;
        }
        if moved.why == MovedFor::Settling(Purpose::Owner) {
            let owners = if inward { &mut self.paid_in } else { &mut self.drawn };
            owners.through_float += amount;
        }
        if own_pocket {
            let owners = if inward { &mut self.drawn } else { &mut self.paid_in };
            owners.own_pocket += amount;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

    #[test]
    fn the_owners_money_is_told_apart_by_whether_the_float_moved() {
        let (owner, line) = (MovedFor::Settling(Purpose::Owner), MovedFor::Line);
        // Pocket, amount, why: then paid in and drawn, each through the float and in the owner's pocket.
        for (pocket, amount, why, expected) in [
            (Pocket::Bank, 500, owner, [500, 0, 0, 0]),
            (Pocket::Cash, -300, owner, [0, 0, 300, 0]),
            (Pocket::Own, -120, line, [0, 120, 0, 0]),
            (Pocket::Own, 80, line, [0, 0, 0, 80]),
            (Pocket::Own, -900, MovedFor::Settling(Purpose::Purchase), [0, 900, 0, 0]),
            (Pocket::Bank, -120, line, [0, 0, 0, 0]),
            (Pocket::Cash, 200, MovedFor::Settling(Purpose::Transfer), [0, 0, 0, 0]),
        ] {
            let mut flow = FloatFlow::default();
            flow.add(Moved { on: NaiveDate::MIN, pocket, amount: Pence::new(amount), why });
            let told =
                [flow.paid_in.through_float, flow.paid_in.own_pocket, flow.drawn.through_float, flow.drawn.own_pocket];
            assert_eq!(told, expected.map(Pence::new), "{pocket:?} {amount} {why:?}");
        }
    }
}

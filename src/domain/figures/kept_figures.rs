//! The figures of a month as they stood when it was closed, and what has become of them since.

use crate::domain::figures::period_figures::PeriodFigures;
use crate::domain::value::pence::Pence;

/// Figures of a month by the names `month` gives them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KeptFigures(pub Vec<(String, Pence)>);

/// A figure that is no longer what was kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Its name.
    pub figure: String,
    /// What was kept.
    pub kept: Pence,
    /// What it comes to now; none when there is no such figure any more.
    pub now: Option<Pence>,
}

impl KeptFigures {
    /// The figures to keep.
    pub fn from_figures(figures: &PeriodFigures<'_>) -> Self {
        let (closing, bridge) = (&figures.closing, &figures.bridge);
        let named = [
            ("sales", figures.sales),
            ("cost_of_cars_sold", figures.cost_of_cars_sold),
            ("cost_of_cars_bought", figures.cost_of_cars_bought()),
            ("vat_on_margins", figures.vat_on_margins),
            ("vat_on_sales", figures.vat_on_sales),
            ("gross_profit", figures.gross_profit),
            ("disposal_losses", figures.disposal_losses),
            ("after_sale_costs", figures.after_sale_costs),
            ("overheads_total", figures.overheads_total),
            ("other_income", figures.other_income),
            ("profit", figures.profit),
            ("written_off", figures.without_money.written_off),
            ("cars_kept", figures.without_money.cars_kept),
            ("money_in", figures.money_in),
            ("money_out", figures.money_out),
            ("float_at_start", bridge.float_at_start),
            ("float_at_end", bridge.float_at_end),
            ("stock_at_cost", closing.stock_at_cost),
            ("cash_tied_up", closing.cash_tied_up()),
            ("owed_by_buyers", closing.owed_by_buyers),
            ("owed_to_sellers", closing.owed_to_sellers),
            ("deposits_held", closing.deposits_held),
            ("refunds_owed", closing.refunds_owed),
            ("vat_owed", closing.vat_owed),
            ("bills", closing.bills),
            ("loans", closing.loans),
        ];
        Self(named.into_iter().map(|(name, amount)| (name.to_owned(), amount)).collect())
    }

    /// What is different now, by name.
    pub fn differences(&self, now: &Self) -> Vec<Difference> {
        let find =
            |figures: &Self, name: &str| figures.0.iter().find(|(known, _)| known == name).map(|(_, amount)| *amount);
        // A figure the program did not reckon yet when the month was closed is no difference.
        let kept = self.0.iter().map(|(name, kept)| (name, *kept, find(now, name)));
        kept.filter(|(_, kept, now)| Some(*kept) != *now)
            .map(|(name, kept, now)| Difference { figure: name.clone(), kept, now })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn figures(named: &[(&str, i64)]) -> KeptFigures {
        KeptFigures(named.iter().map(|(name, pence)| ((*name).to_owned(), Pence::new(*pence))).collect())
    }

    #[test]
    fn only_what_was_kept_and_has_changed_is_a_difference() {
        let kept = figures(&[("profit", 500), ("sales", 900)]);
        assert!(kept.differences(&figures(&[("profit", 500), ("sales", 900), ("new", 1)])).is_empty());
        let found = kept.differences(&figures(&[("profit", 499), ("sales", 900)]));
        let profit = Difference { figure: "profit".into(), kept: Pence::new(500), now: Some(Pence::new(499)) };
        assert_eq!(found, [profit]);
        assert_eq!(kept.differences(&KeptFigures::default()).len(), 2);
    }
}

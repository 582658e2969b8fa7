//! `cash`: what is held, what is tied up in cars, and what is owed either way.

use crate::domain::figures::balances::Balances;
use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, MoneyText};
use crate::report::document::{Column, Document, Table};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// What is held and owed on a day.
#[derive(Clone, Debug, Serialize)]
pub struct CashReport {
    #[serde(flatten)]
    stamp: Stamp,
    float: MoneyText,
    cash_in_hand: MoneyText,
    bank: MoneyText,
    cash_tied_up: MoneyText,
    owed_by_buyers: MoneyText,
    owed_to_sellers: MoneyText,
    deposits_held: MoneyText,
    vat_owed: MoneyText,
    stock_at_cost: MoneyText,
    owed_on_stock: MoneyText,
    money_not_yet_back: MoneyText,
    unpaid_bills: MoneyText,
    loans: MoneyText,
    paid_ahead: MoneyText,
    refunds_owed: MoneyText,
    lenders: Vec<Lender>,
}

/// Somebody who lent the trade money, and what of it is still theirs.
#[derive(Clone, Debug, Serialize)]
struct Lender {
    name: String,
    owed: MoneyText,
}

impl CashReport {
    /// Lays out the balances; the loans are what is owed to these lenders.
    pub fn new(as_of: NaiveDate, balances: &Balances, lenders: Vec<(String, Pence)>) -> Self {
        Self {
            stamp: Stamp::new("cash", as_of),
            float: MoneyText(balances.float()),
            cash_in_hand: MoneyText(balances.cash),
            bank: MoneyText(balances.bank),
            cash_tied_up: MoneyText(balances.cash_tied_up()),
            owed_by_buyers: MoneyText(balances.owed_by_buyers),
            owed_to_sellers: MoneyText(balances.owed_to_sellers),
            deposits_held: MoneyText(balances.deposits_held),
            vat_owed: MoneyText(balances.vat_owed),
            stock_at_cost: MoneyText(balances.stock_at_cost),
            owed_on_stock: MoneyText(balances.owed_on_stock),
            money_not_yet_back: MoneyText(balances.money_not_yet_back()),
            unpaid_bills: MoneyText(balances.bills),
            loans: MoneyText(balances.loans),
            paid_ahead: MoneyText(balances.paid_ahead),
            refunds_owed: MoneyText(balances.refunds_owed),
            lenders: lenders.into_iter().map(|(name, owed)| Lender { name, owed: MoneyText(owed) }).collect(),
        }
    }

    /// For people, and for CSV as one row.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(self.in_words()).heading("Out in cars").facts(self.out_in_cars());
        let owed = self.owed();
        if owed.is_empty() {
            document.sentence("Nothing is owed to anybody.");
        } else {
            document.heading("Owed to others").facts(owed);
        }
        document.sentence("`runabout month` shows how the float came to this.").table(self.row());
        document
    }

    /// The float and where it is.
    pub(crate) fn in_words(&self) -> String {
        format!("The float is {}: {} cash in hand and {} at the bank.", self.float.0, self.cash_in_hand.0, self.bank.0)
    }

    /// Signed so that the eye can add it up.
    fn out_in_cars(&self) -> Vec<(&'static str, Cell)> {
        let mut facts = vec![("Stock at cost", self.stock_at_cost.into())];
        facts.extend(unless_nil("Still owed for it", MoneyText(-self.owed_on_stock.0)));
        facts.extend(unless_nil("Deposits held on it", MoneyText(-self.deposits_held.0)));
        facts.push(("Cash tied up", self.cash_tied_up.into()));
        facts.push(("Owed by buyers", self.owed_by_buyers.into()));
        facts.push(("Money not yet back", self.money_not_yet_back.into()));
        facts.extend(unless_nil("Paid ahead for cars to come", self.paid_ahead));
        facts
    }

    fn owed(&self) -> Vec<(String, Cell)> {
        let vat = if self.vat_owed.0.is_negative() {
            ("VAT owed (HMRC owes you)", self.vat_owed)
        } else {
            ("VAT owed", self.vat_owed)
        };
        let owed = [
            ("Sellers of cars", self.owed_to_sellers),
            ("Refunds to buyers", self.refunds_owed),
            ("Unpaid bills", self.unpaid_bills),
        ];
        let named = |(label, amount): (&'static str, MoneyText)| unless_nil(label, amount);
        owed.into_iter()
            .filter_map(named)
            .map(|(label, cell)| (label.to_owned(), cell))
            .chain(self.lenders.iter().map(|lender| (format!("Lent by {}", lender.name), lender.owed.into())))
            .chain(named(vat).map(|(label, cell)| (label.to_owned(), cell)))
            .collect()
    }

    fn row(&self) -> Table {
        let values = [
            ("float", self.float),
            ("cash_in_hand", self.cash_in_hand),
            ("bank", self.bank),
            ("cash_tied_up", self.cash_tied_up),
            ("owed_by_buyers", self.owed_by_buyers),
            ("owed_to_sellers", self.owed_to_sellers),
            ("deposits_held", self.deposits_held),
            ("vat_owed", self.vat_owed),
            ("stock_at_cost", self.stock_at_cost),
            ("owed_on_stock", self.owed_on_stock),
            ("money_not_yet_back", self.money_not_yet_back),
            ("unpaid_bills", self.unpaid_bills),
            ("loans", self.loans),
            ("paid_ahead", self.paid_ahead),
            ("refunds_owed", self.refunds_owed),
        ];
        let columns = values.iter().map(|(key, _)| Column::new(key, key).csv_only()).collect();
        let mut table = Table::new("cash", columns, "");
        table.row(values.iter().map(|(_, amount)| (*amount).into()).collect());
        table
    }
}

fn unless_nil(label: &'static str, amount: MoneyText) -> Option<(&'static str, Cell)> {
    (!amount.0.is_zero()).then(|| (label, amount.into()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::fixture::{assert_keys, day, nothing, november, plain, records};

    fn report() -> CashReport {
        CashReport::new(day("2026-11-25"), &november().balances(day("2026-11-25")), Vec::new())
    }

    #[test]
    fn the_keys_are_the_promised_ones() {
        assert_keys(
            &report(),
            "",
            "report version as_of float cash_in_hand bank cash_tied_up owed_by_buyers owed_to_sellers deposits_held \
             vat_owed stock_at_cost owed_on_stock money_not_yet_back unpaid_bills loans paid_ahead refunds_owed \
             lenders",
        );
    }

    #[test]
    fn the_float_comes_first_then_what_is_out_and_owed() {
        assert_eq!(
            plain(&report().document()),
            "\
The float is £1,220.15: £1,125.00 cash in hand and £95.15 at the bank.
Out in cars
Stock at cost: 1075.00
Still owed for it: -100.00
Cash tied up: 975.00
Owed by buyers: 0.00
Money not yet back: 975.00
Owed to others
Sellers of cars: 100.00
`runabout month` shows how the float came to this.
"
        );
    }

    #[test]
    fn money_not_yet_back_includes_what_buyers_owe() {
        let mut facts = november();
        facts.cars[0].settlements.pop();
        let shown =
            plain(&CashReport::new(day("2026-11-25"), &facts.balances(day("2026-11-25")), Vec::new()).document());
        assert!(shown.contains("Owed by buyers: 1185.00\nMoney not yet back: 2160.00\n"), "{shown}");
    }

    #[test]
    fn an_empty_book_owes_nothing() {
        let empty = CashReport::new(day("2026-11-25"), &nothing().balances(day("2026-11-25")), Vec::new());
        assert!(plain(&empty.document()).contains("\nNothing is owed to anybody.\n"));
    }

    #[test]
    fn machines_read_one_row() {
        let rows = records(&report().document(), None);
        assert!(rows[0].starts_with("float,cash_in_hand,bank,cash_tied_up,"), "{}", rows[0]);
        assert_eq!(
            rows[1],
            "1220.15,1125.00,95.15,975.00,0.00,100.00,0.00,0.00,1075.00,100.00,975.00,0.00,0.00,0.00,0.00"
        );
        assert_eq!(rows.len(), 2);
    }
}

//! `bid`: the most to give, and the workings.

use crate::domain::figures::seen_costs::SeenCosts;
use crate::domain::plan::bid::{AtPrice, BidTarget, Chance, HighestBid, Prospect};
use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, MoneyText, TwoDecimals, two_decimals};
use crate::report::document::{Column, Document, Table};
use crate::report::phrase;
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// Where the expected costs come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Prep {
    /// As typed.
    Typed(Pence),
    /// The median of the trader's own cars.
    Seen(Pence),
}

impl Prep {
    /// The amount.
    pub const fn amount(self) -> Pence {
        match self {
            Self::Typed(amount) | Self::Seen(amount) => amount,
        }
    }
}

/// The most to give for a car.
#[derive(Clone, Debug, Serialize)]
pub struct BidReport {
    #[serde(flatten)]
    stamp: Stamp,
    highest_price: MoneyText,
    fees: MoneyText,
    prep: MoneyText,
    selling_price: MoneyText,
    vat_on_margin: MoneyText,
    stands_in: MoneyText,
    profit: MoneyText,
    multiple: Option<TwoDecimals>,
    basis: String,
    /// At a pound more.
    a_pound_more: OnePound,
    /// Of the trader's own cars whose costs were looked at, how many would have kept the target.
    chance_pct: Option<TwoDecimals>,
    cars_looked_at: usize,
    lowest_costs: Option<MoneyText>,
    highest_costs: Option<MoneyText>,
    // What they cost once their VAT is reclaimed.
    #[serde(skip)]
    net_fees: MoneyText,
    #[serde(skip)]
    kept: Option<Chance>,
}

/// What a pound more would make, which is not enough.
#[derive(Clone, Copy, Debug, Serialize)]
struct OnePound {
    price: MoneyText,
    profit: MoneyText,
    multiple: Option<TwoDecimals>,
}

impl BidReport {
    /// Lays out a bid.
    pub fn new(
        as_of: NaiveDate,
        prospect: &Prospect,
        bid: &HighestBid,
        prep: Prep,
        seen: Option<&SeenCosts>,
        chance: Option<Chance>,
    ) -> Self {
        let at = &bid.at;
        let target = match prospect.target {
            BidTarget::Multiple(times) => format!("it sells for {times} times what it stands in at"),
            BidTarget::Profit(profit) => format!("it makes {profit}"),
        };
        let range = seen.map(SeenCosts::range);
        Self {
            stamp: Stamp::new("bid", as_of),
            highest_price: MoneyText(at.price),
            fees: MoneyText(at.fees),
            prep: MoneyText(prep.amount()),
            selling_price: MoneyText(prospect.sells_for),
            vat_on_margin: MoneyText(at.vat_on_margin),
            stands_in: MoneyText(at.stands_in),
            profit: MoneyText(at.profit),
            multiple: at.multiple.map(TwoDecimals),
            basis: format!("the highest whole pound at which {target}; {}", basis(prep, seen)),
            a_pound_more: OnePound::at_price(&bid.a_pound_more),
            chance_pct: chance.map(|chance| TwoDecimals(chance.percent())),
            cars_looked_at: seen.map_or(0, |seen| seen.costs().len()),
            lowest_costs: range.map(|(lowest, _)| MoneyText(lowest)),
            highest_costs: range.map(|(_, highest)| MoneyText(highest)),
            net_fees: MoneyText(at.fees - at.vat_reclaimed),
            kept: chance,
        }
    }

    /// For people, and for CSV as one row.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document
            .headline(format!("Give up to {}: {}.", self.highest_price.0, phrase::making(self.profit.0)))
            .facts(self.workings())
            .sentence(format!("That is {}.", self.basis))
            .sentence(self.not_enough());
        // Of one car there is no share to speak of.
        if let Some(chance) = self.kept.filter(|chance| chance.of > 1) {
            document.sentence(format!(
                "Of your own {} looked at, {} cost little enough for that ({} %).",
                phrase::cars(chance.of),
                chance.kept,
                two_decimals(chance.percent())
            ));
        }
        document.note("what it sells for is your guess: this is no valuation").table(self.row());
        document
    }

    /// What a pound more comes to.
    fn not_enough(&self) -> String {
        let more = &self.a_pound_more;
        let times = more.multiple.map(|times| format!(", {} times", two_decimals(times.0)));
        format!(
            "At {} it would be {}{}, and that is not enough.",
            more.price.0,
            phrase::making(more.profit.0),
            times.unwrap_or_default()
        )
    }

    /// Signed so that the eye can add it up.
    fn workings(&self) -> Vec<(&'static str, Cell)> {
        let mut facts = vec![("Selling price", self.selling_price.into())];
        if !self.vat_on_margin.0.is_zero() {
            facts.push(("VAT on the margin", (-self.vat_on_margin.0).into()));
        }
        facts.push(("Price", (-self.highest_price.0).into()));
        if !self.net_fees.0.is_zero() {
            facts.push(("Fees", (-self.net_fees.0).into()));
        }
        facts.push(("To put it right", (-self.prep.0).into()));
        facts.push(("Profit", self.profit.into()));
        facts.push(("Stands in at", self.stands_in.into()));
        facts.push(("Multiple", Cell::number(self.multiple.map(Into::into))));
        facts
    }

    fn row(&self) -> Table {
        let values: [(&'static str, Cell); 10] = [
            ("highest_price", self.highest_price.into()),
            ("fees", self.fees.into()),
            ("prep", self.prep.into()),
            ("selling_price", self.selling_price.into()),
            ("vat_on_margin", self.vat_on_margin.into()),
            ("stands_in", self.stands_in.into()),
            ("profit", self.profit.into()),
            ("multiple", Cell::number(self.multiple.map(Into::into))),
            ("chance_pct", Cell::percent(self.chance_pct.map(Into::into))),
            ("basis", Cell::text(&*self.basis)),
        ];
        let columns = values.iter().map(|(key, _)| Column::new(key, key).csv_only()).collect();
        let mut table = Table::new("bid", columns, "");
        table.row(values.into_iter().map(|(_, cell)| cell).collect());
        table
    }
}

impl OnePound {
    fn at_price(at: &AtPrice) -> Self {
        Self { price: MoneyText(at.price), profit: MoneyText(at.profit), multiple: at.multiple.map(TwoDecimals) }
    }
}

/// Where the costs come from: how many cars, of which make, and how far apart they were.
fn basis(prep: Prep, seen: Option<&SeenCosts>) -> String {
    match (prep, seen) {
        (Prep::Seen(median), Some(seen)) => {
            let (lowest, highest) = seen.range();
            let which = seen.make().map(|make| format!("{make} ")).unwrap_or_default();
            let cars = seen.costs().len();
            if cars == 1 {
                return format!("{median} to put it right is what the only {which}car you have sold took");
            }
            format!(
                "{median} to put it right is the median of your own {which}{}, {lowest} to {highest}",
                phrase::cars(cars)
            )
        }
        (prep, _) => format!("{} to put it right as typed", prep.amount()),
    }
}

//! The self-employment pages of the tax return: which pages a year needs, and which box each return
//! heading goes in.
//!
//! Box numbers of the short pages are those of SA103S 2023-24 (HMRC, seen as a picture); of the full
//! pages 17 to 21 were seen, the others follow from the order or are from memory. Forms change: the
//! year's own form decides.

use crate::domain::book::facts::Line;
use crate::domain::days::tax_year::TaxYear;
use crate::domain::law::rate_table::Rates;
use crate::domain::law::rates::income_tax::SHORT_PAGES_LIMIT;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Direction, word_set};
use std::collections::BTreeMap;

word_set! {
    /// What a heading of the book counts as on the return.
    ReturnHeading, "return heading" {
        /// Turnover.
        Sales = "sales",
        /// Any other business income.
        OtherIncome = "other-income",
        /// Goods bought for resale, or used up on them.
        Goods = "goods",
        /// Staff.
        Wages = "wages",
        /// Car, van and travel.
        Travel = "travel",
        /// Rent, rates, power, insurance.
        Premises = "premises",
        /// Property and equipment kept in repair.
        Repairs = "repairs",
        /// Phone and office.
        Office = "office",
        /// Advertising.
        Advertising = "advertising",
        /// Interest on loans.
        Interest = "interest",
        /// Charges of banks and cards.
        BankCharges = "bank-charges",
        /// Accountants and lawyers.
        Professional = "professional",
        /// Everything else.
        OtherExpenses = "other-expenses",
        /// Equipment to keep: no expense.
        Capital = "capital",
    }
}

impl ReturnHeading {
    /// Whether it is income.
    pub const fn is_income(self) -> bool {
        matches!(self, Self::Sales | Self::OtherIncome)
    }

    /// Whether it is an expense.
    pub const fn is_expense(self) -> bool {
        !self.is_income() && !matches!(self, Self::Capital)
    }
}

/// Which return heading each heading of the book belongs under.
#[derive(Clone, Debug, Default)]
pub struct Headings(BTreeMap<String, ReturnHeading>);

impl Headings {
    /// From pairs of a heading and its return heading's word; one not known counts as other.
    pub fn new(pairs: impl IntoIterator<Item = (String, String)>) -> Self {
        Self(pairs.into_iter().filter_map(|(heading, under)| Some((heading, under.parse().ok()?))).collect())
    }

    /// What the heading of a cost on the yard counts as.
    pub fn of_cost(&self, heading: &str) -> ReturnHeading {
        self.0.get(heading).copied().unwrap_or(ReturnHeading::OtherExpenses)
    }

    /// What a line counts as. A car for sale is goods, and so is what is spent on it, whatever the heading:
    /// repairs and equipment are the yard's.
    pub fn of(&self, line: &Line) -> ReturnHeading {
        match line.direction {
            Direction::Receipt => self.0.get(&line.heading).copied().unwrap_or(ReturnHeading::OtherIncome),
            Direction::Cost if line.stock_no.is_some() => ReturnHeading::Goods,
            Direction::Cost => self.of_cost(&line.heading),
        }
    }
}

/// Which self-employment pages.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// SA103S.
    Short,
    /// SA103F.
    Full,
}

/// A box of a form: its number and its name there.
pub type FormBox = (&'static str, &'static str);

impl Form {
    /// The pages of a year: the short ones while turnover is below the limit.
    pub fn for_year(rates: &Rates, year: TaxYear, turnover: Pence) -> Self {
        match rates.in_force(&SHORT_PAGES_LIMIT, year.first_day()) {
            Some(limit) if turnover < limit => Self::Short,
            _ => Self::Full,
        }
    }

    /// The form's number.
    pub const fn number(self) -> &'static str {
        match self {
            Self::Short => "SA103S",
            Self::Full => "SA103F",
        }
    }

    /// What the form is called.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Short => "self-employment (short)",
            Self::Full => "self-employment (full)",
        }
    }

    /// The box of a return heading; none for equipment.
    pub const fn box_of(self, under: ReturnHeading) -> Option<FormBox> {
        use ReturnHeading as Under;
        let (short, full, name) = match under {
            Under::Sales => ("9", "15", "turnover"),
            Under::OtherIncome => ("10", "16", "other business income"),
            Under::Goods => ("11", "17", "cost of goods bought for resale or used"),
            Under::Travel => ("12", "20", "car, van and travel"),
            Under::Wages => ("13", "19", "wages, salaries and other staff costs"),
            Under::Premises => ("14", "21", "rent, rates, power and insurance"),
            Under::Repairs => ("15", "22", "repairs of property and equipment"),
            Under::Professional => ("16", "28", "accountancy, legal, professional fees"),
            // The short pages have one box for both.
            Under::Interest if matches!(self, Self::Full) => ("17", "25", "interest on bank and other loans"),
            Under::BankCharges if matches!(self, Self::Full) => ("17", "26", "bank and card charges"),
            Under::Interest | Under::BankCharges => ("17", "", "interest, bank and card charges"),
            Under::Office => ("18", "23", "phone, stationery and other office costs"),
            Under::Advertising if matches!(self, Self::Full) => ("19", "24", "advertising and entertainment"),
            Under::Advertising | Under::OtherExpenses => ("19", "30", "other business expenses"),
            Under::Capital => return None,
        };
        Some((if matches!(self, Self::Short) { short } else { full }, name))
    }

    /// All expenses together.
    pub const fn total_expenses(self) -> FormBox {
        (if matches!(self, Self::Short) { "20" } else { "31" }, "total expenses")
    }

    /// The profit, or the loss, before what is added for own use.
    pub const fn net(self, is_loss: bool) -> FormBox {
        match (self, is_loss) {
            (Self::Short, false) => ("21", "net profit"),
            (Self::Short, true) => ("22", "net loss"),
            (Self::Full, false) => ("47", "net profit"),
            (Self::Full, true) => ("48", "net loss"),
        }
    }

    /// Goods taken for own use.
    pub const fn own_use(self) -> FormBox {
        (if matches!(self, Self::Short) { "27" } else { "60" }, "goods and services for own use")
    }

    /// The trading allowance.
    pub const fn trading_allowance(self) -> &'static str {
        if matches!(self, Self::Short) { "10.1" } else { "16.1" }
    }

    /// What buyers will never pay: a box of its own on the full pages alone.
    pub const fn bad_debts(self) -> &'static str {
        if matches!(self, Self::Short) { "19" } else { "27" }
    }

    /// The annual investment allowance, for equipment.
    pub const fn equipment(self) -> &'static str {
        if matches!(self, Self::Short) { "23" } else { "49" }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::settings::RETURN_HEADINGS;

    #[test]
    fn these_are_the_return_headings_a_heading_can_have() {
        assert_eq!(ReturnHeading::ALL.len(), RETURN_HEADINGS.len());
        for (word, direction, _) in RETURN_HEADINGS {
            let under: ReturnHeading = word.parse().unwrap();
            assert_eq!(under.is_income(), *direction == Direction::Receipt, "{word}");
        }
    }

    #[test]
    fn every_heading_but_equipment_has_a_box_in_either_form() {
        for under in ReturnHeading::ALL {
            for form in [Form::Short, Form::Full] {
                let found = form.box_of(*under);
                assert_eq!(found.is_none(), *under == ReturnHeading::Capital);
                assert!(found.is_none_or(|(number, _)| number.parse::<u8>().is_ok()), "{under} {found:?}");
            }
        }
    }
}

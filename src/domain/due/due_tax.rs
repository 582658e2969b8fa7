//! The days income tax sets: telling HMRC of a trade, the return and its payment, payments on
//! account, quarterly updates. What is asked of whom the book cannot know, so each says when it applies
//! and goes when it is marked as done.

use crate::domain::days::day::long;
use crate::domain::days::tax_year::TaxYear;
use crate::domain::due::due_item::{DueItem, DueKind, Series};
use crate::domain::law::rate_table::Rates;
use crate::domain::law::rates::income_tax::MTD_THRESHOLD;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;

/// What the days are worked out from.
#[derive(Clone, Copy, Debug)]
pub struct TaxDates<'a> {
    /// Today.
    pub today: NaiveDate,
    /// The first day in the book, when trade is taken to have begun.
    pub first_day: NaiveDate,
    /// Gross income of the tax years known, as far as Making Tax Digital asks for it.
    pub income: &'a [(TaxYear, Pence)],
    /// Days ahead at which an item wants doing.
    pub remind_days: i64,
    /// The figures in force.
    pub rates: Rates,
}

/// Which of a tax year's items, the last digit of its number.
#[derive(Clone, Copy)]
enum Item {
    Register = 1,
    Return = 2,
    OnAccountInYear = 3,
    OnAccountAfter = 4,
    FirstUpdate = 5,
}

impl TaxDates<'_> {
    /// Every item, whether its day is past or far ahead; those marked as done are not left out yet.
    pub fn due(&self) -> Vec<DueItem> {
        let this = TaxYear::containing(self.today);
        let first = TaxYear::containing(self.first_day);
        let years = |back: i32| (0..=back).rev().map(move |years| this.minus(years)).filter(move |year| *year >= first);
        let mut items: Vec<DueItem> = self.register(first).into_iter().collect();
        items.extend(years(2).map(|year| self.tax_return(year)));
        // The first payments on account come with the first bill, for the year after it.
        items.extend(years(1).filter(|year| *year > first).flat_map(|year| self.on_account(year)));
        items.extend(years(1).filter(|year| self.is_digital(*year)).flat_map(|year| self.updates(year)));
        items
    }

    /// Registering for Self Assessment, by 5 October after the tax year trade began in (LITRG, 15
    /// October 2021). Once the first return is due it is that which presses.
    fn register(&self, first: TaxYear) -> Option<DueItem> {
        let action = |done| {
            format!("tell HMRC of a trade begun in {first}, unless it is registered or under the allowance; {done}")
        };
        (self.today <= first.return_by())
            .then(|| self.item(first, Item::Register as i64, first.register_by(), "registering for income tax", action))
    }

    /// The return online and the tax, by 31 January after the year (PKF, tax calendar).
    fn tax_return(&self, year: TaxYear) -> DueItem {
        let action = |done| format!("the return for {year} and the tax: `runabout tax-year {year}`; {done}");
        self.item(year, Item::Return as i64, year.return_by(), &format!("tax return {year}"), action)
    }

    /// Two payments on account of a year, half the last bill each: asked of those whose last bill was
    /// £1,000 or more and less than four fifths of it taxed at source (both figures from memory).
    fn on_account(&self, year: TaxYear) -> [DueItem; 2] {
        let [first, second] = year.payments_on_account();
        let before = year.minus(1);
        [(Item::OnAccountInYear, first), (Item::OnAccountAfter, second)].map(|(item, on)| {
            let action = |done| {
                format!(
                    "was the bill for {before} £1,000 or more, little of it taxed at source? Then half of it; {done}"
                )
            };
            self.item(year, item as i64, on, &format!("payment on account {year}"), action)
        })
    }

    /// Four updates, each of the year so far, by the 7th of August, November, February and May.
    fn updates(&self, year: TaxYear) -> impl Iterator<Item = DueItem> {
        year.quarters().into_iter().zip(Item::FirstUpdate as i64..).map(move |(quarter, item)| {
            let action = |done| {
                let to = quarter.to;
                format!(
                    "the update to {} by compatible software: `runabout tax-year {year} --as-of {to}`; {done}",
                    long(to)
                )
            };
            self.item(year, item, quarter.due, &format!("quarterly update {year}"), action)
        })
    }

    /// Whether a year's income two years before was over the threshold of the year: turnover counts,
    /// not profit, and rent with it, which the book does not know.
    fn is_digital(&self, year: TaxYear) -> bool {
        let told = self.income.iter().find(|(known, _)| *known == year.minus(2));
        told.is_some_and(|(_, income)| is_over_mtd_threshold(&self.rates, year, *income))
    }

    fn item(
        &self,
        year: TaxYear,
        item: i64,
        on: NaiveDate,
        subject: &str,
        action: impl Fn(String) -> String,
    ) -> DueItem {
        let number = i64::from(year.begins_in()) * 10 + item;
        let action = action(format!("`runabout done {}`", Series::TaxReturn.number(number)));
        DueItem::new(self.today, Series::TaxReturn, DueKind::TaxReturn, Some(on), (number, subject.to_owned()), action)
            .leading(Some(self.remind_days))
            .until_done()
    }
}

/// Whether gross income of the tax year two before brings a trader into Making Tax Digital for Income
/// Tax in `year`: over the threshold, not at it.
pub fn is_over_mtd_threshold(rates: &Rates, year: TaxYear, income_two_years_before: Pence) -> bool {
    rates.in_force(&MTD_THRESHOLD, year.first_day()).is_some_and(|threshold| income_two_years_before > threshold)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    /// Number and day of every item.
    fn told(today: &str, first_day: &str, income: &[(&str, i64)]) -> Vec<(i64, String)> {
        let income: Vec<(TaxYear, Pence)> =
            income.iter().map(|(year, pounds)| (year.parse().unwrap(), Pence::new(pounds * 100))).collect();
        let dates = TaxDates {
            today: day(today),
            first_day: day(first_day),
            income: &income,
            remind_days: 30,
            rates: Rates::default(),
        };
        dates.due().iter().map(|item| (item.number, item.on.unwrap().to_string())).collect()
    }

    fn numbers(items: &[(i64, String)]) -> Vec<i64> {
        items.iter().map(|(number, _)| *number).collect()
    }

    #[test]
    fn a_first_year_is_registered_and_returned() {
        let items = told("2026-11-25", "2026-04-06", &[]);
        let expected = [(3_220_261, "2027-10-05"), (3_220_262, "2028-01-31")];
        assert_eq!(items, expected.map(|(number, on)| (number, on.to_owned())));
        // A day earlier it is the year before that began, and its bill brings payments on account.
        let items = told("2026-11-25", "2026-04-05", &[]);
        assert_eq!(
            items,
            [
                (3_220_251, "2026-10-05"),
                (3_220_252, "2027-01-31"),
                (3_220_262, "2028-01-31"),
                (3_220_263, "2027-01-31"),
                (3_220_264, "2027-07-31"),
            ]
            .map(|(number, on)| (number, on.to_owned()))
        );
    }

    #[test]
    fn registering_gives_way_to_the_first_return() {
        assert_eq!(numbers(&told("2027-01-31", "2026-04-05", &[]))[0], 3_220_251);
        assert_eq!(numbers(&told("2027-02-01", "2026-04-05", &[]))[0], 3_220_252);
    }

    #[test]
    fn updates_are_asked_for_by_the_income_of_two_years_before() {
        let updates = |today, income: &[(&str, i64)]| {
            let items = told(today, "2020-05-01", income);
            items.into_iter().filter(|(number, _)| number % 10 >= 5).map(|(_, on)| on).collect::<Vec<_>>()
        };
        let four = ["2026-08-07", "2026-11-07", "2027-02-07", "2027-05-07"];
        assert_eq!(updates("2026-11-25", &[("2024-25", 50_001)]), four);
        assert_eq!(updates("2026-11-25", &[("2024-25", 50_000), ("2025-26", 90_000)]), [""; 0]);
        // The last update of a year is still listed in the next.
        assert_eq!(updates("2027-04-20", &[("2024-25", 50_001)]), four);
        assert_eq!(updates("2026-04-05", &[("2023-24", 90_000)]), [""; 0]);
    }

    #[test]
    fn each_says_how_to_mark_it_done() {
        let dates = TaxDates {
            today: day("2026-11-25"),
            first_day: day("2020-05-01"),
            income: &[],
            remind_days: 30,
            rates: Rates::default(),
        };
        for item in dates.due() {
            assert!(item.until_done && item.action.contains(&format!("`runabout done {}`", item.number)), "{item:?}");
        }
    }
}

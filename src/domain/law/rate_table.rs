//! Every table of statutory figures under one name each, and the trader's own dated lines beside
//! them: what holds on a day, and what there is to list.
//!
//! The law changes faster than a program. A line of the trader's own takes the place of the row that
//! begins on its day, or stands between the rows there are; whichever began last holds. What a rule
//! has built into its shape (thirty days to reject a car) is listed, but no line can change it.

use crate::domain::days::day::long;
use crate::domain::law::rates::{
    CashLimit, Dated, STANDARD_VAT_RATE, VAT_DEREGISTRATION_THRESHOLD, VAT_REGISTRATION_THRESHOLD, in_force,
};
use crate::domain::value::pence::Pence;
use crate::domain::value::percent::FeePercent;
use crate::domain::value::value_error::ValueError;
use chrono::NaiveDate;
use rust_decimal::Decimal;
use std::fmt;

/// The standard rate of VAT.
pub const VAT_STANDARD_RATE: RateTable<Decimal> =
    RateTable::new("vat-standard-rate", "standard rate of VAT", &STANDARD_VAT_RATE);

/// Taxable turnover of twelve months over which a trader must register for VAT. Just so much need not.
pub const VAT_REGISTRATION: RateTable<Pence> = RateTable::new(
    "vat-registration-threshold",
    "turnover over which a trader must register for VAT",
    &VAT_REGISTRATION_THRESHOLD,
);

/// Expected turnover of twelve months, without VAT, below which a registered trader may ask to be
/// deregistered.
pub const VAT_DEREGISTRATION: RateTable<Pence> = RateTable::new(
    "vat-deregistration-threshold",
    "turnover below which a trader may ask to be deregistered",
    &VAT_DEREGISTRATION_THRESHOLD,
);

/// A figure as it is listed, with its unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RateValue {
    /// Per cent: 20 is 20 %.
    Percent(Decimal),
    /// Pounds and pence.
    Pounds(Pence),
    /// So many days, weeks, months or years.
    Span(u32, &'static str),
}

impl RateValue {
    /// Its unit in a word: `percent`, `pounds`, `days` …
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Percent(_) => "percent",
            Self::Pounds(_) => "pounds",
            Self::Span(_, unit) => unit,
        }
    }
}

/// As `17.5 %`, `£90,000.00` or `6 years`.
impl fmt::Display for RateValue {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Percent(percent) => write!(f, "{} %", percent.normalize()),
            Self::Pounds(amount) => write!(f, "{amount}"),
            Self::Span(number, unit) => write!(f, "{number} {unit}"),
        }
    }
}

/// A kind of figure that tables hold.
pub trait Figure: Copy + 'static {
    /// As it is listed.
    fn value(self) -> RateValue;

    /// From a value of its own unit; none from another's.
    fn from_value(value: RateValue) -> Option<Self>;

    /// A value of its unit as typed.
    fn read(typed: &str) -> Result<RateValue, ValueError>;
}

/// Per cent.
impl Figure for Decimal {
    fn value(self) -> RateValue {
        RateValue::Percent(self)
    }

    fn from_value(value: RateValue) -> Option<Self> {
        if let RateValue::Percent(percent) = value { Some(percent) } else { None }
    }

    fn read(typed: &str) -> Result<RateValue, ValueError> {
        typed.parse().map(|percent: FeePercent| RateValue::Percent(percent.percent()))
    }
}

impl Figure for Pence {
    fn value(self) -> RateValue {
        RateValue::Pounds(self)
    }

    fn from_value(value: RateValue) -> Option<Self> {
        if let RateValue::Pounds(amount) = value { Some(amount) } else { None }
    }

    fn read(typed: &str) -> Result<RateValue, ValueError> {
        typed.parse().map(RateValue::Pounds)
    }
}

impl Figure for CashLimit {
    fn value(self) -> RateValue {
        RateValue::Pounds(self.sterling)
    }

    fn from_value(value: RateValue) -> Option<Self> {
        Pence::from_value(value).map(|sterling| Self { sterling, words: None })
    }

    fn read(typed: &str) -> Result<RateValue, ValueError> {
        Pence::parse_positive(typed).map(RateValue::Pounds)
    }
}

/// Makes the figures that are a length of time.
macro_rules! spans {
    ($($(#[$doc:meta])* $name:ident, $unit:literal);+ $(;)?) => { $(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub struct $name(pub u32);

        impl Figure for $name {
            fn value(self) -> RateValue {
                RateValue::Span(self.0, $unit)
            }

            fn from_value(value: RateValue) -> Option<Self> {
                match value {
                    RateValue::Span(number, $unit) => Some(Self(number)),
                    _ => None,
                }
            }

            fn read(typed: &str) -> Result<RateValue, ValueError> {
                match typed.parse::<u32>() {
                    Ok(number @ 1..=1_000) => Ok(RateValue::Span(number, $unit)),
                    _ => Err(ValueError::new($unit, typed, "write a whole number from 1 to 1000")),
                }
            }
        }
    )+ };
}

spans! {
    /// Whole days.
    Days, "days";
    /// Whole months.
    Months, "months";
    /// Whole years.
    Years, "years";
}

/// A table under the name a trader's own lines know it by.
#[derive(Clone, Copy, Debug)]
pub struct RateTable<T: 'static> {
    /// In kebab-case.
    pub name: &'static str,
    /// What it is a table of, in a few words.
    pub meaning: &'static str,
    /// Oldest first.
    pub rows: &'static [Dated<T>],
    /// No line of the trader's own changes it.
    pub fixed: bool,
}

impl<T> RateTable<T> {
    /// A table whose rules ask [`Rates`], so that the trader's own lines count.
    pub const fn new(name: &'static str, meaning: &'static str, rows: &'static [Dated<T>]) -> Self {
        Self { name, meaning, rows, fixed: false }
    }

    /// A table that is listed, but which no line can change.
    pub const fn fixed(name: &'static str, meaning: &'static str, rows: &'static [Dated<T>]) -> Self {
        Self { name, meaning, rows, fixed: true }
    }
}

/// What a list needs of a table, whatever it holds.
pub trait Listed: Sync {
    /// Its name.
    fn name(&self) -> &'static str;
    /// What it is a table of.
    fn meaning(&self) -> &'static str;
    /// Whether no line of the trader's own can change it.
    fn is_fixed(&self) -> bool;
    /// A value of its unit as typed.
    fn read(&self, typed: &str) -> Result<RateValue, ValueError>;
    /// The rows it came with, oldest first.
    fn built_in(&self) -> Vec<Dated<RateValue>>;
}

impl<T: Figure + Sync> Listed for RateTable<T> {
    fn name(&self) -> &'static str {
        self.name
    }

    fn meaning(&self) -> &'static str {
        self.meaning
    }

    fn is_fixed(&self) -> bool {
        self.fixed
    }

    fn read(&self, typed: &str) -> Result<RateValue, ValueError> {
        T::read(typed)
    }

    fn built_in(&self) -> Vec<Dated<RateValue>> {
        let row = |row: &Dated<T>| Dated { from: row.from, value: row.value.value(), source: row.source };
        self.rows.iter().map(row).collect()
    }
}

/// One line of the trader's own: a figure of a table from a day on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OwnRate {
    /// The table's name.
    pub table: &'static str,
    /// From when, what, and where they have it from; the source may be empty.
    pub row: Dated<RateValue>,
}

/// The figures in force: those the program came with, and the trader's own before them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Rates {
    own: &'static [OwnRate],
    file: &'static str,
}

/// A row as it is listed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ListedRate {
    /// From when, what, and where it was read.
    pub row: Dated<RateValue>,
    /// The last day it holds; none while nothing follows.
    pub until: Option<NaiveDate>,
    /// It is the trader's own.
    pub own: bool,
}

impl Rates {
    /// With the trader's own lines, from the file of that name.
    pub const fn with_own(own: &'static [OwnRate], file: &'static str) -> Self {
        Self { own, file }
    }

    /// The file the trader's own lines came from; none without lines.
    pub fn own_file(&self) -> Option<&'static str> {
        (!self.own.is_empty()).then_some(self.file)
    }

    /// The figure of a table on a day. None before its first row.
    pub fn in_force<T: Figure>(&self, table: &RateTable<T>, on: NaiveDate) -> Option<T> {
        let built_in = in_force(table.rows, on);
        let own = self.own.iter().filter(|own| own.table == table.name && own.row.from <= on);
        let own = own.max_by_key(|own| own.row.from).filter(|own| built_in.is_none_or(|row| row.from <= own.row.from));
        own.and_then(|own| T::from_value(own.row.value)).or(built_in.map(|row| row.value))
    }

    /// The standard rate of VAT on a day, in per cent: 20 is 20 %. None before the first known.
    pub fn standard_vat_rate(&self, on: NaiveDate) -> Option<Decimal> {
        self.in_force(&VAT_STANDARD_RATE, on)
    }

    /// The rows of a table with the trader's own among them, oldest first.
    pub fn rows(&self, table: &dyn Listed) -> Vec<ListedRate> {
        let own = self.own.iter().filter(|own| own.table == table.name()).map(|own| own.row);
        let mut rows: Vec<ListedRate> = own.map(|row| ListedRate { row, until: None, own: true }).collect();
        let begins = |rows: &[ListedRate], day| rows.iter().any(|listed| listed.row.from == day);
        for row in table.built_in() {
            if !begins(&rows, row.from) {
                rows.push(ListedRate { row, until: None, own: false });
            }
        }
        rows.sort_by_key(|listed| listed.row.from);
        let ends: Vec<Option<NaiveDate>> = rows.iter().skip(1).map(|next| next.row.from.pred_opt()).collect();
        for (listed, end) in rows.iter_mut().zip(ends) {
            listed.until = end;
        }
        rows
    }

    /// The trader's own lines of a table that hold on any day of a span, each as a sentence without
    /// its full stop. A report made from one of them says so.
    pub fn own_used(&self, table: &dyn Listed, from: NaiveDate, to: NaiveDate) -> Vec<String> {
        let holds = |rate: &ListedRate| rate.row.from <= to && rate.until.is_none_or(|until| from <= until);
        let used = self.rows(table).into_iter().filter(|rate| rate.own && holds(rate));
        used.map(|rate| {
            let Dated { from, value, .. } = rate.row;
            format!("the {} of {value} from {} is your own, from {}", table.meaning(), long(from), self.file)
        })
        .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::law::every_table::tables;
    use crate::domain::law::own_rates::read;
    use crate::domain::law::rates::day;

    fn rates(text: &'static str) -> Rates {
        Rates::with_own(read(text).unwrap().leak(), "yard.rates")
    }

    fn vat(rates: Rates, on: &str) -> Option<String> {
        rates.standard_vat_rate(on.parse().unwrap()).map(|rate| rate.to_string())
    }

    #[test]
    fn names_are_unlike_and_rows_are_in_order_with_a_source() {
        let mut names: Vec<&str> = tables().map(Listed::name).collect();
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count);
        for table in tables() {
            let rows = table.built_in();
            assert!(!rows.is_empty() && rows.is_sorted_by(|a, b| a.from < b.from), "{}", table.name());
            assert!(rows.iter().all(|row| !row.source.is_empty()), "{}", table.name());
        }
    }

    /// What is shown as a source is the law or the authority's own words; where somebody else tells them is for the
    /// comment beside the row.
    #[test]
    fn nobody_else_is_named_as_the_source_of_a_figure() {
        for row in tables().flat_map(Listed::built_in) {
            let own = ["gov.uk", "Act 1", "Act 2", "Regulations 2", "Order 1", "from memory"];
            assert!(
                own.iter().any(|word| row.source.contains(word)) || row.source.contains("GOV.UK"),
                "{}",
                row.source
            );
            for word in row.source.split([' ', ';', ',']) {
                let elsewhere = [".co.uk", ".com", ".net", ".org", ".scot"].iter().any(|ending| word.contains(ending));
                assert!(!elsewhere, "{word} in {}", row.source);
            }
        }
    }

    #[test]
    fn without_lines_of_the_traders_own_the_tables_hold() {
        let plain = Rates::default();
        for (on, rate) in [
            ("1991-03-31", None),
            ("2008-11-30", Some("17.5")),
            ("2008-12-01", Some("15")),
            ("2011-01-03", Some("17.5")),
            ("2011-01-04", Some("20")),
        ] {
            assert_eq!(vat(plain, on).as_deref(), rate, "{on}");
        }
        assert_eq!(plain.own_file(), None);
    }

    #[test]
    fn the_traders_own_line_holds_from_its_day_until_the_next_of_either() {
        let own = rates("vat-standard-rate 2027-04-01 21\nvat-standard-rate 2010-06-01 16");
        for (on, rate) in [
            ("2010-05-31", "17.5"),
            ("2010-06-01", "16"),
            ("2011-01-03", "16"),
            ("2011-01-04", "20"),
            ("2027-03-31", "20"),
            ("2027-04-01", "21"),
        ] {
            assert_eq!(vat(own, on).as_deref(), Some(rate), "{on}");
        }
        // On the very day of a row it takes its place.
        assert_eq!(vat(rates("vat-standard-rate 2011-01-04 19"), "2011-01-04").as_deref(), Some("19"));
        assert_eq!(own.own_file(), Some("yard.rates"));
    }

    #[test]
    fn the_list_says_how_long_each_holds_and_agrees_with_what_is_in_force() {
        let own = rates("vat-standard-rate 2011-01-04 19\nvat-standard-rate 2027-04-01 21");
        let rows = own.rows(&VAT_STANDARD_RATE);
        let told: Vec<(String, Option<String>, bool)> = rows
            .iter()
            .map(|listed| (listed.row.value.to_string(), listed.until.map(|day| day.to_string()), listed.own))
            .collect();
        let until = |day: &str| Some(day.to_owned());
        assert_eq!(
            told,
            [
                ("17.5 %".to_owned(), until("2008-11-30"), false),
                ("15 %".to_owned(), until("2009-12-31"), false),
                ("17.5 %".to_owned(), until("2011-01-03"), false),
                ("19 %".to_owned(), until("2027-03-31"), true),
                ("21 %".to_owned(), None, true),
            ]
        );
        for listed in &rows {
            let first = own.in_force(&VAT_STANDARD_RATE, listed.row.from).map(Figure::value);
            assert_eq!(first, Some(listed.row.value));
        }
    }

    #[test]
    fn what_was_used_is_told_for_the_days_it_held() {
        let own = rates("vat-standard-rate 2027-04-01 21");
        let used = |from, to| own.own_used(&VAT_STANDARD_RATE, from, to);
        assert!(used(day(2027, 3, 1), day(2027, 3, 31)).is_empty());
        assert_eq!(
            used(day(2027, 3, 1), day(2027, 4, 1)),
            ["the standard rate of VAT of 21 % from 1 Apr 2027 is your own, from yard.rates"]
        );
        assert!(rates("").own_used(&VAT_STANDARD_RATE, day(2000, 1, 1), day(2030, 1, 1)).is_empty());
    }

    #[test]
    fn values_keep_their_unit() {
        assert_eq!(Days::from_value(RateValue::Span(30, "years")), None);
        assert_eq!(Pence::from_value(RateValue::Percent(Decimal::TWO)), None);
        assert_eq!(Decimal::from_value(RateValue::Pounds(Pence::ZERO)), None);
        assert_eq!(Years::read("6").map(|value| value.to_string()), Ok("6 years".to_owned()));
        assert!(Years::read("0").is_err() && Years::read("-6").is_err() && Years::read("six").is_err());
        assert_eq!(RateValue::Pounds(Pence::new(9_000_000)).to_string(), "£90,000.00");
    }
}

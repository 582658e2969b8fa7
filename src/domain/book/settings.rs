//! The trader's settings: which there are, what each may be, and what it is when not set.

use crate::domain::book::fee_scale::FeeScale;
use crate::domain::days::day::DayAhead;
use crate::domain::days::vat_quarter::QuarterEnd;
use crate::domain::law::mot::Region;
use crate::domain::law::registration::Registration;
use crate::domain::value::value_error::ValueError;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Direction, PaidBy};
use chrono::NaiveDate;

/// Every key, what it is for, and its default in words.
pub const KEYS: &[(&str, &str, &str)] = &[
    ("trader-name", "name on invoices and the stock book", ""),
    ("trader-address", "address on invoices", ""),
    ("trader-phone", "telephone on invoices", ""),
    ("vat-number", "VAT registration number", ""),
    ("vat-registered-from", "first day registered for VAT, or none", "none"),
    ("vat-registered-until", "last day registered for VAT, or none", "none"),
    ("vat-quarter-end", "a month your VAT quarters end with", "mar"),
    ("region", "GB or NI: whose MOT rules apply", "GB"),
    ("default-paid", "how things are paid when not said: bank, cash or card", "bank"),
    ("minimum-mot-days", "days of MOT a car should have when sold", "none"),
    ("age-bands", "days in stock at which a car is flagged", "30,60,90"),
    ("remind-days", "days ahead that dates are flagged", "30"),
    ("backup-days", "days after which a copy of the book is old", "14"),
    ("backup-keep", "how many dated copies are kept beside the book", "10"),
];

/// The headings of the self-employment pages a heading can belong under, which way its money
/// goes, and the page's own name for it (SA103, HMRC; box order of the full pages).
pub const RETURN_HEADINGS: &[(&str, Direction, &str)] = &[
    ("goods", Direction::Cost, "cost of goods bought for resale or goods used"),
    ("wages", Direction::Cost, "wages, salaries and other staff costs"),
    ("travel", Direction::Cost, "car, van and travel expenses"),
    ("premises", Direction::Cost, "rent, rates, power and insurance"),
    ("repairs", Direction::Cost, "repairs and maintenance of property and equipment"),
    ("office", Direction::Cost, "phone, fax, stationery and other office costs"),
    ("advertising", Direction::Cost, "advertising and business entertainment"),
    ("interest", Direction::Cost, "interest on bank and other loans"),
    ("bank-charges", Direction::Cost, "bank, credit card and other financial charges"),
    ("professional", Direction::Cost, "accountancy, legal and other professional fees"),
    ("other-expenses", Direction::Cost, "other business expenses"),
    ("capital", Direction::Cost, "none: equipment to keep, claimed apart from expenses"),
    ("sales", Direction::Receipt, "turnover"),
    ("other-income", Direction::Receipt, "any other business income"),
];

/// The return heading a word names, and which way its money goes.
pub fn return_heading(typed: &str) -> Option<(&'static str, Direction)> {
    let wanted = typed.trim().to_lowercase();
    RETURN_HEADINGS.iter().find(|(word, _, _)| *word == wanted).map(|(word, direction, _)| (*word, *direction))
}

/// The key an auction's fee scale is kept under: its name in lower case, words joined by hyphens.
pub fn auction_key(name: &str) -> String {
    let words: Vec<&str> = name.split_whitespace().collect();
    format!("auction:{}", words.join("-").to_lowercase())
}

/// The settings in force.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Settings {
    /// VAT registration.
    pub registration: Registration,
    /// Which months VAT quarters end with.
    pub vat_quarter_end: QuarterEnd,
    /// Whose MOT rules apply.
    pub region: Region,
    /// How things are paid when not said.
    pub default_paid: PaidBy,
    /// Days of MOT a car should have when sold.
    pub minimum_mot_days: Option<i64>,
    /// Days in stock at which a car is flagged, rising.
    pub age_bands: Vec<i64>,
    /// Days ahead that dates are flagged.
    pub remind_days: i64,
    /// Days after which a copy of the book is old.
    pub backup_days: i64,
    /// How many dated copies are kept beside the book.
    pub backup_keep: usize,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            registration: Registration::default(),
            vat_quarter_end: QuarterEnd::MARCH,
            region: Region::Gb,
            default_paid: PaidBy::Bank,
            minimum_mot_days: None,
            age_bands: vec![30, 60, 90],
            remind_days: 30,
            backup_days: 14,
            backup_keep: 10,
        }
    }
}

impl Settings {
    /// Reads stored settings. A stored value was checked when it was set, so one that no longer
    /// reads is a fault in the book and is reported as such.
    pub fn read<'a>(stored: impl IntoIterator<Item = (&'a str, &'a str)>) -> Result<Self, ValueError> {
        let mut settings = Self::default();
        for (key, value) in stored {
            match key {
                "vat-registered-from" => settings.registration.from = Some(stored_day(value)?),
                "vat-registered-until" => settings.registration.until = Some(stored_day(value)?),
                "vat-quarter-end" => settings.vat_quarter_end = value.parse()?,
                "region" => settings.region = value.parse()?,
                "default-paid" => settings.default_paid = value.parse()?,
                "minimum-mot-days" => settings.minimum_mot_days = Some(days(value)?),
                "age-bands" => settings.age_bands = bands(value)?,
                "remind-days" => settings.remind_days = days(value)?,
                "backup-days" => settings.backup_days = days(value)?,
                "backup-keep" => settings.backup_keep = usize::try_from(days(value)?).unwrap_or_default().max(1),
                _ => {}
            }
        }
        Ok(settings)
    }
}

/// The value to keep for a key, or none to put it back to its default. `None` from the outer
/// option: no such key.
pub fn normalised(key: &str, value: &str, today: NaiveDate) -> Option<Result<Option<String>, ValueError>> {
    let none = value.trim().eq_ignore_ascii_case("none");
    Some(match key {
        "trader-name" | "trader-address" | "trader-phone" | "vat-number" => {
            if none {
                Ok(None)
            } else {
                value.parse::<Wording>().map(|text| Some(text.to_string()))
            }
        }
        "vat-registered-from" | "vat-registered-until" => {
            if none {
                Ok(None)
            } else {
                registration_day(value, today).map(Some)
            }
        }
        key if key.starts_with("auction:") && key.len() > "auction:".len() => {
            if none {
                Ok(None)
            } else {
                value.parse::<FeeScale>().map(|scale| Some(scale.to_string()))
            }
        }
        "vat-quarter-end" => value.parse::<QuarterEnd>().map(|month| Some(month.to_string())),
        "region" => value.parse::<Region>().map(|region| Some(region.to_string())),
        "default-paid" => match value.parse::<PaidBy>() {
            Ok(paid) if paid != PaidBy::Own => Ok(Some(paid.to_string())),
            _ => Err(ValueError::new("way of paying", value, "write bank, cash or card")),
        },
        "minimum-mot-days" if none => Ok(None),
        "minimum-mot-days" | "remind-days" | "backup-days" => days(value).map(|days| Some(days.to_string())),
        "backup-keep" => match value.trim().parse::<u32>() {
            Ok(copies) if (1..=1_000).contains(&copies) => Ok(Some(copies.to_string())),
            _ => Err(ValueError::new("number of copies", value, "write a whole number from 1 to 1000")),
        },
        "age-bands" => {
            bands(value).map(|bands| Some(bands.iter().map(ToString::to_string).collect::<Vec<_>>().join(",")))
        }
        _ => return None,
    })
}

fn registration_day(value: &str, today: NaiveDate) -> Result<String, ValueError> {
    value.parse::<DayAhead>()?.resolve(today).map(|day| day.to_string())
}

fn stored_day(value: &str) -> Result<NaiveDate, ValueError> {
    value.parse().map_err(|_| ValueError::new("stored date", value, "YYYY-MM-DD"))
}

fn days(value: &str) -> Result<i64, ValueError> {
    match value.trim().parse::<i64>() {
        Ok(days) if (0..=3_650).contains(&days) => Ok(days),
        _ => Err(ValueError::new("number of days", value, "write a whole number from 0 to 3650")),
    }
}

fn bands(value: &str) -> Result<Vec<i64>, ValueError> {
    let refused = || ValueError::new("age bands", value, "write rising whole numbers of days, such as 30,60,90");
    let bands = value.split(',').map(days).collect::<Result<Vec<_>, _>>().map_err(|_| refused())?;
    if bands.windows(2).all(|pair| pair[0] < pair[1]) && bands.first().is_some_and(|first| *first > 0) {
        Ok(bands)
    } else {
        Err(refused())
    }
}

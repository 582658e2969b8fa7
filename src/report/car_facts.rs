//! The facts of a car that `stock` and `car` share, key for key.

use crate::domain::book::dated_facts::TaxStatus;
use crate::domain::book::facts::{Car, Showing};
use crate::domain::book::roadworthy::{Concern, OFFENCE};
use crate::domain::figures::car_figures::CarFigures;
use crate::domain::figures::yard::{CarOnDay, Flag};
use crate::report::cell::{IsoDay, MoneyText};
use crate::report::phrase::capitalised;
use serde::{Serialize, Serializer};

/// A car's facts on a day.
#[derive(Clone, Debug, Serialize)]
pub struct CarFacts {
    pub(super) stock_no: u32,
    pub(super) mark: Option<String>,
    pub(super) description: Option<String>,
    pub(super) bought_on: IsoDay,
    pub(super) days_in_stock: Option<i64>,
    pub(super) purchase_price: MoneyText,
    pub(super) costs: MoneyText,
    pub(super) income: MoneyText,
    pub(super) stands_in: MoneyText,
    pub(super) asking_price: Option<MoneyText>,
    pub(super) lowest_price: Option<MoneyText>,
    pub(super) mileage: Option<u32>,
    pub(super) mot_until: Option<IsoDay>,
    pub(super) mot_days_left: Option<i64>,
    pub(super) tax_until: Option<IsoDay>,
    pub(super) tax_status: TaxWord,
    pub(super) deposit_held: MoneyText,
    pub(super) flags: Vec<FlagWord>,
    // Machines read it from the flags and the asking price.
    #[serde(skip)]
    against_offer: Vec<Concern>,
}

impl CarFacts {
    pub(super) fn new(car: &Car, figures: &CarFigures, showing: &Showing, on_day: CarOnDay) -> Self {
        let description = car.vehicle.description();
        Self {
            stock_no: car.stock_no.get(),
            mark: car.mark.as_ref().map(ToString::to_string),
            description: Some(description).filter(|text| !text.is_empty()),
            bought_on: IsoDay(car.bought_on),
            days_in_stock: figures.days_in_stock,
            purchase_price: MoneyText(figures.purchase_price),
            costs: MoneyText(figures.costs),
            income: MoneyText(figures.income),
            stands_in: MoneyText(figures.stands_in),
            asking_price: showing.asking_price.map(MoneyText),
            lowest_price: showing.lowest_price.map(MoneyText),
            mileage: showing.mileage.map(|(_, miles)| miles),
            mot_until: showing.mot.until.map(IsoDay),
            mot_days_left: on_day.mot_days_left,
            tax_until: on_day.tax.until().map(IsoDay),
            tax_status: TaxWord(on_day.tax),
            deposit_held: MoneyText(figures.deposit_held),
            flags: on_day.flags.into_iter().map(FlagWord).collect(),
            against_offer: on_day.against_offer,
        }
    }

    /// `3 KX42 RTO`.
    pub(super) fn label(&self) -> String {
        format!("{} {}", self.stock_no, self.mark.as_deref().unwrap_or("(no plates)"))
    }

    /// The flags as machines read them in one field.
    pub(super) fn flag_words(&self) -> String {
        self.flags.iter().map(|flag| flag.0.word()).collect::<Vec<_>>().join(" ")
    }
}

/// How many cars a caution names.
const MOST_NAMED: usize = 3;

/// The caution that goes with cars on offer that something is held against; none where there are none.
pub(super) fn offer_caution<'c>(cars: impl IntoIterator<Item = &'c CarFacts>) -> Option<String> {
    let held: Vec<&CarFacts> = cars.into_iter().filter(|car| !car.against_offer.is_empty()).collect();
    let mut said: Vec<String> = held
        .iter()
        .take(MOST_NAMED)
        .map(|car| {
            let why: Vec<String> = car.against_offer.iter().map(Concern::to_string).collect();
            format!("{} is on offer: {}", car.label(), why.join("; "))
        })
        .collect();
    match held.len().saturating_sub(MOST_NAMED) {
        0 => {}
        1 => said.push("1 more car on offer has no MOT, or a defect that fails one".to_owned()),
        more => said.push(format!("{more} more cars on offer have no MOT, or a defect that fails one")),
    }
    (!held.is_empty()).then(|| format!("{}. {}", said.join(". "), capitalised(OFFENCE)))
}

/// A flag in JSON: its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FlagWord(pub(super) Flag);

impl Serialize for FlagWord {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.word())
    }
}

/// A tax status in JSON: its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TaxWord(pub(super) TaxStatus);

impl Serialize for TaxWord {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.0.word())
    }
}

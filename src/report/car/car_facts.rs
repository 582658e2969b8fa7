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
    pub(crate) stock_no: u32,
    pub(crate) mark: Option<String>,
    pub(crate) description: Option<String>,
    pub(crate) bought_on: IsoDay,
    pub(crate) days_in_stock: Option<i64>,
    pub(crate) purchase_price: MoneyText,
    pub(crate) costs: MoneyText,
    pub(crate) income: MoneyText,
    pub(crate) stands_in: MoneyText,
    pub(crate) asking_price: Option<MoneyText>,
    pub(crate) lowest_price: Option<MoneyText>,
    pub(crate) mileage: Option<u32>,
    pub(crate) mot_until: Option<IsoDay>,
    pub(crate) mot_days_left: Option<i64>,
    pub(crate) tax_until: Option<IsoDay>,
    pub(crate) tax_status: TaxWord,
    pub(crate) deposit_held: MoneyText,
    pub(crate) flags: Vec<FlagWord>,
    // Machines read it from the flags and the asking price.
    #[serde(skip)]
    against_offer: Vec<Concern>,
}

impl CarFacts {
    pub(crate) fn new(car: &Car, figures: &CarFigures, showing: &Showing, on_day: CarOnDay) -> Self {
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
    pub(crate) fn label(&self) -> String {
        format!("{} {}", self.stock_no, self.mark.as_deref().unwrap_or("(no plates)"))
    }

    /// The flags as machines read them in one field.
    pub(crate) fn flag_words(&self) -> String {
        self.flags.iter().map(|flag| flag.0.word()).collect::<Vec<_>>().join(" ")
    }
}

/// How many cars a caution names.
const MOST_NAMED: usize = 3;

/// The caution that goes with cars on offer that something is held against; none where there are none.
pub(crate) fn offer_caution<'c>(cars: impl IntoIterator<Item = &'c CarFacts>) -> Option<String> {
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
pub struct FlagWord(pub(crate) Flag);

impl Serialize for FlagWord {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0.word())
    }
}

/// A tax status in JSON: its word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TaxWord(pub(crate) TaxStatus);

impl Serialize for TaxWord {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.0.word())
    }
}

//! Pictures as plain data: what is drawn, which values, what it is called and what it says in words.
//! Where on the paper anything goes, and in which pattern, is for the renderer.

use crate::domain::days::month::Month;
use crate::domain::figures::spending::CostKind;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;
use rust_decimal::Decimal;

/// One picture.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Chart {
    /// What it is called.
    pub title: String,
    /// What somebody who cannot see it is told: what is drawn, and what it comes to.
    pub told: String,
    /// What is drawn.
    pub drawing: Drawing,
}

/// What is drawn.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Drawing {
    /// Months side by side: parts up from nothing and down from it, and a line through what is left.
    Months(Vec<MonthColumn>),
    /// The float at month ends: a line to today, a band ahead.
    LineBand(LineBand),
    /// Bars one under another, parts end to end.
    Bars(Vec<Bar>),
    /// From one sum to another, step by step.
    Waterfall(Vec<Step>),
    /// When each car was here.
    Timeline(Timeline),
    /// Cars sold, by days and return.
    Scatter(Vec<Dot>),
}

/// What a part of a bar stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// What was paid for a car.
    Purchase,
    /// What it stood in at.
    StoodIn,
    /// A kind of cost on it.
    Cost(CostKind),
    /// VAT due on the sale.
    Vat,
    /// What is left.
    Profit,
    /// What is wanting.
    Loss,
    /// The selling price of a car that came back: none of it was made.
    TakenBack,
    /// In the cars sold.
    OnCars,
    /// On the yard.
    OnYard,
    /// What cars sold made.
    Gross,
    /// What the yard cost.
    Overheads,
    /// Everything else in the profit.
    Rest,
    /// A sum that a walk begins, ends or rests at.
    Sum,
    /// A step up.
    More,
    /// A step down.
    Less,
}

impl Part {
    /// What it is called beside a picture.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Purchase => "purchase price",
            Self::StoodIn => "stood in at",
            Self::Cost(CostKind::Finding) => "tests and checks",
            Self::Cost(CostKind::Righting) => "putting it right",
            Self::Cost(CostKind::Moving) => "moving it",
            Self::Cost(CostKind::Selling) => "selling it",
            Self::Cost(CostKind::Other) => "other costs",
            Self::Vat => "VAT",
            Self::Profit => "profit",
            Self::Loss => "loss",
            Self::TakenBack => "sold, and came back",
            Self::OnCars => "in the cars sold",
            Self::OnYard => "on the yard",
            Self::Gross => "gross profit on cars",
            Self::Overheads => "overheads",
            Self::Rest => "everything else",
            Self::Sum => "where it stands",
            Self::More => "more",
            Self::Less => "less",
        }
    }
}

/// A month: its parts come to its profit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MonthColumn {
    /// The month.
    pub month: Month,
    /// What adds to the profit is positive, what takes from it negative.
    pub parts: Vec<(Part, Pence)>,
    /// What they come to.
    pub profit: Pence,
}

/// The float up to today and ahead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineBand {
    /// At each day, oldest first; the last is today's.
    pub behind: Vec<(NaiveDate, Pence)>,
    /// At each month end to come.
    pub ahead: Vec<Ahead>,
}

/// A month end to come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ahead {
    /// The day.
    pub on: NaiveDate,
    /// What one run in ten does not exceed.
    pub low: Pence,
    /// The middle of the runs.
    pub middle: Pence,
    /// What nine in ten do not exceed.
    pub high: Pence,
}

/// A bar with its name above it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bar {
    /// What it is of.
    pub name: String,
    /// What it comes to, at the other end of the same line.
    pub told: String,
    /// Its parts from left to right; a negative one goes left from nothing.
    pub parts: Vec<(Part, Pence)>,
    /// A sum pointed at on the same scale.
    pub pointer: Option<(Pointer, Pence)>,
}

/// What a bar points at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pointer {
    /// What came in, short of what went out: from here to the end of the bar is lost.
    CameIn,
    /// What is asked for it.
    Asking,
}

/// A step of a walk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// What it is.
    pub name: String,
    /// A sum, or how a sum changes.
    pub amount: Pence,
    /// Whether it is a sum, drawn from nothing.
    pub is_sum: bool,
}

/// When each car was here, month by month.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Timeline {
    /// The first day drawn.
    pub from: NaiveDate,
    /// The last.
    pub to: NaiveDate,
    /// Today.
    pub today: NaiveDate,
    /// The slots of each month drawn.
    pub slots: Vec<Slots>,
    /// The cars, in order of purchase.
    pub cars: Vec<Stay>,
}

/// The slots of a month of the programme.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Slots {
    /// The month.
    pub month: Month,
    /// How many there are.
    pub planned: u32,
    /// How many have their car.
    pub filled: u32,
    /// Cars bought beyond them, which fill none and are not drawn there.
    pub beyond: u32,
}

/// One car's time here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stay {
    /// The car.
    pub name: String,
    /// Each stretch in stock.
    pub stretches: Vec<Stretch>,
    /// The last day of its MOT, as known when it left or today.
    pub mot_until: Option<NaiveDate>,
}

/// A stretch in stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch {
    /// The day bought or taken back.
    pub from: NaiveDate,
    /// The day it ended, or today.
    pub until: NaiveDate,
    /// What ended it.
    pub end: StretchEnd,
}

/// What ended a stretch in stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum StretchEnd {
    /// Sold.
    Sold,
    /// Left without a sale.
    Gone,
    /// Nothing: it is here.
    Here,
}

/// A car sold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Dot {
    /// Its stock number.
    pub stock_no: u32,
    /// Days in stock.
    pub days: i64,
    /// Return in per cent.
    pub return_pct: Decimal,
}

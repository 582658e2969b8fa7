//! When a car was in stock: the stretches of its stay, what ended each, and the stretch a line
//! belongs to. A car bought begins a stretch; a sale or a disposal ends one; a car taken back begins
//! the next.

use crate::domain::book::facts::{Car, Disposal, Line, Sale, TakeBack};
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::words::Direction;
use chrono::NaiveDate;

/// What ended a stretch in stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Left<'a> {
    /// Sold.
    Sold(&'a Sale),
    /// Left without a sale.
    Disposed(&'a Disposal),
}

impl<'a> Left<'a> {
    /// The day the car left.
    pub fn on(self) -> NaiveDate {
        match self {
            Self::Sold(sale) => sale.on,
            Self::Disposed(disposal) => disposal.on,
        }
    }

    /// The entry that recorded it.
    pub fn entry(self) -> EntryNo {
        match self {
            Self::Sold(sale) => sale.entry,
            Self::Disposed(disposal) => disposal.entry,
        }
    }

    /// The sale, if it was one.
    pub fn sale(self) -> Option<&'a Sale> {
        match self {
            Self::Sold(sale) => Some(sale),
            Self::Disposed(_) => None,
        }
    }

    /// The disposal, if it was one.
    pub fn disposal(self) -> Option<&'a Disposal> {
        match self {
            Self::Sold(_) => None,
            Self::Disposed(disposal) => Some(disposal),
        }
    }
}

/// Days in stock without a break.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stretch<'a> {
    /// The day bought, or taken back.
    pub from: NaiveDate,
    /// What ended it; none while it lasts.
    pub left: Option<Left<'a>>,
}

impl Stretch<'_> {
    /// The day it ended, if by `day`, else `day` itself.
    pub fn end_by(&self, day: NaiveDate) -> NaiveDate {
        self.left.map_or(day, |left| left.on().min(day))
    }
}

/// Where a line stands in its car's stay.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joins {
    /// What the car stands in at, from this day: its own, or the day bought for a line paid ahead.
    Stock(NaiveDate),
    /// After-sale costs for good: it is dated after a sale, even if the car came back.
    AfterSale,
    /// What a disposal brought or cost.
    Disposal,
}

/// A line's place: the stretch it belongs to, by number, and what it is part of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// The stretch, from 0; that of sale n is n.
    pub stretch: usize,
    /// What it is part of.
    pub joins: Joins,
}

impl Car {
    /// Its stretches in stock, oldest first; never none.
    pub fn stretches(&self) -> impl Iterator<Item = Stretch<'_>> {
        let came_back = self.sales.iter().filter_map(|sale| sale.taken_back.as_ref()).map(|back| back.on);
        std::iter::once(self.bought_on).chain(came_back).enumerate().map(|(n, from)| {
            let disposed = || self.disposal.as_ref().map(Left::Disposed);
            Stretch { from, left: self.sales.get(n).map(Left::Sold).or_else(disposed) }
        })
    }

    /// The last stretch begun by `day` and its number; the first when none is.
    fn stretch_on(&self, day: NaiveDate) -> (usize, Stretch<'_>) {
        let mut stretches = self.stretches().enumerate();
        let first = stretches.next().unwrap_or((0, Stretch { from: self.bought_on, left: None }));
        stretches.take_while(|(_, stretch)| stretch.from <= day).last().unwrap_or(first)
    }

    /// How it had left by the end of `day`; none while in stock or not yet bought.
    pub fn left_by(&self, day: NaiveDate) -> Option<Left<'_>> {
        self.stretch_on(day).1.left.filter(|left| left.on() <= day)
    }

    /// How it last left, whatever the day; none while in stock.
    pub fn left(&self) -> Option<Left<'_>> {
        self.stretch_on(NaiveDate::MAX).1.left
    }

    /// How it came back, when it is in stock on `day` because it did: its sale then counts for nothing.
    pub fn came_back_by(&self, day: NaiveDate) -> Option<&TakeBack> {
        let sold = self.stretch_on(day).0.checked_sub(1).filter(|_| self.left_by(day).is_none())?;
        self.sales.get(sold).and_then(|sale| sale.taken_back.as_ref())
    }

    /// Its sale, when it is out of stock by one.
    pub fn sale(&self) -> Option<&Sale> {
        self.left().and_then(Left::sale)
    }

    /// The first day of the stretch it is, or was last, in stock by `day`.
    pub fn last_in_by(&self, day: NaiveDate) -> NaiveDate {
        self.stretch_on(day).1.from
    }

    /// The first day of the stretch it is, or was last, in stock.
    pub fn last_in_from(&self) -> NaiveDate {
        self.stretch_on(NaiveDate::MAX).1.from
    }

    /// Where `line` stands. The day of a sale counts as in stock, the day of a take-back as after it;
    /// money that comes in on the very day of a disposal is what the disposal brought.
    pub fn place(&self, line: &Line) -> Place {
        let (number, stretch) = self.stretch_on(line.on);
        let joins = match stretch.left {
            Some(Left::Sold(sale)) if line.on > sale.on => Joins::AfterSale,
            Some(Left::Disposed(disposal))
                if line.on > disposal.on || (line.on == disposal.on && line.direction == Direction::Receipt) =>
            {
                Joins::Disposal
            }
            _ => Joins::Stock(line.on.max(self.bought_on)),
        };
        Place { stretch: number, joins }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::fixture::bought;
    use crate::domain::value::pence::Pence;
    use crate::domain::value::words::{Outcome, Pocket, Shared};

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    /// Bought on the 1st of October, sold on the 3rd of November, back on the 10th, scrapped on the 20th.
    fn come_and_gone() -> Car {
        let (refund, nil) = (Pence::new(115_000), Pence::ZERO);
        let taken_back = TakeBack {
            take_back_no: 1,
            entry: 20,
            on: day("2026-11-10"),
            refund,
            lapsed: nil,
            returned: nil,
            kept_back: nil,
            reason: None,
        };
        let sale = Sale {
            sale_no: 1,
            entry: 6,
            on: day("2026-11-03"),
            selling_price: refund,
            buyer: None,
            address: None,
            to_trade: false,
            delivered_on: None,
            distance: false,
            part_exchanges: Vec::new(),
            taken_back: Some(taken_back),
        };
        let scrapped = Disposal {
            entry: 21,
            on: day("2026-11-20"),
            how: Outcome::Scrapped,
            value: nil,
            party: None,
            certificate: None,
        };
        Car { sales: vec![sale], disposal: Some(scrapped), ..bought(1, "2026-10-01", 450) }
    }

    fn line(direction: Direction, on: &str) -> Line {
        Line {
            line_no: 1,
            entry: 1,
            stock_no: None,
            direction,
            on: day(on),
            heading: "parts".into(),
            amount: Pence::new(100),
            usual_price: None,
            vat: Pence::ZERO,
            pocket: Some(Pocket::Cash),
            shared: Shared::Whole,
            party: None,
            note: None,
        }
    }

    #[test]
    fn a_car_is_in_stock_stretch_by_stretch() {
        let car = come_and_gone();
        let stretches: Vec<_> = car.stretches().map(|each| (each.from, each.left.map(Left::on))).collect();
        let [first, second] = [("2026-10-01", "2026-11-03"), ("2026-11-10", "2026-11-20")];
        assert_eq!(stretches, [first, second].map(|(from, left)| (day(from), Some(day(left)))));
        for (on, gone) in [
            ("2026-10-01", false),
            ("2026-11-02", false),
            ("2026-11-03", true),
            ("2026-11-09", true),
            ("2026-11-10", false),
            ("2026-11-19", false),
            ("2026-11-20", true),
        ] {
            assert_eq!(car.left_by(day(on)).is_some(), gone, "{on}");
            let is_back = ["2026-11-10", "2026-11-19"].contains(&on);
            assert_eq!(car.came_back_by(day(on)).is_some(), is_back, "{on}");
        }
        assert!(car.sale().is_none() && car.left().is_some());
    }

    #[test]
    fn a_line_belongs_to_the_last_stretch_begun_by_its_day() {
        let car = come_and_gone();
        let cost = Direction::Cost;
        for (direction, on, stretch, joins) in [
            (cost, "2026-09-01", 0, Joins::Stock(day("2026-10-01"))),
            (cost, "2026-11-03", 0, Joins::Stock(day("2026-11-03"))),
            (cost, "2026-11-04", 0, Joins::AfterSale),
            (cost, "2026-11-10", 1, Joins::Stock(day("2026-11-10"))),
            (cost, "2026-11-20", 1, Joins::Stock(day("2026-11-20"))),
            (Direction::Receipt, "2026-11-20", 1, Joins::Disposal),
            (cost, "2026-11-21", 1, Joins::Disposal),
        ] {
            assert_eq!(car.place(&line(direction, on)), Place { stretch, joins }, "{on}");
        }
    }
}

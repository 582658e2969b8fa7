//! Small invented cars as facts, built step by step, for the tests of rules about many of them.

use crate::domain::book::facts::{Car, Disposal, Facts, Line, Opening, Sale, TakeBack, Vehicle};
use crate::domain::law::registration::Registration;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Direction, Kind, Outcome, Pocket, Shared, Via};
use chrono::NaiveDate;

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

pub fn pounds(pounds: i64) -> Pence {
    Pence::new(pounds * 100)
}

/// Bought privately, nothing else known of it.
pub fn bought(stock_no: u32, on: &str, price: i64) -> Car {
    Car {
        stock_no: StockNo::new(stock_no),
        entry: i64::from(stock_no),
        vehicle: Vehicle {
            vehicle_no: i64::from(stock_no),
            kind: Kind::Car,
            vin: None,
            make: None,
            model: None,
            year: None,
            colour: None,
            fuel: None,
            first_registered: None,
        },
        mark: None,
        mark_at_purchase: None,
        bought_on: day(on),
        purchase_price: pounds(price),
        finance: Pence::ZERO,
        vat: Pence::ZERO,
        vat_invoice: false,
        via: Via::Private,
        seller: None,
        purchase_invoice: None,
        keys: None,
        taken_in_at: None,
        auction: None,
        sales: Vec::new(),
        disposal: None,
        lines: Vec::new(),
        settlements: Vec::new(),
        deposit_ends: Vec::new(),
        write_offs: Vec::new(),
        own_minutes: Vec::new(),
    }
}

/// A book of these cars alone, from one day to another; nothing before.
pub fn book_of(cars: Vec<Car>, from: &str, to: &str) -> Facts {
    Facts {
        from: day(from),
        to: day(to),
        standing_to: day(to),
        first_day: None,
        registration: Registration::default(),
        opening: Opening::default(),
        cars,
        yard_lines: Vec::new(),
        movements: Vec::new(),
        standings: Vec::new(),
    }
}

impl Car {
    pub(crate) fn made_by(mut self, make: &str) -> Self {
        self.vehicle.make = Some(make.into());
        self
    }

    pub(crate) fn spent(mut self, on: &str, heading: &str, amount: i64) -> Self {
        self.lines.push(Line {
            line_no: i64::try_from(self.lines.len()).unwrap() + 1,
            entry: 100,
            stock_no: Some(self.stock_no),
            direction: Direction::Cost,
            on: day(on),
            heading: heading.into(),
            amount: pounds(amount),
            usual_price: None,
            vat: Pence::ZERO,
            pocket: Some(Pocket::Bank),
            shared: Shared::Whole,
            party: None,
            note: None,
        });
        self
    }

    pub(crate) fn sold(mut self, on: &str, price: i64) -> Self {
        let number = self.sales.len() + 1;
        self.sales.push(Sale {
            sale_no: i64::from(self.stock_no.get()) * 10 + i64::try_from(number).unwrap(),
            entry: 200,
            on: day(on),
            selling_price: pounds(price),
            buyer: None,
            address: None,
            to_trade: false,
            delivered_on: None,
            distance: false,
            part_exchanges: Vec::new(),
            taken_back: None,
        });
        self
    }

    pub(crate) fn taken_back(mut self, on: &str) -> Self {
        let sale = self.sales.last_mut().unwrap();
        sale.taken_back = Some(TakeBack {
            take_back_no: 1,
            entry: 300,
            on: day(on),
            refund: sale.selling_price,
            lapsed: Pence::ZERO,
            returned: Pence::ZERO,
            kept_back: Pence::ZERO,
            reason: None,
        });
        self
    }

    pub(crate) fn gone(mut self, on: &str, how: Outcome, value: i64) -> Self {
        self.disposal =
            Some(Disposal { entry: 400, on: day(on), how, value: pounds(value), party: None, certificate: None });
        self
    }
}

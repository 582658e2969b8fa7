//! The stock book: what a second-hand dealer has to be able to show for each car, line by line.
//!
//! Fields: "VAT margin schemes: Keeping records", GOV.UK, gov.uk/vat-margin-schemes/keeping-records; for a
//! car the description includes its registration mark (De Voil V3.536). A car has a line for each thing
//! that ended or reversed its stay, so a sale and its reversal both stand, as they did on their days.

use crate::domain::book::facts::{Car, Disposal, Facts, Sale, TakeBack};
use crate::domain::book::stay::Left;
use crate::domain::days::period::Period;
use crate::domain::figures::car_figures::vat_on_sale;
use crate::domain::law::registration::Registration;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Via, word_set};
use chrono::NaiveDate;
use std::collections::BTreeMap;

/// What a line of the book says became of its car.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Event<'a> {
    /// In stock at the end of the period, since the day it was bought or came back.
    InStock(NaiveDate),
    /// Sold.
    Sold(&'a Sale),
    /// A sale reversed: the buyer brought the car back.
    Reversed(&'a Sale, &'a TakeBack),
    /// Left without a sale.
    Disposed(&'a Disposal),
}

/// A line of the book.
#[derive(Clone, Copy, Debug)]
pub struct StockLine<'a> {
    /// The car.
    pub car: &'a Car,
    /// What became of it.
    pub event: Event<'a>,
    /// Selling price less purchase price, costs never in it; negative at a loss, and of the other sign
    /// for a reversal. None without a sale, and for a car outside the scheme.
    pub margin: Option<Pence>,
    /// VAT due by the rate of the day of sale, nil at a loss; negative for a reversal. None without a
    /// sale, and where the trader was not registered on its day.
    pub vat_due: Option<Pence>,
}

/// What the lines of a list come to: what was bought, sold and reversed in the period.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct StockTotals {
    /// Cars bought in the period.
    pub cars_bought: usize,
    /// What was paid for them.
    pub purchase_price: Pence,
    /// Sales made in it.
    pub cars_sold: usize,
    /// Sales reversed in it.
    pub sales_reversed: usize,
    /// Cars that left without a sale in it.
    pub cars_disposed: usize,
    /// Cars in stock at its end.
    pub cars_in_stock: usize,
    /// Selling prices less those reversed.
    pub selling_price: Pence,
    /// Margins over nil, less those reversed.
    pub margin_gains: Pence,
    /// Margins under nil, less those reversed; not positive, unless losses of an earlier period were
    /// reversed. Never set against the gains: Lyon v HMRC \[2009\] UKFTT 267 (TC), paragraph 5.
    pub margin_losses: Pence,
    /// VAT due less what was reversed; none when the trader was registered on no day of it.
    pub vat_due: Option<Pence>,
}

/// Lines with what they come to.
#[derive(Clone, Debug)]
pub struct StockList<'a> {
    /// By stock number, each car's in the order things happened.
    pub lines: Vec<StockLine<'a>>,
    /// What they come to.
    pub totals: StockTotals,
}

/// The stock book of a period.
#[derive(Clone, Debug)]
pub struct StockBook<'a> {
    /// Cars that may be sold under the margin scheme.
    pub scheme: StockList<'a>,
    /// Cars bought on an invoice showing VAT: never in the scheme (VAT Notice 718/1), so kept apart.
    pub outside: StockList<'a>,
}

impl<'a> StockBook<'a> {
    /// The cars bought, sold, disposed of or in stock on a day of `period`. `facts` are those of the
    /// period, so they hold nothing dated after it.
    pub fn from_facts(facts: &'a Facts, period: Period) -> Self {
        let list = |outside: bool| {
            let cars = facts.cars.iter().filter(|car| car.vat_invoice == outside && car.bought_on <= period.to());
            StockList::from_cars(cars, period, &facts.registration)
        };
        Self { scheme: list(false), outside: list(true) }
    }

    /// Every line, those of the scheme first.
    pub fn lines(&self) -> impl Iterator<Item = &StockLine<'a>> {
        self.scheme.lines.iter().chain(&self.outside.lines)
    }

    /// What the law asks for and the book does not know, by stock number.
    pub fn missing(&self) -> Vec<(StockNo, Vec<Field>)> {
        let mut missing: BTreeMap<StockNo, Vec<Field>> = BTreeMap::new();
        for line in self.lines() {
            let known = missing.entry(line.car.stock_no).or_default();
            known.extend(line.missing());
            known.sort();
            known.dedup();
        }
        missing.into_iter().filter(|(_, fields)| !fields.is_empty()).collect()
    }

    /// The numbers undone that a reader of these lines will look for: those recorded on a day of the
    /// span, and those between the least and the greatest number listed. `from` and `to` are none where
    /// the book is not cut.
    pub fn gaps<'n>(
        &self,
        undone: &'n [UndoneNumber],
        from: Option<NaiveDate>,
        to: Option<NaiveDate>,
    ) -> Vec<&'n UndoneNumber> {
        let wanted = |gap: &&UndoneNumber| {
            let listed = || self.lines().filter_map(|line| line.number(gap.series));
            let between = listed().min().is_some_and(|least| least < gap.number)
                && listed().max().is_some_and(|greatest| gap.number < greatest);
            let recorded = from.is_none_or(|from| from <= gap.given_on) && to.is_none_or(|to| gap.given_on <= to);
            between || recorded
        };
        undone.iter().filter(wanted).collect()
    }
}

impl<'a> StockList<'a> {
    fn from_cars(cars: impl Iterator<Item = &'a Car>, period: Period, registration: &Registration) -> Self {
        let registered = registration.from.is_some_and(|from| from <= period.to())
            && registration.until.is_none_or(|until| period.from() <= until);
        let mut totals = StockTotals { vat_due: registered.then_some(Pence::ZERO), ..StockTotals::default() };
        let mut lines = Vec::new();
        for car in cars {
            if period.contains(car.bought_on) {
                totals.cars_bought += 1;
                totals.purchase_price += car.purchase_price;
            }
            lines.extend(events(car, period).into_iter().map(|event| StockLine::from_event(car, event, registration)));
        }
        for line in &lines {
            totals.count(line);
        }
        Self { lines, totals }
    }
}

/// What happened to a car on the days of a period, in order; last that it is in stock, if it is.
fn events(car: &Car, period: Period) -> Vec<Event<'_>> {
    let mut events = Vec::new();
    for (number, stretch) in car.stretches().enumerate() {
        let before = number.checked_sub(1).and_then(|before| car.sales.get(before));
        let reversed = before.and_then(|sale| Some(Event::Reversed(sale, sale.taken_back.as_ref()?)));
        events.extend(reversed.filter(|_| period.contains(stretch.from)));
        match stretch.left {
            Some(left) if !period.contains(left.on()) => {}
            Some(Left::Sold(sale)) => events.push(Event::Sold(sale)),
            Some(Left::Disposed(disposal)) => events.push(Event::Disposed(disposal)),
            None => events.push(Event::InStock(stretch.from)),
        }
    }
    events
}

impl<'a> StockLine<'a> {
    fn from_event(car: &'a Car, event: Event<'a>, registration: &Registration) -> Self {
        let (sale, reversed) = match event {
            Event::Sold(sale) => (Some(sale), false),
            Event::Reversed(sale, _) => (Some(sale), true),
            Event::InStock(_) | Event::Disposed(_) => (None, false),
        };
        let signed = |amount: Pence| if reversed { -amount } else { amount };
        let margin = sale.filter(|_| !car.vat_invoice).map(|sale| sale.selling_price - car.purchase_price);
        // The margin scheme is open only to registered traders (HMRC manual VATMARG02150).
        let taxed = sale.filter(|sale| registration.holds_on(sale.on));
        Self {
            car,
            event,
            margin: margin.map(signed),
            vat_due: taxed.map(|sale| signed(vat_on_sale(car, sale, registration))),
        }
    }

    /// The number of that series this line has.
    fn number(&self, series: Series) -> Option<i64> {
        match (series, self.event) {
            (Series::Stock, _) => Some(i64::from(self.car.stock_no.get())),
            (Series::Invoice, Event::Sold(sale)) => Some(sale.sale_no),
            (Series::CreditNote, Event::Reversed(_, back)) => Some(back.take_back_no),
            _ => None,
        }
    }

    /// What the law asks for and the book does not know.
    fn missing(&self) -> Vec<Field> {
        let car = self.car;
        // None is needed where the trader made out the purchase invoice (GOV.UK, as above), as they
        // does for a private seller or a car taken in.
        let invoiced = car.vat_invoice || matches!(car.via, Via::Trade | Via::Auction);
        let sold = matches!(self.event, Event::Sold(sale) if sale.buyer.is_none());
        [
            (Field::PurchaseInvoice, invoiced && car.purchase_invoice.is_none()),
            (Field::Seller, car.seller.is_none() && car.via != Via::Own),
            (Field::Description, car.mark_at_purchase.is_none() && car.vehicle.vin.is_none()),
            (Field::Buyer, sold),
        ]
        .into_iter()
        .filter_map(|(field, missing)| missing.then_some(field))
        .collect()
    }
}

impl StockTotals {
    fn count(&mut self, line: &StockLine<'_>) {
        let price = match line.event {
            Event::InStock(_) => {
                self.cars_in_stock += 1;
                return;
            }
            Event::Disposed(_) => {
                self.cars_disposed += 1;
                return;
            }
            Event::Sold(sale) => {
                self.cars_sold += 1;
                sale.selling_price
            }
            Event::Reversed(sale, _) => {
                self.sales_reversed += 1;
                -sale.selling_price
            }
        };
        self.selling_price += price;
        let margin = line.margin.unwrap_or(Pence::ZERO);
        // A reversed gain comes off the gains, a reversed loss off the losses.
        let gain = margin.is_positive() != matches!(line.event, Event::Reversed(..));
        if gain {
            self.margin_gains += margin;
        } else {
            self.margin_losses += margin;
        }
        if let Some(vat) = line.vat_due {
            self.vat_due = Some(self.vat_due.unwrap_or(Pence::ZERO) + vat);
        }
    }
}

word_set! {
    /// A field of the book that can be left open, by its key.
    Field, "field" {
        /// Purchase invoice number.
        PurchaseInvoice = "purchase_invoice",
        /// Name of seller.
        Seller = "seller",
        /// Registration mark, or a VIN where there are no plates.
        Description = "description",
        /// Name of buyer.
        Buyer = "buyer",
    }
}

word_set! {
    /// A row of numbers in which a gap has to be explained.
    Series, "series" {
        /// Stock numbers.
        Stock = "stock number",
        /// Sales invoices.
        Invoice = "sales invoice",
        /// Credit notes.
        CreditNote = "credit note",
    }
}

/// A number given by an entry that was undone; it is never given again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UndoneNumber {
    /// Which row of numbers.
    pub series: Series,
    /// The number.
    pub number: i64,
    /// The entry that gave it.
    pub entry: EntryNo,
    /// Its command.
    pub command: String,
    /// The day that entry was recorded, by UTC.
    pub given_on: NaiveDate,
    /// The entry that undid it.
    pub undone_by: EntryNo,
    /// The day that was, by UTC.
    pub undone_on: NaiveDate,
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::fixture::{book_of, bought, day, pounds};
    use crate::domain::value::words::Outcome;

    fn facts(cars: Vec<Car>, registered_from: Option<&str>) -> Facts {
        let registration = Registration { from: registered_from.map(day), until: None, ..Registration::default() };
        Facts { registration, ..book_of(cars, "2026-01-01", "2026-12-31") }
    }

    fn period(from: &str, to: &str) -> Period {
        Period::new(day(from), day(to)).unwrap()
    }

    fn year() -> Period {
        period("2026-01-01", "2026-12-31")
    }

    /// Each line as `3 sold 1000.00 166.67`: number, event, margin, VAT.
    fn said(list: &StockList<'_>) -> Vec<String> {
        let money = |pence: Option<Pence>| pence.map_or("-".to_owned(), Pence::plain);
        list.lines
            .iter()
            .map(|line| {
                let event = match line.event {
                    Event::InStock(_) => "in",
                    Event::Sold(_) => "sold",
                    Event::Reversed(..) => "back",
                    Event::Disposed(_) => "gone",
                };
                format!("{} {event} {} {}", line.car.stock_no, money(line.margin), money(line.vat_due))
            })
            .collect()
    }

    #[test]
    fn a_sale_its_reversal_and_the_sale_after_it_all_stand() {
        let car =
            bought(1, "2026-02-01", 420).sold("2026-03-01", 1140).taken_back("2026-04-10").sold("2026-05-01", 780);
        let facts = facts(vec![car], Some("2026-01-01"));
        let book = StockBook::from_facts(&facts, year());
        assert_eq!(said(&book.scheme), ["1 sold 720.00 120.00", "1 back -720.00 -120.00", "1 sold 360.00 60.00"]);
        let totals = book.scheme.totals;
        assert_eq!((totals.cars_bought, totals.cars_sold, totals.sales_reversed), (1, 2, 1));
        assert_eq!((totals.selling_price, totals.margin_gains), (pounds(780), pounds(360)));
        assert_eq!((totals.margin_losses, totals.vat_due), (Pence::ZERO, Some(pounds(60))));
        // A period from after the sale has its reversal alone, and no purchase.
        let book = StockBook::from_facts(&facts, period("2026-04-01", "2026-12-31"));
        assert_eq!(said(&book.scheme), ["1 back -720.00 -120.00", "1 sold 360.00 60.00"]);
        assert_eq!((book.scheme.totals.cars_bought, book.scheme.totals.vat_due), (0, Some(-pounds(60))));
    }

    #[test]
    fn a_loss_takes_nothing_off_anothers_vat_and_its_reversal_nothing_off_the_gains() {
        let loss = bought(1, "2026-02-01", 1130).sold("2026-03-01", 410).taken_back("2026-06-01");
        let gain = bought(2, "2026-02-01", 430).sold("2026-03-01", 1150);
        let facts = facts(vec![loss, gain], Some("2026-01-01"));
        let book = StockBook::from_facts(&facts, period("2026-01-01", "2026-05-31"));
        let totals = book.scheme.totals;
        assert_eq!((totals.margin_gains, totals.margin_losses), (pounds(720), pounds(-720)));
        assert_eq!(totals.vat_due, Some(pounds(120)));
        let totals = StockBook::from_facts(&facts, period("2026-06-01", "2026-12-31")).scheme.totals;
        assert_eq!(
            (totals.margin_gains, totals.margin_losses, totals.vat_due),
            (Pence::ZERO, pounds(720), Some(Pence::ZERO))
        );
    }

    #[test]
    fn vat_is_due_only_on_sales_of_registered_days() {
        let cars = vec![
            bought(1, "2026-02-01", 440).sold("2026-03-31", 1160),
            bought(2, "2026-02-01", 440).sold("2026-04-01", 1160).taken_back("2026-05-01"),
        ];
        let registered = facts(cars.clone(), Some("2026-04-01"));
        let book = StockBook::from_facts(&registered, year());
        assert_eq!(
            said(&book.scheme),
            ["1 sold 720.00 -", "2 sold 720.00 120.00", "2 back -720.00 -120.00", "2 in - -"]
        );
        assert_eq!(StockBook::from_facts(&registered, period("2026-01-01", "2026-03-31")).scheme.totals.vat_due, None);
        let never = facts(cars, None);
        assert_eq!(StockBook::from_facts(&never, year()).scheme.totals.vat_due, None);
    }

    #[test]
    fn a_car_on_a_vat_invoice_is_kept_apart_and_has_no_margin() {
        let mut outside = bought(1, "2026-02-01", 630).sold("2026-03-01", 1290);
        outside.vat_invoice = true;
        let facts = facts(vec![outside, bought(2, "2026-02-01", 355)], Some("2026-01-01"));
        let book = StockBook::from_facts(&facts, year());
        assert_eq!(said(&book.scheme), ["2 in - -"]);
        assert_eq!(said(&book.outside), ["1 sold - 215.00"]);
        assert_eq!(book.missing()[0].1, [Field::PurchaseInvoice, Field::Seller, Field::Description, Field::Buyer]);
        assert_eq!(book.missing()[1].1, [Field::Seller, Field::Description]);
    }

    #[test]
    fn a_period_holds_what_was_there_on_a_day_of_it() {
        let cars = vec![
            bought(1, "2026-01-05", 100).sold("2026-03-31", 200),
            bought(2, "2026-01-05", 100).sold("2026-04-01", 200),
            bought(3, "2026-01-05", 100).gone("2026-06-30", Outcome::Scrapped, 0),
            bought(4, "2026-06-30", 100),
            // Paid ahead on, and bought after it.
            bought(5, "2026-07-01", 100),
        ];
        let facts = facts(cars, None);
        let book = StockBook::from_facts(&facts, period("2026-04-01", "2026-06-30"));
        assert_eq!(said(&book.scheme), ["2 sold 100.00 -", "3 gone - -", "4 in - -"]);
        let totals = book.scheme.totals;
        assert_eq!((totals.cars_bought, totals.cars_sold, totals.cars_disposed, totals.cars_in_stock), (1, 1, 1, 1));
        assert_eq!(totals.purchase_price, pounds(100));
    }

    #[test]
    fn a_gap_is_shown_where_it_is_looked_for() {
        let facts = facts(vec![bought(2, "2026-02-01", 1), bought(5, "2026-03-01", 1)], None);
        let book = StockBook::from_facts(&facts, year());
        let gap = |series, number, given_on: &str| UndoneNumber {
            series,
            number,
            entry: 7,
            command: "buy".into(),
            given_on: day(given_on),
            undone_by: 8,
            undone_on: day(given_on),
        };
        for (series, number, given_on, shown) in [
            (Series::Stock, 3, "2027-01-02", true),
            (Series::Stock, 1, "2025-12-31", false),
            (Series::Stock, 6, "2026-12-31", true),
            (Series::Stock, 6, "2027-01-01", false),
            (Series::Invoice, 3, "2027-01-01", false),
            (Series::Invoice, 3, "2026-01-01", true),
        ] {
            let undone = [gap(series, number, given_on)];
            let found = book.gaps(&undone, Some(day("2026-01-01")), Some(day("2026-12-31")));
            assert_eq!(found.len(), usize::from(shown), "{series} {number} {given_on}");
            assert_eq!(book.gaps(&undone, None, None).len(), 1);
        }
    }
}

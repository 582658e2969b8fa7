//! Everything with a date on it: what falls due, when, and what to do about it.
//!
//! `domain/due/mod.rs` makes the items, `domain/due/due_item.rs` their kinds and lasting numbers (a two-digit
//! series ahead of the car's, paper's or line's own number). Cars out of stock that something is still open on are
//! kept in the table `open_departure`, brought up to date with every entry by
//! `steps::departures::keep_open_departures`, so that `due` costs what is in stock and not what was ever sold. It
//! follows from the facts and is no part of the history.

pub mod due_item;
pub mod due_tax;
pub mod due_vat;

use crate::domain::book::bills::OpenBill;
use crate::domain::book::claims::{owed_by_buyer, owed_to_seller, refund_owed};
use crate::domain::book::dated_facts::{Paper, TaxEvent, TaxKind, TaxStatus};
use crate::domain::book::facts::{Car, Line, Sale};
use crate::domain::book::settings::Settings;
use crate::domain::book::standing::Standing;
use crate::domain::book::stay::Left;
use crate::domain::days::day::long;
use crate::domain::days::month::Month;
use crate::domain::due::due_item::{DueItem, DueKind, Series};
use crate::domain::figures::yard::{Yard, YardCar};
use crate::domain::law::buyer_rights::{refund_ends, rejection_ends};
use crate::domain::law::mot::{earliest_keeping, first_due};
use crate::domain::law::vehicle_tax::{complete_months_left, refund, refund_expected_by};
use crate::domain::plan::programme::Programme;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::words::{Direction, Outcome};
use chrono::{Days, NaiveDate};
use std::collections::BTreeMap;

/// What the dates are worked out from.
#[derive(Debug)]
pub struct DueFacts<'a> {
    /// Today.
    pub day: NaiveDate,
    /// The settings in force.
    pub settings: &'a Settings,
    /// The yard.
    pub yard: &'a Yard<'a>,
    /// Cars out of stock that a date may still hang on.
    pub gone: &'a [Car],
    /// Vehicle tax of all these cars.
    pub tax: &'a BTreeMap<StockNo, Vec<TaxEvent>>,
    /// The papers.
    pub papers: &'a [Paper],
    /// The standing costs.
    pub standings: &'a [Standing],
    /// Unpaid bills.
    pub bills: &'a [OpenBill],
    /// The programme of this month, if one was ever set.
    pub programme: Option<Programme>,
    /// Cars bought this month that fill its slots.
    pub bought: u32,
    /// The day the last copy of the book is old, when there are entries since.
    pub backup_old_on: Option<NaiveDate>,
}

/// Every item, soonest first, undated last; those marked as dealt with are not left out yet.
pub fn due(facts: &DueFacts<'_>) -> Vec<DueItem> {
    let mut items = Vec::new();
    for car in &facts.yard.cars {
        items.extend(mot_items(car, facts.settings, facts.day));
        items.extend(stock_items(car, events(facts.tax, car.car), facts.settings, facts.day));
    }
    for car in facts.gone {
        items.extend(gone_items(car, events(facts.tax, car), facts.day));
    }
    items.extend(facts.papers.iter().map(|paper| paper_item(paper, facts.settings, facts.day)));
    items.extend(facts.bills.iter().map(|bill| bill_item(bill, facts.day)));
    items.extend(facts.programme.and_then(|programme| slot_item(&programme, facts.bought, facts.day)));
    items
        .extend(facts.backup_old_on.filter(|old_on| *old_on <= facts.day).map(|old_on| backup_item(old_on, facts.day)));
    items.extend(facts.standings.iter().filter_map(|standing| standing_item(standing, facts.day)));
    items.sort_by_key(|item| (item.on.is_none(), item.on, item.number));
    items
}

fn events<'a>(tax: &'a BTreeMap<StockNo, Vec<TaxEvent>>, car: &Car) -> &'a [TaxEvent] {
    tax.get(&car.stock_no).map_or(&[], Vec::as_slice)
}

fn mot_items(yard_car: &YardCar<'_>, settings: &Settings, day: NaiveDate) -> Vec<DueItem> {
    let (car, mot) = (yard_car.car, &yard_car.showing.mot);
    let advertised = yard_car.showing.asking_price.is_some() || yard_car.figures.deposit_held.is_positive();
    let item = |series, kind, on, action| DueItem::on_car(day, series, kind, on, car, action);
    let test = format!("have it tested, then `runabout mot {} pass`", car.stock_no);
    match mot.until {
        Some(until) if until >= day => {
            let last_day = format!("the MOT's last day: {test}");
            let window = format!("from this day a pass keeps the date, {}: {test}", long(until));
            vec![
                item(Series::Mot, DueKind::Mot, Some(until), last_day).leading(Some(settings.remind_days)),
                item(Series::MotWindow, DueKind::MotWindow, Some(earliest_keeping(until)), window),
            ]
        }
        Some(until) if advertised => {
            let lapsed = format!("the MOT has run out: no road use but to a booked test; {test}");
            vec![item(Series::Mot, DueKind::Mot, Some(until), lapsed)]
        }
        Some(_) => Vec::new(),
        None => {
            let first =
                car.vehicle.first_registered.map(|registered| first_due(registered, settings.region, car.vehicle.kind));
            match first.map(|first| first.last_day_without).filter(|first| *first >= car.bought_on) {
                Some(first) => {
                    let action = format!("the last day without a first MOT: {test}");
                    vec![
                        item(Series::FirstMot, DueKind::FirstMot, Some(first), action)
                            .leading(Some(settings.remind_days)),
                    ]
                }
                None if advertised => {
                    vec![item(Series::NoMot, DueKind::NoMot, None, format!("advertised with no MOT recorded: {test}"))]
                }
                None => Vec::new(),
            }
        }
    }
}

fn stock_items(yard_car: &YardCar<'_>, tax: &[TaxEvent], settings: &Settings, day: NaiveDate) -> Vec<DueItem> {
    let car = yard_car.car;
    let mut items = vec![keeper_notice(
        car,
        Series::BoughtNotice,
        car.bought_on,
        "tell DVLA it is in the trade (V5C, or online)",
        day,
    )];
    if let TaxStatus::Taxed(until) = yard_car.on_day.tax {
        let action = format!("the tax's last day: `runabout tax {}` again, or --sorn", car.stock_no);
        let item = DueItem::on_car(day, Series::Tax, DueKind::Tax, Some(until), car, action);
        items.push(item.leading(Some(settings.remind_days)));
    }
    let days = yard_car.figures.days_in_stock.unwrap_or_default();
    if let Some(band) = settings.age_bands.iter().find(|band| days <= **band) {
        let ahead = u64::try_from(*band + 1 - days).unwrap_or_default();
        let on = day.checked_add_days(Days::new(ahead));
        let action = format!("over {band} days in stock from this day: look at the price");
        items.push(DueItem::on_car(day, Series::StockAge, DueKind::StockAge, on, car, action).leading(None));
    }
    items.extend(back_notice(car, day));
    items.extend(deposit_item(yard_car, day));
    items.extend(owed_for(car, day));
    items.extend(refund_to_buyer(car, day));
    items.extend(refunds(car, tax, day));
    items
}

/// A car taken back is in the trade again, which DVLA is told as it is of a purchase.
fn back_notice(car: &Car, day: NaiveDate) -> Option<DueItem> {
    let back = car.sales.iter().rev().find_map(|sale| sale.taken_back.as_ref())?;
    let what = "tell DVLA it is back in the trade (V5C, or online)";
    Some(DueItem {
        number: Series::BackNotice.number(back.entry),
        ..keeper_notice(car, Series::BackNotice, back.on, what, day)
    })
    .map(|item| DueItem { action: format!("{what}; then `runabout done {}`", item.number), ..item })
}

fn deposit_item(yard_car: &YardCar<'_>, day: NaiveDate) -> Option<DueItem> {
    let (car, held) = (yard_car.car, yard_car.figures.deposit_held);
    let until = yard_car.showing.hold_until;
    let kept = if until.is_some() { "kept for it until this day" } else { "kept for it, no day agreed" };
    let action = format!(
        "deposit of {held}, {kept}: `runabout sell {0} PRICE`, or `runabout deposit {0} --give-back` or --keep",
        car.stock_no
    );
    held.is_positive().then(|| DueItem::on_car(day, Series::Deposit, DueKind::Deposit, until, car, action))
}

/// A refund agreed has to be paid within 14 days beginning with the day it was agreed (Consumer Rights
/// Act 2015 s.20(15)).
fn refund_to_buyer(car: &Car, day: NaiveDate) -> Option<DueItem> {
    let owed = refund_owed(car, day);
    let back = car.sales.iter().rev().find_map(|sale| sale.taken_back.as_ref()).filter(|back| back.on <= day)?;
    let action = format!(
        "{owed} to go back to its buyer by this day: `runabout spend {} balance --car {}`",
        owed.plain(),
        car.stock_no
    );
    let by = Some(refund_ends(back.on));
    owed.is_positive().then(|| DueItem::on_car(day, Series::Refund, DueKind::Balance, by, car, action))
}

/// What still hangs on a car that has left stock. Asked as of the last day there is, what is left is
/// what only the trader can settle.
pub fn gone_items(car: &Car, tax: &[TaxEvent], day: NaiveDate) -> Vec<DueItem> {
    let Some(left) = car.left_by(day) else { return Vec::new() };
    let bought = "tell DVLA it was in the trade (V5C, or online)";
    let mut items = vec![keeper_notice(car, Series::BoughtNotice, car.bought_on, bought, day)];
    items.extend(owed_for(car, day));
    items.extend(refund_to_buyer(car, day));
    match left {
        Left::Sold(sale) => items.extend(sold_items(car, sale, day)),
        Left::Disposed(disposal) => {
            let what = match disposal.how {
                Outcome::Scrapped => "tell DVLA it was scrapped (V5C, or online)",
                Outcome::Broken => "tell DVLA it is off the road for good, or when its shell is scrapped",
                Outcome::Lost => "tell DVLA what became of it; an insurer who pays takes the V5C",
                Outcome::Kept => "tell DVLA it is yours now, and tax it before you drive it",
                Outcome::Returned => "tell DVLA who has it again",
            };
            items.push(keeper_notice(car, Series::GoneNotice, disposal.on, what, day));
        }
    }
    items.extend(refunds(car, tax, day));
    items
}

fn sold_items(car: &Car, sale: &Sale, day: NaiveDate) -> Vec<DueItem> {
    let sold = "tell DVLA who has it now, and give the buyer the new keeper's slip";
    let mut items = vec![keeper_notice(car, Series::SoldNotice, sale.on, sold, day)];
    let owed = owed_by_buyer(car, day);
    if owed.is_positive() {
        let buyer = sale.buyer.as_deref().unwrap_or("the buyer");
        let action =
            format!("{owed} owed by {buyer}: `runabout receive {} balance --car {}`", owed.plain(), car.stock_no);
        items.push(DueItem::on_car(day, Series::OwedByBuyer, DueKind::Balance, Some(sale.on), car, action));
    }
    let rejection = rejection_ends(sale.on, sale.delivered_on);
    if !sale.to_trade && rejection >= day {
        let action = "the last day the buyer can reject it for a fault (Consumer Rights Act 2015 s.22)".to_owned();
        items.push(DueItem::on_car(
            day,
            Series::RejectionWindow,
            DueKind::RejectionWindow,
            Some(rejection),
            car,
            action,
        ));
    }
    items
}

fn keeper_notice(car: &Car, series: Series, on: NaiveDate, what: &str, day: NaiveDate) -> DueItem {
    let item = DueItem::on_car(day, series, DueKind::KeeperNotice, Some(on), car, String::new()).until_done();
    DueItem { action: format!("{what}; then `runabout done {}`", item.number), ..item }
}

fn owed_for(car: &Car, day: NaiveDate) -> Option<DueItem> {
    let owed = owed_to_seller(car, day);
    let action = format!("{owed} owed for it: `runabout spend {} balance --car {}`", owed.plain(), car.stock_no);
    owed.is_positive()
        .then(|| DueItem::on_car(day, Series::OwedToSeller, DueKind::Balance, Some(car.bought_on), car, action))
}

/// Refunds of tax the trader took out: DVLA sends one for the complete months left after a sale,
/// a scrapping or a SORN (Vehicle Excise and Registration Act 1994 s.19).
fn refunds(car: &Car, tax: &[TaxEvent], day: NaiveDate) -> Vec<DueItem> {
    let mut items = Vec::new();
    for (taxed, next) in tax.iter().zip(tax.iter().skip(1).map(Some).chain([None])) {
        let (TaxKind::Taxed, Some(until)) = (taxed.kind, taxed.until) else { continue };
        // It ends with the stretch it was taken out in, unless a SORN ended it before.
        let left = car.stretches().filter_map(|stretch| stretch.left).map(Left::on);
        let left_on = left.filter(|left| *left >= taxed.on && *left <= day).min();
        let notice = match next.filter(|next| left_on.is_none_or(|left| next.on <= left)) {
            Some(next) if next.kind == TaxKind::Sorn => Some(next.on),
            Some(_) => None,
            None => left_on,
        };
        let Some(notice) = notice.filter(|notice| complete_months_left(until, *notice) > 0) else { continue };
        if !car.lines.iter().any(|line| is_refund_since(line, notice)) {
            items.push(refund_item(car, taxed, until, notice, day));
        }
    }
    items
}

fn is_refund_since(line: &Line, notice: NaiveDate) -> bool {
    line.direction == Direction::Receipt && line.heading == "refund" && line.on >= notice
}

fn refund_item(car: &Car, taxed: &TaxEvent, until: NaiveDate, notice: NaiveDate, day: NaiveDate) -> DueItem {
    let number = Series::TaxRefund.number(taxed.vehicle_tax_no);
    let amount = taxed.annual_rate.map(|rate| refund(rate, until, notice));
    let (of, typed) =
        amount.map_or((String::new(), "AMOUNT".to_owned()), |amount| (format!(" of {amount}"), amount.plain()));
    let action = format!(
        "a tax refund{of} should have come by this day: `runabout receive {typed} refund --car {}`, or `runabout done {number}`",
        car.stock_no
    );
    let by = Some(refund_expected_by(notice));
    DueItem { number, ..DueItem::on_car(day, Series::TaxRefund, DueKind::TaxRefund, by, car, action).until_done() }
}

fn paper_item(paper: &Paper, settings: &Settings, day: NaiveDate) -> DueItem {
    let action = format!("its last day: `runabout paper renew \"{}\" --until DATE`", paper.name);
    let subject = (paper.paper_no, paper.name.clone());
    DueItem::new(day, Series::Paper, DueKind::Paper, Some(paper.until), subject, action)
        .leading(Some(paper.remind_days.unwrap_or(settings.remind_days)))
}

fn bill_item(bill: &OpenBill, day: NaiveDate) -> DueItem {
    let action = format!("{} owed: `runabout spend {} balance --to \"{}\"`", bill.owed, bill.owed.plain(), bill.party);
    let subject = (bill.line_no, bill.party.clone());
    DueItem::new(day, Series::Bill, DueKind::Balance, Some(bill.since), subject, action)
}

/// Slots of this month's programme still to fill, one item for all of them.
fn slot_item(programme: &Programme, bought: u32, day: NaiveDate) -> Option<DueItem> {
    let empty = programme.cars.checked_sub(bought).filter(|empty| *empty > 0)?;
    let month = Month::containing(day);
    let what = if empty == 1 { "1 slot".to_owned() } else { format!("{empty} slots") };
    let budget = programme.budget.map(|budget| format!(" at up to {budget}")).unwrap_or_default();
    let action =
        format!("{what} of this month still to fill{budget}: `runabout programme` says whether the float carries it");
    let subject = (i64::from(month.year()) * 100 + i64::from(month.number()), format!("{month}"));
    Some(DueItem::new(day, Series::Slot, DueKind::Slot, Some(month.last_day()), subject, action).leading(None))
}

fn backup_item(old_on: NaiveDate, day: NaiveDate) -> DueItem {
    let action = "no copy of the book since: `runabout backup`, and keep one away from this machine".to_owned();
    DueItem::new(day, Series::Backup, DueKind::Backup, Some(old_on), (1, "the book".to_owned()), action)
}

fn standing_item(standing: &Standing, day: NaiveDate) -> Option<DueItem> {
    let next = standing.next_from(day)?;
    let amount = standing.amount_on(next).map(|amount| amount.amount).unwrap_or_default();
    let action = format!("{amount} {} goes out by itself", standing.heading);
    let subject = (standing.standing_no, standing.name.clone());
    Some(DueItem::new(day, Series::Standing, DueKind::Standing, Some(next), subject, action).leading(None))
}

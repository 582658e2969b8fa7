//! The corners of the rules that a comparison over these histories must have been in.

use super::book::{Book, Kept, Line};
use super::stay::{Place, Sale, Stay, up_to};
use super::{first_of, last_of};
use crate::history::{history, today};
use chrono::NaiveDate;
use std::collections::BTreeMap;

type Corners = Vec<(&'static str, bool)>;

#[test]
fn the_histories_reach_the_corners_of_the_rules() {
    let mut seen = BTreeMap::<&str, usize>::new();
    for seed in 0..96 {
        let book = Book::of(&history(seed, 60));
        for stay in &book.stays {
            let of_sales = stay.sales.iter().enumerate().flat_map(|(n, _)| corners_of_a_sale(&book, stay, n));
            let of_stay = corners_of_a_stay(&book, stay).into_iter().chain(corners_of_deals(&book, stay));
            for (corner, there) in of_stay.chain(of_sales) {
                *seen.entry(corner).or_default() += usize::from(there);
            }
        }
    }
    assert!(seen.values().all(|times| *times >= 8), "{seen:?}");
}

fn corners_of_a_sale(book: &Book, stay: &Stay, n: usize) -> Corners {
    let (sale, made) = (&stay.sales[n], book.made(stay, n));
    let registered = book.registered_on(sale.on);
    let back = sale.back.as_ref();
    let vat = book.sale_vat(stay, sale);
    let end_of_its_month = back.map(|back| last_of(back.on));
    let refund_owed = |day| up_to(day, &stay.refunds) > 0;
    vec![
        ("VAT on a margin", vat.1 > 0),
        ("VAT on a whole price", registered && stay.invoice_vat.is_some()),
        ("registered, sold at a loss", registered && sale.price < stay.price),
        ("stood in at nothing or less", made.stood_in <= 0),
        ("sold the day it came in", stay.stretches()[n].0 == sale.on),
        ("line on the day of sale", book.stock_lines(stay, sale.on).any(|line| line.on == sale.on)),
        ("sold again", n > 0),
        ("sold a third time", n > 1),
        ("taken back the day it was sold", back.is_some_and(|back| back.on == sale.on)),
        ("VAT reversed in another month", vat.0 > 0 && back.is_some_and(|back| first_of(back.on) != first_of(sale.on))),
        ("reversed in its own month", back.is_some_and(|back| first_of(back.on) == first_of(sale.on))),
        ("refund unpaid at the month's end", end_of_its_month.is_some_and(refund_owed)),
        ("balance lapsed", back.is_some() && owed_at_last(sale) > 0),
        ("write-off undone", back.is_some() && !sale.written_off.is_empty()),
        ("deposit towards a sale undone", back.is_some() && sale.deposit > 0),
    ]
}

fn owed_at_last(sale: &Sale) -> i64 {
    let sum = |of: &[(NaiveDate, i64)]| of.iter().map(|(_, amount)| amount).sum::<i64>();
    sale.price - sale.credits - sale.deposit - sum(&sale.received) - sum(&sale.written_off)
}

fn corners_of_a_stay(book: &Book, stay: &Stay) -> Corners {
    let on = |place: Place| book.lines_at(stay, today(), place);
    let came_back = |line: &Line| stay.sales.iter().any(|sale| is_back_on(sale, line.on));
    vec![
        ("VAT reclaimed on a car", book.input_vat(stay) > 0),
        ("after-sale line", on(Place::AfterSale).next().is_some()),
        ("paid ahead", book.stock_lines(stay, today()).any(|line| line.on < stay.bought_on)),
        (
            "favour with VAT reclaimed",
            book.stock_lines(stay, today()).any(|line| line.usual.is_some() && book.vat_of(line) > 0),
        ),
        (
            "line while sold of a car that came back",
            on(Place::AfterSale).any(|line| {
                stay.sales
                    .iter()
                    .any(|sale| sale.on < line.on && sale.back.as_ref().is_some_and(|back| back.on > line.on))
            }),
        ),
        ("line on the day of a take-back", book.stock_lines(stay, today()).any(came_back)),
        ("line in a second stretch", book.stock_lines(stay, today()).any(|line| line.place != Place::Stock(0))),
    ]
}

fn is_back_on(sale: &Sale, day: NaiveDate) -> bool {
    sale.back.as_ref().is_some_and(|back| back.on == day)
}

fn corners_of_deals(book: &Book, stay: &Stay) -> Corners {
    let gone = stay.disposal.as_ref();
    let lines = || book.lines_at(stay, today(), Place::Disposal);
    let kept = |back: bool| {
        let of_car = book.kept.iter().filter(|kept| kept.car == stay.no && kept.amount > 0);
        of_car.filter(move |kept| back == stay.sales.iter().any(|sale| is_back_on(sale, kept.on)))
    };
    vec![
        ("receipt on the day of a disposal", lines().any(|line| gone.is_some_and(|gone| gone.on == line.on))),
        (
            "cost on the day of a disposal",
            gone.is_some_and(|gone| book.stock_lines(stay, gone.on).any(|line| line.on == gone.on && !line.receipt)),
        ),
        ("disposal money in a later month", lines().any(|line| gone.is_some_and(|gone| last_of(gone.on) < line.on))),
        ("cost after a disposal", lines().any(|line| !line.receipt)),
        (
            "favour on a car disposed of",
            gone.is_some() && book.stock_lines(stay, today()).any(|line| line.usual.is_some()),
        ),
        ("came back, then disposed of", gone.is_some() && !stay.sales.is_empty()),
        ("went back in part-exchange", gone.is_some_and(|gone| gone.how == "returned")),
        (
            "went back standing in at more",
            gone.is_some_and(|gone| gone.how == "returned" && book.stands_in(stay, gone.on) > gone.value),
        ),
        ("deposit kept, registered", kept(false).any(|kept| book.kept_vat(kept) > 0)),
        ("deposit kept, not registered", kept(false).any(|kept| !book.registered_on(kept.on))),
        ("kept back with VAT", kept(true).any(|kept| book.kept_vat(kept) > 0)),
        ("kept back, registered, no VAT", kept(true).any(|kept| registered_nil(book, kept))),
        ("more money back than was ever paid in money", stay.sales.iter().any(more_than_money)),
        ("offer heard of a car now gone", !stay.offers.is_empty() && stay.status(today()) != "in-stock"),
        ("offer heard of a car still here", !stay.offers.is_empty() && stay.status(today()) == "in-stock"),
        ("deposit held at a month's end", held_over_a_month(stay)),
    ]
}

/// Whether something was kept while registered and no VAT was due on it.
fn registered_nil(book: &Book, kept: &Kept) -> bool {
    book.registered_on(kept.on) && book.kept_vat(kept) == 0
}

fn more_than_money(sale: &Sale) -> bool {
    let paid = sale.deposit + sale.received.iter().map(|(_, amount)| amount).sum::<i64>();
    sale.back.as_ref().is_some_and(|back| back.refund > paid.max(0))
}

fn held_over_a_month(stay: &Stay) -> bool {
    stay.deposits.iter().any(|(on, _)| up_to(last_of(*on), &stay.deposits) > 0)
}

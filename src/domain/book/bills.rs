//! Which bills were paid when: money paid to somebody settles their oldest bills first, so that it
//! counts under their headings on the day it was paid.

use crate::domain::book::facts::{Line, Movement};
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;
use std::collections::{BTreeMap, VecDeque};

/// Bills recorded unpaid, and what was paid against them, of everybody and from the first day on.
#[derive(Clone, Debug, Default)]
pub struct Bills {
    /// Lines without a pocket.
    pub lines: Vec<Line>,
    /// Money paid against bills; out of a pocket negative.
    pub payments: Vec<Movement>,
}

/// A payment, or a part of one, and the bill it settles.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BillPaid<'a> {
    /// The day it counts on.
    pub on: NaiveDate,
    /// The payment's entry.
    pub entry: EntryNo,
    /// Who was paid.
    pub party: &'a str,
    /// The bill; none while there is none yet, for a payment made before it came.
    pub bill: Option<&'a Line>,
    /// How much; negative when it leaves the payments without a bill, for one that came.
    pub amount: Pence,
}

/// Something that happens with somebody, bills of a day before payments of it.
enum Event<'a> {
    Billed(&'a Line),
    Paid(&'a Movement),
}

/// What is still owed to one name for bills.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenBill {
    /// To whom, as written on the oldest bill not yet covered.
    pub party: String,
    /// That bill's line.
    pub line_no: i64,
    /// Its day.
    pub since: NaiveDate,
    /// What is owed in all.
    pub owed: Pence,
}

impl Bills {
    /// What is owed to each name, by the oldest bill that payments to it do not cover yet: they cover the
    /// oldest first.
    pub fn open(&self) -> Vec<OpenBill> {
        let mut paid: BTreeMap<String, Pence> = BTreeMap::new();
        for payment in &self.payments {
            *paid.entry(known_as(payment.party.as_deref())).or_default() -= payment.amount;
        }
        let mut lines: Vec<&Line> = self.lines.iter().collect();
        lines.sort_by_key(|line| (line.on, line.line_no));
        let mut open: BTreeMap<String, OpenBill> = BTreeMap::new();
        for line in lines {
            let name = known_as(line.party.as_deref());
            let cover = paid.entry(name.clone()).or_default();
            let covered = line.amount.min((*cover).max(Pence::ZERO));
            *cover -= covered;
            let (owed, party) = (line.amount - covered, line.party.clone().unwrap_or_default());
            if owed.is_positive() {
                let first = OpenBill { party, line_no: line.line_no, since: line.on, owed: Pence::ZERO };
                open.entry(name).or_insert(first).owed += owed;
            }
        }
        open.into_values().collect()
    }

    /// Every part paid, somebody by somebody and in order of day.
    pub fn paid(&self) -> Vec<BillPaid<'_>> {
        let mut with: BTreeMap<String, Vec<Event<'_>>> = BTreeMap::new();
        for line in &self.lines {
            with.entry(known_as(line.party.as_deref())).or_default().push(Event::Billed(line));
        }
        for payment in &self.payments {
            with.entry(known_as(payment.party.as_deref())).or_default().push(Event::Paid(payment));
        }
        with.into_values().flat_map(settled).collect()
    }
}

/// A name whatever its case, as the book compares it when a bill is paid: letters A to Z alone.
fn known_as(party: Option<&str>) -> String {
    party.unwrap_or_default().to_ascii_lowercase()
}

fn settled(mut events: Vec<Event<'_>>) -> Vec<BillPaid<'_>> {
    events.sort_by_key(|event| match event {
        Event::Billed(line) => (line.on, 0, line.line_no),
        Event::Paid(payment) => (payment.on, 1, payment.movement_no),
    });
    let mut open: VecDeque<(&Line, Pence)> = VecDeque::new();
    // Payments that no bill has come for yet.
    let mut ahead: VecDeque<(&Movement, Pence)> = VecDeque::new();
    let mut paid = Vec::new();
    for event in events {
        match event {
            Event::Billed(line) => {
                let mut left = line.amount;
                while let Some((payment, unused)) = ahead.front_mut() {
                    let part = left.min(*unused);
                    let moved = part_of(payment, None, -part);
                    paid.extend([
                        BillPaid { on: line.on, ..moved },
                        BillPaid { on: line.on, bill: Some(line), amount: part, ..moved },
                    ]);
                    (left, *unused) = (left - part, *unused - part);
                    if !unused.is_zero() {
                        break;
                    }
                    ahead.pop_front();
                }
                if left.is_positive() {
                    open.push_back((line, left));
                }
            }
            Event::Paid(payment) => {
                let mut left = -payment.amount;
                while let Some((line, owed)) = open.front_mut() {
                    let part = left.min(*owed);
                    paid.push(part_of(payment, Some(line), part));
                    (left, *owed) = (left - part, *owed - part);
                    if !owed.is_zero() {
                        break;
                    }
                    open.pop_front();
                }
                if left.is_positive() {
                    paid.push(part_of(payment, None, left));
                    ahead.push_back((payment, left));
                }
            }
        }
    }
    paid.retain(|part| !part.amount.is_zero());
    paid
}

fn part_of<'a>(payment: &'a Movement, bill: Option<&'a Line>, amount: Pence) -> BillPaid<'a> {
    let party = payment.party.as_deref().unwrap_or_default();
    BillPaid { on: payment.on, entry: payment.entry, party, bill, amount }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::value::words::{Direction, Pocket, Purpose, Shared};

    fn day(of_may: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 5, of_may).unwrap()
    }

    fn bill(line_no: i64, of_may: u32, party: &str, amount: i64) -> Line {
        Line {
            line_no,
            entry: line_no,
            stock_no: None,
            direction: Direction::Cost,
            on: day(of_may),
            heading: format!("heading {line_no}"),
            amount: Pence::new(amount),
            usual_price: None,
            vat: Pence::ZERO,
            pocket: None,
            shared: Shared::Whole,
            party: Some(party.into()),
            note: None,
        }
    }

    fn payment(movement_no: i64, of_may: u32, party: &str, amount: i64) -> Movement {
        Movement {
            movement_no,
            entry: 100 + movement_no,
            on: day(of_may),
            pocket: Pocket::Bank,
            amount: Pence::new(-amount),
            purpose: Purpose::Bill,
            stock_no: None,
            party: Some(party.into()),
            note: None,
        }
    }

    /// Day of May, bill or 0 for none, amount.
    fn told(bills: &Bills) -> Vec<(u32, i64, i64)> {
        use chrono::Datelike;
        let of = |paid: &BillPaid<'_>| (paid.on.day(), paid.bill.map_or(0, |line| line.line_no), paid.amount.get());
        bills.paid().iter().map(of).collect()
    }

    #[test]
    fn the_oldest_bill_is_paid_first_whatever_the_case_of_the_name() {
        let lines = vec![bill(2, 4, "Tarn Tyres", 500), bill(1, 3, "tarn tyres", 300), bill(3, 3, "Hob Lane", 50)];
        let payments = vec![payment(1, 5, "TARN TYRES", 400), payment(2, 6, "Tarn Tyres", 100)];
        assert_eq!(told(&Bills { lines, payments }), [(5, 1, 300), (5, 2, 100), (6, 2, 100)]);
    }

    #[test]
    fn what_is_open_is_told_by_the_oldest_bill_not_yet_covered() {
        for (paid, open) in [
            (&[][..], Some((1, 3, 560))),
            (&[(5, "Tarn Tyres", 299)][..], Some((1, 3, 261))),
            (&[(5, "TARN TYRES", 300)], Some((2, 4, 260))),
            (&[(5, "Tarn Tyres", 200), (9, "tarn tyres", 150)], Some((2, 4, 210))),
            (&[(5, "Tarn Tyres", 560)], None),
            // Paid before the second came: money is money.
            (&[(3, "Tarn Tyres", 300)], Some((2, 4, 260))),
            (&[(5, "Hob Lane", 300)], Some((1, 3, 560))),
        ] {
            let lines = vec![bill(2, 4, "Tarn Tyres", 260), bill(1, 3, "Tarn Tyres", 300)];
            let payments = paid.iter().zip(1..).map(|((on, to, amount), no)| payment(no, *on, to, *amount)).collect();
            let found = Bills { lines, payments }.open();
            let told = found.first().map(|bill| (bill.line_no, bill.since, bill.owed.get()));
            assert_eq!(told, open.map(|(line_no, on, owed)| (line_no, day(on), owed)), "{paid:?}");
            assert!(found.len() < 2, "{found:?}");
        }
    }

    #[test]
    fn a_payment_ahead_of_its_bill_moves_to_it_when_it_comes() {
        let lines = vec![bill(1, 3, "Tarn Tyres", 300), bill(2, 9, "Tarn Tyres", 60), bill(3, 9, "Tarn Tyres", 200)];
        let payments = vec![payment(1, 5, "Tarn Tyres", 400)];
        let expected = [(5, 1, 300), (5, 0, 100), (9, 0, -60), (9, 2, 60), (9, 0, -40), (9, 3, 40)];
        assert_eq!(told(&Bills { lines, payments }), expected);
    }

    #[test]
    fn a_bill_and_its_payment_of_one_day_meet() {
        let (lines, payments) = (vec![bill(7, 5, "Hob Lane", 80)], vec![payment(1, 5, "Hob Lane", 80)]);
        assert_eq!(told(&Bills { lines, payments }), [(5, 7, 80)]);
    }
}

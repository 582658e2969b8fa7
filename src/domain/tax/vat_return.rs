//! The VAT return of a period: everything that bears on it, box by box, and the VAT account.
//!
//! What each box holds:
//! * 1: VAT on sales: on the margin of each margin-scheme car, never netted; within the full price of a car
//!   outside the scheme; on deposits kept and what was kept back of refunds; on receipts, by their own
//!   VAT (parts and scrap of a broken car too). A sale reversed takes its VAT off in the period it is
//!   reversed in.
//! * 2, 8 and 9: nil. They are about goods between Northern Ireland and the EU.
//! * 4: VAT on costs, standing costs included, and on cars bought on a VAT invoice.
//! * 6: full selling prices less the VAT due on the margin, and everything else in box 1 less its VAT; also
//!   receipts under the heading of sales that show no VAT. Insurance money and refunds are no sales.
//! * 7: full purchase prices of the cars bought in the period, sold or not, less VAT on an invoice, and
//!   costs that show VAT, less it. Costs without VAT stay out: the book cannot tell a zero-rated
//!   purchase from wages, rates, vehicle tax or an MOT fee, which box 7 leaves out (VAT Notice
//!   700/12; from memory). Their sum is told beside it.
//!
//! Source of 1, 6, 7, 8 and 9 for margin-scheme cars: VAT return boxes for the margin scheme,
//! vatforum.co.uk/forums/reply/55951/, which restates HMRC's Notice 700/12: cars sold at a loss are in.

use crate::domain::book::facts::{Car, Facts, Line, Movement, Sale, TakeBack};
use crate::domain::days::period::Period;
use crate::domain::figures::car_figures::{vat_on_deposit_kept, vat_on_kept_back, vat_on_sale};
use crate::domain::law::registration::Registration;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Direction, Outcome, Purpose};
use chrono::NaiveDate;
use std::collections::BTreeSet;

/// What an item of a return is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Behind {
    /// A car sold under the margin scheme.
    MarginSale,
    /// A car sold outside it: bought on a VAT invoice.
    FullPriceSale,
    /// A sale of either kind, of this period or an earlier one, reversed.
    SaleReversed,
    /// A deposit kept.
    DepositKept,
    /// What was kept back of a refund.
    KeptBack,
    /// Money received on a car or on none.
    Receipt,
    /// A car bought.
    CarBought,
    /// A car taken in part exchange that went back at its allowance.
    CarReturned,
    /// A cost, on a car or on the yard.
    Cost,
    /// A standing cost.
    StandingCost,
}

impl Behind {
    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::MarginSale => "margin-sale",
            Self::FullPriceSale => "full-price-sale",
            Self::SaleReversed => "sale-reversed",
            Self::DepositKept => "deposit-kept",
            Self::KeptBack => "kept-back",
            Self::Receipt => "receipt",
            Self::CarBought => "car-bought",
            Self::CarReturned => "car-returned",
            Self::Cost => "cost",
            Self::StandingCost => "standing-cost",
        }
    }
}

/// One thing behind the boxes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct VatItem<'a> {
    /// What it is.
    pub behind: Behind,
    /// The day that puts it in the period.
    pub on: NaiveDate,
    /// The entry that recorded it.
    pub entry: EntryNo,
    /// The car it is about.
    pub car: Option<&'a Car>,
    /// The heading of a line, the name of a standing cost.
    pub what: Option<&'a str>,
    /// VAT included; negative where something is undone.
    pub amount: Pence,
    /// The VAT in it, of the same sign.
    pub vat: Pence,
}

impl VatItem<'_> {
    /// The amount less its VAT: what boxes 6 and 7 count.
    pub fn net(&self) -> Pence {
        self.amount - self.vat
    }

    /// Selling price less purchase price, for a margin-scheme car; negative for a loss.
    pub fn margin(&self) -> Option<Pence> {
        self.car.filter(|_| self.behind == Behind::MarginSale).map(|car| self.amount - car.purchase_price)
    }
}

/// Who is owed the VAT of a return.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OwedTo {
    /// HMRC: it is to be paid.
    Hmrc,
    /// The trader: it is to be reclaimed.
    Trader,
}

impl OwedTo {
    /// Of VAT to pay; negative is to reclaim.
    pub fn from_payable(to_pay: Pence) -> Option<Self> {
        match to_pay {
            owed if owed.is_positive() => Some(Self::Hmrc),
            owed if owed.is_negative() => Some(Self::Trader),
            _ => None,
        }
    }

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hmrc => "hmrc",
            Self::Trader => "trader",
        }
    }
}

/// The nine boxes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Boxes([Pence; 9]);

impl Boxes {
    /// From the VAT on sales, the VAT to reclaim, and sales and purchases without VAT. Pence are dropped
    /// from boxes 6 and 7 (toward zero); nothing else is rounded.
    pub fn from_totals(vat_on_sales: Pence, vat_reclaimed: Pence, net_sales: Pence, net_purchases: Pence) -> Self {
        let nil = Pence::ZERO;
        let goods_from_the_eu = nil;
        let in_all = vat_on_sales + goods_from_the_eu;
        let to_pay = in_all - vat_reclaimed;
        let (sales, purchases) = (whole_pounds(net_sales), whole_pounds(net_purchases));
        Self([vat_on_sales, goods_from_the_eu, in_all, vat_reclaimed, to_pay, sales, purchases, nil, nil])
    }

    /// Each box's number, 1 to 9, and its figure. Box 5 is the difference between 3 and 4, never negative
    /// (VAT (MTD) API, HM Revenue and Customs: netVatDue from 0.00); [`Self::owed_to`] says whose it is.
    pub fn numbered(&self) -> impl Iterator<Item = (u8, Pence)> {
        (1..).zip(self.0).map(|(number, figure)| (number, if number == 5 { figure.abs() } else { figure }))
    }

    /// Box 3 less box 4: VAT to pay, or when negative to reclaim.
    pub const fn to_pay(&self) -> Pence {
        self.0[4]
    }

    /// Whom box 5 is owed to; nobody when it is nil.
    pub fn owed_to(&self) -> Option<OwedTo> {
        OwedTo::from_payable(self.to_pay())
    }
}

const fn whole_pounds(amount: Pence) -> Pence {
    Pence::new(amount.get() / 100 * 100)
}

/// The account with HMRC over a period.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct VatAccount {
    /// Owed at the end of the day before; negative when HMRC owes.
    pub owed_at_start: Pence,
    /// VAT on sales less VAT reclaimed: box 5.
    pub due: Pence,
    /// Paid to HMRC.
    pub paid: Pence,
    /// Repaid by HMRC.
    pub repaid: Pence,
    /// Owed at the end.
    pub owed_at_end: Pence,
}

/// A period's return.
#[derive(Clone, Debug)]
pub struct VatReturn<'a> {
    /// The days asked for.
    pub asked: Period,
    /// Those of them up to the last day covered.
    pub period: Period,
    /// None when not registered on any day of the period.
    pub boxes: Option<Boxes>,
    /// Everything behind boxes 1 and 6, by day.
    pub sales: Vec<VatItem<'a>>,
    /// Everything behind boxes 4 and 7, by day.
    pub purchases: Vec<VatItem<'a>>,
    /// Costs on registered days that show no VAT and are in no box.
    pub costs_without_vat: Pence,
    /// Cars bought on a VAT invoice and kept for the owner's own use: VAT may be due on what they would
    /// cost now (Value Added Tax Act 1994, schedule 4 paragraph 5; from memory), which no box holds.
    pub kept_outside_scheme: Vec<&'a Car>,
    /// The account with HMRC.
    pub account: VatAccount,
}

impl VatReturn<'_> {
    /// The VAT on sales, whether or not there is a return.
    pub fn vat_on_sales(&self) -> Pence {
        vat_of(&self.sales)
    }

    /// Receipts under a sales heading that show no VAT.
    pub fn sales_without_vat(&self) -> Pence {
        let plain = self.sales.iter().filter(|item| item.behind == Behind::Receipt && item.vat.is_zero());
        plain.map(|item| item.amount).sum()
    }
}

/// The return of `asked`, up to the last day covered; none when it begins after that. A receipt under one
/// of the `sales_headings` is a sale even without VAT.
pub fn vat_return<'a>(facts: &'a Facts, asked: Period, sales_headings: &BTreeSet<String>) -> Option<VatReturn<'a>> {
    let period = asked.ending_by(facts.to)?;
    let eve = period.from().pred_opt()?;
    let mut found = Finding { registration: facts.registration, period, sales: Vec::new(), purchases: Vec::new() };
    for car in &facts.cars {
        found.car(car);
    }
    let costs_without_vat = found.lines(facts, sales_headings);
    found.standing_costs(facts);
    let Finding { registration, mut sales, mut purchases, .. } = found;
    for items in [&mut sales, &mut purchases] {
        items.sort_by_key(|item| (item.on, item.entry));
    }
    let (output, input) = (vat_of(&sales), vat_of(&purchases));
    let boxes = Boxes::from_totals(output, input, net_of(&sales), net_of(&purchases));
    let (paid, repaid) = settled(facts, period);
    Some(VatReturn {
        asked,
        period,
        boxes: registration.holds_in(period).then_some(boxes),
        costs_without_vat,
        kept_outside_scheme: facts.cars.iter().filter(|car| is_kept_outside(car, &registration, period)).collect(),
        account: VatAccount {
            owed_at_start: facts.balances(eve).vat_owed,
            due: output - input,
            paid,
            repaid,
            owed_at_end: facts.balances(period.to()).vat_owed,
        },
        sales,
        purchases,
    })
}

fn vat_of(items: &[VatItem<'_>]) -> Pence {
    items.iter().map(|item| item.vat).sum()
}

fn net_of(items: &[VatItem<'_>]) -> Pence {
    items.iter().map(VatItem::net).sum()
}

/// VAT paid to HMRC, and repaid by it.
pub(crate) fn settled(facts: &Facts, period: Period) -> (Pence, Pence) {
    let of_vat = |movement: &&Movement| movement.purpose == Purpose::Vat && period.contains(movement.on);
    let amounts = facts.all_movements().filter(of_vat).map(|movement| movement.amount);
    amounts.fold((Pence::ZERO, Pence::ZERO), |(paid, repaid), amount| {
        if amount.is_negative() { (paid - amount, repaid) } else { (paid, repaid + amount) }
    })
}

fn is_kept_outside(car: &Car, registration: &Registration, period: Period) -> bool {
    let kept = car.disposal.as_ref().filter(|gone| gone.how == Outcome::Kept && period.contains(gone.on));
    kept.is_some_and(|gone| registration.holds_on(gone.on)) && car.vat_invoice && car.vat.is_positive()
}

/// The items of a period while they are being found.
struct Finding<'a> {
    registration: Registration,
    period: Period,
    sales: Vec<VatItem<'a>>,
    purchases: Vec<VatItem<'a>>,
}

impl<'a> Finding<'a> {
    /// Whether something of that day is in the return at all.
    fn counts(&self, on: NaiveDate) -> bool {
        self.period.contains(on) && self.registration.holds_on(on)
    }

    fn car(&mut self, car: &'a Car) {
        let item =
            |behind, on, entry, amount, vat| VatItem { behind, on, entry, car: Some(car), what: None, amount, vat };
        if self.counts(car.bought_on) {
            let vat = if car.vat_invoice { car.vat } else { Pence::ZERO };
            self.purchases.push(item(Behind::CarBought, car.bought_on, car.entry, car.purchase_price, vat));
        }
        let returned = car.disposal.as_ref().filter(|gone| gone.how == Outcome::Returned);
        // A purchase that was never in box 7 is not taken off it.
        if let Some(gone) = returned.filter(|gone| self.period.contains(gone.on))
            && self.registration.holds_on(car.bought_on)
        {
            self.purchases.push(item(Behind::CarReturned, gone.on, gone.entry, -gone.value, Pence::ZERO));
        }
        for sale in &car.sales {
            self.sale(car, sale);
        }
        let kept = car.deposit_ends.iter().filter(|end| end.sale_no.is_none());
        for end in kept.filter(|end| self.counts(end.on)).collect::<Vec<_>>() {
            let vat = vat_on_deposit_kept(end.amount, end.on, &self.registration);
            self.sales.push(item(Behind::DepositKept, end.on, end.entry, end.amount, vat));
        }
    }

    fn sale(&mut self, car: &'a Car, sale: &'a Sale) {
        let (price, vat) = (sale.selling_price, vat_on_sale(car, sale, &self.registration));
        let item =
            |behind, on, entry, amount, vat| VatItem { behind, on, entry, car: Some(car), what: None, amount, vat };
        if self.counts(sale.on) {
            let behind = if car.vat_invoice { Behind::FullPriceSale } else { Behind::MarginSale };
            self.sales.push(item(behind, sale.on, sale.entry, price, vat));
        }
        let Some(TakeBack { on, entry, kept_back, .. }) = sale.taken_back else { return };
        // What was in a return comes off one, even after the last registered day; what never was does not.
        if self.period.contains(on) && self.registration.holds_on(sale.on) {
            self.sales.push(item(Behind::SaleReversed, on, entry, -price, -vat));
        }
        if self.counts(on) && kept_back.is_positive() {
            let vat = vat_on_kept_back(car, kept_back, on, &self.registration);
            self.sales.push(item(Behind::KeptBack, on, entry, kept_back, vat));
        }
    }

    /// Lines on cars and on the yard; gives the sum of costs that show no VAT.
    fn lines(&mut self, facts: &'a Facts, sales_headings: &BTreeSet<String>) -> Pence {
        let mut without_vat = Pence::ZERO;
        let on_cars = facts.cars.iter().flat_map(|car| car.lines.iter().map(move |line| (Some(car), line)));
        for (car, line) in on_cars.chain(facts.yard_lines.iter().map(|line| (None, line))) {
            if !self.counts(line.on) {
                continue;
            }
            let Line { on, entry, amount, vat, .. } = *line;
            let item = |behind| VatItem { behind, on, entry, car, what: Some(&line.heading), amount, vat };
            match line.direction {
                Direction::Receipt if vat.is_positive() || sales_headings.contains(&line.heading) => {
                    self.sales.push(item(Behind::Receipt));
                }
                Direction::Cost if vat.is_positive() => self.purchases.push(item(Behind::Cost)),
                Direction::Cost => without_vat += amount,
                Direction::Receipt => {}
            }
        }
        without_vat + self.standing_without_vat(facts)
    }

    fn standing_without_vat(&self, facts: &Facts) -> Pence {
        let falling = facts.standing_costs(self.period.from(), self.period.to());
        falling.filter(|due| self.counts(due.on) && due.vat.is_zero()).map(|due| due.amount).sum()
    }

    fn standing_costs(&mut self, facts: &'a Facts) {
        let falling = facts.standing_costs(self.period.from(), self.period.to());
        for due in falling.filter(|due| due.vat.is_positive()) {
            if self.counts(due.on) {
                self.purchases.push(VatItem {
                    behind: Behind::StandingCost,
                    on: due.on,
                    entry: due.standing.entry,
                    car: None,
                    what: Some(&due.standing.name),
                    amount: due.amount,
                    vat: due.vat,
                });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pence_are_dropped_toward_nothing() {
        for (pence, whole) in [(49_722_223, 49_722_200), (199, 100), (99, 0), (0, 0), (-99, 0), (-199, -100)] {
            assert_eq!(whole_pounds(Pence::new(pence)), Pence::new(whole), "{pence}");
        }
    }

    #[test]
    fn three_is_one_and_two_and_five_is_the_difference_of_three_and_four() {
        let boxes = Boxes::from_totals(Pence::new(10_001), Pence::new(12_502), Pence::new(60_099), Pence::new(-150));
        let figures: Vec<i64> = boxes.numbered().map(|(_, figure)| figure.get()).collect();
        assert_eq!(figures, [10_001, 0, 10_001, 12_502, 2_501, 60_000, -100, 0, 0]);
        assert_eq!((boxes.to_pay(), boxes.owed_to()), (Pence::new(-2_501), Some(OwedTo::Trader)));
        for (sales, reclaimed, five, owed_to) in [
            (12_502, 10_001, 2_501, Some(OwedTo::Hmrc)),
            (10_001, 10_001, 0, None),
            (-10_000, 0, 10_000, Some(OwedTo::Trader)),
        ] {
            let boxes = Boxes::from_totals(Pence::new(sales), Pence::new(reclaimed), Pence::ZERO, Pence::ZERO);
            let shown = boxes.numbered().find(|(number, _)| *number == 5);
            assert_eq!((shown, boxes.owed_to()), (Some((5, Pence::new(five))), owed_to), "{sales} {reclaimed}");
        }
        assert_eq!(boxes.numbered().map(|(number, _)| number).collect::<Vec<_>>(), (1..=9).collect::<Vec<_>>());
    }
}

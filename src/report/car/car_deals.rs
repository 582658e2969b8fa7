//! The deals on one car beside its last sale: offers, deposit, sales reversed, how it left without a
//! sale, what was kept with it.

use crate::domain::book::claims::{depositor, refund_owed, written_off};
use crate::domain::book::facts::{Car, Offer, Showing};
use crate::domain::days::day::long;
use crate::domain::figures::car_figures::CarFigures;
use crate::domain::figures::offers::WouldMake;
use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, IsoDay, MoneyText, TwoDecimals, two_decimals};
use crate::report::phrase;
use chrono::NaiveDate;
use serde::Serialize;

/// An offer, and what taking it would make.
#[derive(Clone, Debug, Serialize)]
pub struct OfferRow {
    on: IsoDay,
    entry: i64,
    by: Option<String>,
    amount: MoneyText,
    profit: MoneyText,
    return_pct: Option<TwoDecimals>,
    multiple: Option<TwoDecimals>,
    days: i64,
}

/// A sale reversed when the car came back.
#[derive(Clone, Debug, Serialize)]
pub struct PastSale {
    sold_on: IsoDay,
    sold_to: Option<String>,
    selling_price: MoneyText,
    came_back_on: IsoDay,
    refund: MoneyText,
    kept_back: MoneyText,
    reason: Option<String>,
}

/// A photo or PDF kept with an entry of the car.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct ReceiptLine {
    /// The entry.
    pub entry: i64,
    /// What the file was called.
    pub file: String,
    /// Where the copy lies.
    pub path: String,
}

/// Everything of a car's deals that is not its last sale.
#[derive(Clone, Debug, Serialize)]
pub struct Deals {
    offers: Vec<OfferRow>,
    sales_reversed: Vec<PastSale>,
    deposit_by: Option<String>,
    hold_until: Option<IsoDay>,
    refund_owed: MoneyText,
    written_off: MoneyText,
    left_on: Option<IsoDay>,
    disposal_value: Option<MoneyText>,
    disposal_received: Option<MoneyText>,
    disposal_loss: Option<MoneyText>,
    disposed_to: Option<String>,
    certificate: Option<String>,
    hammer_price: Option<MoneyText>,
    buyers_fee: Option<MoneyText>,
    receipts: Vec<ReceiptLine>,
}

impl OfferRow {
    fn from_offer((offer, makes): (Offer, WouldMake)) -> Self {
        Self {
            on: IsoDay(offer.on),
            entry: offer.entry,
            by: offer.by,
            amount: MoneyText(offer.amount),
            profit: MoneyText(makes.profit),
            return_pct: makes.return_pct.map(TwoDecimals),
            multiple: makes.multiple.map(TwoDecimals),
            days: makes.days,
        }
    }

    fn words(&self) -> String {
        let by = self.by.as_ref().map(|by| format!(" by {by}")).unwrap_or_default();
        let percent = self.return_pct.map(|percent| format!(" ({} %)", two_decimals(percent.0))).unwrap_or_default();
        format!("{}{by}: {}{percent} in {}", self.amount.0, phrase::making(self.profit.0), phrase::days(self.days))
    }
}

impl PastSale {
    fn words(&self) -> String {
        let to = self.sold_to.as_ref().map(|buyer| format!(" to {buyer}")).unwrap_or_default();
        let kept = if self.kept_back.0.is_zero() { String::new() } else { format!(", {} kept back", self.kept_back.0) };
        let why = self.reason.as_ref().map(|reason| format!(": {reason}")).unwrap_or_default();
        format!(
            "sold{to} for {}, came back {}, refund {}{kept}{why}",
            self.selling_price.0,
            long(self.came_back_on.0),
            self.refund.0
        )
    }
}

impl Deals {
    /// The deals of a car as of a day; `figures` are of that day.
    pub(crate) fn new(
        as_of: NaiveDate,
        car: &Car,
        figures: &CarFigures,
        showing: &Showing,
        offers: Vec<(Offer, WouldMake)>,
        receipts: Vec<ReceiptLine>,
    ) -> Self {
        let held = figures.deposit_held.is_positive();
        let disposal = car.disposal.as_ref().filter(|disposal| disposal.on <= as_of);
        let past = car.sales.iter().filter_map(|sale| {
            let back = sale.taken_back.as_ref().filter(|back| back.on <= as_of)?;
            Some(PastSale {
                sold_on: IsoDay(sale.on),
                sold_to: sale.buyer.clone(),
                selling_price: MoneyText(sale.selling_price),
                came_back_on: IsoDay(back.on),
                refund: MoneyText(back.refund),
                kept_back: MoneyText(back.kept_back),
                reason: back.reason.clone(),
            })
        });
        Self {
            offers: offers.into_iter().map(OfferRow::from_offer).collect(),
            sales_reversed: past.collect(),
            deposit_by: depositor(car).filter(|_| held).map(str::to_owned),
            hold_until: showing.hold_until.filter(|_| held).map(IsoDay),
            refund_owed: MoneyText(refund_owed(car, as_of)),
            written_off: MoneyText(written_off(car, as_of)),
            left_on: car.left_by(as_of).map(|left| IsoDay(left.on())),
            disposal_value: figures.disposed.map(|disposed| MoneyText(disposed.value)),
            disposal_received: figures.disposed.map(|disposed| MoneyText(disposed.brought_in)),
            disposal_loss: figures.disposed.map(|disposed| MoneyText(disposed.loss)),
            disposed_to: disposal.and_then(|disposal| disposal.party.clone()),
            certificate: disposal.and_then(|disposal| disposal.certificate.clone()),
            hammer_price: car.auction.map(|auction| MoneyText(auction.hammer_price)),
            buyers_fee: car.auction.map(|auction| MoneyText(auction.buyers_fee)),
            receipts,
        }
    }

    /// Offers, oldest first, each under its day.
    pub(crate) fn offers(&self) -> Vec<(String, Cell)> {
        self.offers.iter().map(|offer| (long(offer.on.0), Cell::text(offer.words()))).collect()
    }

    /// Sales that were reversed, each under its day.
    pub(crate) fn past_sales(&self) -> Vec<(String, Cell)> {
        self.sales_reversed.iter().map(|sale| (long(sale.sold_on.0), Cell::text(sale.words()))).collect()
    }

    /// Receipts, each under its entry.
    pub(crate) fn receipts(&self) -> Vec<(String, Cell)> {
        let shown =
            |kept: &ReceiptLine| (format!("Entry {}", kept.entry), Cell::text(format!("{}: {}", kept.file, kept.path)));
        self.receipts.iter().map(shown).collect()
    }

    /// What leaving without a sale came to, signed so that the eye can add it up.
    pub(crate) fn on_leaving(&self, stood_in: MoneyText) -> Vec<(&'static str, Cell)> {
        let Some(loss) = self.disposal_loss else { return Vec::new() };
        // What came of it comes off what it stood in at; of a gain, the other way about.
        let gain = loss.0.is_negative();
        let signed = |amount: Pence| if gain { -amount } else { amount };
        let came = [("Worth to whoever has it", self.disposal_value), ("Received for it", self.disposal_received)];
        let came = came.into_iter().filter_map(|(name, amount)| Some((name, amount?.0)));
        let came = came.filter(|(_, amount)| !amount.is_zero()).map(|(name, amount)| (name, signed(-amount).into()));
        let stood_in = ("Stood in at", signed(stood_in.0).into());
        let end = (if gain { "Gain" } else { "Loss" }, loss.0.abs().into());
        std::iter::once(stood_in).chain(came).chain([end]).collect()
    }

    /// What leaving without a sale lost, if it did leave so.
    pub(crate) const fn loss(&self) -> Option<MoneyText> {
        self.disposal_loss
    }

    /// The day it left stock.
    pub(crate) const fn left_on(&self) -> Option<IsoDay> {
        self.left_on
    }

    /// What the car's disposal cost less what it brought.
    pub(crate) fn cost_on_leaving(&self) -> Option<Pence> {
        self.disposal_received.map(|received| -received.0)
    }

    /// What else is known of the deals, only what there is.
    pub(crate) fn known(&self, held: MoneyText) -> Vec<(&'static str, Cell)> {
        let some = |amount: MoneyText| (!amount.0.is_zero()).then(|| Cell::text(amount.0.to_string()));
        let by = self.deposit_by.as_ref().map(|by| format!(" from {by}")).unwrap_or_default();
        let until = self.hold_until.map(|until| format!(", kept until {}", long(until.0))).unwrap_or_default();
        let deposit = (!held.0.is_zero()).then(|| Cell::text(format!("{}{by}{until}", held.0)));
        let auction = self.hammer_price.zip(self.buyers_fee);
        let auction = auction.map(|(hammer, fee)| Cell::text(format!("{} and a buyer's fee of {}", hammer.0, fee.0)));
        [
            ("Hammer price", auction),
            ("Deposit held", deposit),
            ("Refund still owed", some(self.refund_owed)),
            ("Written off", some(self.written_off)),
            ("Went to", self.disposed_to.as_deref().map(Cell::text)),
            ("Certificate of Destruction", self.certificate.as_deref().map(Cell::text)),
        ]
        .into_iter()
        .filter_map(|(label, cell)| Some((label, cell?)))
        .collect()
    }
}

//! Why a request cannot be carried out, in words, with what to type next. Every refusal leaves
//! the book as it was.

pub mod amend_reading;
pub mod deal_refusal;
pub mod forget_refusal;
pub mod number_meant;
pub mod paper_refusal;
mod refusal_kind;
mod refusal_words;

use crate::domain::refusal::amend_reading::TwoReadings;
use crate::domain::refusal::deal_refusal::DealRefusal;
use crate::domain::refusal::forget_refusal::ForgetRefusal;
use crate::domain::refusal::number_meant::NumberMeant;
use crate::domain::refusal::paper_refusal::PaperRefusal;
use crate::domain::value::bad_row::BadRow;
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;
use crate::domain::value::words::Outcome;
use chrono::NaiveDate;

/// A request the trade's rules, or the facts in the book, do not allow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Refusal {
    /// A value that is not what it should be.
    Value(ValueError),
    /// No such car; marks that are close.
    CarUnknown {
        /// As typed.
        given: String,
        /// Labels of cars with a similar mark.
        near: Vec<String>,
    },
    /// There is no car at all to choose from.
    NoCars {
        /// Where it would be: `in stock`, `sold`.
        kind: &'static str,
    },
    /// No such heading; words that are close.
    HeadingUnknown {
        /// As typed.
        given: String,
        /// Headings spelt alike.
        near: Vec<String>,
        /// A return heading a new one could go under.
        under: &'static str,
    },
    /// A heading for money the other way.
    HeadingForTheOtherWay {
        /// As typed.
        given: String,
        /// The command it belongs to.
        command: &'static str,
    },
    /// The command needs to be told what the money is about.
    NoTarget {
        /// The ways to say it.
        accepted: &'static str,
    },
    /// Something was typed that does not go with the rest of the line, whatever the book says.
    DoesNotGoWith {
        /// What.
        what: &'static str,
        /// With what.
        with: &'static str,
    },
    /// Something was asked for that does not go with what is in the book.
    AtOdds {
        /// What.
        what: &'static str,
        /// With what.
        with: &'static str,
    },
    /// The folder's name is that of a year's papers, and no year is said.
    WholeOrYear {
        /// The folder, as typed.
        folder: String,
    },
    /// Nothing was said of what should be otherwise.
    NothingSaid {
        /// What there is to change, and how it stands.
        of: String,
        /// A line that says something.
        example: &'static str,
    },
    /// The mark, or the VIN, is in stock already.
    InStockAlready {
        /// The car it is in stock as.
        car: String,
    },
    /// A car without plates needs a VIN.
    NoPlatesNoVin,
    /// The mark is known with another VIN.
    AnotherVin {
        /// The mark.
        mark: String,
        /// The VIN in the book.
        known: String,
        /// The VIN typed.
        given: String,
    },
    /// The car was sold.
    SoldAlready {
        /// The car.
        car: String,
        /// When.
        on: NaiveDate,
    },
    /// The car was not sold.
    NotSold {
        /// The car.
        car: String,
    },
    /// The car left stock without a sale.
    Disposed {
        /// The car.
        car: String,
        /// How, as a word.
        how: Outcome,
        /// When.
        on: NaiveDate,
    },
    /// A day before the car was last taken into stock.
    BeforeItCameBack {
        /// The car.
        car: String,
        /// The day given.
        given: NaiveDate,
        /// The day it came back.
        back: NaiveDate,
    },
    /// A deposit, a take-back or a balance will not have it.
    Deal(DealRefusal),
    /// There is no such paper to write.
    Paper(PaperRefusal),
    /// A name cannot be forgotten, or not be brought back.
    Forget(ForgetRefusal),
    /// The month is closed.
    Closed {
        /// What would change.
        what: String,
        /// The last day closed.
        closed_to: NaiveDate,
    },
    /// Rows of a file that will not do.
    BadRows {
        /// Which, and why.
        rows: Vec<BadRow>,
    },
    /// No price at all, or any, keeps the target.
    NoBid {
        /// Why, as a sentence.
        why: String,
    },
    /// A month that cannot be closed or opened again.
    NotForClosing {
        /// Why, as a sentence.
        why: String,
    },
    /// A car kept for own use without what it is worth.
    NoWorth,
    /// The vehicle is in the book again, so this stay cannot go on.
    BoughtAgain {
        /// The stay.
        car: String,
        /// The later one.
        later: String,
    },
    /// A day before the car was bought.
    BeforePurchase {
        /// The car.
        car: String,
        /// The day given.
        given: NaiveDate,
        /// The day bought.
        bought: NaiveDate,
    },
    /// Money for a deal dated before it.
    BeforeTheDeal {
        /// The car.
        car: String,
        /// The day given.
        given: NaiveDate,
        /// The day of the purchase or sale.
        deal: NaiveDate,
    },
    /// Two stays of one vehicle overlap.
    StaysOverlap {
        /// The earlier stay.
        earlier: String,
        /// The later one.
        later: String,
    },
    /// The parts of a split do not make the whole.
    PartsDoNotAddUp {
        /// The whole.
        amount: Pence,
        /// What the parts come to.
        parts: Pence,
    },
    /// A car named twice.
    NamedTwice {
        /// The car, or the yard.
        what: String,
    },
    /// More VAT than can be in the amount.
    VatTooBig {
        /// The VAT.
        vat: Pence,
        /// The amount.
        amount: Pence,
        /// The most that can be in it.
        most: Pence,
    },
    /// More money than is owed.
    MoreThanOwed {
        /// The money.
        given: Pence,
        /// What is owed.
        owed: Pence,
        /// By or to whom.
        who: String,
    },
    /// Finance above the price.
    FinanceTooBig {
        /// The finance.
        finance: Pence,
        /// The price.
        price: Pence,
    },
    /// The lowest price is above the asking price.
    LowestAboveAsking {
        /// Lowest.
        lowest: Pence,
        /// Asking.
        asking: Pence,
    },
    /// Part-exchange and price leave money for the buyer, and another amount was typed.
    DifferenceGoesToBuyer {
        /// What the buyer is due.
        due: Pence,
    },
    /// The money came from a pocket it cannot come from.
    PocketNotForThis {
        /// The pocket.
        pocket: &'static str,
        /// The ones that will do.
        accepted: &'static str,
    },
    /// A standing cost or paper of that name is there already.
    NameTaken {
        /// What it is.
        what: &'static str,
        /// Its name.
        name: String,
    },
    /// No standing cost or paper of that name.
    NameUnknown {
        /// What was looked for.
        what: &'static str,
        /// As typed.
        name: String,
        /// Those spelt alike.
        near: Vec<String>,
        /// Those there are.
        known: Vec<String>,
    },
    /// Not a day it falls due.
    NotADueDay {
        /// The standing cost.
        name: String,
        /// The day.
        day: NaiveDate,
        /// The next due day.
        next: Option<NaiveDate>,
    },
    /// A standing cost stopped or changed before it began.
    BeforeItBegan {
        /// The standing cost.
        name: String,
        /// Its first due day.
        first: NaiveDate,
    },
    /// No such entry.
    EntryUnknown {
        /// As typed.
        entry: EntryNo,
    },
    /// There is nothing left to undo.
    NothingToUndo,
    /// The entry was undone before.
    UndoneAlready {
        /// The entry.
        entry: EntryNo,
        /// The undo.
        by: EntryNo,
    },
    /// A later entry stands in the way.
    InTheWay {
        /// The entry meant to be changed.
        entry: EntryNo,
        /// The one in the way.
        by: EntryNo,
        /// What it recorded.
        summary: String,
    },
    /// The entry has no such fact to put right.
    NotAmendable {
        /// The field typed.
        field: String,
        /// What the entry recorded.
        command: String,
        /// Whether any entry has such a fact.
        known: bool,
        /// Fields spelt alike.
        near: Vec<String>,
        /// Its fields.
        accepted: String,
    },
    /// A number that is not of the kind asked for, but of another.
    NumberMeant(NumberMeant),
    /// Words that can be read as one fact to put right or as several.
    TwoReadings(TwoReadings),
    /// No item of `due` has that number.
    NotDue {
        /// As typed.
        number: i64,
    },
    /// The item is dealt with by another command.
    NotDoneByWord {
        /// Its number.
        number: i64,
        /// Its kind.
        kind: &'static str,
        /// What deals with it.
        action: String,
    },
    /// A word that is not one of a list: a setting, an item of the pre-sale list.
    WordUnknown {
        /// What the list is of.
        what: &'static str,
        /// As typed.
        given: String,
        /// Words spelt alike.
        near: Vec<String>,
        /// The whole list.
        known: String,
    },
    /// A heading that came with the program, or of the other direction.
    HeadingFixed {
        /// The heading.
        name: String,
    },
    /// A month that has not begun.
    NothingBefore {
        /// What was asked for.
        what: String,
    },
    /// The fact is as it is wanted already.
    NothingChanges {
        /// The field.
        field: String,
        /// Its value.
        value: String,
    },
    /// A span that would end before it begins.
    EndsBeforeItBegins {
        /// What.
        what: &'static str,
        /// The first day.
        from: NaiveDate,
        /// The last.
        until: NaiveDate,
    },
    /// The mark is on a car in stock.
    MarkCarried {
        /// The mark.
        mark: String,
        /// The car that carries it.
        car: String,
    },
    /// No such part of a report.
    NoSuchPart {
        /// As typed.
        part: String,
        /// Parts spelt alike.
        near: Vec<String>,
        /// The report's parts.
        accepted: String,
    },
}

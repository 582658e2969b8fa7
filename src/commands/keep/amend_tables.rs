//! The fields of every kind of entry that can be put right: where each stands, and how it is read.

use crate::domain::value::words::Direction;
use crate::store::{EntryRow, StoredRow};

/// How a field is read and shown.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Reads {
    Amount,
    SomeAmount,
    Day,
    DayAhead,
    Text,
    Mark,
    Vin,
    Year,
    Miles,
    Keys,
    Via,
    Paid,
    YesNo,
    Hours,
    Distance,
    Heading(Direction),
    Car,
}

/// A field: its name, its table and column, how it is read, whether it may be `none`.
pub(crate) type Field = (&'static str, &'static str, &'static str, Reads, bool);

const BUY: &[Field] = &[
    ("price", "car", "purchase_price", Reads::Amount, false),
    ("on", "car", "bought_on", Reads::Day, false),
    ("from", "car", "seller", Reads::Text, true),
    ("make", "vehicle", "make", Reads::Text, true),
    ("model", "vehicle", "model", Reads::Text, true),
    ("year", "vehicle", "year", Reads::Year, true),
    ("colour", "vehicle", "colour", Reads::Text, true),
    ("fuel", "vehicle", "fuel", Reads::Text, true),
    ("miles", "reading", "miles", Reads::Miles, false),
    ("vin", "vehicle", "vin", Reads::Vin, true),
    ("first-registered", "vehicle", "first_registered", Reads::DayAhead, true),
    ("mot-until", "mot_certificate", "until", Reads::DayAhead, false),
    ("keys", "car", "keys", Reads::Keys, true),
    ("via", "car", "via", Reads::Via, false),
    ("mark", "mark", "mark", Reads::Mark, false),
    ("paid", "movement", "pocket", Reads::Paid, false),
    ("purchase-invoice", "car", "purchase_invoice", Reads::Text, true),
];

const SPEND: &[Field] = &[
    ("amount", "line", "amount", Reads::Amount, false),
    ("on", "line", "dated", Reads::Day, false),
    ("heading", "line", "heading", Reads::Heading(Direction::Cost), false),
    ("to", "line", "party", Reads::Text, true),
    ("usual", "line", "usual_price", Reads::Amount, true),
    ("vat", "line", "vat", Reads::Amount, false),
    ("paid", "line", "pocket", Reads::Paid, false),
    ("note", "line", "note", Reads::Text, true),
    ("car", "line", "stock_no", Reads::Car, false),
];

const RECEIVE: &[Field] = &[
    ("amount", "line", "amount", Reads::SomeAmount, false),
    ("on", "line", "dated", Reads::Day, false),
    ("heading", "line", "heading", Reads::Heading(Direction::Receipt), false),
    ("from", "line", "party", Reads::Text, true),
    ("vat", "line", "vat", Reads::Amount, false),
    ("paid", "line", "pocket", Reads::Paid, false),
    ("note", "line", "note", Reads::Text, true),
    ("car", "line", "stock_no", Reads::Car, false),
];

const SELL: &[Field] = &[
    ("price", "sale", "selling_price", Reads::Amount, false),
    ("on", "sale", "sold_on", Reads::Day, false),
    ("to", "sale", "buyer", Reads::Text, true),
    ("address", "sale", "address", Reads::Text, true),
    ("miles", "reading", "miles", Reads::Miles, false),
    ("paid", "movement", "pocket", Reads::Paid, false),
    ("to-trade", "sale", "to_trade", Reads::YesNo, false),
    ("delivered", "sale", "delivered_on", Reads::DayAhead, true),
    ("distance", "sale", "distance", Reads::YesNo, false),
    // Of the car taken in as part payment, if there is one.
    ("make", "vehicle", "make", Reads::Text, true),
    ("model", "vehicle", "model", Reads::Text, true),
    ("year", "vehicle", "year", Reads::Year, true),
    ("colour", "vehicle", "colour", Reads::Text, true),
    ("fuel", "vehicle", "fuel", Reads::Text, true),
    ("vin", "vehicle", "vin", Reads::Vin, true),
];

const SETTLED: &[Field] = &[
    ("amount", "movement", "amount", Reads::SomeAmount, false),
    ("on", "movement", "dated", Reads::Day, false),
    ("paid", "movement", "pocket", Reads::Paid, false),
    ("note", "movement", "note", Reads::Text, true),
];

const ASK: &[Field] = &[
    ("amount", "asking_price", "amount", Reads::SomeAmount, false),
    ("lowest", "asking_price", "lowest", Reads::Amount, true),
    ("on", "asking_price", "dated", Reads::Day, false),
];

const HOURS: &[Field] = &[
    ("hours", "own_hours", "minutes", Reads::Hours, false),
    ("on", "own_hours", "dated", Reads::Day, false),
    ("note", "own_hours", "note", Reads::Text, true),
];

const JOURNEY: &[Field] = &[
    ("miles", "journey", "tenths", Reads::Distance, false),
    ("on", "journey", "dated", Reads::Day, false),
    ("purpose", "journey", "purpose", Reads::Text, false),
];

const NOTE: &[Field] = &[("text", "note", "wording", Reads::Text, false), ("on", "note", "dated", Reads::Day, false)];

const OFFER: &[Field] = &[
    ("amount", "offer", "amount", Reads::SomeAmount, false),
    ("by", "offer", "party", Reads::Text, true),
    ("on", "offer", "dated", Reads::Day, false),
];

const DEPOSIT: &[Field] = &[
    ("amount", "movement", "amount", Reads::SomeAmount, false),
    ("by", "movement", "party", Reads::Text, true),
    ("on", "movement", "dated", Reads::Day, false),
    ("paid", "movement", "pocket", Reads::Paid, false),
    ("hold-until", "deposit_hold", "hold_until", Reads::DayAhead, false),
];

const DEPOSIT_KEPT: &[Field] = &[("on", "deposit_end", "dated", Reads::Day, false)];

const TAKE_BACK: &[Field] =
    &[("reason", "take_back", "reason", Reads::Text, true), ("paid", "movement", "pocket", Reads::Paid, false)];

const DISPOSE: &[Field] = &[
    ("on", "disposal", "dated", Reads::Day, false),
    ("value", "disposal", "value", Reads::Amount, false),
    ("to", "disposal", "party", Reads::Text, true),
    ("certificate", "disposal", "certificate", Reads::Text, true),
    ("received", "line", "amount", Reads::SomeAmount, false),
    ("paid", "line", "pocket", Reads::Paid, false),
];

const WRITE_OFF: &[Field] =
    &[("amount", "write_off", "amount", Reads::SomeAmount, false), ("on", "write_off", "dated", Reads::Day, false)];

const MARK: &[Field] = &[("mark", "mark", "mark", Reads::Mark, false), ("on", "mark", "dated", Reads::Day, false)];

/// The fields of every kind of entry there is.
pub(crate) const EVERY: &[&[Field]] = &[
    BUY,
    SPEND,
    RECEIVE,
    SETTLED,
    SELL,
    ASK,
    OFFER,
    DEPOSIT,
    DEPOSIT_KEPT,
    TAKE_BACK,
    DISPOSE,
    WRITE_OFF,
    HOURS,
    JOURNEY,
    NOTE,
    MARK,
];

pub(crate) fn fields_of(entry: &EntryRow, rows: &[StoredRow]) -> &'static [Field] {
    let has_lines = rows.iter().any(|row| row.table == "line");
    match entry.command.as_str() {
        "buy" => BUY,
        "spend" if has_lines => SPEND,
        "receive" if has_lines => RECEIVE,
        "spend" | "receive" | "pay-in" | "draw" => SETTLED,
        "move" => &SETTLED[..2],
        "sell" => SELL,
        "ask" => ASK,
        "offer" => OFFER,
        "deposit" if rows.iter().any(|row| row.table == "deposit_end") => DEPOSIT_KEPT,
        "deposit" => DEPOSIT,
        "take-back" => TAKE_BACK,
        "dispose" => DISPOSE,
        "write-off" => WRITE_OFF,
        "hours" => HOURS,
        "journey" => JOURNEY,
        "note" => NOTE,
        "mark" => MARK,
        _ => &[],
    }
}

//! What an auction charges beside the hammer price, and which of it belongs to the purchase price: the
//! buyer's fee without VAT shown does, one with VAT shown and the indemnity fee do not (HMRC, Buying
//! second-hand vehicles using a VAT margin scheme).

use crate::commands::steps::lookup::near_words;
use crate::domain::book::dealing::check_vat;
use crate::domain::book::fee_scale::{Fee, FeeScale};
use crate::domain::book::settings::auction_key;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Direction, Pocket, Shared};
use crate::error::Error;
use crate::store::{BookError, NewLine, Reader, Recording};
use chrono::NaiveDate;

/// The charges of one purchase.
#[derive(Debug, Default)]
pub struct Charges {
    fee: Option<Fee>,
    indemnity: Option<Pence>,
    /// The fee came from the auction's saved scale.
    from_scale: bool,
    /// The auction named has no scale: those spelt like it.
    no_scale: Option<Vec<String>>,
}

impl Charges {
    /// The part that belongs to the purchase price.
    pub fn in_price(&self) -> Pence {
        match self.fee {
            Some(Fee { amount, vat: None }) => amount,
            _ => Pence::ZERO,
        }
    }

    /// ` (hammer £435.00, buyer's fee £110.00)`, where the price is made of both.
    pub fn in_words(&self, hammer: Pence) -> String {
        match self.in_price() {
            none if none.is_zero() => String::new(),
            fee => format!(" (hammer {hammer}, buyer's fee {fee})"),
        }
    }
}

/// What was typed of an auction.
#[derive(Clone, Copy, Debug)]
pub struct Auction<'a> {
    /// What the car was knocked down at.
    pub hammer: Pence,
    /// Which auction, by `--auction`.
    pub named: Option<&'a Wording>,
    /// Who sold it.
    pub from: Option<&'a Wording>,
    /// The buyer's fee.
    pub buyers_fee: Option<Pence>,
    /// The VAT shown on it.
    pub fee_vat: Option<Pence>,
    /// The indemnity fee.
    pub indemnity: Option<Pence>,
}

impl Auction<'_> {
    /// Whether an auction is meant though it was not said how the car came.
    pub const fn is_meant(&self) -> bool {
        self.named.is_some() || self.buyers_fee.is_some() || self.indemnity.is_some()
    }

    fn name(&self) -> Option<&str> {
        self.named.or(self.from).map(AsRef::as_ref)
    }
}

/// The charges, as typed or by the scale saved for the auction.
pub fn charges(auction: &Auction<'_>, reader: Reader<'_>, on: NaiveDate) -> Result<Charges, Error> {
    let typed = auction.buyers_fee.map(|amount| Fee { amount, vat: auction.fee_vat });
    if let Some(Fee { amount, vat: Some(vat) }) = typed {
        check_vat(vat, amount, on, &reader.rates())?;
    }
    let name = auction.name();
    let scale = name.map(|name| saved_scale(reader, name)).transpose()?.flatten();
    let scale_is_missing = scale.is_none();
    let scaled =
        scale.map(|scale| scale.fee(auction.hammer, on, &reader.rates())).filter(|fee| fee.amount.is_positive());
    let fee = typed.or(scaled);
    let unknown = name.filter(|_| typed.is_none() && auction.named.is_some() && scale_is_missing);
    let near = unknown.map(|name| near_scales(reader, name)).transpose()?;
    Ok(Charges { fee, indemnity: auction.indemnity, from_scale: typed.is_none() && fee.is_some(), no_scale: near })
}

/// The fee scale saved for an auction, by its name.
pub fn saved_scale(reader: Reader<'_>, auction: &str) -> Result<Option<FeeScale>, Error> {
    let key = auction_key(auction);
    let saved = reader.settings()?.into_iter().find(|(known, _)| *known == key);
    let read =
        |(_, scale): (String, String)| scale.parse().map_err(|why: ValueError| BookError::Foreign(why.to_string()));
    Ok(saved.map(read).transpose()?)
}

/// The auctions with a saved scale that are spelt like `name`; all of them when none is.
pub fn near_scales(reader: Reader<'_>, name: &str) -> Result<Vec<String>, Error> {
    let saved = reader.settings()?;
    let known: Vec<&str> = saved.iter().filter_map(|(key, _)| key.strip_prefix("auction:")).collect();
    let near = near_words(auction_key(name).trim_start_matches("auction:"), known.iter().copied());
    Ok(if near.is_empty() { known.into_iter().map(str::to_owned).collect() } else { near })
}

/// Writes down what was paid under the hammer, and the charges that are costs of the car.
pub fn record(
    recording: &Recording<'_>,
    stock_no: StockNo,
    auction: &Auction<'_>,
    charges: &Charges,
    on: NaiveDate,
    pocket: Pocket,
) -> Result<Vec<String>, Error> {
    let mut notes = Vec::new();
    let in_price = charges.in_price();
    if in_price.is_positive() {
        recording.add_auction_purchase(stock_no, auction.hammer, in_price)?;
        notes.push("the fee shows no VAT, so it is part of the purchase price".to_owned());
    }
    let with_vat = charges.fee.and_then(|fee| Some((fee.amount, fee.vat?)));
    let costs = with_vat.into_iter().chain(charges.indemnity.map(|indemnity| (indemnity, Pence::ZERO)));
    for (amount, vat) in costs {
        recording.add_line(NewLine {
            stock_no: Some(stock_no),
            direction: Direction::Cost,
            on,
            heading: "auction-fee".into(),
            amount,
            usual_price: None,
            vat,
            pocket: Some(pocket),
            shared: Shared::Whole,
            party: auction.name().map(str::to_owned),
            note: vat.is_zero().then(|| "indemnity".to_owned()),
        })?;
        let why = if vat.is_zero() { "an indemnity fee" } else { "a fee with VAT shown" };
        notes.push(format!("{amount} paid as well: {why} is a cost, no part of the purchase price"));
    }
    if let Some(near) = &charges.no_scale {
        let saved = if near.is_empty() { String::new() } else { format!("; one is saved for {}", near.join(", ")) };
        notes.push(format!(
            "no fee: no scale is saved for that auction{saved}. Say --buyers-fee, or save one with `settings set`"
        ));
    }
    if charges.from_scale {
        notes.push("the fee is by the auction's saved scale; --buyers-fee says another".to_owned());
    }
    Ok(notes)
}

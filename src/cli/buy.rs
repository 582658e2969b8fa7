//! `buy`.

use crate::cli::Trying;
use crate::domain::days::day::{DayAhead, WrittenDay};
use crate::domain::value::count::Keys;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::{BoughtMark, Miles, ModelYear};
use crate::domain::value::vin::Vin;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Kind, PaidBy, Via};
use clap::Args;
use std::path::PathBuf;

/// Record a car bought.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout buy KX42 RTO 485 --from \"R Ashdown\" --miles 82000\n  \
runabout buy none 340 --vin WDX1234567 --make Corvane --on 18/11\n\n\
On a terminal it asks for what is left out.")]
pub struct BuyArgs {
    /// The registration mark, or `none` for a car without plates
    #[arg(value_name = "MARK")]
    pub mark: BoughtMark,
    /// The price agreed
    #[arg(value_name = "PRICE")]
    pub price: Pence,
    /// The day it was bought [today]
    #[arg(long, value_name = "DATE")]
    pub on: Option<WrittenDay>,
    /// Who sold it
    #[arg(long, value_name = "NAME")]
    pub from: Option<Wording>,
    /// Maker
    #[arg(long, value_name = "MAKE")]
    pub make: Option<Wording>,
    /// Model
    #[arg(long, value_name = "MODEL")]
    pub model: Option<Wording>,
    /// Model year
    #[arg(long, value_name = "YEAR")]
    pub year: Option<ModelYear>,
    /// Colour
    #[arg(long, value_name = "COLOUR")]
    pub colour: Option<Wording>,
    /// Fuel
    #[arg(long, value_name = "FUEL")]
    pub fuel: Option<Wording>,
    /// Miles on the odometer
    #[arg(long, value_name = "N")]
    pub miles: Option<Miles>,
    /// VIN or chassis number
    #[arg(long, value_name = "VIN")]
    pub vin: Option<Vin>,
    /// Day of first registration
    #[arg(long, value_name = "DATE")]
    pub first_registered: Option<DayAhead>,
    /// Last day of the MOT certificate, with its year
    #[arg(long, value_name = "DATE")]
    pub mot_until: Option<DayAhead>,
    /// Refused: vehicle tax never passes with a car
    #[arg(long, value_name = "DATE", hide = true)]
    pub tax_until: Option<String>,
    /// How many keys came with it, up to 20
    #[arg(long, value_name = "N")]
    pub keys: Option<Keys>,
    /// Where it came from: private, auction, trade or own [private]
    #[arg(long, value_name = "SOURCE")]
    pub via: Option<Via>,
    /// How it was paid: cash, bank, card or own
    #[arg(long, value_name = "HOW")]
    pub paid: Option<PaidBy>,
    /// What changed hands, when it was not the whole price
    #[arg(long, value_name = "AMOUNT")]
    pub paid_amount: Option<Pence>,
    /// The part of the price owed to a finance company
    #[arg(long, value_name = "AMOUNT")]
    pub finance: Option<Pence>,
    /// Car, van or motorcycle
    #[arg(long, value_name = "KIND")]
    pub kind: Option<Kind>,
    /// VAT shown on the purchase invoice
    #[arg(long, value_name = "AMOUNT", requires = "vat_invoice")]
    pub vat: Option<Pence>,
    /// Bought on an invoice showing VAT: outside the margin scheme
    #[arg(long)]
    pub vat_invoice: bool,
    /// The seller's invoice number
    #[arg(long, value_name = "REF")]
    pub purchase_invoice: Option<Wording>,
    /// Which auction; a fee scale saved for it gives the buyer's fee
    #[arg(long, value_name = "NAME")]
    pub auction: Option<Wording>,
    /// The auctioneer's buyer's fee; PRICE is then the hammer price
    #[arg(long, value_name = "AMOUNT")]
    pub buyers_fee: Option<Pence>,
    /// VAT shown on that fee: it is then a cost, not part of the price
    #[arg(long, value_name = "AMOUNT", requires = "buyers_fee")]
    pub fee_vat: Option<Pence>,
    /// The auction's indemnity fee: a cost, not part of the price
    #[arg(long, value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub indemnity: Option<Pence>,
    /// A photo or PDF of the purchase slip, kept beside the book; repeat for more
    #[arg(long, value_name = "FILE")]
    pub receipt: Vec<PathBuf>,
    /// A note on the car, for yourself
    #[arg(long, value_name = "TEXT")]
    pub note: Option<Wording>,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

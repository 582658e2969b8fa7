//! `buy`: a vehicle, found again or new, and its next stay in stock.

use crate::cli::Trying;
use crate::commands::deal::auction::{self, Auction, Charges};
use crate::commands::steps::act::Records;
use crate::commands::steps::cash_note::{Deal, cash_note};
use crate::commands::steps::context::Context;
use crate::commands::steps::lookup;
use crate::commands::steps::question::{Ask, DAY, Known, MILES, PAID, Takes, needed, optional};
use crate::commands::steps::receipts::keep_receipts;
use crate::commands::steps::recording::{ReadBack, lower_mileage, paid_words, pocket, record, to_whom, vat_note};
use crate::commands::steps::vehicle::vehicle_no;
use crate::domain::book::dealing::{check_vat, paid_for_purchase};
use crate::domain::days::day::{DayAhead, WrittenDay, long};
use crate::domain::days::mark_period::newer_than;
use crate::domain::refusal::Refusal;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::count::Keys;
use crate::domain::value::mark::{Mark, MarkShape};
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::{BoughtMark, Miles, ModelYear};
use crate::domain::value::value_error::ValueError;
use crate::domain::value::vin::Vin;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Kind, PaidBy, Pocket, Purpose, Via};
use crate::error::Error;
use crate::report::Report;
use crate::store::{Book, NewCar, NewMovement, NewVehicle, Reader, Recording};
use chrono::NaiveDate;
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

fn has_no_plates(known: &Known<'_>) -> bool {
    known.typed.get::<BoughtMark>("mark") == Some(&BoughtMark::None)
}

/// Whether nothing is known of the vehicle yet: one that was in stock before keeps its make and model.
fn is_a_stranger(known: &Known<'_>) -> Result<bool, Error> {
    let Some(BoughtMark::Mark(mark)) = known.typed.get::<BoughtMark>("mark") else { return Ok(true) };
    let known_as = known.reader.find_car(&CarRef::Mark(mark.clone()))?;
    let vehicle = known_as.map(|car| lookup::whole_car(known.reader, car)).transpose()?.map(|car| car.vehicle);
    Ok(vehicle.is_none_or(|vehicle| vehicle.make.is_none()))
}

impl BuyArgs {
    /// What was typed of an auction.
    fn auction(&self) -> Auction<'_> {
        Auction {
            hammer: self.price,
            named: self.auction.as_ref(),
            from: self.from.as_ref(),
            buyers_fee: self.buyers_fee,
            fee_vat: self.fee_vat,
            indemnity: self.indemnity,
        }
    }

    /// What is asked on a terminal where it is left out.
    pub(crate) const QUESTIONS: &[Ask] = &[
        needed("mark", "Registration mark (none if it has no plates)").takes(Takes::NewMark),
        needed("vin", "VIN, as it has no plates").when(|known| Ok(has_no_plates(known))),
        needed("price", "Price"),
        optional("from", "Bought from (name)").when(|known| Ok(!known.typed.has("auction"))),
        PAID,
        MILES,
        optional("mot_until", "MOT until"),
        optional("make", "Make").when(is_a_stranger),
        optional("model", "Model").when(is_a_stranger),
        DAY,
    ];
}

impl Records for BuyArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        if let Some(typed) = &self.tax_until {
            let verdict = "is refused: vehicle tax never passes with a car, so a bought car starts untaxed";
            return Err(ValueError::refused("tax date", typed.as_str(), verdict).into());
        }
        let days = self.days(context)?;
        Ok(record(book, context, "buy", self.trying.dry_run, |recording| self.bought(recording, &days))?.into())
    }
}

/// The days typed, as they are meant.
struct Days {
    on: NaiveDate,
    first_registered: Option<NaiveDate>,
    mot_until: Option<NaiveDate>,
}

impl BuyArgs {
    fn days(&self, context: &Context) -> Result<Days, Error> {
        let on = context.past_day(self.on.as_ref())?;
        let first_registered = self.first_registered.as_ref().map(|day| day.resolve(context.today)).transpose()?;
        if let Some(registered) = first_registered.filter(|registered| *registered > on) {
            let verdict = format!("is after the day bought, {}", long(on));
            return Err(ValueError::at_odds("first registration", long(registered), verdict).into());
        }
        let mot_until = self.mot_until.as_ref().map(|day| day.resolve(context.today)).transpose()?;
        Ok(Days { on, first_registered, mot_until })
    }

    /// How the car came.
    fn source(&self) -> Result<Via, Error> {
        let via = self.via.unwrap_or(if self.auction().is_meant() { Via::Auction } else { Via::Private });
        if via == Via::PartExchange {
            let verdict = "is what `sell --part-exchange MARK=ALLOWANCE` records: write private, auction, trade or own";
            return Err(ValueError::refused("source", via.word(), verdict).into());
        }
        Ok(via)
    }

    fn vehicle(&self, first_registered: Option<NaiveDate>) -> NewVehicle {
        NewVehicle {
            kind: self.kind,
            vin: self.vin.clone(),
            make: self.make.as_ref().map(ToString::to_string),
            model: self.model.as_ref().map(ToString::to_string),
            year: self.year.map(|year| year.0),
            colour: self.colour.as_ref().map(ToString::to_string),
            fuel: self.fuel.as_ref().map(ToString::to_string),
            first_registered,
        }
    }

    /// What an auction charges beside the hammer price; nothing for a car that came another way.
    fn charges(&self, reader: Reader<'_>, via: Via, on: NaiveDate) -> Result<Charges, Error> {
        match via {
            Via::Auction => auction::charges(&self.auction(), reader, on),
            _ if self.auction().is_meant() => {
                let with = "a car that did not come from an auction";
                Err(Refusal::DoesNotGoWith { what: "an auction's fee", with }.into())
            }
            _ => Ok(Charges::default()),
        }
    }

    fn bought(&self, recording: &Recording<'_>, days: &Days) -> Result<ReadBack, Error> {
        let Days { on, first_registered, mot_until } = *days;
        let mark = match &self.mark {
            BoughtMark::Mark(mark) => Some(mark.clone()),
            BoughtMark::None => None,
        };
        let via = self.source()?;
        let vehicle_no = vehicle_no(recording, mark.as_ref(), &self.vehicle(first_registered), on)?;
        let finance = self.finance.unwrap_or_default();
        let charges = self.charges(recording.read(), via, on)?;
        let price = self.price + charges.in_price();
        let paid = paid_for_purchase(price, finance, self.paid_amount)?;
        let vat = self.vat.unwrap_or_default();
        check_vat(vat, price, on, &recording.read().rates())?;
        // The trader's own car comes out of their own pocket unless they say otherwise.
        let how = self.paid.or((via == Via::Own).then_some(PaidBy::Own));
        let pocket = pocket(recording.read(), how)?;
        let seller = self.from.as_ref().or(self.auction.as_ref()).map(ToString::to_string);
        let stock_no = recording.add_car(&NewCar {
            vehicle_no,
            mark: mark.clone(),
            bought_on: on,
            purchase_price: price,
            finance,
            vat,
            vat_invoice: self.vat_invoice,
            via,
            seller: seller.clone(),
            purchase_invoice: self.purchase_invoice.as_ref().map(ToString::to_string),
            keys: self.keys.map(Keys::get),
        })?;
        recording.add_movement(&NewMovement {
            on,
            pocket,
            amount: -paid,
            purpose: Purpose::Purchase,
            stock_no: Some(stock_no),
            party: seller.clone(),
            note: None,
        })?;
        let lower = lower_mileage(recording.read(), vehicle_no, on, self.miles)?;
        if let Some(miles) = self.miles {
            recording.add_reading(vehicle_no, on, miles.0, "purchase")?;
        }
        if let Some(until) = mot_until {
            recording.add_mot_certificate(vehicle_no, on, until)?;
        }
        if let Some(note) = &self.note {
            recording.add_note(stock_no, on, note.as_str())?;
        }
        let named = mark.as_ref().map_or_else(|| "a car without plates".to_owned(), ToString::to_string);
        let summary = format!(
            "bought {named} as car {stock_no} for {price}{}{} on {}{}",
            charges.in_words(self.price),
            to_whom("from", seller.as_deref()),
            long(on),
            paid_part(paid, price, pocket),
        );
        let mut said = ReadBack::new(summary, [stock_no]);
        said.notes.extend(auction::record(recording, stock_no, &self.auction(), &charges, on, pocket)?);
        said.notes.extend(cash_note(recording.read(), stock_no, Deal::Purchase, on)?);
        said.notes.extend(keep_receipts(recording, &self.receipt)?);
        said.notes.extend(vat_note(recording.read(), vat, on)?);
        said.notes.extend(lower);
        let known = lookup::whole_car(recording.read(), stock_no)?.vehicle.make.is_some();
        said.notes.extend(notes(self, mark.as_ref(), first_registered, recording.entry(), known));
        Ok(said)
    }
}

fn paid_part(paid: Pence, price: Pence, pocket: Pocket) -> String {
    if paid.is_zero() && price.is_zero() {
        String::new()
    } else if paid == price {
        format!(", paid {}", paid_words(pocket))
    } else {
        format!(", {paid} paid {}, {} still owed", paid_words(pocket), price - paid)
    }
}

fn notes(
    args: &BuyArgs,
    mark: Option<&Mark>,
    first_registered: Option<NaiveDate>,
    entry: EntryNo,
    make_known: bool,
) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(mark) = mark {
        if mark.shape() == MarkShape::Unknown {
            notes.push(format!("{mark} is not a shape of mark the DVLA issues; check it if that is not meant"));
        }
        if first_registered.is_some_and(|registered| newer_than(mark, registered)) {
            notes.push(format!(
                "{mark} was first issued after this car was registered: a mark may not make a car look newer"
            ));
        }
    }
    notes.extend(args.vin.as_ref().and_then(|vin| vin.check_note().or_else(|| vin.length_note())));
    notes.push(
        "tell DVLA the car is now in the trade; it starts untaxed and may not be used or kept on a public road".into(),
    );
    let missing: Vec<&str> = [
        (args.from.is_none() && args.auction.is_none(), "from"),
        (!make_known, "make"),
        (args.miles.is_none(), "miles"),
        (args.mot_until.is_none(), "mot-until"),
    ]
    .into_iter()
    .filter_map(|(missing, name)| missing.then_some(name))
    .collect();
    if !missing.is_empty() {
        notes.push(format!(
            "not said: {}; add each later with `runabout amend {entry} {} VALUE`",
            missing.join(", "),
            missing[0]
        ));
    }
    notes
}

//! `bid`: the most to give, what it would make, and how sure that is.

use crate::commands::deal::auction::{near_scales, saved_scale};
use crate::commands::steps::act::Looks;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::lookup;
use crate::domain::book::facts::Car;
use crate::domain::book::stay::Left;
use crate::domain::days::month::Month;
use crate::domain::figures::car_figures::car_figures;
use crate::domain::figures::seen_costs::SeenCosts;
use crate::domain::law::registration::Registration;
use crate::domain::plan::bid::{AuctionFees, BidTarget, Prospect};
use crate::domain::plan::programme::Programme;
use crate::domain::refusal::Refusal;
use crate::domain::value::pence::Pence;
use crate::domain::value::percent::FeePercent;
use crate::domain::value::target::Multiple;
use crate::domain::value::wording::Wording;
use crate::error::Error;
use crate::report::Report;
use crate::report::plan::bid::{BidReport, Prep};
use crate::store::Reader;
use clap::{ArgGroup, Args};
use std::path::PathBuf;

/// The most to give for a car, with the workings.
#[derive(Debug, Args)]
#[command(
    group = ArgGroup::new("target").multiple(false),
    after_help = "Examples:\n  runabout bid --sells-for 1,350 --prep 215\n  \
runabout bid --sells-for 1,350 --profit 420 --prep 215 --fee-percent 5\n\n\
Without --prep your own cars say what it will cost: those of the same make when there are enough.\n\
A fees file has a band a line, FROM=FEE: 0=75, then 250=110, then 1,000=6%+55; `plus-vat` adds VAT."
)]
pub struct BidArgs {
    /// What it should sell for
    #[arg(long, value_name = "AMOUNT", value_parser = Pence::parse_positive)]
    pub sells_for: Pence,
    /// What it will cost to put right [what your own have cost]
    #[arg(long, value_name = "AMOUNT")]
    pub prep: Option<Pence>,
    /// It must sell for so many times what it stands in at [as the programme]
    #[arg(long, value_name = "X", group = "target")]
    pub multiple: Option<Multiple>,
    /// It must make so much
    #[arg(long, value_name = "AMOUNT", group = "target")]
    pub profit: Option<Pence>,
    /// Its maker: your own cars of that make say what it will cost
    #[arg(long, value_name = "MAKE")]
    pub make: Option<Wording>,
    /// A fee of so many per cent of the price
    #[arg(long, value_name = "X")]
    pub fee_percent: Option<FeePercent>,
    /// A fee that is the same at any price
    #[arg(long, value_name = "AMOUNT")]
    pub fee: Option<Pence>,
    /// A file with the auction's fees by price
    #[arg(long, value_name = "FILE", conflicts_with = "auction")]
    pub fees: Option<PathBuf>,
    /// The auction whose saved fees apply
    #[arg(long, value_name = "NAME")]
    pub auction: Option<Wording>,
}

/// The most cars looked back on for what one costs.
const CARS_LOOKED_AT: u32 = 200;

impl Looks for BidArgs {
    fn look(&self, reader: Reader<'_>, context: &Context) -> Result<Report, Error> {
        let scale = context.attached.fees.clone();
        let registration = settings_of(reader)?.registration;
        let gone = reader.cars(&reader.latest_gone(context.today, CARS_LOOKED_AT)?, context.today)?;
        let make = self.make.as_ref().map(AsRef::as_ref);
        let seen = SeenCosts::from_cars(gone.iter().filter_map(|car| costs_of(car, context, &registration)), make);
        let prep = match (self.prep, &seen) {
            (Some(typed), _) => Prep::Typed(typed),
            (None, Some(seen)) => Prep::Seen(seen.median()),
            (None, None) => {
                let why = "no car of yours is sold yet to say what one costs to put right: add --prep AMOUNT, such as \
                           --prep 250";
                return Err(Refusal::NoBid { why: why.to_owned() }.into());
            }
        };
        let auction = match (&self.auction, scale) {
            (Some(name), _) => match saved_scale(reader, name.as_ref())? {
                Some(scale) => scale,
                None => {
                    let known = near_scales(reader, name.as_ref())?;
                    return Err(lookup::name_unknown("auction's fee scale", name.as_ref(), known).into());
                }
            },
            (None, scale) => scale.unwrap_or_default(),
        };
        let holding = Programme::holding_in(&reader.programmes()?, Month::containing(context.today));
        let target = match (self.multiple, self.profit) {
            (_, Some(profit)) => BidTarget::Profit(profit),
            (multiple, None) => BidTarget::Multiple(multiple.map_or(holding.multiple, |multiple| multiple.0)),
        };
        let prospect = Prospect {
            sells_for: self.sells_for,
            expected_costs: prep.amount(),
            target,
            fees: AuctionFees {
                scale: auction,
                flat: self.fee.unwrap_or_default(),
                percent: self.fee_percent.unwrap_or_default(),
            },
            registration,
            on: context.today,
        };
        let bid = prospect.highest().map_err(|why| Refusal::NoBid { why: why.to_string() })?;
        let chance = seen.as_ref().and_then(|seen| {
            let pounds = u32::try_from(bid.at.price.get() / 100).ok()?;
            prospect.chance_of_target(pounds, seen.costs())
        });
        Ok(BidReport::new(context.today, &prospect, &bid, prep, seen.as_ref(), chance).into())
    }
}

/// What a car cost over and above its price, and its make.
fn costs_of(car: &Car, context: &Context, registration: &Registration) -> Option<(Option<String>, Pence)> {
    // A car that left without a sale was never put right for one.
    car.left_by(context.today).and_then(Left::sale)?;
    let figures = car_figures(car, context.today, registration);
    Some((car.vehicle.make.clone(), figures.stands_in - figures.purchase_price))
}

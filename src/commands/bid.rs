//! `bid`: the most to give, what it would make, and how sure that is.

use crate::cli::bid::BidArgs;
use crate::commands::auction::{near_scales, saved_scale};
use crate::commands::{Context, lookup, settings_of};
use crate::domain::book::facts::Car;
use crate::domain::book::fee_scale::FeeScale;
use crate::domain::book::stay::Left;
use crate::domain::days::month::Month;
use crate::domain::figures::car_figures::car_figures;
use crate::domain::figures::seen_costs::SeenCosts;
use crate::domain::law::registration::Registration;
use crate::domain::plan::bid::{AuctionFees, BidTarget, Prospect};
use crate::domain::plan::programme::Programme;
use crate::domain::refusal::Refusal;
use crate::domain::value::pence::Pence;
use crate::error::Error;
use crate::report::plan::bid::{BidReport, Prep};
use crate::store::Reader;

/// The most cars looked back on for what one costs.
const CARS_LOOKED_AT: u32 = 200;

pub fn run(args: &BidArgs, scale: Option<FeeScale>, reader: Reader<'_>, context: &Context) -> Result<BidReport, Error> {
    let registration = settings_of(reader)?.registration;
    let gone = reader.cars(&reader.latest_gone(context.today, CARS_LOOKED_AT)?, context.today)?;
    let make = args.make.as_ref().map(AsRef::as_ref);
    let seen = SeenCosts::of(gone.iter().filter_map(|car| costs_of(car, context, &registration)), make);
    let prep = match (args.prep, &seen) {
        (Some(typed), _) => Prep::Typed(typed),
        (None, Some(seen)) => Prep::Seen(seen.median()),
        (None, None) => {
            let why = "no car of yours is sold yet to say what one costs to put right: add --prep AMOUNT, such as \
                       --prep 250";
            return Err(Refusal::NoBid { why: why.to_owned() }.into());
        }
    };
    let auction = match (&args.auction, scale) {
        (Some(name), _) => match saved_scale(reader, name.as_ref())? {
            Some(scale) => scale,
            None => {
                let known = near_scales(reader, name.as_ref())?;
                return Err(lookup::name_unknown("auction's fee scale", name.as_ref(), known).into());
            }
        },
        (None, scale) => scale.unwrap_or_default(),
    };
    let holding = Programme::holding_in(&reader.programmes()?, Month::of(context.today));
    let target = match (args.multiple, args.profit) {
        (_, Some(profit)) => BidTarget::Profit(profit),
        (multiple, None) => BidTarget::Multiple(multiple.map_or(holding.multiple, |multiple| multiple.0)),
    };
    let prospect = Prospect {
        sells_for: args.sells_for,
        expected_costs: prep.amount(),
        target,
        fees: AuctionFees {
            scale: auction,
            flat: args.fee.unwrap_or_default(),
            percent: args.fee_percent.unwrap_or_default(),
        },
        registration,
        on: context.today,
    };
    let bid = prospect.highest().map_err(|why| Refusal::NoBid { why: why.to_string() })?;
    let chance = seen.as_ref().and_then(|seen| {
        let pounds = u32::try_from(bid.at.price.get() / 100).ok()?;
        prospect.chance_of_target(pounds, seen.costs())
    });
    Ok(BidReport::new(context.today, &prospect, &bid, prep, seen.as_ref(), chance))
}

/// What a car cost over and above its price, and its make.
fn costs_of(car: &Car, context: &Context, registration: &Registration) -> Option<(Option<String>, Pence)> {
    // A car that left without a sale was never put right for one.
    car.left_by(context.today).and_then(Left::sale)?;
    let figures = car_figures(car, context.today, registration);
    Some((car.vehicle.make.clone(), figures.stands_in - figures.purchase_price))
}

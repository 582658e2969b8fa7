//! How much to bid: the highest whole-pound hammer price at which a target still holds.
//!
//! Fees come in bands, and a band may charge less than the one below it, so the target can fail
//! at a price and hold again at a higher one. The answer is the highest price of all at which it
//! holds: it holds there and at no price above.

use std::fmt;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::domain::book::fee_scale::FeeScale;
use crate::domain::figures::stock_ratios::{multiple, multiple_against};
use crate::domain::law::registration::Registration;
use crate::domain::value::pence::Pence;
use crate::domain::value::percent::FeePercent;
use crate::domain::value::ratio::round2;

/// The dearest hammer price looked at, in pounds: the most that can be typed as an amount.
const DEAREST: u32 = 99_999_999;

/// What the car must make.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BidTarget {
    /// Selling price ÷ what it stands in at is to be this or more: 2 is doubled. More than 0; held
    /// exactly, never rounded first.
    Multiple(Decimal),
    /// Selling price less VAT less what it stands in at is to be this or more.
    Profit(Pence),
}

/// What the auction charges on top of the hammer price: all of these together.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AuctionFees {
    /// Its scale of buyer's fees, with VAT shown or without.
    pub scale: FeeScale,
    /// An amount that is the same at every price, as it stands, no VAT shown.
    pub flat: Pence,
    /// A percentage of the hammer price, as it stands, no VAT shown.
    pub percent: FeePercent,
}

/// A car that could be bought, and what is hoped of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Prospect {
    /// What it should sell for.
    pub sells_for: Pence,
    /// What is still to be spent on it, net of VAT reclaimed while registered.
    pub expected_costs: Pence,
    /// What it must make.
    pub target: BidTarget,
    /// What the auction charges.
    pub fees: AuctionFees,
    /// Registration for VAT.
    pub registration: Registration,
    /// The day of the bid, whose VAT rules stand for the later sale too.
    pub on: NaiveDate,
}

/// What comes of buying at a price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct AtPrice {
    /// The hammer price, whole pounds.
    pub price: Pence,
    /// All fees as paid, VAT included where shown.
    pub fees: Pence,
    /// The VAT in them that is reclaimed; none unless registered.
    pub vat_reclaimed: Pence,
    /// The purchase price the margin is reckoned from: hammer price and the fees that show no VAT.
    pub purchase_price: Pence,
    /// Hammer price, fees less VAT reclaimed, and expected costs.
    pub stands_in: Pence,
    /// VAT due on the sale, on the margin; none unless registered.
    pub vat_on_margin: Pence,
    /// Selling price less VAT on the margin less what it stands in at.
    pub profit: Pence,
    /// Selling price ÷ what it stands in at, to two decimals, never rounded up to the target. None when
    /// it stands in at 0 or less.
    pub multiple: Option<Decimal>,
    /// Whether the target holds.
    pub holds: bool,
}

/// The highest price at which the target holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HighestBid {
    /// What comes of buying at that price.
    pub at: AtPrice,
    /// What comes of a pound more, where the target fails.
    pub a_pound_more: AtPrice,
}

/// Why there is no highest price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoBid {
    /// The target holds at no price, not even if the car were given away. What comes of that.
    NotEvenFree(AtPrice),
    /// The target holds even at the dearest price that can be typed, so it sets no limit.
    AnyPrice,
}

/// One sentence without a full stop.
impl fmt::Display for NoBid {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotEvenFree(free) => {
                let (word, profit) =
                    if free.profit.is_negative() { ("lose", -free.profit) } else { ("make", free.profit) };
                let stands_in = free.stands_in;
                write!(
                    f,
                    "no bid keeps to the target: with nothing paid for the car it would still stand in at {stands_in} \
                     and {word} {profit}"
                )
            }
            Self::AnyPrice => f.write_str("the target asks too little to set a limit: any price keeps to it"),
        }
    }
}

impl std::error::Error for NoBid {}

/// On how many of the trader's own similar cars the costs would have kept to the target.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Chance {
    /// So many cars would have kept to it.
    pub kept: usize,
    /// Of so many, at least one.
    pub of: usize,
}

impl Chance {
    /// As a percentage, to two decimals half away from zero.
    pub fn percent(self) -> Decimal {
        round2(Decimal::from(self.kept) * Decimal::ONE_HUNDRED / Decimal::from(self.of.max(1)))
    }
}

impl Prospect {
    /// The highest whole-pound hammer price at which the target holds.
    ///
    /// Band by band of the fee scale, dearest first. Within a band a pound more always leaves less:
    /// no fee falls, so it stands in at a pound more at least, and the VAT saved on a smaller margin
    /// is half of that at the most. So in each band the target holds up to some price and fails
    /// above it, and halving finds that price.
    pub fn highest(&self) -> Result<HighestBid, NoBid> {
        match self.highest_pounds() {
            None => Err(NoBid::NotEvenFree(self.at(0))),
            Some(DEAREST..) => Err(NoBid::AnyPrice),
            Some(pounds) => Ok(HighestBid { at: self.at(pounds), a_pound_more: self.at(pounds + 1) }),
        }
    }

    /// What comes of buying at a hammer price of so many pounds.
    pub fn at(&self, pounds: u32) -> AtPrice {
        let price = Pence::new(i64::from(pounds) * 100);
        let fee = self.fees.scale.fee(price, self.on, &self.registration.rates);
        let no_vat_shown = self.fees.flat + self.fees.percent.of(price);
        // A fee that shows no VAT belongs to the purchase price and one that shows it does not:
        // Buying second-hand vehicles using a VAT margin scheme, GOV.UK; Second Hand Car Auctions,
        // Lawgistics, 21 March 2011.
        let purchase_price = price + no_vat_shown + if fee.vat.is_none() { fee.amount } else { Pence::ZERO };
        let vat_reclaimed = self.registration.counted(fee.vat.unwrap_or_default(), self.on);
        let fees = fee.amount + no_vat_shown;
        let stands_in = price + fees - vat_reclaimed + self.expected_costs;
        let vat_on_margin = self.registration.on_sale(purchase_price, self.sells_for, false, self.on);
        let profit = self.sells_for - vat_on_margin - stands_in;
        AtPrice {
            price,
            fees,
            vat_reclaimed,
            purchase_price,
            stands_in,
            vat_on_margin,
            profit,
            multiple: match self.target {
                BidTarget::Profit(_) => multiple(self.sells_for, stands_in),
                BidTarget::Multiple(times) => multiple_against(self.sells_for, stands_in, times),
            },
            holds: match self.target {
                BidTarget::Profit(least) => profit >= least,
                BidTarget::Multiple(times) => is_times(self.sells_for, stands_in, times),
            },
        }
    }

    /// On how many of the cars that cost so much (each net, as `expected_costs`) the target would
    /// have held at a hammer price of so many pounds. None without a car to go by.
    pub fn chance_of_target(&self, pounds: u32, costs_seen: &[Pence]) -> Option<Chance> {
        let mut trial = self.clone();
        let kept = costs_seen.iter().filter(|costs| {
            trial.expected_costs = **costs;
            trial.at(pounds).holds
        });
        let kept = kept.count();
        (!costs_seen.is_empty()).then_some(Chance { kept, of: costs_seen.len() })
    }

    fn highest_pounds(&self) -> Option<u32> {
        let mut last = DEAREST;
        for start in self.fees.scale.starts().rev() {
            let first = pounds_from(start);
            if first <= last {
                if self.at(first).holds {
                    return Some(self.last_that_holds(first, last));
                }
                // The band below ends a pound short of this one's first whole pound.
                last = first.checked_sub(1)?;
            }
        }
        None
    }

    /// The last price that holds from `first`, which does, to `last` in the same band.
    fn last_that_holds(&self, first: u32, last: u32) -> u32 {
        let (mut holds, mut open_until) = (first, last);
        while holds < open_until {
            let middle = holds + (open_until - holds).div_ceil(2);
            if self.at(middle).holds {
                holds = middle;
            } else {
                open_until = middle - 1;
            }
        }
        holds
    }
}

/// The first whole pound at or above an amount that is not negative.
fn pounds_from(amount: Pence) -> u32 {
    u32::try_from(amount.get().div_euclid(100) + i64::from(amount.get() % 100 > 0)).unwrap_or(u32::MAX)
}

/// Whether an amount is another so many times over or more, without dividing, so that nothing is
/// rounded. Exact for any multiple a person would type.
fn is_times(amount: Pence, other: Pence, times: Decimal) -> bool {
    match times.checked_mul(Decimal::from(other.get())) {
        Some(asked) => Decimal::from(amount.get()) >= asked,
        // Beyond what a decimal holds: far above any amount, or far below.
        None => other.is_negative() != times.is_sign_negative(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn pounds(pounds: i64) -> Pence {
        Pence::new(pounds * 100)
    }

    fn registered() -> Registration {
        Registration { from: Some(day("2026-01-01")), ..Registration::default() }
    }

    fn doubled(sells_for: i64, costs: i64, scale: &str) -> Prospect {
        Prospect {
            sells_for: pounds(sells_for),
            expected_costs: pounds(costs),
            target: BidTarget::Multiple(Decimal::TWO),
            fees: AuctionFees { scale: scale.parse().unwrap(), ..AuctionFees::default() },
            registration: Registration::default(),
            on: day("2026-11-21"),
        }
    }

    fn highest(prospect: &Prospect) -> i64 {
        prospect.highest().unwrap().at.price.get() / 100
    }

    #[test]
    fn everything_a_bid_comes_to() {
        // £1,995 to double: may stand in at £997.50, of which costs take £250 and the fee £156.
        let prospect = doubled(1_995, 250, "0=75 250=110 500=130 plus-vat");
        let HighestBid { at, a_pound_more } = prospect.highest().unwrap();
        let expected = AtPrice {
            price: pounds(591),
            fees: pounds(156),
            vat_reclaimed: Pence::ZERO,
            purchase_price: pounds(591),
            stands_in: pounds(997),
            vat_on_margin: Pence::ZERO,
            profit: pounds(998),
            multiple: Some(Decimal::new(200, 2)),
            holds: true,
        };
        assert_eq!(at, expected);
        assert_eq!((a_pound_more.price, a_pound_more.stands_in), (pounds(592), pounds(998)));
        // 1.999: never shown as the target that it falls short of.
        assert_eq!((a_pound_more.multiple, a_pound_more.holds), (Some(Decimal::new(199, 2)), false));
    }

    #[test]
    fn a_target_met_just_so_holds() {
        assert_eq!(highest(&doubled(2_000, 250, "0=100")), 650);
        let mut prospect = doubled(2_000, 250, "0=100");
        prospect.target = BidTarget::Profit(pounds(1_000));
        assert_eq!(highest(&prospect), 650);
        prospect.target = BidTarget::Profit(Pence::new(100_001));
        assert_eq!(highest(&prospect), 649);
        prospect.fees = AuctionFees { flat: pounds(50), percent: "10".parse().unwrap(), ..AuctionFees::default() };
        prospect.target = BidTarget::Profit(pounds(490));
        // 1.1 P + £50 + £250 ≤ £1,510
        assert_eq!(highest(&prospect), 1_100);
        assert_eq!(prospect.at(1_100).fees, pounds(160));
    }

    #[test]
    fn a_dearer_band_stops_the_bid_just_below_it() {
        // Up to £499 the fee is £50 and there is room for £549; from £500 it is £100.
        let HighestBid { at, a_pound_more } = doubled(1_198, 50, "0=50 500=100").highest().unwrap();
        assert_eq!((at.price, at.fees), (pounds(499), pounds(50)));
        assert_eq!((a_pound_more.price, a_pound_more.fees), (pounds(500), pounds(100)));
    }

    #[test]
    fn a_cheaper_band_is_found_above_prices_that_fail() {
        let prospect = doubled(1_400, 0, "0=400 500=150");
        assert!(prospect.at(300).holds && !prospect.at(400).holds && prospect.at(550).holds);
        assert_eq!(highest(&prospect), 550);
        // Even nothing fails here, yet a higher price holds.
        let prospect = doubled(1_400, 0, "0=900 500.50=150");
        assert!(!prospect.at(0).holds);
        assert_eq!(highest(&prospect), 550);
        // A band with no whole pound in it is passed over.
        assert_eq!(highest(&doubled(1_400, 0, "0=100 550.10=0 550.90=300")), 550);
    }

    #[test]
    fn no_bid_says_why() {
        let refused = doubled(1_000, 465, "0=85").highest();
        assert_eq!(
            refused.map_err(|reason| reason.to_string()),
            Err("no bid keeps to the target: with nothing paid for the car it would still stand in at £550.00 and \
                 make £450.00"
                .to_owned())
        );
        let mut prospect = doubled(1_000, 0, "0=0");
        for nothing_asked in [Decimal::ZERO, Decimal::NEGATIVE_ONE, Decimal::MIN] {
            prospect.target = BidTarget::Multiple(nothing_asked);
            assert_eq!(prospect.highest(), Err(NoBid::AnyPrice));
        }
        prospect.target = BidTarget::Multiple(Decimal::MAX);
        assert_eq!(highest(&prospect), 0);
        prospect.expected_costs = Pence::new(1);
        assert!(matches!(prospect.highest(), Err(NoBid::NotEvenFree(free)) if free.price.is_zero()));
    }

    #[test]
    fn while_registered_a_fee_that_shows_vat_costs_net_and_leaves_the_margin_alone() {
        let mut prospect = doubled(1_320, 100, "0=100 plus-vat");
        prospect.target = BidTarget::Profit(pounds(350));
        prospect.registration = registered();
        let at = prospect.at(660);
        assert_eq!((at.fees, at.vat_reclaimed, at.purchase_price), (pounds(120), pounds(20), pounds(660)));
        assert_eq!((at.stands_in, at.vat_on_margin, at.profit), (pounds(860), pounds(110), pounds(350)));
        assert_eq!(highest(&prospect), 660);

        // The same £120 without VAT shown is part of the purchase price: £20 less VAT on the margin.
        prospect.fees.scale = "0=120".parse().unwrap();
        let at = prospect.at(660);
        assert_eq!((at.fees, at.vat_reclaimed, at.purchase_price), (pounds(120), Pence::ZERO, pounds(780)));
        assert_eq!((at.stands_in, at.vat_on_margin, at.profit), (pounds(880), pounds(90), pounds(350)));

        prospect.registration = Registration::default();
        let at = prospect.at(660);
        assert_eq!((at.stands_in, at.vat_on_margin, at.profit), (pounds(880), Pence::ZERO, pounds(440)));
    }

    #[test]
    fn the_chance_counts_cars_whose_costs_kept_to_the_target() {
        let prospect = doubled(2_000, 250, "0=100");
        // At £650 there is room for £250 of costs.
        let seen = [pounds(0), pounds(250), Pence::new(25_001), pounds(860)];
        let chance = prospect.chance_of_target(650, &seen).unwrap();
        assert_eq!(chance, Chance { kept: 2, of: 4 });
        assert_eq!(chance.percent().to_string(), "50.00");
        assert_eq!(Chance { kept: 2, of: 3 }.percent().to_string(), "66.67");
        assert_eq!(prospect.chance_of_target(650, &[]), None);
    }

    #[test]
    fn the_limits_do_not_overflow() {
        let mut prospect = doubled(1_000, 0, "0=99,999,999.99+100% plus-vat");
        prospect.registration = registered();
        for (sells_for, costs) in [(i64::MAX, i64::MIN), (i64::MIN, i64::MAX), (i64::MAX, i64::MAX)] {
            prospect.sells_for = Pence::new(sells_for);
            prospect.expected_costs = Pence::new(costs);
            for target in [BidTarget::Profit(Pence::new(i64::MIN)), BidTarget::Multiple(Decimal::new(1, 28))] {
                prospect.target = target;
                let _ = prospect.highest();
            }
        }
        assert_eq!(pounds_from(Pence::new(i64::MAX)), u32::MAX);
        let found = [0, 1, 100, 101].map(|pence| pounds_from(Pence::new(pence)));
        assert_eq!(found, [0, 1, 1, 2]);
    }

    /// A prospect in plain whole numbers: pence, and hundredths of a per cent.
    #[derive(Clone, Debug)]
    struct Plain {
        sells_for: i64,
        costs: i64,
        target: Result<i64, i64>,
        bands: Vec<(i64, i64, i64)>,
        plus_vat: bool,
        flat: i64,
        percent: i64,
        registered: bool,
    }

    /// To the nearest whole number, halves up; neither may be negative.
    fn nearest(dividend: i64, divisor: i64) -> i64 {
        (2 * dividend + divisor) / (2 * divisor)
    }

    impl Plain {
        /// Worked in whole numbers only, apart from the code it checks. VAT at 20 %.
        fn holds(&self, pounds: i64) -> bool {
            let price = pounds * 100;
            let (_, amount, percent) = *self.bands.iter().rev().find(|(from, ..)| *from <= price).unwrap();
            let fee = amount + nearest(price * percent, 10_000);
            let other = self.flat + nearest(price * self.percent, 10_000);
            let fee_vat = if self.plus_vat { nearest(fee, 5) } else { 0 };
            let purchase_price = price + other + if self.plus_vat { 0 } else { fee };
            let costs_net = fee + if self.registered { 0 } else { fee_vat };
            let stands_in = price + other + costs_net + self.costs;
            let vat = if self.registered { nearest((self.sells_for - purchase_price).max(0), 6) } else { 0 };
            match self.target {
                Ok(hundredths) => self.sells_for * 100 >= hundredths * stands_in,
                Err(profit) => self.sells_for - vat - stands_in >= profit,
            }
        }

        fn prospect(&self) -> Prospect {
            let bands: Vec<String> = self
                .bands
                .iter()
                .map(|(from, amount, percent)| {
                    let (from, amount) = (Pence::new(*from), Pence::new(*amount));
                    format!("{}={}+{}%", from.plain(), amount.plain(), Decimal::new(*percent, 2))
                })
                .collect();
            let plus_vat = if self.plus_vat { " plus-vat" } else { "" };
            Prospect {
                sells_for: Pence::new(self.sells_for),
                expected_costs: Pence::new(self.costs),
                target: match self.target {
                    Ok(hundredths) => BidTarget::Multiple(Decimal::new(hundredths, 2)),
                    Err(profit) => BidTarget::Profit(Pence::new(profit)),
                },
                fees: AuctionFees {
                    scale: (bands.join(" ") + plus_vat).parse().unwrap(),
                    flat: Pence::new(self.flat),
                    percent: Decimal::new(self.percent, 2).to_string().parse().unwrap(),
                },
                registration: if self.registered { registered() } else { Registration::default() },
                on: day("2026-11-21"),
            }
        }
    }

    fn any_plain() -> impl Strategy<Value = Plain> {
        let band = (1..=60_000_i64, 0..=40_000_i64, 0..=2_000_i64, any::<bool>());
        let target = prop_oneof![(50..=400_i64).prop_map(Ok), (-50_000..=150_000_i64).prop_map(Err)];
        let deal = (0..=200_000_i64, 0..=80_000_i64, target);
        let fees = (prop::collection::vec(band, 1..7), any::<bool>(), 0..=10_000_i64, 0..=1_000_i64);
        (deal, fees, any::<bool>()).prop_map(
            |((sells_for, costs, target), (bands, plus_vat, flat, percent), registered)| {
                let mut from = 0;
                let bands = bands
                    .into_iter()
                    .enumerate()
                    .map(|(index, (step, amount, percent, whole_pounds))| {
                        from += if index == 0 { 0 } else { step };
                        if whole_pounds {
                            from = (from + 99) / 100 * 100;
                        }
                        (from, amount, percent)
                    })
                    .collect();
                Plain { sells_for, costs, target, bands, plus_vat, flat, percent, registered }
            },
        )
    }

    /// No price above this keeps to any target drawn: £2,000 at half, or £500 lost.
    const NONE_ABOVE: i64 = 4_001;

    proptest! {
        #[test]
        fn the_price_found_holds_and_none_above_it_does(plain in any_plain()) {
            let by_hand = (0..=NONE_ABOVE).rev().find(|pounds| plain.holds(*pounds));
            let prospect = plain.prospect();
            match prospect.highest() {
                Ok(HighestBid { at, a_pound_more }) => {
                    prop_assert!(at.holds && !a_pound_more.holds);
                    prop_assert_eq!(a_pound_more.price, at.price + pounds(1));
                    prop_assert_eq!(Some(at.price.get()), by_hand.map(|pounds| pounds * 100));
                }
                Err(NoBid::NotEvenFree(free)) => {
                    prop_assert!(!free.holds && free.price.is_zero());
                    prop_assert_eq!(by_hand, None);
                }
                Err(NoBid::AnyPrice) => prop_assert!(false, "every target drawn sets a limit"),
            }
        }

        #[test]
        fn the_figures_of_a_price_add_up(plain in any_plain(), pounds in 0..=4_000_u32) {
            let at = plain.prospect().at(pounds);
            prop_assert_eq!(at.stands_in, at.price + at.fees - at.vat_reclaimed + Pence::new(plain.costs));
            prop_assert_eq!(at.profit, Pence::new(plain.sells_for) - at.vat_on_margin - at.stands_in);
            prop_assert!(at.purchase_price >= at.price && at.purchase_price <= at.price + at.fees);
            prop_assert_eq!(at.holds, plain.holds(i64::from(pounds)));
        }
    }
}

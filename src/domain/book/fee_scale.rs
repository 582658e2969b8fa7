//! An auction's scale of buyer's fees: bands of the hammer price, each with an amount, a
//! percentage or both.
//!
//! Written as one saved value or a file with a band a line: `0=75 250=110 1,000=55+6% plus-vat`.
//! Bands stand apart by white space, and a comma or semicolon may follow one; a comma inside a
//! word belongs to its amount, so `1,000=165` is one band. A `#` begins a remark to the end of
//! the line. The first band begins at 0: what a low price pays is said, never guessed, and `0=0`
//! says nothing is paid.

use crate::domain::value::percent::FeePercent;
use std::fmt;
use std::str::FromStr;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::domain::law::rate_table::Rates;
use crate::domain::value::pence::Pence;
use crate::domain::value::value_error::ValueError;

/// The word for a scale that VAT is added to.
const PLUS_VAT: &str = "plus-vat";
const SCALE: &str = "fee scale";
const BAND: &str = "fee band";
const ACCEPTED_BAND: &str = "write the price it begins at, =, and the fee, such as 500=140, 500=5% or 500=25+5%";

/// What an auction charges the buyer on top of the hammer price.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Fee {
    /// What is paid, VAT included where it is shown.
    pub amount: Pence,
    /// The VAT in it when the invoice shows VAT. None for a fee that shows none: it counts as part
    /// of the purchase price under the margin scheme (Buying second-hand vehicles using a VAT
    /// margin scheme, GOV.UK).
    pub vat: Option<Pence>,
}

/// A fee from a hammer price on, until the next band begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Band {
    from: Pence,
    amount: Pence,
    percent: FeePercent,
}

/// As `500=130`, `500=6%` or `500=55+6%`, with whole pounds where there are no pence.
impl fmt::Display for Band {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}=", short(self.from))?;
        match (self.amount.is_zero(), self.percent.percent().is_zero()) {
            (_, true) => f.write_str(&short(self.amount)),
            (true, false) => write!(f, "{}", self.percent),
            (false, false) => write!(f, "{}+{}", short(self.amount), self.percent),
        }
    }
}

fn short(amount: Pence) -> String {
    let plain = amount.plain();
    plain.strip_suffix(".00").map_or_else(|| plain.clone(), str::to_owned)
}

impl FromStr for Band {
    type Err = ValueError;

    fn from_str(word: &str) -> Result<Self, ValueError> {
        let (from, fee) = word.split_once('=').ok_or_else(|| ValueError::new(BAND, word, ACCEPTED_BAND))?;
        if from.is_empty() || fee.is_empty() {
            return Err(ValueError::new(BAND, word, ACCEPTED_BAND));
        }
        if fee.contains('=') {
            let verdict = "has two = in it: put a space between bands, as in 0=75 250=110";
            return Err(ValueError::refused(BAND, word, verdict));
        }
        let (mut amount, mut percent) = (None, None);
        for part in fee.split('+') {
            let said_before = if part.eq_ignore_ascii_case("vat") {
                let verdict = "has VAT in it: write plus-vat once, after the bands, as in 0=75 250=110 plus-vat";
                return Err(ValueError::refused(BAND, word, verdict));
            } else if part.ends_with('%') {
                percent.replace(part.parse()?).is_some()
            } else {
                amount.replace(part.parse()?).is_some()
            };
            if said_before {
                let verdict = "adds two of a kind: write one amount, one percentage or one of each, such as 500=25+5%";
                return Err(ValueError::refused(BAND, word, verdict));
            }
        }
        Ok(Self { from: from.parse()?, amount: amount.unwrap_or_default(), percent: percent.unwrap_or_default() })
    }
}

/// The bands of an auction's buyer's fee, and whether VAT comes on top. By default nothing is
/// charged.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FeeScale {
    /// Rising, the first from 0.
    bands: Vec<Band>,
    plus_vat: bool,
}

impl Default for FeeScale {
    fn default() -> Self {
        let free = Band { from: Pence::ZERO, amount: Pence::ZERO, percent: FeePercent::default() };
        Self { bands: vec![free], plus_vat: false }
    }
}

impl FeeScale {
    /// The fee for a car knocked down at `hammer` on a day. A price below nothing has no fee.
    ///
    /// A percentage is rounded to the penny, half away from zero, before it is added; so is the
    /// VAT, once, on the whole fee at the standard rate of the day. Before the first rate known
    /// (1 April 1991) that VAT is nil.
    pub fn fee(&self, hammer: Pence, on: NaiveDate, rates: &Rates) -> Fee {
        let band = self.bands.iter().rev().find(|band| band.from <= hammer);
        let net = band.map_or(Pence::ZERO, |band| band.amount + band.percent.of(hammer));
        if !self.plus_vat {
            return Fee { amount: net, vat: None };
        }
        let rate = rates.standard_vat_rate(on).unwrap_or_default();
        let vat = Pence::from_pounds_rounded(net.to_pounds() * rate / Decimal::ONE_HUNDRED);
        Fee { amount: net + vat, vat: Some(vat) }
    }

    /// The hammer price each band begins at, rising from 0. Within a band a higher price never
    /// pays less.
    pub fn starts(&self) -> impl DoubleEndedIterator<Item = Pence> {
        self.bands.iter().map(|band| band.from)
    }

    /// Whether VAT comes on top and is shown.
    pub fn is_plus_vat(&self) -> bool {
        self.plus_vat
    }
}

/// On one line, as it is saved; it reads back as itself.
impl fmt::Display for FeeScale {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, band) in self.bands.iter().enumerate() {
            let gap = if index == 0 { "" } else { " " };
            write!(f, "{gap}{band}")?;
        }
        if self.plus_vat { write!(f, " {PLUS_VAT}") } else { Ok(()) }
    }
}

impl FromStr for FeeScale {
    type Err = ValueError;

    fn from_str(typed: &str) -> Result<Self, ValueError> {
        let mut scale = Self { bands: Vec::new(), plus_vat: false };
        for word in words(typed) {
            if word.eq_ignore_ascii_case(PLUS_VAT) {
                scale.plus_vat = true;
                continue;
            }
            let band: Band = word.parse()?;
            if scale.bands.last().is_some_and(|last| band.from <= last.from) {
                let verdict = "does not begin above the band before it: write bands from the lowest price up";
                return Err(ValueError::refused(BAND, word, verdict));
            }
            scale.bands.push(band);
        }
        match scale.bands.first() {
            None => Err(ValueError::new(SCALE, typed, "write bands of price=fee, such as 0=75 250=110 1,000=6%")),
            Some(first) if !first.from.is_zero() => {
                let verdict = "leaves out the prices below it: begin at 0, as in 0=90, or 0=0 where nothing is paid";
                Err(ValueError::refused(BAND, first.to_string(), verdict))
            }
            Some(_) => Ok(scale),
        }
    }
}

/// The words of a scale without remarks and the commas after them. Spaces around `=` and `+` and
/// before `%`, as people write them, do not part a word.
fn words(typed: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let lines = typed.lines().map(|line| line.split('#').next().unwrap_or_default());
    for piece in lines.flat_map(str::split_whitespace) {
        match words.last_mut() {
            Some(word) if word.ends_with(['=', '+']) || piece.starts_with(['=', '+', '%']) => word.push_str(piece),
            _ => words.push(piece.to_owned()),
        }
    }
    words.iter().map(|word| word.trim_end_matches([',', ';']).to_owned()).filter(|word| !word.is_empty()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn scale(text: &str) -> FeeScale {
        text.parse().unwrap_or_else(|error| panic!("{text}: {error}"))
    }

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    fn paid(scale: &FeeScale, hammer: i64) -> i64 {
        scale.fee(Pence::new(hammer), day("2026-11-21"), &Rates::default()).amount.get()
    }

    #[test]
    fn a_band_holds_from_its_own_price_to_just_below_the_next() {
        let scale = scale("0=90 200=115 1,000=£175.50 3,000=25+7.5%");
        for (hammer, fee) in [
            (-1, 0),
            (0, 9_000),
            (19_999, 9_000),
            (20_000, 11_500),
            (99_999, 11_500),
            (100_000, 17_550),
            (299_999, 17_550),
            (300_000, 25_000),
            (400_000, 32_500),
        ] {
            assert_eq!(paid(&scale, hammer), fee, "{hammer}");
        }
        assert_eq!(scale.starts().map(Pence::get).collect::<Vec<_>>(), [0, 20_000, 100_000, 300_000]);
    }

    #[test]
    fn half_a_penny_goes_away_from_zero() {
        // 5 % of 9p is 0.45p, of 10p just half, of 30p 1.5p.
        for (hammer, fee) in [(9, 0), (10, 1), (29, 1), (30, 2)] {
            assert_eq!(paid(&scale("0=5%"), hammer), fee, "{hammer}");
        }
        assert_eq!("17.25".parse::<FeePercent>().unwrap().of(Pence::new(200)), Pence::new(35));
    }

    #[test]
    fn vat_comes_on_top_at_the_rate_of_the_day_and_is_shown() {
        let scale = scale("0=100.02 plus-vat");
        assert!(scale.is_plus_vat());
        for (on, vat) in [("2008-12-01", 1_500), ("2010-06-01", 1_750), ("2026-11-21", 2_000), ("1990-01-01", 0)] {
            let fee = scale.fee(Pence::ZERO, day(on), &Rates::default());
            assert_eq!(fee, Fee { amount: Pence::new(10_002 + vat), vat: Some(Pence::new(vat)) }, "{on}");
        }
        // A fifth of £0.13 is 2.6p, of £0.12 2.4p; half a penny, as at 17.5 % on 20p, rounds up.
        for (text, on, vat) in [
            ("0=0.13 plus-vat", "2026-11-21", Some(3)),
            ("0=0.12 plus-vat", "2026-11-21", Some(2)),
            ("0=0.20 plus-vat", "2010-06-01", Some(4)),
            ("0=0.20", "2010-06-01", None),
        ] {
            let fee = text.parse::<FeeScale>().unwrap().fee(Pence::ZERO, day(on), &Rates::default());
            assert_eq!(fee.vat, vat.map(Pence::new), "{text} {on}");
        }
    }

    #[test]
    fn the_ways_a_scale_may_be_written() {
        let saved = "0=90 200=115 1000=25+5% plus-vat";
        for typed in [
            saved,
            "0=90, 200=115, 1,000=25+5%, plus-vat",
            "0=£90.00; 200=£115; £1,000=5%+£25; PLUS-VAT",
            "plus-vat 0=90 200=115 1000=25.00+5.00%",
            "# trade, from January\n0=90\n200 = 115 # was 110\r\n\n1,000 = 25 + 5 %\nplus-vat\n",
        ] {
            assert_eq!(scale(typed).to_string(), saved, "{typed:?}");
        }
        assert_eq!(scale("0=0 1000.50=7.50%").to_string(), "0=0 1000.50=7.5%");
        assert_eq!(scale("0=0"), FeeScale::default());
        assert_eq!(scale("0=0+0%").to_string(), "0=0");
    }

    #[test]
    fn refused_scales_name_the_reason() {
        for (typed, reason) in [
            ("", "fee scale '' is not understood: write bands of price=fee, such as 0=75 250=110"),
            ("# nothing yet", "fee scale '# nothing yet' is not understood"),
            ("plus-vat", "fee scale 'plus-vat' is not understood"),
            ("90", "fee band '90' is not understood: write the price it begins at, =, and the fee, such as 500=140"),
            ("0=", "fee band '0=' is not understood"),
            ("=90", "fee band '=90' is not understood"),
            ("0=90,200=115", "fee band '0=90,200=115' has two = in it: put a space between bands"),
            ("0=90 0=115", "fee band '0=115' does not begin above the band before it"),
            ("0=90 500=115 200=100", "fee band '200=100' does not begin above"),
            ("200=115", "fee band '200=115' leaves out the prices below it: begin at 0"),
            ("0=90+20", "fee band '0=90+20' adds two of a kind"),
            ("0=5%+5%", "fee band '0=5%+5%' adds two of a kind"),
            ("0=90+vat", "fee band '0=90+vat' has VAT in it: write plus-vat once"),
            ("0=90 + VAT", "fee band '0=90+VAT' has VAT in it"),
            ("0=90+", "amount '' is not understood"),
            ("0=-5", "amount '-5' has a sign"),
            ("0=90 12,50=100", "amount '12,50' has a comma in an odd place"),
            ("0=101%", "percentage '101%' is not understood: write 0 to 100 with at most two decimals, such as 7.5"),
            ("0=1.234%", "percentage '1.234%' is not understood"),
            ("0=%", "percentage '%' is not understood"),
            ("0=-5%", "percentage '-5%' is not understood"),
        ] {
            let refused = typed.parse::<FeeScale>().map_err(|error| error.to_string());
            assert!(refused.as_ref().is_err_and(|words| words.starts_with(reason)), "{typed:?} gave {refused:?}");
        }
    }

    #[test]
    fn the_greatest_prices_do_not_overflow() {
        let scale = scale("0=99,999,999.99+100% plus-vat");
        assert_eq!(scale.fee(Pence::new(i64::MAX), day("2026-11-21"), &Rates::default()).amount, Pence::new(i64::MAX));
        assert_eq!(scale.fee(Pence::new(i64::MIN), day("2026-11-21"), &Rates::default()).amount, Pence::ZERO);
    }

    fn any_scale() -> impl Strategy<Value = FeeScale> {
        let band = (1..=200_000_i64, 0..=9_999_999_999_i64, 0..=10_000_i64, any::<bool>(), any::<bool>());
        (prop::collection::vec(band, 1..8), any::<bool>()).prop_map(|(bands, plus_vat)| {
            let mut from = 0;
            let bands = bands
                .into_iter()
                .enumerate()
                .map(|(index, (step, amount, hundredths, has_amount, has_percent))| {
                    from += if index == 0 { 0 } else { step };
                    let amount = Pence::new(if has_amount { amount } else { 0 });
                    let percent = if has_percent { Decimal::new(hundredths, 2).normalize() } else { Decimal::ZERO };
                    Band { from: Pence::new(from), amount, percent: percent.to_string().parse().unwrap() }
                })
                .collect();
            FeeScale { bands, plus_vat }
        })
    }

    /// Words made of the pieces of a scale, so that the parser is led far in.
    fn near_miss() -> impl Strategy<Value = String> {
        let pieces = vec![
            "0",
            "200",
            "1,000",
            "£",
            "=",
            "+",
            "%",
            ",",
            ";",
            " ",
            "\n",
            "#",
            "plus-vat",
            "5%",
            "0=90 ",
            ".5",
            "é",
            "\u{1b}",
            "-",
            "9999999999",
        ];
        prop::collection::vec(prop::sample::select(pieces), 0..12).prop_map(|pieces| pieces.concat())
    }

    proptest! {
        #[test]
        fn a_scale_printed_reads_back(scale in any_scale()) {
            prop_assert_eq!(scale.to_string().parse::<FeeScale>(), Ok(scale.clone()));
            let a_band_a_line = scale.to_string().replace(' ', ",\n");
            prop_assert_eq!(a_band_a_line.parse::<FeeScale>(), Ok(scale));
        }

        #[test]
        fn no_words_make_it_panic(typed in prop_oneof![any::<String>(), near_miss(), "[0-9=+%, .£]{0,24}"]) {
            if let Ok(scale) = typed.parse::<FeeScale>() {
                prop_assert_eq!(scale.to_string().parse::<FeeScale>(), Ok(scale));
            }
            let _ = typed.parse::<FeePercent>();
        }

        #[test]
        fn a_band_never_charges_less_for_more(scale in any_scale(), hammer in 0..=2_000_000_i64, more in 0..=100_i64) {
            let fee = |hammer| scale.fee(Pence::new(hammer), day("2026-11-21"), &Rates::default());
            let band = |hammer| scale.starts().filter(|start| start.get() <= hammer).count();
            if band(hammer) == band(hammer + more) {
                prop_assert!(fee(hammer).amount <= fee(hammer + more).amount);
            }
            prop_assert_eq!(fee(hammer).vat.is_some(), scale.is_plus_vat());
        }
    }
}

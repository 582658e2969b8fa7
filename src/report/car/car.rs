//! `car`: everything about one car, each line behind what it stands in at, what selling it made.

use crate::domain::book::car_checks::ItemStanding;
use crate::domain::book::claims::{owed_by_buyer, owed_to_seller};
use crate::domain::book::dated_facts::MotTest;
use crate::domain::book::facts::{Car, Offer, Showing};
use crate::domain::figures::car_figures::{CarFigures, SaleFigures, sale_by};
use crate::domain::figures::offers::WouldMake;
use crate::domain::figures::yard::CarOnDay;
use crate::domain::value::hours::Hours;
use crate::report::car::car_deals::{Deals, ReceiptLine};
use crate::report::car::car_facts::CarFacts;
use crate::report::car::car_lines::CarLine;
use crate::report::cell::{IsoDay, MoneyText, TwoDecimals};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// One car on a day.
#[derive(Clone, Debug, Serialize)]
pub struct CarReport {
    #[serde(flatten)]
    pub(crate) stamp: Stamp,
    #[serde(flatten)]
    pub(crate) facts: CarFacts,
    pub(crate) status: &'static str,
    pub(crate) lines: Vec<CarLine>,
    // Machines read it from the lines that are part of nothing yet.
    #[serde(skip)]
    pub(crate) paid_ahead: MoneyText,
    #[serde(flatten)]
    pub(crate) made: Made,
    pub(crate) hours: TwoDecimals,
    pub(crate) profit_per_hour: Option<MoneyText>,
    #[serde(flatten)]
    pub(crate) deals: Deals,
    pub(crate) mot_tests: Vec<Test>,
    pub(crate) checks: Vec<Check>,
    pub(crate) notes: Vec<Note>,
    pub(crate) owed_to_seller: MoneyText,
    pub(crate) owed_by_buyer: MoneyText,
    #[serde(flatten)]
    pub(crate) vehicle: VehicleFacts,
}

/// What selling it made; nothing of it is known while it is unsold.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Made {
    pub(crate) sold_on: Option<IsoDay>,
    pub(crate) sold_to: Option<String>,
    pub(crate) selling_price: Option<MoneyText>,
    pub(crate) vat_on_margin: Option<MoneyText>,
    pub(crate) vat_on_sale: Option<MoneyText>,
    pub(crate) profit: Option<MoneyText>,
    pub(crate) after_sale_costs: Option<MoneyText>,
    pub(crate) profit_to_date: Option<MoneyText>,
    pub(crate) return_pct: Option<TwoDecimals>,
    pub(crate) multiple: Option<TwoDecimals>,
    pub(crate) profit_per_day: Option<MoneyText>,
    pub(crate) profit_per_100_per_30_days: Option<MoneyText>,
    pub(crate) annual_return_pct: Option<TwoDecimals>,
    pub(crate) annual_return_reason: Option<String>,
    pub(crate) profit_at_usual_prices: Option<MoneyText>,
}

/// An MOT test.
#[derive(Clone, Debug, Serialize)]
pub struct Test {
    pub(crate) on: IsoDay,
    pub(crate) result: &'static str,
    pub(crate) until: Option<IsoDay>,
    pub(crate) miles: Option<u32>,
    pub(crate) defects: Vec<Found>,
}

/// A defect a test found.
#[derive(Clone, Debug, Serialize)]
pub struct Found {
    pub(crate) level: &'static str,
    pub(crate) text: String,
}

/// How an item of the pre-sale list stands.
#[derive(Clone, Debug, Serialize)]
pub struct Check {
    pub(crate) item: &'static str,
    pub(crate) state: &'static str,
    // For people.
    #[serde(skip)]
    pub(crate) state_in_words: String,
    pub(crate) on: Option<IsoDay>,
    pub(crate) note: Option<String>,
}

/// What is kept of a car beside its money.
#[derive(Clone, Debug, Default)]
pub struct Kept {
    /// MOT tests, oldest first.
    pub tests: Vec<MotTest>,
    /// The pre-sale list, whole.
    pub checks: Vec<ItemStanding>,
    /// Notes and their days, oldest first.
    pub notes: Vec<(NaiveDate, String)>,
    /// Offers, oldest first, with what each would make.
    pub offers: Vec<(Offer, WouldMake)>,
    /// Photos and PDFs of its entries.
    pub receipts: Vec<ReceiptLine>,
}

/// A note on the car.
#[derive(Clone, Debug, Serialize)]
pub struct Note {
    pub(crate) on: IsoDay,
    pub(crate) text: String,
}

/// What identifies the vehicle and where it came from.
#[derive(Clone, Debug, Serialize)]
pub struct VehicleFacts {
    pub(crate) kind: &'static str,
    pub(crate) mark_at_purchase: Option<String>,
    pub(crate) vin: Option<String>,
    pub(crate) fuel: Option<String>,
    pub(crate) first_registered: Option<IsoDay>,
    pub(crate) keys: Option<u32>,
    pub(crate) bought_from: Option<String>,
    pub(crate) via: &'static str,
    pub(crate) mileage_on: Option<IsoDay>,
}

impl CarReport {
    /// Lays out one car. `figures` are as of `as_of`; what is kept is dated by then.
    pub fn new(
        as_of: NaiveDate,
        car: &Car,
        figures: &CarFigures,
        showing: &Showing,
        on_day: CarOnDay,
        kept: Kept,
    ) -> Self {
        let buyer = sale_by(car, as_of).and_then(|sale| sale.buyer.clone());
        let sold = figures.sold.as_ref();
        Self {
            stamp: Stamp::new("car", as_of),
            facts: CarFacts::new(car, figures, showing, on_day),
            status: match (sold, figures.disposed) {
                (Some(_), _) => "sold",
                (None, Some(disposed)) => disposed.how.word(),
                (None, None) => "in-stock",
            },
            lines: CarLine::all(car, figures),
            paid_ahead: MoneyText(figures.paid_ahead),
            made: sold.map(|sold| Made::new(sold, buyer)).unwrap_or_default(),
            hours: TwoDecimals(
                Hours::from_minutes(u32::try_from(figures.own_minutes).unwrap_or(u32::MAX)).to_decimal(),
            ),
            profit_per_hour: sold.and_then(|sold| sold.profit_per_hour).map(MoneyText),
            deals: Deals::new(as_of, car, figures, showing, kept.offers, kept.receipts),
            mot_tests: kept.tests.into_iter().map(Test::from).collect(),
            checks: kept.checks.into_iter().map(Check::from).collect(),
            notes: kept.notes.into_iter().map(|(on, text)| Note { on: IsoDay(on), text }).collect(),
            owed_to_seller: MoneyText(owed_to_seller(car, as_of)),
            owed_by_buyer: MoneyText(owed_by_buyer(car, as_of)),
            vehicle: VehicleFacts::new(car, showing),
        }
    }
}

impl From<MotTest> for Test {
    fn from(test: MotTest) -> Self {
        Self {
            on: IsoDay(test.on),
            result: if test.passed { "pass" } else { "fail" },
            until: test.until.map(IsoDay),
            miles: test.miles,
            defects: test
                .defects
                .into_iter()
                .map(|defect| Found { level: defect.level.word(), text: defect.text })
                .collect(),
        }
    }
}

impl From<ItemStanding> for Check {
    fn from(standing: ItemStanding) -> Self {
        let ItemStanding { item, state, on, note } = standing;
        Self { item: item.word, state: state.word(), state_in_words: state.in_words(), on: on.map(IsoDay), note }
    }
}

impl Made {
    fn new(sold: &SaleFigures, buyer: Option<String>) -> Self {
        Self {
            sold_on: Some(IsoDay(sold.sold_on)),
            sold_to: buyer,
            selling_price: Some(MoneyText(sold.selling_price)),
            vat_on_margin: Some(MoneyText(sold.vat_on_margin)),
            vat_on_sale: Some(MoneyText(sold.vat_on_sale)),
            profit: Some(MoneyText(sold.profit)),
            after_sale_costs: Some(MoneyText(sold.after_sale_costs)),
            profit_to_date: Some(MoneyText(sold.profit_to_date())),
            return_pct: sold.return_pct.map(TwoDecimals),
            multiple: sold.multiple.map(TwoDecimals),
            profit_per_day: Some(MoneyText(sold.profit_per_day)),
            profit_per_100_per_30_days: sold.profit_per_100_per_30_days.map(MoneyText),
            annual_return_pct: sold.annual_return.ok().map(TwoDecimals),
            annual_return_reason: sold.annual_return.err().map(|reason| reason.to_string()),
            profit_at_usual_prices: Some(MoneyText(sold.profit_at_usual_prices)),
        }
    }
}

impl VehicleFacts {
    fn new(car: &Car, showing: &Showing) -> Self {
        let vehicle = &car.vehicle;
        Self {
            kind: vehicle.kind.word(),
            mark_at_purchase: car.mark_at_purchase.as_ref().map(ToString::to_string),
            vin: vehicle.vin.as_ref().map(ToString::to_string),
            fuel: vehicle.fuel.clone(),
            first_registered: vehicle.first_registered.map(IsoDay),
            keys: car.keys,
            bought_from: car.seller.clone(),
            via: car.via.word(),
            mileage_on: showing.mileage.map(|(on, _)| IsoDay(on)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::dated_facts::TaxStatus;
    use crate::domain::book::facts::Facts;
    use crate::domain::book::settings::Settings;
    use crate::domain::figures::car_figures::car_figures;
    use crate::domain::value::pence::Pence;
    use crate::report::fixture::{assert_keys, car, day, november, plain, records, showing};
    use rust_decimal::Decimal;
    use serde_json::{Value, json};

    fn report(facts: &Facts, stock_no: u32, as_of: &str) -> CarReport {
        let (car, as_of) = (car(facts, stock_no), day(as_of));
        let figures = car_figures(car, as_of, &facts.registration);
        let showing = showing().remove(&car.stock_no).unwrap_or_default();
        let on_day = CarOnDay::from_figures(car, &figures, &showing, TaxStatus::Untaxed, &Settings::default(), as_of);
        CarReport::new(
            as_of,
            car,
            &figures,
            &showing,
            on_day,
            Kept { notes: vec![(day("2026-10-02"), "clutch bites high".into())], ..Kept::default() },
        )
    }

    const KEYS: &str = "report version as_of \
        stock_no mark description bought_on days_in_stock purchase_price costs income stands_in asking_price \
        lowest_price mot_until mot_days_left tax_until tax_status deposit_held flags \
        status lines sold_on selling_price vat_on_margin vat_on_sale profit profit_to_date return_pct multiple \
        profit_per_day profit_per_100_per_30_days annual_return_pct profit_at_usual_prices hours profit_per_hour \
        offers mot_tests checks";
    const MORE: &str = "sales_reversed deposit_by hold_until refund_owed written_off left_on disposal_value \
        disposal_received disposal_loss disposed_to certificate hammer_price buyers_fee receipts mileage sold_to after_sale_costs annual_return_reason notes owed_to_seller owed_by_buyer \
        kind mark_at_purchase vin fuel first_registered keys bought_from via mileage_on";

    #[test]
    fn the_keys_are_the_promised_ones_sold_or_not() {
        for stock_no in [1, 2, 3] {
            let report = report(&november(), stock_no, "2026-11-25");
            assert_keys(&report, "", &format!("{KEYS} {MORE}"));
            assert_keys(
                &report,
                "/lines/0",
                "on entry direction heading amount usual_price party note vat net part_of",
            );
        }
    }

    #[test]
    fn a_sold_car_says_what_it_made() {
        let report = report(&november(), 1, "2026-11-25");
        let json = serde_json::to_value(&report).unwrap();
        for (key, value) in [
            ("status", json!("sold")),
            ("stands_in", json!("644.85")),
            ("profit", json!("540.15")),
            ("profit_to_date", json!("505.15")),
            ("return_pct", json!(83.76)),
            ("hours", json!(4.5)),
            ("profit_per_hour", json!("120.03")),
            ("profit_at_usual_prices", json!("480.15")),
            ("days_in_stock", json!(33)),
            ("offers", json!([])),
            ("flags", json!([])),
        ] {
            assert_eq!(json[key], value, "{key}");
        }
        let shown = plain(&report.document());
        assert!(
            shown.starts_with(
                "1 KX42 RTO, Brindle Harrow 2012, blue: sold 3 Nov 2026 for £1,185.00, making £540.15 (83.76 %) in 33 days.\n"
            ),
            "{shown}"
        );
        assert!(
            shown.contains("\nSince the sale: -35.00\n") && shown.contains("\nProfit to date: 505.15\n"),
            "{shown}"
        );
    }

    #[test]
    fn an_unsold_car_has_no_profit_and_no_table_of_it() {
        let report = report(&november(), 2, "2026-11-25");
        let json = serde_json::to_value(&report).unwrap();
        for key in ["sold_on", "profit", "profit_to_date", "return_pct", "annual_return_pct", "profit_at_usual_prices"]
        {
            assert_eq!(json[key], Value::Null, "{key}");
        }
        assert_eq!(json["owed_to_seller"], "100.00");
        let shown = plain(&report.document());
        assert!(
            shown.starts_with("2 ST99 WEM, Pell Osprey 2009: 20 days in stock, stands you in at £720.00.\n"),
            "{shown}"
        );
        assert!(!shown.contains("Profit"), "{shown}");
    }

    #[test]
    fn the_lines_shown_lead_to_what_it_stands_in_at() {
        let report = report(&november(), 1, "2026-11-25");
        let shown: Vec<String> =
            plain(&report.document()).lines().filter(|line| line.contains(" | ")).map(str::to_owned).collect();
        assert_eq!(
            shown,
            [
                "Date | Entry | What | To or from | Stands in | After sale | Usual | Note",
                "2026-09-29 | 1 | inspection (paid ahead) |  | 25.00 |  |  | ",
                "2026-10-01 | 2 | purchase | Dora Quill | 485.00 |  |  | ",
                "2026-10-03 | 3 | mot | Hob Lane Garage | 54.85 |  |  | ",
                "2026-10-05 | 4 | parts | Hob Lane Spares | 120.00 |  | 180.00 | exhaust, fitted by a friend",
                "2026-10-06 | 5 | parts-sold | Ned Tarrow | -40.00 |  |  | ",
                "2026-11-10 | 8 | labour |  |  | 35.00 |  | ",
                " |  | Total |  | 644.85 | 35.00 |  | ",
            ]
        );
    }

    #[test]
    fn vat_reclaimed_is_shown_between_what_was_paid_and_what_counts() {
        let mut facts = november();
        facts.registration.from = Some(day("2026-01-01"));
        facts.cars[1].lines[0].vat = Pence::new(1_333);
        let shown = plain(&report(&facts, 2, "2026-11-25").document());
        assert!(shown.contains("Date | Entry | What | To or from | Paid | VAT | Stands in\n"), "{shown}");
        assert!(shown.contains("| tyres |  | 80.00 | 13.33 | 66.67\n"), "{shown}");
        facts.cars[0].lines[3].vat = Pence::new(667);
        let shown = plain(&report(&facts, 1, "2026-11-25").document());
        assert!(shown.contains("| parts-sold | Ned Tarrow | -40.00 | 6.67 | -33.33 |"), "{shown}");
    }

    #[test]
    fn machines_read_amounts_as_paid_with_their_direction() {
        let rows = records(&report(&november(), 1, "2026-11-25").document(), Some("lines"));
        assert_eq!(rows[0], "on,entry,direction,heading,amount,vat,net,part_of,usual_price,party,note");
        assert_eq!(rows[5], "2026-10-06,5,receipt,parts-sold,40.00,0.00,-40.00,stands-in,,Ned Tarrow,");
        assert_eq!(rows[6], "2026-11-10,8,cost,labour,35.00,0.00,35.00,after-sale,,,");
    }

    #[test]
    fn nothing_dated_after_the_day_is_seen() {
        let report = report(&november(), 1, "2026-10-04");
        let json = serde_json::to_value(&report).unwrap();
        assert_eq!(json["status"], "in-stock");
        assert_eq!(json["lines"].as_array().map(Vec::len), Some(3));
        assert_eq!(json["stands_in"], "564.85");
    }

    #[test]
    fn a_car_paid_ahead_and_not_yet_bought_is_said_to_be_so() {
        let report = report(&november(), 1, "2026-09-30");
        let shown = plain(&report.document());
        assert!(
            shown.starts_with("1 KX42 RTO, Brindle Harrow 2012, blue: not in stock yet on 30 Sep 2026.\n"),
            "{shown}"
        );
        assert!(!shown.contains("purchase"), "{shown}");
        let table = "Date | Entry | What | To or from | Paid ahead\n2026-09-29 | 1 | inspection |  | 25.00\n\
                     \u{20}|  | Total |  | 25.00\n";
        assert!(shown.contains(table), "{shown}");
        assert!(!shown.contains("The car\n"), "a heading over nothing: {shown}");
    }

    #[test]
    fn usual_prices_are_shown_net_so_that_the_profit_at_them_adds_up() {
        let mut facts = november();
        facts.registration.from = Some(day("2026-01-01"));
        facts.cars[0].lines[2].vat = Pence::new(2_000);
        let report = report(&facts, 1, "2026-11-25");
        let shown = plain(&report.document());
        assert!(shown.contains("| Stands in | After sale | Usual, net | Note\n"), "{shown}");
        // 180 × 100 ÷ 120, what was paid being 120 with 20 of VAT.
        assert!(shown.contains("| Hob Lane Spares | 120.00 | 20.00 | 100.00 |  | 150.00 | exhaust"), "{shown}");
        let json = serde_json::to_value(&report).unwrap();
        assert_eq!(json["lines"][3]["usual_price"], "180.00");
        let profit: Decimal = json["profit"].as_str().unwrap().parse().unwrap();
        let at_usual: Decimal = json["profit_at_usual_prices"].as_str().unwrap().parse().unwrap();
        assert_eq!(profit - at_usual, Decimal::from(50));
        let rows = records(&report.document(), Some("lines"));
        assert_eq!(
            rows[4],
            "2026-10-05,4,cost,parts,120.00,20.00,100.00,stands-in,180.00,Hob Lane Spares,exhaust, fitted by a friend"
        );
    }
}

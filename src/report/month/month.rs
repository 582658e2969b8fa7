//! `month`: what a month made, each car and overhead behind it, and its proof against the cash.

use crate::domain::days::month::Month;
use crate::domain::figures::bridge::{Bridge, OwnersMoney};
use crate::domain::figures::kept_figures::Difference;
use crate::domain::figures::period_figures::PeriodFigures;
use crate::domain::figures::profits::SaleTotals;
use crate::domain::value::pence::Pence;
use crate::report::cell::{IsoDay, IsoMonth, MoneyText, TwoDecimals};
use crate::report::document::Table;
use crate::report::left_out::LeftOutRow;
use crate::report::month::month_tables::{
    after_sale_lines, cars_bought, cars_disposed, cars_sold, differences, disposal_lines, other_income_lines,
    overhead_lines, overheads, sales_reversed,
};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// The figures of a month.
#[derive(Clone, Debug, Serialize)]
pub struct MonthReport {
    #[serde(flatten)]
    pub(crate) stamp: Stamp,
    pub(crate) month: IsoMonth,
    /// The last day counted: the month's last, or the as-of day when that comes first.
    pub(crate) to: IsoDay,
    pub(crate) cars_sold: Table,
    pub(crate) sales_reversed: Table,
    pub(crate) cars_bought: Table,
    pub(crate) cars_disposed: Table,
    #[serde(skip)]
    pub(crate) reversed: SaleTotals,
    pub(crate) sales: MoneyText,
    pub(crate) cost_of_cars_sold: MoneyText,
    pub(crate) cost_of_cars_bought: MoneyText,
    pub(crate) vat_on_margins: MoneyText,
    pub(crate) vat_on_sales: MoneyText,
    pub(crate) gross_profit: MoneyText,
    pub(crate) disposal_losses: MoneyText,
    pub(crate) disposal_lines: Table,
    pub(crate) after_sale_costs: MoneyText,
    pub(crate) after_sale_lines: Table,
    pub(crate) overheads: Table,
    pub(crate) overheads_total: MoneyText,
    pub(crate) overhead_lines: Table,
    pub(crate) other_income: MoneyText,
    pub(crate) other_income_lines: Table,
    pub(crate) profit: MoneyText,
    /// What buyers owed and will never pay: no part of the profit.
    pub(crate) written_off: MoneyText,
    pub(crate) profit_after_write_offs: MoneyText,
    pub(crate) average_return_pct: Option<TwoDecimals>,
    pub(crate) mean_return_pct: Option<TwoDecimals>,
    pub(crate) median_return_pct: Option<TwoDecimals>,
    pub(crate) mean_days_to_sell: Option<TwoDecimals>,
    pub(crate) median_days_to_sell: Option<TwoDecimals>,
    pub(crate) stock_at_cost: MoneyText,
    pub(crate) average_stock_at_cost: Option<MoneyText>,
    pub(crate) cash_tied_up: MoneyText,
    pub(crate) stock_turn: Option<TwoDecimals>,
    pub(crate) gmroi: Option<TwoDecimals>,
    /// Why there is no turn and no margin on stock.
    pub(crate) stock_turn_reason: Option<String>,
    /// Sales that averages leave out.
    pub(crate) left_out_of_averages: Vec<LeftOutRow>,
    pub(crate) profit_at_usual_prices: MoneyText,
    pub(crate) money_in: MoneyText,
    pub(crate) money_out: MoneyText,
    pub(crate) bridge: BridgeParts,
    /// Whether the month is closed.
    pub(crate) closed: bool,
    /// Figures that are no longer what was kept when it was closed.
    pub(crate) differences: Table,
    /// Which of the trader's own statutory figures the month was reckoned with.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) own_rates: Vec<String>,
}

/// From the float at the start to the float at the end.
#[derive(Clone, Debug, Serialize)]
pub struct BridgeParts {
    pub(crate) float_at_start: MoneyText,
    pub(crate) profit: MoneyText,
    pub(crate) stock_increase: MoneyText,
    pub(crate) owed_by_buyers_increase: MoneyText,
    pub(crate) owed_to_sellers_increase: MoneyText,
    pub(crate) deposits_increase: MoneyText,
    pub(crate) vat_owed_increase: MoneyText,
    pub(crate) paid_in: MoneyText,
    pub(crate) drawn: MoneyText,
    pub(crate) other: MoneyText,
    pub(crate) float_at_end: MoneyText,
    pub(crate) other_parts: Vec<OtherPart>,
    // Machines read the sums; people, each way apart.
    #[serde(skip)]
    pub(crate) owner_in: OwnersMoney,
    #[serde(skip)]
    pub(crate) owner_out: OwnersMoney,
    /// What the parts come to, which is the float at the end unless something is wrong.
    #[serde(skip)]
    pub(crate) expected_float_at_end: Pence,
}

/// A named part of "other", signed as it changes the float.
#[derive(Clone, Debug, Serialize)]
pub struct OtherPart {
    pub(crate) name: &'static str,
    pub(crate) amount: MoneyText,
}

impl MonthReport {
    /// Says which of the trader's own statutory figures it was reckoned with.
    #[must_use]
    pub fn with_own_rates(self, own_rates: Vec<String>) -> Self {
        Self { own_rates, ..self }
    }

    /// Lays out the figures of `month`; of a closed one with what differs from what was kept then.
    pub fn new(as_of: NaiveDate, month: Month, figures: &PeriodFigures<'_>, closed: Option<Vec<Difference>>) -> Self {
        let (averages, stock) = (&figures.averages, &figures.stock);
        Self {
            stamp: Stamp::new("month", as_of),
            month: IsoMonth(month),
            to: IsoDay(figures.period.to()),
            cars_sold: cars_sold(figures),
            sales_reversed: sales_reversed(figures),
            cars_bought: cars_bought(figures),
            cars_disposed: cars_disposed(figures),
            reversed: figures.reversed,
            sales: MoneyText(figures.sales),
            cost_of_cars_sold: MoneyText(figures.cost_of_cars_sold),
            cost_of_cars_bought: MoneyText(figures.cost_of_cars_bought()),
            vat_on_margins: MoneyText(figures.vat_on_margins),
            vat_on_sales: MoneyText(figures.vat_on_sales),
            gross_profit: MoneyText(figures.gross_profit),
            disposal_losses: MoneyText(figures.disposal_losses),
            disposal_lines: disposal_lines(figures),
            after_sale_costs: MoneyText(figures.after_sale_costs),
            after_sale_lines: after_sale_lines(figures),
            overheads: overheads(figures),
            overheads_total: MoneyText(figures.overheads_total),
            overhead_lines: overhead_lines(figures),
            other_income: MoneyText(figures.other_income),
            other_income_lines: other_income_lines(figures),
            profit: MoneyText(figures.profit),
            written_off: MoneyText(figures.without_money.written_off),
            profit_after_write_offs: MoneyText(figures.profit_after_write_offs()),
            average_return_pct: averages.pooled_return_pct.map(TwoDecimals),
            mean_return_pct: averages.mean_return_pct.map(TwoDecimals),
            median_return_pct: averages.median_return_pct.map(TwoDecimals),
            mean_days_to_sell: averages.mean_days_to_sell.map(TwoDecimals),
            median_days_to_sell: averages.median_days_to_sell.map(TwoDecimals),
            stock_at_cost: MoneyText(figures.closing.stock_at_cost),
            average_stock_at_cost: stock.average_at_cost.map(MoneyText),
            cash_tied_up: MoneyText(figures.closing.cash_tied_up()),
            stock_turn: stock.turn.map(TwoDecimals),
            gmroi: stock.gmroi.map(TwoDecimals),
            stock_turn_reason: stock.no_turn.map(|reason| reason.to_string()),
            left_out_of_averages: LeftOutRow::all(averages),
            profit_at_usual_prices: MoneyText(figures.profit_at_usual_prices),
            money_in: MoneyText(figures.money_in),
            money_out: MoneyText(figures.money_out),
            bridge: BridgeParts::new(&figures.bridge),
            closed: closed.is_some(),
            differences: differences(&closed.unwrap_or_default()),
            own_rates: Vec::new(),
        }
    }
}

impl BridgeParts {
    fn new(bridge: &Bridge) -> Self {
        Self {
            float_at_start: MoneyText(bridge.float_at_start),
            profit: MoneyText(bridge.profit),
            stock_increase: MoneyText(bridge.stock_increase),
            owed_by_buyers_increase: MoneyText(bridge.owed_by_buyers_increase),
            owed_to_sellers_increase: MoneyText(bridge.owed_to_sellers_increase),
            deposits_increase: MoneyText(bridge.deposits_increase),
            vat_owed_increase: MoneyText(bridge.vat_owed_increase),
            paid_in: MoneyText(bridge.paid_in.total()),
            drawn: MoneyText(bridge.drawn.total()),
            other: MoneyText(bridge.other()),
            float_at_end: MoneyText(bridge.float_at_end),
            other_parts: bridge
                .other_parts
                .iter()
                .map(|(name, amount)| OtherPart { name, amount: MoneyText(*amount) })
                .collect(),
            owner_in: bridge.paid_in,
            owner_out: bridge.drawn,
            expected_float_at_end: bridge.expected_float_at_end(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::book::facts::Facts;
    use crate::domain::days::period::Period;
    use crate::domain::value::words::{Direction, Pocket};
    use crate::report::fixture::{assert_keys, autumn, day, nothing, november, owners, plain, records};
    use serde_json::{Value, json};

    fn report(facts: &Facts, month: &str, as_of: &str) -> MonthReport {
        let month = Month::containing(day(&format!("{month}-01")));
        let figures = facts.period_figures(Period::of_month(month)).unwrap();
        assert_eq!(figures.bridge.expected_float_at_end(), figures.bridge.float_at_end, "the facts do not tie");
        MonthReport::new(day(as_of), month, &figures, None)
    }

    #[test]
    fn the_keys_are_the_promised_ones() {
        let report = report(&november(), "2026-11", "2026-11-25");
        assert_keys(
            &report,
            "",
            "report version as_of month cars_sold sales_reversed cars_bought cars_disposed sales cost_of_cars_sold \
             vat_on_margins gross_profit disposal_losses after_sale_costs overheads overheads_total other_income profit \
             average_return_pct mean_return_pct median_return_pct mean_days_to_sell median_days_to_sell stock_at_cost \
             average_stock_at_cost cash_tied_up stock_turn gmroi profit_at_usual_prices money_in money_out bridge \
             to cost_of_cars_bought vat_on_sales overhead_lines other_income_lines after_sale_lines disposal_lines \
             written_off profit_after_write_offs closed differences stock_turn_reason left_out_of_averages",
        );
        assert_keys(
            &report,
            "/cars_sold/0",
            "stock_no mark sold_on selling_price stands_in vat_on_margin profit return_pct multiple days_to_sell \
             description vat_on_sale reversed_on",
        );
        assert_keys(&report, "/cars_bought/0", "stock_no mark bought_on purchase_price description");
        assert_keys(&report, "/overheads/0", "heading amount");
        for lines in ["overhead_lines", "other_income_lines", "after_sale_lines"] {
            assert_keys(&report, &format!("/{lines}/0"), "on entry heading what amount");
        }
        assert_keys(
            &report,
            "/bridge",
            "float_at_start profit stock_increase owed_by_buyers_increase owed_to_sellers_increase deposits_increase \
             vat_owed_increase paid_in drawn other float_at_end other_parts",
        );
    }

    #[test]
    fn the_answer_comes_first_and_a_running_month_says_so() {
        let shown = plain(&report(&november(), "2026-11", "2026-11-25").document());
        assert!(
            shown.starts_with(
                "November 2026 so far, to 25 Nov: made £340.15 after everything.\n\
                 1 car sold, 1 bought; £1,200.00 came in and £835.00 went out.\n"
            ),
            "{shown}"
        );
        let mut later = november();
        later.to = day("2026-12-02");
        let over = plain(&report(&later, "2026-11", "2026-12-02").document());
        assert!(over.starts_with("November 2026 made £340.15 after everything.\n"), "{over}");
        let loss = plain(&report(&autumn(), "2026-10", "2026-11-25").document());
        assert!(loss.starts_with("October 2026 lost £120.00 after everything.\n"), "{loss}");
    }

    #[test]
    fn the_profit_is_laid_out_step_by_step() {
        let shown = plain(&report(&november(), "2026-11", "2026-11-25").document());
        let steps = "Sales: 1185.00\nCost of cars sold: -644.85\nGross profit: 540.15\nAfter-sale costs: -35.00\n\
                     Overheads: -180.00\nOther income: 15.00\nProfit: 340.15\n";
        assert!(shown.contains(steps), "{shown}");
    }

    #[test]
    fn the_bridge_reads_from_float_to_float() {
        let rows = records(&report(&november(), "2026-11", "2026-11-25").document(), Some("bridge"));
        assert_eq!(
            rows,
            [
                "part,amount",
                "float_at_start,855.15",
                "profit,340.15",
                "stock_increase,-75.15",
                "owed_to_sellers_increase,100.00",
            ]
        );
    }

    #[test]
    fn a_month_with_nothing_has_nil_sums_absent_averages_and_its_bridge() {
        let report = report(&nothing(), "2026-11", "2026-11-25");
        let json = serde_json::to_value(&report).unwrap();
        for (key, value) in [
            ("sales", json!("0.00")),
            ("profit", json!("0.00")),
            ("disposal_losses", json!("0.00")),
            ("average_return_pct", Value::Null),
            ("median_days_to_sell", Value::Null),
            ("average_stock_at_cost", Value::Null),
            ("stock_turn", Value::Null),
            ("cars_sold", json!([])),
            ("sales_reversed", json!([])),
            ("overheads", json!([])),
        ] {
            assert_eq!(json[key], value, "{key}");
        }
        let shown = plain(&report.document());
        assert!(shown.starts_with("November 2026 so far, to 25 Nov: made nothing and lost nothing.\n"), "{shown}");
        for line in [
            "No car was sold.",
            "No car was bought.",
            "No overheads.",
            "Average return, pooled: ",
            "Float at the end: 0.00",
        ] {
            assert!(shown.contains(line), "{line:?} in {shown}");
        }
    }

    #[test]
    fn every_list_is_a_part_and_the_cars_sold_are_the_main_one() {
        let document = report(&november(), "2026-11", "2026-11-25").document();
        let parts: Vec<_> = document.tables().map(|table| table.name).collect();
        assert_eq!(
            parts,
            [
                "cars-sold",
                "sales-reversed",
                "cars-bought",
                "cars-disposed",
                "disposal-lines",
                "overhead-lines",
                "other-income-lines",
                "after-sale-lines",
                "overheads",
                "differences",
                "bridge"
            ]
        );
        assert_eq!(
            records(&document, None),
            [
                "stock_no,mark,description,sold_on,selling_price,stands_in,vat_on_margin,vat_on_sale,profit,return_pct,\
                 multiple,days_to_sell,reversed_on",
                "1,KX42 RTO,Brindle Harrow 2012, blue,2026-11-03,1185.00,644.85,0.00,0.00,540.15,83.76,1.84,33,"
            ]
        );
        assert_eq!(records(&document, Some("overheads")), ["heading,amount", "rent,120.00", "tools,60.00"]);
    }

    #[test]
    fn every_line_behind_the_profit_is_listed_and_adds_up() {
        let document = report(&november(), "2026-11", "2026-11-25").document();
        let shown = plain(&document);
        for table in [
            "\nOverheads\nDate | Entry | Heading | What for | Amount\n\
             2026-11-01 | 1 | rent | yard rent | 120.00\n2026-11-12 | 9 | tools | Ridley Tool Hire | 60.00\n\
             \u{20}|  | Total |  | 180.00\n",
            "\nOther income\nDate | Entry | Heading | From | Amount\n2026-11-13 | 10 | storage | a caravan, one month | 15.00\n",
            "\nAfter-sale costs\nDate | Entry | Heading | Car | Amount\n2026-11-10 | 8 | labour | 1 KX42 RTO | 35.00\n",
        ] {
            assert!(shown.contains(table), "{table:?} in {shown}");
        }
        assert!(!shown.contains("rent | 120.00\ntools"), "the totals by heading are for machines: {shown}");
        assert_eq!(
            records(&document, Some("overhead-lines")),
            [
                "on,entry,heading,what,amount",
                "2026-11-01,1,rent,yard rent,120.00",
                "2026-11-12,9,tools,Ridley Tool Hire,60.00"
            ]
        );
        let quiet = plain(&report(&autumn(), "2026-10", "2026-11-25").document());
        assert!(!quiet.contains("Other income") && !quiet.contains("After-sale costs"), "{quiet}");
    }

    #[test]
    fn lines_are_net_of_vat_while_registered() {
        let mut facts = november();
        facts.registration.from = Some(day("2026-11-01"));
        facts.yard_lines[0].vat = Pence::new(1_000);
        facts.yard_lines[1].vat = Pence::new(250);
        facts.standings[0].amounts[0].vat = Pence::new(2_000);
        let json = serde_json::to_value(report(&facts, "2026-11", "2026-11-25")).unwrap();
        let amounts = |lines: &str| -> Vec<Value> {
            json[lines].as_array().unwrap().iter().map(|line| line["amount"].clone()).collect()
        };
        assert_eq!(amounts("overhead_lines"), ["100.00", "50.00"]);
        assert_eq!(json["overheads_total"], "150.00");
        assert_eq!(amounts("other_income_lines"), ["12.50"]);
        assert_eq!(json["other_income"], "12.50");
    }

    #[test]
    fn money_on_a_sold_car_is_a_negative_after_sale_line() {
        let mut facts = november();
        let sold_on = facts.cars[0].lines.len() - 1;
        facts.cars[0].lines[sold_on].direction = Direction::Receipt;
        facts.opening.bank -= Pence::new(7_000);
        let json = serde_json::to_value(report(&facts, "2026-11", "2026-11-25")).unwrap();
        assert_eq!(json["after_sale_lines"][0]["amount"], "-35.00");
        assert_eq!(json["after_sale_costs"], "-35.00");
    }

    #[test]
    fn own_pocket_spending_stands_apart_from_money_paid_in() {
        let mut facts = november();
        facts.yard_lines[0].pocket = Some(Pocket::Own);
        facts.yard_lines[1].pocket = Some(Pocket::Own);
        facts.movements =
            vec![owners(20, "2026-11-14", Pocket::Bank, 5_000), owners(21, "2026-11-15", Pocket::Cash, -2_500)];
        let report = report(&facts, "2026-11", "2026-11-25");
        let json = serde_json::to_value(&report).unwrap();
        assert_eq!((&json["bridge"]["paid_in"], &json["bridge"]["drawn"]), (&json!("110.00"), &json!("40.00")));
        let shown = plain(&report.document());
        let rows = "You paid in: 50.00\nSpent from your own pocket: 60.00\nYou drew: -25.00\n\
                    Received into your own pocket: -15.00\nFloat at the end: ";
        assert!(shown.contains(rows), "{shown}");
        let machines = records(&report.document(), Some("bridge"));
        assert_eq!(machines[machines.len() - 2..], ["paid_in,110.00", "drawn,-40.00"]);
    }

    #[test]
    fn vat_is_shown_once_there_is_some() {
        let mut facts = november();
        assert!(!plain(&report(&facts, "2026-11", "2026-11-25").document()).contains("VAT"));
        facts.registration.from = Some(day("2026-11-01"));
        let shown = plain(&report(&facts, "2026-11", "2026-11-25").document());
        // A sixth of 1,185 − 485, to the penny.
        assert!(shown.contains("VAT on sales: -116.67\n"), "{shown}");
        assert!(shown.contains("| Stood in | VAT | Profit |"), "{shown}");
    }
}

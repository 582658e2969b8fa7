//! Every figure behind a picture is the one that the report of it gives.
//!
//! * `tests/common/page_read.rs` reads every page made in a test back with html5ever and looks for errors, double
//!   names, pictures without words, and words that touch or leave their picture; `render/html/chart/mod.rs` does
//!   the last with figures and names drawn at random. `tests/commands/looking/page_figures.rs` holds every figure behind a
//!   picture against the JSON of its report, and a property test the sums of random histories.
//! * `tests/commands/saved/page.html` is the test yard's page; `RUNABOUT_SAVE=1 cargo test --test commands page`
//!   makes it anew. `demo/page.png` is the top of the demo's in Chromium, 1100 pixels wide and 2160 high
//!   (`--screenshot`), in 64 colours.
//! * `.ci/page-check` checks the pages, the stock book's and the invoices' among them, with html-validate, the Nu
//!   validator (where there is Java) and axe-core in a real Chromium at 390 and 1280 pixels, light and dark, and
//!   measures there whether words touch or a page is wider than its window. It needs node, npm and chromium and
//!   takes about a minute, most of it installing into a temporary folder; `.ci/run` does not call it.

use crate::common::Yard;
use crate::common::page_read::Page;
use serde_json::Value;
use std::collections::BTreeMap;

/// A value of JSON as the page shows it: a dash for null, a month or a day as people write it.
fn shown(value: &Value) -> String {
    match value {
        Value::Null => "—".into(),
        Value::String(text) => date(text).unwrap_or_else(|| text.clone()),
        Value::Number(number) if number.is_f64() => format!("{:.2}", number.as_f64().unwrap()),
        other => other.to_string(),
    }
}

fn date(text: &str) -> Option<String> {
    let day = if text.len() == 7 { format!("{text}-01") } else { text.to_owned() };
    let day: chrono::NaiveDate = day.parse().ok()?;
    Some(day.format(if text.len() == 7 { "%b %Y" } else { "%-d %b %Y" }).to_string())
}

fn percent(value: &Value) -> String {
    if value.is_null() { "—".into() } else { format!("{} %", shown(value)) }
}

fn pence(text: &str) -> i64 {
    let sign = if text.starts_with('-') { -1 } else { 1 };
    let digits: String = text.chars().filter(char::is_ascii_digit).collect();
    sign * digits.parse::<i64>().unwrap_or_else(|_| panic!("not money: {text}"))
}

fn picked(row: &Value, keys: &str) -> Vec<String> {
    keys.split(' ').map(|key| if key.ends_with("_pct") { percent(&row[key]) } else { shown(&row[key]) }).collect()
}

/// The objects of a list.
fn list(value: &Value) -> Vec<&Value> {
    value.as_array().unwrap().iter().collect()
}

#[test]
fn the_yard_the_months_and_the_float_to_come_are_those_of_their_reports() {
    let yard = Yard::filled();
    let page = Page::read(&yard.ok("page").out);
    let stock = yard.json("stock");
    let keys = "stock_no mark description bought_on days_in_stock purchase_price stands_in asking_price mot_until";
    let cars: Vec<_> = list(&stock["cars"]).iter().map(|car| picked(car, keys)).collect();
    let behind: Vec<Vec<String>> = page.table("yard");
    assert_eq!(
        behind,
        cars.iter().map(|row| row.iter().map(|cell| cell.replace(',', "")).collect()).collect::<Vec<Vec<_>>>()
    );

    let results = yard.json("results");
    let keys =
        "month cars_bought cars_sold sales gross_profit overheads_total other profit average_return_pct float_at_end";
    let mut months: Vec<_> = list(&results["months"]).iter().map(|row| picked(row, keys)).collect();
    months.push(picked(&results["total"], keys));
    months.last_mut().unwrap()[0] = "Together".into();
    assert_eq!(page.table("months"), months);

    let forecast = yard.json("forecast");
    let keys = "month float_p10 float_p50 float_p90 chance_slot_missed_pct expected_purchases expected_sales";
    let ahead: Vec<_> = list(&forecast["months"]).iter().map(|row| picked(row, keys)).collect();
    assert_eq!(page.table("float"), ahead);
}

#[test]
fn the_answers_are_those_of_their_reports() {
    let yard = Yard::filled();
    let page = Page::read(&yard.ok("page").out);
    let answers = page.words(".answers strong, .answers dd span").join(" | ").replace(',', "");
    let (stock, cash, month) = (yard.json("stock"), yard.json("cash"), yard.json("month"));
    let money = |value: &Value| format!("£{}", value.as_str().unwrap());
    let due = yard.json("due");
    let overdue = list(&due["items"]).iter().filter(|item| item["days_left"].as_i64() < Some(0)).count();
    let programme = yard.json("programme");
    for wanted in [
        format!("{} cars", stock["count"]),
        money(&stock["stock_at_cost"]),
        money(&stock["cash_tied_up"]),
        format!("Lost {}", money(&month["profit"]).replace("£-", "£")),
        money(&cash["float"]),
        money(&cash["cash_in_hand"]),
        money(&cash["bank"]),
        format!("{overdue} overdue"),
        "The float can carry it".to_owned(),
        money(&programme["next_slot"]["budget"]),
    ] {
        assert!(answers.contains(&wanted), "{wanted} in {answers}");
    }
    assert_eq!(programme["next_slot"]["affordable"], true);
    let month = shown(&programme["next_slot"]["month"]);
    assert!(page.words(".answers dt").contains(&format!("A car for {month}")));
    assert_eq!(page.all("#due .entries li").len(), list(&due["items"]).len());
}

/// What a car cost in each kind, and every other figure of it, against `car` line by line.
#[test]
fn each_cars_money_is_that_of_its_own_page_and_its_parts_come_to_what_came_in() {
    let yard = Yard::filled();
    let page = Page::read(&yard.ok("page").out);
    let rows = page.table("cars");
    assert_eq!(rows.len(), 15);
    for row in &rows {
        let car = yard.json(&format!("car {}", row[0]));
        let gone = !car["selling_price"].is_null();
        for (column, key) in [(1, "mark"), (2, "purchase_price"), (8, "income"), (9, "stands_in")] {
            assert_eq!(row[column], shown(&car[key]), "{key} of car {}", row[0]);
        }
        if gone {
            for (column, key) in [(10, "selling_price"), (11, "vat_on_sale"), (12, "profit")] {
                assert_eq!(row[column], shown(&car[key]), "{key} of car {}", row[0]);
            }
        }
        let costs: i64 = row[3..8].iter().map(|cost| pence(cost)).sum();
        assert_eq!(costs, pence(car["costs"].as_str().unwrap()), "costs of car {}", row[0]);
        add_up(row);
        let in_kind = |headings: &[&str]| -> i64 {
            let lines = list(&car["lines"]);
            let of = lines.iter().filter(|line| {
                headings.contains(&line["heading"].as_str().unwrap())
                    && line["direction"] == "cost"
                    && line["part_of"].as_str().is_some_and(|part| part.starts_with("stands-in"))
            });
            of.map(|line| pence(line["amount"].as_str().unwrap())).sum()
        };
        assert_eq!(pence(&row[3]), in_kind(&["mot", "inspection", "history-check"]), "car {}", row[0]);
        assert_eq!(pence(&row[6]), in_kind(&["valet", "advertising", "warranty", "goodwill"]), "car {}", row[0]);
    }
}

/// Price + costs − income = stands in at; and where it left, price + costs + VAT + profit = income + fetched.
fn add_up(row: &[String]) {
    let out: i64 = row[2..8].iter().map(|cell| pence(cell)).sum();
    assert_eq!(out - pence(&row[8]), pence(&row[9]), "{row:?}");
    if row[10] != "—" {
        assert_eq!(out + pence(&row[11]) + pence(&row[12]), pence(&row[8]) + pence(&row[10]), "{row:?}");
    }
}

#[test]
fn the_parts_of_every_bar_add_up_with_vat_part_exchange_take_back_and_disposal() {
    let yard = Yard::new("2026-11-25");
    for line in [
        "settings set vat-registered-from 2026-04-01",
        "pay-in 9000 --on 1/4/2026",
        "buy KX42RTO 465 --on 3/4/2026",
        "spend 66 parts --car 1 --vat 11 --on 4/4/2026",
        "receive 45 wheels-sold --car 1 --on 5/4/2026",
        "sell 1 1215 --on 1/5/2026 --part-exchange AB91CDE=315",
        "buy ST99WEM 1260 --vat 210 --vat-invoice --on 3/6/2026",
        "sell 3 1560 --on 1/7/2026",
        "take-back 3 --on 10/7/2026 --refund 1475",
        "spend 33 labour --car 3 --on 11/7/2026",
        "sell 3 945 --on 1/8/2026",
        "buy UT48KEM 365 --on 5/9/2026",
        "dispose 4 broken --on 6/9/2026 --received 50",
        "receive 120 parts-sold --car 4 --on 9/10/2026",
        "dispose 2 kept --value 265 --on 1/11/2026",
    ] {
        yard.ok(line);
    }
    let page = Page::read(&yard.ok("page").out);
    let rows = page.table("cars");
    assert_eq!(rows.len(), 4);
    for row in &rows {
        add_up(row);
    }
    assert!(rows.iter().any(|row| row[11] != "—" && pence(&row[11]) > 0), "{rows:?}");
    // Where the money went comes to what was sold less what was made on it, and to the overheads.
    let results = yard.json("results --from 2026-04");
    let spent = page.table("spent");
    let total = &results["total"];
    assert_eq!(pence(&spent.last().unwrap()[2]), pence(total["overheads_total"].as_str().unwrap()));
    let months = ["2026-04", "2026-05", "2026-06", "2026-07", "2026-08", "2026-09", "2026-10", "2026-11"];
    let cost = |month: &&str| pence(yard.json(&format!("month {month}"))["cost_of_cars_sold"].as_str().unwrap());
    assert_eq!(pence(&spent.last().unwrap()[1]), months.iter().map(cost).sum::<i64>());
    for month in months {
        Page::read(&yard.ok(&format!("month {month} --page")).out);
    }
}

#[test]
fn the_slots_drawn_are_those_of_the_programme() {
    let yard = Yard::filled();
    let page = Page::read(&yard.ok("page").out);
    let months = yard.json("programme")["months"].as_array().unwrap().clone();
    let latest = &months[months.len() - 12..];
    let planned: u64 = latest.iter().map(|month| month["planned"].as_u64().unwrap()).sum();
    let filled: u64 =
        latest.iter().map(|month| month["bought"].as_u64().unwrap().min(month["planned"].as_u64().unwrap())).sum();
    let beyond = latest.iter().map(|month| month["bought"].as_u64().unwrap()).sum::<u64>() - filled;
    assert_eq!(beyond, 1);
    assert_eq!(
        page.words("#stays .said > p")[0],
        format!(
            "{filled} of {planned} slots of the programme filled, this month's among them. 1 car was bought beyond them."
        )
    );
    // A book without a programme has no slots.
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 475 --on 3/11/2026");
    let page = Page::read(&yard.ok("page").out);
    assert!(!page.words("#stays svg text").contains(&"slots".to_owned()));
}

#[test]
fn where_the_money_went_is_what_the_months_say_heading_by_heading() {
    let yard = Yard::filled();
    let page = Page::read(&yard.ok("page").out);
    let spent = page.table("spent");
    let (mut overheads, mut cost) = (BTreeMap::<String, i64>::new(), 0);
    for row in list(&yard.json("results")["months"]) {
        let month = yard.json(&format!("month {}", row["month"].as_str().unwrap()));
        cost += pence(month["cost_of_cars_sold"].as_str().unwrap());
        for overhead in list(&month["overheads"]) {
            *overheads.entry(overhead["heading"].as_str().unwrap().into()).or_default() +=
                pence(overhead["amount"].as_str().unwrap());
        }
    }
    let (total, rows) = spent.split_last().unwrap();
    let on_yard: BTreeMap<String, i64> = rows
        .iter()
        .filter(|row| !row[2].is_empty() && pence(&row[2]) != 0)
        .map(|row| (row[0].clone(), pence(&row[2])))
        .collect();
    assert_eq!(on_yard, overheads);
    assert_eq!(pence(&total[1]), cost);
    assert_eq!(rows.iter().map(|row| pence(&row[1])).sum::<i64>(), cost);
    assert_eq!(rows.iter().map(|row| pence(&row[3])).sum::<i64>(), pence(&total[3]));
}

#[test]
fn the_cars_sold_and_their_stays_are_those_of_the_months_and_of_each_car() {
    let yard = Yard::filled();
    let page = Page::read(&yard.ok("page").out);
    let mut sold = Vec::new();
    for row in list(&yard.json("results")["months"]) {
        let month = yard.json(&format!("month {}", row["month"].as_str().unwrap()));
        for car in list(&month["cars_sold"]) {
            let row = picked(car, "stock_no mark sold_on days_to_sell stands_in selling_price profit return_pct");
            // What came back later is no sale to learn from.
            if yard.json(&format!("car {}", row[0]))["sold_on"] == car["sold_on"] {
                sold.push(row);
            }
        }
    }
    assert_eq!(page.table("sold"), sold);
    for row in page.table("stays") {
        let car = yard.json(&format!("car {}", row[0]));
        assert_eq!(row[1], shown(&car["mark"]));
        match row[5].as_str() {
            "" => assert_eq!((car["status"].as_str(), row[3].as_str()), (Some("in-stock"), "still here")),
            "sold" => {
                assert!(row[3] == shown(&car["sold_on"]) || row[2] == shown(&car["bought_on"]), "{row:?}");
            }
            how => assert_eq!(car["status"].as_str(), Some(how)),
        }
    }
}

#[test]
fn a_month_drawn_is_the_month_told() {
    let yard = Yard::filled();
    for name in ["oct", "sep", "apr", "nov"] {
        let (page, month) =
            (Page::read(&yard.ok(&format!("month {name} --page")).out), yard.json(&format!("month {name}")));
        let made: BTreeMap<String, String> =
            page.table("made").into_iter().map(|row| (row[0].clone(), row[1].clone())).collect();
        for (name, key, sign) in [
            ("Sales", "sales", 1),
            ("Cost of cars sold", "cost_of_cars_sold", -1),
            ("Gross profit", "gross_profit", 1),
            ("Overheads", "overheads_total", -1),
            ("Profit", "profit", 1),
        ] {
            assert_eq!(pence(&made[name]), sign * pence(month[key].as_str().unwrap()), "{name} of {}", month["month"]);
        }
        if !list(&month["cars_sold"]).is_empty() {
            let sold = page.table("sold");
            for (row, car) in sold.iter().zip(list(&month["cars_sold"])) {
                let keys = ["stock_no", "mark", "description", "sold_on", "selling_price", "stands_in", "profit"];
                let wanted: Vec<String> = keys.iter().map(|key| shown(&car[key]).replace(',', "")).collect();
                assert_eq!(row[..7], wanted);
            }
            assert_eq!(sold.len(), list(&month["cars_sold"]).len() + 1);
        }
        let overheads = page.table("overheads");
        assert_eq!(overheads.last().unwrap()[4], month["overheads_total"].as_str().unwrap());
        let walk = page.table("cash");
        let bridge = &month["bridge"];
        assert_eq!(walk[0][1], bridge["float_at_start"].as_str().unwrap());
        assert_eq!(walk.last().unwrap()[1], bridge["float_at_end"].as_str().unwrap());
        let (end, steps) = walk.split_last().unwrap();
        assert_eq!(steps.iter().map(|row| pence(&row[1])).sum::<i64>(), pence(&end[1]));
        let said = page.words("#cash .said > p").join(" ");
        assert!(said.contains("Proved to the penny"), "{said}");
        let moved = |key: &str| format!("£{}", month[key].as_str().unwrap());
        assert!(
            said.replace(',', "").contains(&moved("money_in")) && said.replace(',', "").contains(&moved("money_out"))
        );
    }
}

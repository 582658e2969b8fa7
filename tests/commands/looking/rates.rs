//! The statutory figures: listed with their sources, and lines of the trader's own before them.

use crate::common::Yard;
use serde_json::Value;
use std::fs;

fn yard() -> Yard {
    Yard::new("2026-11-25")
}

fn write(yard: &Yard, name: &str, text: &str) -> String {
    let path = yard.folder().join(name);
    fs::write(&path, text).unwrap();
    path.display().to_string()
}

fn rows<'r>(told: &'r Value, name: &str) -> Vec<&'r Value> {
    told["rates"].as_array().unwrap().iter().filter(|row| row["name"] == name).collect()
}

#[test]
fn every_figure_is_listed_with_its_days_and_source_and_needs_no_book() {
    let yard = yard();
    let told = yard.json("rates");
    for key in ["report", "version", "as_of", "on", "own_file", "rates"] {
        assert!(told.get(key).is_some(), "{key}");
    }
    assert_eq!((&told["report"], &told["own_file"]), (&"rates".into(), &Value::Null));
    let vat = rows(&told, "vat-standard-rate");
    let read: Vec<String> =
        vat.iter().map(|row| format!("{} {} {}", row["from"], row["until"], row["value"])).collect();
    assert_eq!(
        read,
        [
            r#""1991-04-01" "2008-11-30" 17.5"#,
            r#""2008-12-01" "2009-12-31" 15.0"#,
            r#""2010-01-01" "2011-01-03" 17.5"#,
            r#""2011-01-04" null 20.0"#,
        ]
    );
    for row in told["rates"].as_array().unwrap() {
        assert!(!row["source"].as_str().unwrap().is_empty() && row["own"] == false, "{row}");
    }
    let unit = |name: &str| rows(&told, name).last().map(|row| format!("{} {}", row["value"], row["unit"]));
    assert_eq!(unit("cash-limit").as_deref(), Some(r#""10000.00" "pounds""#));
    assert_eq!(unit("vat-records").as_deref(), Some(r#"6 "years""#));
    assert_eq!(unit("rejection").as_deref(), Some(r#"30 "days""#));
    assert!(!yard.book().exists());
}

#[test]
fn on_a_day_only_what_holds_is_listed() {
    let yard = yard();
    for (on, rate, limit) in [
        ("1991-03-31", None, None),
        ("1/6/2009", Some("15.0"), None),
        ("2011-01-03", Some("17.5"), None),
        ("2011-01-04", Some("20.0"), None),
        ("2026-06-29", Some("20.0"), Some("\"8000.00\"")),
        ("2026-06-30", Some("20.0"), Some("\"10000.00\"")),
    ] {
        let told = yard.json(&format!("rates --on {on}"));
        let only = |name: &str| {
            let rows = rows(&told, name);
            assert!(rows.len() < 2, "{on} {name}");
            rows.first().map(|row| row["value"].to_string())
        };
        assert_eq!((only("vat-standard-rate").as_deref(), only("cash-limit").as_deref()), (rate, limit), "{on}");
    }
}

#[test]
fn people_and_spreadsheets_read_the_same_figures() {
    let yard = yard();
    let shown = yard.ok("rates --on 2026-11-25").out;
    assert!(
        shown.contains("vat-standard-rate — standard rate of VAT\n4 Jan 2011  20 % — Finance (No. 2) Act 2010 s.3"),
        "{shown}"
    );
    assert!(shown.contains("30 Jun 2026  £10,000.00 — Money Laundering"), "{shown}");
    let csv = yard.ok("rates --format csv").out;
    assert!(csv.starts_with("name,meaning,from,until,value,unit,own,source\r\n"), "{csv}");
    assert!(csv.contains("vat-standard-rate,standard rate of VAT,2008-12-01,2009-12-31,15.00,percent,no,"), "{csv}");
    assert_eq!(csv.lines().count() - 1, yard.json("rates")["rates"].as_array().unwrap().len());
}

#[test]
fn a_file_beside_the_book_or_one_named_comes_before_the_programs_figures() {
    let yard = yard();
    write(&yard, "yard.rates", "vat-standard-rate 2027-04-01 21 Finance Act 2027 # checked\n");
    let ran = yard.ok("rates");
    assert!(ran.out.contains("1 Apr 2027  21 % — your own: Finance Act 2027\n"), "{}", ran.out);
    assert!(ran.err.contains("yard.rates come before"), "{}", ran.err);
    let told = yard.json("rates --on 2027-04-01");
    assert_eq!(
        (&rows(&told, "vat-standard-rate")[0]["value"], &rows(&told, "vat-standard-rate")[0]["own"]),
        (&21.0.into(), &true.into())
    );
    assert!(told["own_file"].as_str().unwrap().ends_with("yard.rates"));
    // A file named is read instead.
    let other = write(&yard, "other.txt", "vat-standard-rate 2027-04-01 22.5\n");
    let told = yard.json(&format!("rates --rates {other} --on 2027-04-01"));
    assert_eq!(rows(&told, "vat-standard-rate")[0]["value"], 22.5);
}

#[test]
fn a_line_that_will_not_do_is_named_and_nothing_is_reckoned_with_half_a_file() {
    let yard = yard();
    yard.ok("pay-in 500");
    let missing = yard.refused("cash --rates nowhere.rates");
    assert!(missing.err.contains("there is no file 'nowhere.rates'"), "{}", missing.err);
    for (text, said) in [
        ("# mine\nvat-rate 2027-04-01 20\n", "line 2: figure 'vat-rate' is not known: there is vat-standard-rate"),
        ("vat-standard-rate 2027-04-01\n", "line 1: line 'vat-standard-rate 2027-04-01' is not understood"),
        ("vat-standard-rate 1/4 20\n", "line 1: date '1/4' is not understood: write it in full"),
        ("vat-standard-rate 2027-04-01 much\n", "line 1: percentage 'much'"),
        ("rejection 2027-04-01 20\n", "line 1: figure 'rejection' is listed only"),
    ] {
        write(&yard, "yard.rates", text);
        for command in ["rates", "cash", "pay-in 5"] {
            let ran = yard.refused(command);
            assert!(ran.code == 1 && ran.err.contains("yard.rates' is not a file of rates"), "{}", ran.err);
            assert!(ran.err.contains(said), "{text}: {}", ran.err);
            assert!(ran.err.contains("hint: a figure a line"), "{}", ran.err);
        }
    }
}

/// £445 to £1,075 at 25 %: a fifth of £630 is £126, where a sixth would be £105.
#[test]
fn sales_are_reckoned_by_the_traders_own_rate_from_its_day_and_the_month_says_so() {
    let yard = yard();
    for line in [
        "settings set vat-registered-from 2026-01-01",
        "pay-in 3000 --on 1/9/2026",
        "buy KX42RTO 425 --on 3/9/2026",
        "buy AB91CDE 445 --on 3/9/2026",
        "sell 1 1055 --on 30/9/2026",
        "sell 2 1075 --on 1/10/2026",
    ] {
        yard.ok(line);
    }
    let vat = |month: &str| yard.json(&format!("month {month}"))["vat_on_margins"].clone();
    assert_eq!((vat("sep"), vat("oct")), ("105.00".into(), "105.00".into()));
    write(&yard, "yard.rates", "vat-standard-rate 2026-10-01 25\n");
    assert_eq!((vat("sep"), vat("oct")), ("105.00".into(), "126.00".into()));
    // Before the first day of the month as well as in it: what is owed is summed by the same rate.
    assert_eq!(yard.json("cash")["vat_owed"], "231.00");
    let said = "the standard rate of VAT of 25 % from 1 Oct 2026 is your own";
    assert!(yard.ok("month oct").err.contains(said));
    assert!(!yard.ok("month sep").err.contains(said));
    assert!(yard.json("month oct")["own_rates"][0].as_str().unwrap().contains(said));
    assert_eq!(yard.json("month sep").get("own_rates"), None);
    // VAT on a bill may be a fifth of it now.
    yard.ok("spend 65 parts --car 1 --vat 13 --on 2/10/2026");
    yard.refused("spend 65 parts --car 1 --vat 13 --on 30/9/2026");
    yard.refused("spend 65 parts --car 1 --vat 13.02 --on 2/10/2026");
    // Not registered: no rate counts.
    yard.ok("settings set vat-registered-from none");
    assert!(!yard.ok("month oct").err.contains(said));
}

#[test]
fn a_cash_limit_of_the_traders_own_is_cautioned_by() {
    let yard = yard();
    yard.ok("pay-in 3000 --on 1/9/2026");
    yard.ok("buy KX42RTO 465 --on 3/9/2026");
    assert!(!yard.ok("sell 1 2000 --paid cash --dry-run").err.contains("high value dealer"));
    write(&yard, "yard.rates", "cash-limit 2026-11-01 £2,000\n");
    let ran = yard.ok("sell 1 2000 --paid cash --dry-run");
    assert!(ran.err.contains("high value dealer limit (£2,000)"), "{}", ran.err);
}

/// 10 miles at 55p are £5.50, where the figure the program came with makes £4.50.
#[test]
fn a_tax_year_and_a_return_say_which_figures_are_the_traders_own() {
    let yard = yard();
    for line in [
        "settings set vat-registered-from 2026-04-01",
        "pay-in 3000 --on 1/9/2026",
        "buy KX42RTO 455 --on 3/9/2026",
        "sell 1 1085 --on 2/10/2026",
        "journey 10 \"to an auction\" --on 3/10/2026",
    ] {
        yard.ok(line);
    }
    let (year, vat) = (yard.json("tax-year"), yard.json("vat"));
    assert_eq!((&year["mileage"]["amount"], &vat["boxes"]["1"]), (&"4.50".into(), &"105.00".into()));
    assert_eq!(year.get("own_rates"), None);
    write(
        &yard,
        "yard.rates",
        "mileage-first 2026-04-06 0.55\nvat-standard-rate 2026-10-01 25\ntrading-allowance 2027-04-06 2,000\n",
    );
    let (year, vat) = (yard.json("tax-year"), yard.json("vat"));
    assert_eq!((&year["mileage"]["amount"], &vat["boxes"]["1"]), (&"5.50".into(), &"126.00".into()));
    let told: Vec<&str> = year["own_rates"].as_array().unwrap().iter().filter_map(Value::as_str).collect();
    assert_eq!(told.len(), 2, "the allowance begins with the next year: {told:?}");
    assert!(told[0].starts_with("the standard rate of VAT of 25 % from 1 Oct 2026 is your own"), "{told:?}");
    assert!(told[1].contains("of £0.55 from 6 Apr 2026 is your own"), "{told:?}");
    assert!(yard.ok("vat").err.contains("the standard rate of VAT of 25 % from 1 Oct 2026 is your own"));
    assert!(yard.ok("tax-year").err.contains("£0.55"));
    assert!(yard.ok("journey 10 back --on 3/10/2026").err.contains("£11.00 at the flat rate"));
}

//! Dates that lapse, as typed: tests, tax, papers, notices, and the list and calendar of them.

use crate::common::Yard;
use serde_json::Value;

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 465 --on 1/10/2026 --mot-until 2026-12-06 --miles 82000 --first-registered 2012-03-14");
    yard
}

fn items(yard: &Yard, line: &str) -> Vec<Value> {
    yard.json(line)["items"].as_array().unwrap().clone()
}

fn of_kind<'i>(items: &'i [Value], kind: &str) -> &'i Value {
    items.iter().find(|item| item["kind"] == kind).unwrap_or_else(|| panic!("no {kind} in {items:?}"))
}

#[test]
fn a_pass_in_the_last_month_keeps_the_anniversary_and_books_the_fee() {
    let yard = yard();
    let said = yard.json("mot 1 pass --on 10/11/2026 --fee 54.85 --miles 82,010 --defect advisory:\"tyre near limit\"");
    assert!(said["summary"].as_str().unwrap().contains("6 Dec 2027"), "{said}");
    assert_eq!(said["cars"][0]["stands_in"], "519.85");
    let car = yard.json("car 1");
    assert_eq!(car["mot_until"], "2027-12-06");
    assert_eq!(car["mot_tests"][0]["result"], "pass");
    assert_eq!(car["mot_tests"][0]["until"], "2027-12-06");
    assert_eq!(car["mot_tests"][0]["miles"], 82010);
    assert_eq!(car["mot_tests"][0]["defects"][0]["level"], "advisory");
    assert_eq!(car["lines"][1]["heading"], "mot");
    yard.ok("undo");
    let car = yard.json("car 1");
    assert_eq!(car["mot_until"], "2026-12-06");
    assert_eq!(car["stands_in"], "465.00");
}

#[test]
fn a_pass_too_early_gives_the_anniversary_up_and_says_so() {
    let yard = yard();
    let said = yard.json("mot 1 pass --on 6/11/2026");
    assert_eq!(yard.json("car 1")["mot_until"], "2027-11-05");
    assert!(said["notes"][0].as_str().unwrap().contains("7 Nov 2026"), "{said}");
}

#[test]
fn the_certificates_own_date_wins_and_the_difference_is_pointed_out() {
    let yard = yard();
    let said = yard.json("mot 1 pass --on 10/11/2026 --until 2027-11-09");
    assert_eq!(yard.json("car 1")["mot_until"], "2027-11-09");
    assert!(said["notes"][0].as_str().unwrap().contains("6 Dec 2027"), "{said}");
}

#[test]
fn a_fail_flags_the_car_until_it_passes() {
    let yard = yard();
    yard.ok("mot 1 fail --on 10/11/2026 --defect \"dangerous:brake pipe corroded through\" --defect major:\"track rod end\"");
    let flags = || yard.json("stock")["cars"][0]["flags"].clone();
    assert_eq!(flags()[0], "dangerous-defect");
    assert_eq!(yard.json("car 1")["mot_until"], "2026-12-06", "a fail does not cancel the certificate it has");
    let sold = yard.json("sell 1 955 --dry-run");
    let notes = sold["notes"].to_string();
    assert!(notes.contains("dangerous") && notes.contains("s.75"), "{notes}");
    yard.ok("mot 1 pass --on 12/11/2026");
    assert!(!flags().to_string().contains("defect"));
}

#[test]
fn tax_runs_from_the_first_of_the_month_and_comes_back_by_whole_months() {
    let yard = yard();
    yard.ok("tax 1 --months 12 --rate 195 --on 20/10/2026");
    let car = yard.json("car 1");
    assert_eq!(car["tax_status"], "taxed");
    assert_eq!(car["tax_until"], "2027-09-30");
    assert_eq!(car["stands_in"], "660.00");
    yard.ok("sell 1 955 --on 10/11/2026");
    // Sold in November: December to September are ten whole months, at 195 ÷ 12.
    let items = items(&yard, "due --within 90");
    let refund = of_kind(&items, "tax-refund");
    assert_eq!(refund["due_on"], "2027-01-05");
    assert!(refund["action"].as_str().unwrap().contains("£162.50"), "{refund}");
    yard.ok("receive 162.50 refund --car 1 --on 20/11/2026");
    assert!(!yard.json("due --within 90").to_string().contains("tax-refund"));
}

#[test]
fn a_sorn_and_neither() {
    let yard = yard();
    yard.ok("tax 1 --months 6 --paid-amount 107.25 --on 20/10/2026");
    assert_eq!(yard.json("car 1")["tax_until"], "2027-03-31");
    let said = yard.json("tax 1 --sorn --on 5/11/2026");
    // 107.25 is 55 % of 195; December to March are four whole months: 65.00.
    assert!(said["notes"][0].as_str().unwrap().contains("£65.00"), "{said}");
    assert_eq!(yard.json("car 1")["tax_status"], "sorn");
    yard.ok("tax 1 --none");
    assert_eq!(yard.json("car 1")["tax_status"], "none");
}

#[test]
fn due_lists_soonest_first_and_what_to_do() {
    let yard = yard();
    yard.ok("ask 1 995");
    yard.ok("paper add \"trade insurance\" --until 2026-12-10 --remind 21");
    yard.ok("standing add rent 95 --every month --from 2026-11-01");
    yard.ok("spend 80 parts --car 1 --unpaid --to \"Hob Lane Spares\" --on 2/11/2026");
    let items = items(&yard, "due");
    let days: Vec<i64> = items.iter().filter_map(|item| item["days_left"].as_i64()).collect();
    assert!(days.is_sorted(), "{days:?}");
    for (kind, on) in [
        ("keeper-notice", "2026-10-01"),
        ("balance", "2026-11-02"),
        ("mot-window", "2026-11-07"),
        ("standing", "2026-12-01"),
        ("mot", "2026-12-06"),
        ("paper", "2026-12-10"),
    ] {
        assert_eq!(of_kind(&items, kind)["due_on"], on, "{kind}");
    }
    assert_eq!(of_kind(&items, "mot")["stock_no"], 1);
    assert_eq!(of_kind(&items, "mot")["mark"], "KX42 RTO");
    let later = yard.json("due --within 0 --kind mot");
    assert_eq!(later["items"].as_array().unwrap().len(), 0);
}

#[test]
fn a_number_means_the_same_until_it_is_done() {
    let yard = yard();
    let notice = of_kind(&items(&yard, "due"), "keeper-notice")["number"].clone();
    yard.ok("buy AB91CDE 345");
    assert_eq!(of_kind(&items(&yard, "due --kind keeper-notice"), "keeper-notice")["number"], notice);
    yard.ok(&format!("done {notice}"));
    assert!(items(&yard, "due").iter().all(|item| item["number"] != notice));
    yard.refused(&format!("done {notice}"));
    let mot = of_kind(&items(&yard, "due"), "mot")["number"].clone();
    let said = yard.refused(&format!("done {mot}")).err;
    assert!(said.contains("runabout mot 1 pass"), "{said}");
    yard.ok("undo 3");
    assert!(items(&yard, "due").iter().any(|item| item["number"] == notice));
}

#[test]
fn check_is_silent_and_0_when_nothing_presses_and_3_when_something_does() {
    let yard = Yard::new("2026-11-25");
    yard.ok("paper add \"trade insurance\" --until 2027-03-14 --remind 21");
    yard.ok("standing add rent 95 --every month --from 2026-11-25");
    yard.ok("settings set backup-days 365");
    let quiet = yard.ok("due --check");
    assert_eq!((quiet.out.as_str(), quiet.err.as_str()), ("", ""));
    let pressing = yard.run("due --check --as-of 2027-02-21");
    assert_eq!(pressing.code, 3);
    assert!(pressing.out.contains("trade insurance"), "{}", pressing.out);
    assert_eq!(yard.run("due --check --as-of 2027-02-20").code, 0);
    assert_eq!(yard.run("due --check --kind standing").code, 3);
}

#[test]
fn a_lapsed_mot_is_listed_only_while_the_car_is_advertised() {
    let yard = yard();
    let mots = |line: &str| items(&yard, line).iter().filter(|item| item["kind"] == "mot").count();
    assert_eq!(mots("due --as-of 2026-12-07"), 0);
    yard.ok("ask 1 995");
    assert_eq!(mots("due --as-of 2026-12-07"), 1);
    assert_eq!(yard.json("stock --as-of 2026-12-06")["cars"][0]["mot_days_left"], 0);
    assert_eq!(yard.json("stock --as-of 2026-12-07")["cars"][0]["flags"][0], "mot-lapsed");
}

#[test]
fn the_rejection_window_is_thirty_days_from_the_day_after_and_for_the_public_only() {
    let yard = yard();
    yard.ok("sell 1 955 --on 10/11/2026 --delivered 12/11/2026");
    assert_eq!(of_kind(&items(&yard, "due"), "rejection-window")["due_on"], "2026-12-12");
    yard.ok("undo");
    yard.ok("sell 1 955 --on 10/11/2026 --to-trade");
    assert!(items(&yard, "due").iter().all(|item| item["kind"] != "rejection-window"));
}

#[test]
fn checks_are_kept_by_item_and_shown_on_the_car() {
    let yard = yard();
    yard.ok("check 1 identity done --on 2/11/2026");
    yard.ok("check 1 recall not-done");
    yard.ok("check 1 RECALL not-needed --note \"none, DVSA site\"");
    let checks = yard.json("car 1")["checks"].clone();
    assert_eq!(checks.as_array().unwrap().iter().filter(|check| !check["on"].is_null()).count(), 2);
    let recall = checks.as_array().unwrap().iter().find(|check| check["item"] == "recall").unwrap().clone();
    assert_eq!(recall["state"], "not-needed");
    assert_eq!(recall["note"], "none, DVSA site");
    let said = yard.json("sell 1 955 --dry-run")["notes"].to_string();
    assert!(said.contains("13 of the 15 checks before sale"), "{said}");
}

#[test]
fn mileage_that_goes_down_is_pointed_out() {
    let yard = yard();
    let said = yard.json("mot 1 pass --miles 81,000")["notes"].to_string();
    assert!(said.contains("81,000 miles") && said.contains("82,000 miles"), "{said}");
}

#[test]
fn dates_that_cannot_be_are_refused_in_words() {
    let yard = yard();
    for (line, words) in [
        ("mot 1 pass --until 2026-11-24", "before the test"),
        ("mot 1 pass --until 6/12", "year"),
        ("mot 1 fail --until 2027-11-24", "fail"),
        ("mot 1 pass --defect major:brakes", "fails a test"),
        ("mot 1 pass --defect serious:brakes", "dangerous, major, minor or advisory"),
        ("mot 1 maybe", "pass or fail"),
        ("mot 1 pass --on 26/11/2026", "after today"),
        ("tax 1 --months 7", "6 or 12"),
        ("tax 1 --months 6 --rate 35", "£50"),
        ("tax 1 --months 12 --from 2026-10-01", "cannot be backdated"),
        ("tax 1", "--months"),
        ("check 1 breaks done", "no item on the pre-sale list 'breaks'"),
        ("check 1 identity maybe", "done, not-needed or not-done"),
        ("paper renew insurance --until 2027-01-01", "none yet"),
        ("paper add insurance --until 14/3", "year"),
        ("done 999", "999"),
        ("due --kind moth", "'moth'"),
    ] {
        let said = yard.refused(line).err;
        assert!(said.contains(words), "`{line}` should say {words:?}, said: {said}");
    }
    yard.ok("tax 1 --months 6");
    let said = yard.refused("tax 1 --months 12").err;
    assert!(said.contains("30 Apr 2027"), "{said}");
}

#[test]
fn the_calendar_holds_what_due_lists() {
    let yard = yard();
    let calendar = yard.ok("calendar").out;
    assert!(calendar.starts_with("BEGIN:VCALENDAR\r\n") && calendar.ends_with("END:VCALENDAR\r\n"));
    assert!(calendar.contains("DTSTART;VALUE=DATE:20261206\r\nDTEND;VALUE=DATE:20261207\r\n"), "{calendar}");
    assert_eq!(calendar, yard.ok("calendar").out, "the same book gives the same bytes");
    let out = yard.folder().join("dates.ics");
    let said = yard.ok(&format!("calendar --out {}", out.display()));
    assert_eq!(std::fs::read_to_string(&out).unwrap(), calendar);
    assert!(said.err.contains("dates.ics"));
}

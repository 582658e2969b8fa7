//! Deposits: taken, topped up, given back in part, kept, counted in a sale.

use super::{month, shows, yard};
use crate::common::Yard;
use serde_json::json;

#[test]
fn a_deposit_taken_topped_up_partly_given_back_and_counted_in_the_sale() {
    let yard = yard();
    yard.ok("deposit 1 100 --by \"D Farrow\" --on 10/9/2026 --paid cash --hold-until 2026-10-01");
    yard.ok("deposit 1 50 --on 12/9/2026");
    yard.ok("deposit 1 --give-back 30 --on 14/9/2026 --paid cash");
    // Held 100 + 50 - 30 = 120. Float 2000 - 500 + 120 = 1620, of which cash 70.
    // 0 + 0 made - 500 in stock + 120 held + 2000 = 1620; tied up 500 - 120 = 380.
    shows(
        &month(&yard, "--as-of 2026-09-15"),
        &json!({"profit": "0.00", "stock_at_cost": "500.00", "cash_tied_up": "380.00", "other_income": "0.00",
            "bridge": {"deposits_increase": "120.00", "float_at_end": "1620.00", "other_parts": []}}),
    );
    shows(
        &yard.json("cash --as-of 2026-09-15"),
        &json!({"float": "1620.00", "cash_in_hand": "70.00", "bank": "1550.00", "deposits_held": "120.00",
            "cash_tied_up": "380.00"}),
    );
    let stock = yard.json("stock --as-of 2026-09-15");
    shows(&stock, &json!({"cash_tied_up": "380.00", "cars": [{"deposit_held": "120.00", "stands_in": "500.00"}]}));
    assert!(stock["cars"][0]["flags"].as_array().unwrap().contains(&json!("deposit")), "{stock}");
    shows(
        &yard.json("car 1 --as-of 2026-09-15"),
        &json!({"deposit_held": "120.00", "deposit_by": "D Farrow", "hold_until": "2026-10-01", "status": "in-stock"}),
    );
    shows(
        &yard.json("due --kind deposit --as-of 2026-09-15"),
        &json!({"items": [{"kind": "deposit", "stock_no": 1, "due_on": "2026-10-01", "days_left": 16}]}),
    );
    // Sold at 900: 900 - 120 = 780 changes hands; he who paid the deposit is the buyer.
    let sold = yard.json("sell 1 900 --on 20/9/2026");
    assert!(sold["summary"].as_str().unwrap().contains("£780.00"), "{sold}");
    shows(
        &yard.json("car 1"),
        &json!({"sold_to": "D Farrow", "deposit_held": "0.00", "owed_by_buyer": "0.00", "profit": "400.00"}),
    );
    // Float 2000 - 500 + 120 + 780 = 2400. In 2000 + 100 + 50 + 780; out 500 + 30.
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "900.00", "profit": "400.00", "money_in": "2930.00", "money_out": "530.00",
            "bridge": {"deposits_increase": "0.00", "float_at_end": "2400.00"}}),
    );
    shows(&yard.json("due --kind deposit"), &json!({"items": []}));
}

#[test]
fn a_deposit_of_one_month_counts_in_a_sale_of_the_next() {
    let yard = yard();
    yard.ok("deposit 1 100 --by \"D Farrow\" --on 28/9/2026");
    yard.ok("sell 1 900 --to \"d farrow\" --on 3/10/2026 --paid-amount 500");
    shows(&month(&yard, "sep"), &json!({"bridge": {"deposits_increase": "100.00", "float_at_end": "1600.00"}}));
    // 900 - 100 - 500 = 300 owed. 1600 + 400 + 500 out of stock - 300 - 100 = 2100.
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "400.00", "bridge": {"deposits_increase": "-100.00", "owed_by_buyers_increase": "300.00",
            "stock_increase": "-500.00", "float_at_end": "2100.00"}}),
    );
}

#[test]
fn a_deposit_kept_is_other_income_and_the_car_can_be_sold_to_another() {
    let yard = yard();
    yard.ok("deposit 1 100 --by \"D Farrow\" --on 10/9/2026");
    yard.ok("deposit 1 --keep --on 15/9/2026");
    // 0 + 100 kept - 500 + 2000 = 1600.
    shows(
        &month(&yard, "sep"),
        &json!({"other_income": "100.00", "profit": "100.00", "sales": "0.00", "average_return_pct": null,
            "bridge": {"deposits_increase": "0.00", "float_at_end": "1600.00"}}),
    );
    let lines = &month(&yard, "sep")["other_income_lines"];
    shows(lines, &json!([{"on": "2026-09-15", "amount": "100.00"}]));
    yard.ok("sell 1 900 --to \"P Lowther\" --on 20/9/2026");
    shows(&yard.json("car 1"), &json!({"profit": "400.00", "owed_by_buyer": "0.00", "sold_to": "P Lowther"}));
    shows(&month(&yard, "sep"), &json!({"profit": "500.00", "bridge": {"float_at_end": "2500.00"}}));
}

/// A trader registered from 1 September keeps a deposit: VAT is a sixth of what exceeds the price
/// of the car, and of all of it for a car bought on an invoice showing VAT.
#[test]
fn a_kept_deposit_and_vat() {
    for (bought, deposit, vat, income) in [
        // Given for nothing: 120 / 6 = 20.
        ("buy KX42RTO 0 --on 3/9/2026", "120", "20.00", "100.00"),
        // 130 - 100 = 30; 30 / 6 = 5.
        ("buy KX42RTO 100 --on 3/9/2026", "130", "5.00", "125.00"),
        // Less than the price.
        ("buy KX42RTO 450 --on 3/9/2026", "120", "0.00", "120.00"),
        // Outside the margin scheme: 120 / 6 = 20; the 75 of input VAT is owed to us.
        ("buy KX42RTO 450 --vat 75 --vat-invoice --on 3/9/2026", "120", "-55.00", "100.00"),
    ] {
        let yard = Yard::new("2026-11-25");
        yard.ok("settings set vat-registered-from 2026-09-01");
        yard.ok("pay-in 2000 --on 1/9/2026");
        yard.ok(bought);
        yard.ok(&format!("deposit 1 {deposit} --by \"D Farrow\" --on 10/9/2026"));
        yard.ok("deposit 1 --keep --on 15/9/2026");
        shows(
            &month(&yard, "sep"),
            &json!({"other_income": income, "profit": income, "bridge": {"vat_owed_increase": vat}}),
        );
        shows(&yard.json("cash"), &json!({"vat_owed": vat, "deposits_held": "0.00"}));
    }
}

#[test]
fn somebody_elses_deposit_is_handed_back_with_the_sale() {
    let yard = yard();
    yard.ok("deposit 1 100 --by \"D Farrow\" --on 10/9/2026 --paid cash");
    yard.ok("sell 1 900 --to \"P Lowther\" --give-back-deposit --on 20/9/2026 --paid bank");
    // Cash 100; bank 1500 - 100 back + 900 = 2300.
    shows(
        &yard.json("cash"),
        &json!({"cash_in_hand": "100.00", "bank": "2300.00", "deposits_held": "0.00", "owed_by_buyers": "0.00"}),
    );
    shows(&yard.json("car 1"), &json!({"sold_to": "P Lowther", "profit": "400.00"}));
    shows(&month(&yard, "sep"), &json!({"profit": "400.00", "bridge": {"float_at_end": "2400.00"}}));
}

#[test]
fn a_deposit_worth_more_than_is_left_after_the_part_exchange_goes_back_as_money() {
    let yard = yard();
    yard.ok("deposit 1 100 --by \"D Farrow\" --on 10/9/2026");
    yard.ok("sell 1 900 --on 20/9/2026 --part-exchange JU48HVD=850");
    // 900 - 850 - 100 = -50: paid to him. Float 1500 + 100 - 50 = 1550; 0 + 400 - 850 + 2000 = 1550.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "400.00", "bridge": {"stock_increase": "850.00", "float_at_end": "1550.00"}}),
    );
}

#[test]
fn a_deposit_into_the_owners_own_pocket_is_drawn() {
    let yard = yard();
    yard.ok("deposit 1 100 --by \"D Farrow\" --on 10/9/2026 --paid own");
    // 0 - 500 + 100 held + 2000 paid in - 100 drawn = 1500.
    shows(
        &month(&yard, "sep"),
        &json!({"bridge": {"deposits_increase": "100.00", "drawn": "100.00", "float_at_end": "1500.00"}}),
    );
}

/// The day the car was kept until went with the deposit that was given back.
#[test]
fn a_new_deposit_is_not_held_until_the_day_of_the_last_one() {
    let yard = yard();
    yard.ok("deposit 1 100 --by \"D Farrow\" --hold-until 2026-10-01 --on 6/9/2026");
    yard.ok("deposit 1 --give-back --on 8/9/2026");
    yard.ok("deposit 1 60 --by \"P Lowther\" --on 10/9/2026");
    shows(&yard.json("car 1"), &json!({"deposit_held": "60.00", "deposit_by": "P Lowther", "hold_until": null}));
}

#[test]
fn an_offer_says_what_it_would_make_and_changes_no_figure() {
    let yard = yard();
    yard.ok("ask 1 950 --lowest 800 --on 6/9/2026");
    let before = month(&yard, "sep");
    let said = yard.json("offer 1 750 --by \"D Farrow\" --on 10/9/2026").to_string();
    assert!(said.contains("£250.00"), "what it would make: {said}");
    assert!(said.contains("£950.00") && said.contains("£800.00"), "{said}");
    assert_eq!(month(&yard, "sep"), before);
    // 750 - 500 = 250, half of 500. Taken that day, after 3 to 10 September: 7 days.
    shows(
        &yard.json("car 1 --as-of 2026-09-10"),
        &json!({"status": "in-stock", "offers": [{"on": "2026-09-10", "by": "D Farrow", "amount": "750.00",
            "profit": "250.00", "return_pct": 50.0, "multiple": 1.5, "days": 7}]}),
    );
    // Taken later, it would make less by what was spent since: 750 - 525 = 225, 42.857 %, in 27 days.
    yard.ok("spend 25 valet --car 1 --on 20/9/2026");
    shows(
        &yard.json("car 1 --as-of 2026-09-30"),
        &json!({"offers": [{"profit": "225.00", "return_pct": 42.86, "days": 27}]}),
    );
}

#[test]
fn a_deposit_over_the_asking_price_is_remarked_on() {
    let yard = yard();
    let notes =
        |line: &str| yard.json(line)["notes"].as_array().unwrap().iter().map(ToString::to_string).collect::<String>();
    yard.ok("ask 1 900 --on 9/9/2026");
    assert!(!notes("deposit 1 850 --by \"D Farrow\" --on 10/9/2026").contains("more than"));
    assert!(notes("deposit 1 100 --on 11/9/2026").contains("more than the £900.00 asked for it"));
}

//! Deposits: taken, topped up, given back in part, kept, counted in a sale.

use super::{month, shows, yard};
use crate::common::Yard;
use serde_json::json;

#[test]
fn a_deposit_taken_topped_up_partly_given_back_and_counted_in_the_sale() {
    let yard = yard();
    yard.ok("deposit 1 90 --by \"D Farrow\" --on 10/9/2026 --paid cash --hold-until 2026-10-01");
    yard.ok("deposit 1 45 --on 12/9/2026");
    yard.ok("deposit 1 --give-back 25 --on 14/9/2026 --paid cash");
    // Held 90 + 45 - 25 = 110. Float 2000 - 500 + 110 = 1610, of which cash 65.
    // 0 + 0 made - 500 in stock + 110 held + 2000 = 1610; tied up 500 - 110 = 390.
    shows(
        &month(&yard, "--as-of 2026-09-15"),
        &json!({"profit": "0.00", "stock_at_cost": "500.00", "cash_tied_up": "390.00", "other_income": "0.00",
            "bridge": {"deposits_increase": "110.00", "float_at_end": "1610.00", "other_parts": []}}),
    );
    shows(
        &yard.json("cash --as-of 2026-09-15"),
        &json!({"float": "1610.00", "cash_in_hand": "65.00", "bank": "1545.00", "deposits_held": "110.00",
            "cash_tied_up": "390.00"}),
    );
    let stock = yard.json("stock --as-of 2026-09-15");
    shows(&stock, &json!({"cash_tied_up": "390.00", "cars": [{"deposit_held": "110.00", "stands_in": "500.00"}]}));
    assert!(stock["cars"][0]["flags"].as_array().unwrap().contains(&json!("deposit")), "{stock}");
    shows(
        &yard.json("car 1 --as-of 2026-09-15"),
        &json!({"deposit_held": "110.00", "deposit_by": "D Farrow", "hold_until": "2026-10-01", "status": "in-stock"}),
    );
    shows(
        &yard.json("due --kind deposit --as-of 2026-09-15"),
        &json!({"items": [{"kind": "deposit", "stock_no": 1, "due_on": "2026-10-01", "days_left": 16}]}),
    );
    // Sold at 920: 920 - 110 = 810 changes hands; who paid the deposit is the buyer.
    let sold = yard.json("sell 1 920 --on 20/9/2026");
    assert!(sold["summary"].as_str().unwrap().contains("£810.00"), "{sold}");
    shows(
        &yard.json("car 1"),
        &json!({"sold_to": "D Farrow", "deposit_held": "0.00", "owed_by_buyer": "0.00", "profit": "420.00"}),
    );
    // Float 2000 - 500 + 110 + 810 = 2420. In 2000 + 90 + 45 + 810; out 500 + 25.
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "920.00", "profit": "420.00", "money_in": "2945.00", "money_out": "525.00",
            "bridge": {"deposits_increase": "0.00", "float_at_end": "2420.00"}}),
    );
    shows(&yard.json("due --kind deposit"), &json!({"items": []}));
}

#[test]
fn a_deposit_of_one_month_counts_in_a_sale_of_the_next() {
    let yard = yard();
    yard.ok("deposit 1 115 --by \"D Farrow\" --on 28/9/2026");
    yard.ok("sell 1 920 --to \"d farrow\" --on 3/10/2026 --paid-amount 515");
    shows(&month(&yard, "sep"), &json!({"bridge": {"deposits_increase": "115.00", "float_at_end": "1615.00"}}));
    // 920 - 115 - 515 = 290 owed. 1615 + 420 + 500 out of stock - 290 - 115 = 2130.
    shows(
        &month(&yard, "oct"),
        &json!({"profit": "420.00", "bridge": {"deposits_increase": "-115.00", "owed_by_buyers_increase": "290.00",
            "stock_increase": "-500.00", "float_at_end": "2130.00"}}),
    );
}

#[test]
fn a_deposit_kept_is_other_income_and_the_car_can_be_sold_to_another() {
    let yard = yard();
    yard.ok("deposit 1 110 --by \"D Farrow\" --on 10/9/2026");
    yard.ok("deposit 1 --keep --on 15/9/2026");
    // 0 + 110 kept - 500 + 2000 = 1610.
    shows(
        &month(&yard, "sep"),
        &json!({"other_income": "110.00", "profit": "110.00", "sales": "0.00", "average_return_pct": null,
            "bridge": {"deposits_increase": "0.00", "float_at_end": "1610.00"}}),
    );
    let lines = &month(&yard, "sep")["other_income_lines"];
    shows(lines, &json!([{"on": "2026-09-15", "amount": "110.00"}]));
    yard.ok("sell 1 920 --to \"P Lowther\" --on 20/9/2026");
    shows(&yard.json("car 1"), &json!({"profit": "420.00", "owed_by_buyer": "0.00", "sold_to": "P Lowther"}));
    shows(&month(&yard, "sep"), &json!({"profit": "530.00", "bridge": {"float_at_end": "2530.00"}}));
}

/// A trader registered from 1 September keeps a deposit: VAT is a sixth of all of it, and whether it is for a
/// car under the margin scheme is not settled.
#[test]
fn a_kept_deposit_and_vat() {
    for (bought, deposit, vat, income) in [
        // In full, whatever was paid for the car: 132 / 6 = 22.
        ("buy KX42RTO 0 --on 3/9/2026", "132", "22.00", "110.00"),
        ("buy KX42RTO 110 --on 3/9/2026", "132", "22.00", "110.00"),
        ("buy KX42RTO 480 --on 3/9/2026", "132", "22.00", "110.00"),
        // Outside the margin scheme too; the 80 of input VAT is owed to us.
        ("buy KX42RTO 480 --vat 80 --vat-invoice --on 3/9/2026", "132", "-58.00", "110.00"),
    ] {
        let yard = Yard::new("2026-11-25");
        yard.ok("settings set vat-registered-from 2026-09-01");
        yard.ok("pay-in 2000 --on 1/9/2026");
        yard.ok(bought);
        yard.ok(&format!("deposit 1 {deposit} --by \"D Farrow\" --on 10/9/2026"));
        let said = yard.ok("deposit 1 --keep --on 15/9/2026");
        let is_settled = bought.contains("--vat-invoice");
        assert!(said.err.contains("£22.00 of it is VAT to pay, in full"), "{}", said.err);
        assert_eq!(said.err.contains("is not settled"), !is_settled, "{}", said.err);
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
    yard.ok("deposit 1 95 --by \"D Farrow\" --on 10/9/2026 --paid cash");
    yard.ok("sell 1 920 --to \"P Lowther\" --give-back-deposit --on 20/9/2026 --paid bank");
    // Cash 95; bank 1500 - 95 back + 920 = 2325.
    shows(
        &yard.json("cash"),
        &json!({"cash_in_hand": "95.00", "bank": "2325.00", "deposits_held": "0.00", "owed_by_buyers": "0.00"}),
    );
    shows(&yard.json("car 1"), &json!({"sold_to": "P Lowther", "profit": "420.00"}));
    shows(&month(&yard, "sep"), &json!({"profit": "420.00", "bridge": {"float_at_end": "2420.00"}}));
}

#[test]
fn a_deposit_worth_more_than_is_left_after_the_part_exchange_goes_back_as_money() {
    let yard = yard();
    yard.ok("deposit 1 105 --by \"D Farrow\" --on 10/9/2026");
    yard.ok("sell 1 920 --on 20/9/2026 --part-exchange JU48HVD=860");
    // 920 - 860 - 105 = -45: paid to the buyer. Float 1500 + 105 - 45 = 1560; 0 + 420 - 860 + 2000 = 1560.
    shows(
        &month(&yard, "sep"),
        &json!({"profit": "420.00", "bridge": {"stock_increase": "860.00", "float_at_end": "1560.00"}}),
    );
}

#[test]
fn a_deposit_into_the_owners_own_pocket_is_drawn() {
    let yard = yard();
    yard.ok("deposit 1 105 --by \"D Farrow\" --on 10/9/2026 --paid own");
    // 0 - 500 + 105 held + 2000 paid in - 105 drawn = 1500.
    shows(
        &month(&yard, "sep"),
        &json!({"bridge": {"deposits_increase": "105.00", "drawn": "105.00", "float_at_end": "1500.00"}}),
    );
}

/// The day the car was kept until went with the deposit that was given back.
#[test]
fn a_new_deposit_is_not_held_until_the_day_of_the_last_one() {
    let yard = yard();
    yard.ok("deposit 1 105 --by \"D Farrow\" --hold-until 2026-10-01 --on 6/9/2026");
    yard.ok("deposit 1 --give-back --on 8/9/2026");
    yard.ok("deposit 1 65 --by \"P Lowther\" --on 10/9/2026");
    shows(&yard.json("car 1"), &json!({"deposit_held": "65.00", "deposit_by": "P Lowther", "hold_until": null}));
}

#[test]
fn an_offer_says_what_it_would_make_and_changes_no_figure() {
    let yard = yard();
    yard.ok("ask 1 985 --lowest 835 --on 6/9/2026");
    let before = month(&yard, "sep");
    let said = yard.json("offer 1 775 --by \"D Farrow\" --on 10/9/2026").to_string();
    assert!(said.contains("£275.00"), "what it would make: {said}");
    assert!(said.contains("£985.00") && said.contains("£835.00"), "{said}");
    assert_eq!(month(&yard, "sep"), before);
    // 775 - 500 = 275, 55 % of 500. Taken that day, after 3 to 10 September: 7 days.
    shows(
        &yard.json("car 1 --as-of 2026-09-10"),
        &json!({"status": "in-stock", "offers": [{"on": "2026-09-10", "by": "D Farrow", "amount": "775.00",
            "profit": "275.00", "return_pct": 55.0, "multiple": 1.55, "days": 7}]}),
    );
    // What was spent since, the day it is asked, and the sale itself change nothing of what was heard.
    let heard = yard.json("car 1 --as-of 2026-09-10")["offers"].clone();
    yard.ok("spend 25 valet --car 1 --on 20/9/2026");
    assert_eq!(yard.json("car 1 --as-of 2026-09-30")["offers"], heard);
    yard.ok("sell 1 880 --on 3/10/2026");
    assert_eq!(yard.json("car 1")["offers"], heard);
}

#[test]
fn a_deposit_over_the_asking_price_is_remarked_on() {
    let yard = yard();
    let notes =
        |line: &str| yard.json(line)["notes"].as_array().unwrap().iter().map(ToString::to_string).collect::<String>();
    yard.ok("ask 1 915 --on 9/9/2026");
    assert!(!notes("deposit 1 860 --by \"D Farrow\" --on 10/9/2026").contains("more than"));
    assert!(notes("deposit 1 70 --on 11/9/2026").contains("more than the £915.00 asked for it"));
}

//! Cars that never sell.

use super::{month, notes, shows, yard};
use serde_json::json;

#[test]
fn scrapped_with_a_certificate() {
    let yard = yard();
    yard.ok("dispose 1 scrapped --on 20/9/2026 --received 195 --to \"Tarn Metals\" --certificate CD1234567");
    // 500 - 195 = 305 lost. 0 - 305 + 2000 = 1695 = 1500 + 195.
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "0.00", "disposal_losses": "305.00", "profit": "-305.00", "cars_sold": [],
            "cars_disposed": [{"stock_no": 1, "mark": "KX42 RTO", "on": "2026-09-20", "how": "scrapped",
                "stands_in": "500.00", "value": "0.00", "received": "195.00", "loss": "305.00"}],
            "disposal_lines": [{"heading": "scrap-sold", "on": "2026-09-20"}], "other_income": "0.00",
            "stock_at_cost": "0.00", "bridge": {"stock_increase": "0.00", "float_at_end": "1695.00", "other_parts": []}}),
    );
    shows(
        &yard.json("car 1"),
        &json!({"status": "scrapped", "left_on": "2026-09-20", "stands_in": "500.00", "certificate": "CD1234567",
            "disposed_to": "Tarn Metals", "disposal_received": "195.00", "disposal_loss": "305.00", "days_in_stock": 17,
            "profit": null, "sold_on": null}),
    );
    shows(&yard.json("stock"), &json!({"count": 0, "stock_at_cost": "0.00"}));
    shows(&yard.json("stock --as-of 2026-09-19"), &json!({"count": 1}));
    // The same vehicle could not come back under its mark unless it had left.
    yard.ok("buy KX42RTO 335 --on 21/9/2026");
}

#[test]
fn broken_with_parts_money_later() {
    let yard = yard();
    let said = notes(&yard, "dispose 1 broken --on 20/9/2026");
    assert!(said.contains("runabout receive AMOUNT parts-sold --car CAR"), "{said}");
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "500.00", "profit": "-500.00", "bridge": {"float_at_end": "1500.00"}}),
    );
    yard.ok("receive 135 parts-sold --car 1 --on 5/10/2026 --from \"D Farrow\"");
    yard.ok("spend 25 transport --car 1 --on 6/10/2026");
    yard.ok("receive 65 parts-sold --car 1 --on 7/11/2026 --paid cash");
    // October: 25 - 135 = -110: a gain. November: -65.
    shows(
        &month(&yard, "oct"),
        &json!({"disposal_losses": "-110.00", "after_sale_costs": "0.00", "other_income": "0.00", "profit": "110.00",
            "cars_disposed": [], "disposal_lines": [{"on": "2026-10-05"}, {"on": "2026-10-06"}],
            "bridge": {"float_at_end": "1610.00"}}),
    );
    shows(
        &month(&yard, "nov"),
        &json!({"disposal_losses": "-65.00", "profit": "65.00", "bridge": {"float_at_end": "1675.00"}}),
    );
    // All in all 500 - 135 + 25 - 65 = 325.
    shows(
        &yard.json("car 1"),
        &json!({"status": "broken", "stands_in": "500.00", "disposal_received": "175.00", "disposal_loss": "325.00"}),
    );
}

#[test]
fn parts_money_of_the_same_month_is_in_the_row_too() {
    let yard = yard();
    yard.ok("dispose 1 broken --on 20/9/2026 --received 35");
    yard.ok("receive 135 parts-sold --car 1 --on 25/9/2026");
    // 500 - 35 - 135 = 330.
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "330.00", "cars_disposed": [{"how": "broken", "received": "170.00", "loss": "330.00"}]}),
    );
}

#[test]
fn lost_with_insurance_money_later_than_the_day() {
    let yard = yard();
    yard.ok("dispose 1 lost --on 20/9/2026");
    yard.ok("receive 365 insurance-paid --car 1 --on 20/10/2026");
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "500.00", "cars_disposed": [{"how": "lost", "loss": "500.00"}]}),
    );
    shows(
        &month(&yard, "oct"),
        &json!({"disposal_losses": "-365.00", "profit": "365.00", "bridge": {"float_at_end": "1865.00"}}),
    );
    shows(&yard.json("car 1"), &json!({"status": "lost", "disposal_loss": "135.00"}));
}

#[test]
fn lost_with_insurance_money_on_the_day_goes_under_its_heading() {
    let yard = yard();
    yard.ok("dispose 1 lost --on 20/9/2026 --received 365 --paid bank");
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "135.00", "disposal_lines": [{"heading": "insurance-paid"}], "bridge": {"float_at_end": "1865.00"}}),
    );
}

#[test]
fn kept_is_drawn_in_kind() {
    let yard = yard();
    yard.ok("dispose 1 kept --value 385 --on 20/9/2026");
    // 500 - 385 = 115 lost. 0 - 115 - 0 + 2000 - 385 in kind = 1500.
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "115.00", "profit": "-115.00", "money_in": "2000.00", "money_out": "500.00",
            "cars_disposed": [{"how": "kept", "stands_in": "500.00", "value": "385.00", "received": "0.00", "loss": "115.00"}],
            "bridge": {"drawn": "0.00", "other_parts": [{"name": "cars kept", "amount": "-385.00"}], "float_at_end": "1500.00"}}),
    );
    shows(&yard.json("car 1"), &json!({"status": "kept", "disposal_value": "385.00", "disposal_loss": "115.00"}));
}

#[test]
fn kept_for_more_than_it_stood_in_at_is_a_gain() {
    let yard = yard();
    yard.ok("dispose 1 kept --value 645 --on 20/9/2026");
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "-145.00", "profit": "145.00", "bridge": {"other": "-645.00"}}),
    );
}

#[test]
fn on_the_day_it_goes_a_cost_is_still_its_own_and_a_receipt_is_of_its_going() {
    let yard = yard();
    yard.ok("spend 35 transport --car 1 --on 20/9/2026");
    yard.ok("dispose 1 scrapped --on 20/9/2026");
    yard.ok("receive 195 scrap-sold --car 1 --on 20/9/2026");
    // 500 + 35 stood in, 195 received: 340 lost.
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "340.00", "cars_disposed": [{"stands_in": "535.00", "received": "195.00", "loss": "340.00"}]}),
    );
}

#[test]
fn favours_on_a_disposed_car_count_at_usual_prices() {
    let yard = yard();
    yard.ok("spend 0 transport --usual 65 --car 1 --on 6/9/2026");
    yard.ok("dispose 1 scrapped --on 20/9/2026");
    shows(&month(&yard, "sep"), &json!({"profit": "-500.00", "profit_at_usual_prices": "-565.00"}));
}

#[test]
fn a_car_that_came_back_can_be_scrapped() {
    let yard = yard();
    yard.ok("sell 1 920 --on 10/9/2026 --to \"D Farrow\"");
    yard.ok("take-back 1 --on 20/9/2026");
    yard.ok("dispose 1 scrapped --on 5/10/2026 --received 195");
    shows(&month(&yard, "oct"), &json!({"disposal_losses": "305.00", "bridge": {"float_at_end": "1695.00"}}));
    shows(&yard.json("car 1"), &json!({"status": "scrapped", "days_in_stock": 22, "sold_on": null, "profit": null}));
}

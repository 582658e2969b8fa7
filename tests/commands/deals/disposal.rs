//! Cars that never sell.

use super::{month, notes, shows, yard};
use serde_json::json;

#[test]
fn scrapped_with_a_certificate() {
    let yard = yard();
    yard.ok("dispose 1 scrapped --on 20/9/2026 --received 180 --to \"Tarn Metals\" --certificate CD1234567");
    // 500 - 180 = 320 lost. 0 - 320 + 2000 = 1680 = 1500 + 180.
    shows(
        &month(&yard, "sep"),
        &json!({"sales": "0.00", "disposal_losses": "320.00", "profit": "-320.00", "cars_sold": [],
            "cars_disposed": [{"stock_no": 1, "mark": "KX42 RTO", "on": "2026-09-20", "how": "scrapped",
                "stands_in": "500.00", "value": "0.00", "received": "180.00", "loss": "320.00"}],
            "disposal_lines": [{"heading": "scrap-sold", "on": "2026-09-20"}], "other_income": "0.00",
            "stock_at_cost": "0.00", "bridge": {"stock_increase": "0.00", "float_at_end": "1680.00", "other_parts": []}}),
    );
    shows(
        &yard.json("car 1"),
        &json!({"status": "scrapped", "left_on": "2026-09-20", "stands_in": "500.00", "certificate": "CD1234567",
            "disposed_to": "Tarn Metals", "disposal_received": "180.00", "disposal_loss": "320.00", "days_in_stock": 17,
            "profit": null, "sold_on": null}),
    );
    shows(&yard.json("stock"), &json!({"count": 0, "stock_at_cost": "0.00"}));
    shows(&yard.json("stock --as-of 2026-09-19"), &json!({"count": 1}));
    // The same vehicle could not come back under its mark unless it had left.
    yard.ok("buy KX42RTO 10 --on 21/9/2026");
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
    yard.ok("receive 140 parts-sold --car 1 --on 5/10/2026 --from \"D Farrow\"");
    yard.ok("spend 20 transport --car 1 --on 6/10/2026");
    yard.ok("receive 60 parts-sold --car 1 --on 7/11/2026 --paid cash");
    // October: 20 - 140 = -120: a gain. November: -60.
    shows(
        &month(&yard, "oct"),
        &json!({"disposal_losses": "-120.00", "after_sale_costs": "0.00", "other_income": "0.00", "profit": "120.00",
            "cars_disposed": [], "disposal_lines": [{"on": "2026-10-05"}, {"on": "2026-10-06"}],
            "bridge": {"float_at_end": "1620.00"}}),
    );
    shows(
        &month(&yard, "nov"),
        &json!({"disposal_losses": "-60.00", "profit": "60.00", "bridge": {"float_at_end": "1680.00"}}),
    );
    // All in all 500 - 140 + 20 - 60 = 320.
    shows(
        &yard.json("car 1"),
        &json!({"status": "broken", "stands_in": "500.00", "disposal_received": "180.00", "disposal_loss": "320.00"}),
    );
}

#[test]
fn parts_money_of_the_same_month_is_in_the_row_too() {
    let yard = yard();
    yard.ok("dispose 1 broken --on 20/9/2026 --received 30");
    yard.ok("receive 140 parts-sold --car 1 --on 25/9/2026");
    // 500 - 30 - 140 = 330.
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "330.00", "cars_disposed": [{"how": "broken", "received": "170.00", "loss": "330.00"}]}),
    );
}

#[test]
fn lost_with_insurance_money_later_than_the_day() {
    let yard = yard();
    yard.ok("dispose 1 lost --on 20/9/2026");
    yard.ok("receive 350 insurance-paid --car 1 --on 20/10/2026");
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "500.00", "cars_disposed": [{"how": "lost", "loss": "500.00"}]}),
    );
    shows(
        &month(&yard, "oct"),
        &json!({"disposal_losses": "-350.00", "profit": "350.00", "bridge": {"float_at_end": "1850.00"}}),
    );
    shows(&yard.json("car 1"), &json!({"status": "lost", "disposal_loss": "150.00"}));
}

#[test]
fn lost_with_insurance_money_on_the_day_goes_under_its_heading() {
    let yard = yard();
    yard.ok("dispose 1 lost --on 20/9/2026 --received 350 --paid bank");
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "150.00", "disposal_lines": [{"heading": "insurance-paid"}], "bridge": {"float_at_end": "1850.00"}}),
    );
}

#[test]
fn kept_is_drawn_in_kind() {
    let yard = yard();
    yard.ok("dispose 1 kept --value 400 --on 20/9/2026");
    // 500 - 400 = 100 lost. 0 - 100 - 0 + 2000 - 400 in kind = 1500.
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "100.00", "profit": "-100.00", "money_in": "2000.00", "money_out": "500.00",
            "cars_disposed": [{"how": "kept", "stands_in": "500.00", "value": "400.00", "received": "0.00", "loss": "100.00"}],
            "bridge": {"drawn": "0.00", "other_parts": [{"name": "cars kept", "amount": "-400.00"}], "float_at_end": "1500.00"}}),
    );
    shows(&yard.json("car 1"), &json!({"status": "kept", "disposal_value": "400.00", "disposal_loss": "100.00"}));
}

#[test]
fn kept_for_more_than_it_stood_in_at_is_a_gain() {
    let yard = yard();
    yard.ok("dispose 1 kept --value 650 --on 20/9/2026");
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "-150.00", "profit": "150.00", "bridge": {"other": "-650.00"}}),
    );
}

#[test]
fn on_the_day_it_goes_a_cost_is_still_its_own_and_a_receipt_is_of_its_going() {
    let yard = yard();
    yard.ok("spend 30 transport --car 1 --on 20/9/2026");
    yard.ok("dispose 1 scrapped --on 20/9/2026");
    yard.ok("receive 180 scrap-sold --car 1 --on 20/9/2026");
    // 500 + 30 stood in, 180 received: 350 lost.
    shows(
        &month(&yard, "sep"),
        &json!({"disposal_losses": "350.00", "cars_disposed": [{"stands_in": "530.00", "received": "180.00", "loss": "350.00"}]}),
    );
}

#[test]
fn favours_on_a_disposed_car_count_at_usual_prices() {
    let yard = yard();
    yard.ok("spend 0 transport --usual 60 --car 1 --on 6/9/2026");
    yard.ok("dispose 1 scrapped --on 20/9/2026");
    shows(&month(&yard, "sep"), &json!({"profit": "-500.00", "profit_at_usual_prices": "-560.00"}));
}

#[test]
fn a_car_that_came_back_can_be_scrapped() {
    let yard = yard();
    yard.ok("sell 1 900 --on 10/9/2026 --to \"D Farrow\"");
    yard.ok("take-back 1 --on 20/9/2026");
    yard.ok("dispose 1 scrapped --on 5/10/2026 --received 180");
    shows(&month(&yard, "oct"), &json!({"disposal_losses": "320.00", "bridge": {"float_at_end": "1680.00"}}));
    shows(&yard.json("car 1"), &json!({"status": "scrapped", "days_in_stock": 22, "sold_on": null, "profit": null}));
}

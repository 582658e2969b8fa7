//! Specific identification: each car is its own cost. Units that can be told apart are costed one
//! by one, whatever order they are sold in.

use crate::common::Yard;

/// "Specific identification", Introduction to Financial Accounting (open textbook),
/// opentextbooks.org.hk/ditatopic/23164: five units costing 15 in all are bought on 1, 5, 7, 21 and
/// 28 June; those of 1, 7, 5 and 28 June are sold and the one of 21 June is left. Cost of goods
/// sold 11, ending inventory 4. (Unit costs 1 to 5 in order of purchase: from memory.)
#[test]
fn the_units_sold_carry_their_own_cost() {
    let yard = Yard::new("2026-06-30");
    for (n, (on, cost)) in [("1", 1), ("5", 2), ("7", 3), ("21", 4), ("28", 5)].into_iter().enumerate() {
        yard.ok(&format!("buy KX4{n}RTO {cost} --on {on}/6/2026"));
    }
    for (n, on) in [(0, 10), (2, 15), (1, 20), (4, 29)] {
        yard.ok(&format!("sell KX4{n}RTO 20 --on {on}/6/2026"));
    }
    let month = yard.json("month");
    assert_eq!(month["cost_of_cars_sold"], "11.00");
    assert_eq!(month["stock_at_cost"], "4.00");
}

/// From memory of an open accounting text: three like units costing 10, 12 and 14, two sold at 25 each,
/// "whichever units were sold": by specific identification cost of
/// goods sold is that of the two that went. Here the dearest and the cheapest go.
#[test]
fn whichever_units_were_sold() {
    let yard = Yard::new("2026-06-30");
    for (n, cost) in [10, 12, 14].into_iter().enumerate() {
        yard.ok(&format!("buy KX4{n}RTO {cost} --on 1/6/2026"));
    }
    yard.ok("sell KX42RTO 25 --on 10/6/2026");
    yard.ok("sell KX40RTO 25 --on 11/6/2026");
    let month = yard.json("month");
    assert_eq!(month["cost_of_cars_sold"], "24.00");
    assert_eq!(month["gross_profit"], "26.00");
    assert_eq!(month["stock_at_cost"], "12.00");
}

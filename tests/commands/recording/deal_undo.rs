//! Undo of deals: every table as it was, and back again; or the later entry that stands in the way.

use crate::common::Yard;

/// Tables that say what was typed and changed, and so go on growing.
const LOG: &[&str] = &["entry", "entry_car", "history", "sqlite_sequence"];

/// The yard after some commands, each of them undone and brought back on the way.
fn there_and_back(lines: &[&str]) -> Yard {
    let yard = Yard::new("2026-11-25");
    for (n, line) in lines.iter().enumerate() {
        let before = yard.dump_except(LOG);
        let entry = yard.json(line)["entry"].as_i64().unwrap();
        let after = yard.dump_except(LOG);
        assert_ne!(before, after, "`{line}` recorded nothing");
        if n > 0 {
            let undone = yard.json("undo");
            assert!(undone["summary"].as_str().unwrap().contains(&format!("entry {entry}, which said:")), "{undone}");
            assert_eq!(yard.dump_except(LOG), before, "undoing `{line}`");
            yard.ok(&format!("undo {}", undone["entry"]));
            assert_eq!(yard.dump_except(LOG), after, "bringing back `{line}`");
        }
    }
    yard
}

#[test]
fn deposits_there_and_back() {
    there_and_back(&[
        "pay-in 2000 --on 1/9/2026",
        "buy KX42RTO 475 --on 3/9/2026",
        "ask 1 1,025 --on 4/9/2026",
        "offer 1 845 --by \"P Lowther\" --on 5/9/2026",
        "deposit 1 90 --by \"D Farrow\" --hold-until 2026-10-01 --on 6/9/2026",
        "deposit 1 45 --on 7/9/2026 --paid cash",
        "deposit 1 --give-back 25 --on 8/9/2026",
        "sell 1 965 --on 10/9/2026",
        "buy AB91CDE 345 --on 10/9/2026",
        "deposit 2 70 --by \"P Lowther\" --on 11/9/2026",
        "deposit 2 --keep --on 20/9/2026",
        "deposit 2 70 --by \"D Farrow\" --on 21/9/2026",
        "sell 2 690 --to \"P Lowther\" --give-back-deposit --on 22/9/2026",
    ]);
}

#[test]
fn sales_and_take_backs_there_and_back() {
    there_and_back(&[
        "pay-in 2000 --on 1/9/2026",
        "buy KX42RTO 475 --on 3/9/2026 --paid-amount 310",
        "spend 165 balance --car 1 --on 4/9/2026",
        "sell 1 1180 --on 10/9/2026 --to \"D Farrow\" --paid-amount 520 --miles 82000 --part-exchange JU48HVD=215 \
         --part-exchange TU98KLM=115 --note \"two keys\"",
        "receive 95 balance --car 1 --on 11/9/2026",
        "write-off 1 45 --on 12/9/2026",
        "take-back 1 --on 20/9/2026 --return-part-exchange --reason \"gearbox failed\" --unpaid",
        "spend 385 balance --car 1 --on 21/9/2026",
        "sell 1 760 --on 25/9/2026 --to \"P Lowther\" --part-exchange LX95VWN=320 --part-exchange-finance LX95VWN=120",
        "spend 120 balance --car 4 --on 26/9/2026",
        "take-back 1 --refund 440 --on 30/9/2026",
    ]);
}

#[test]
fn disposals_bills_and_the_rest_there_and_back() {
    there_and_back(&[
        "settings set auction:moor-lane \"0=75 250=110\"",
        "pay-in 2,300 --loan \"Aunt Wyn\" --on 1/9/2026",
        "buy KX42RTO 475 --auction \"Moor Lane\" --indemnity 25 --on 3/9/2026",
        "buy AB91CDE 345 --via auction --buyers-fee 120 --fee-vat 20 --on 3/9/2026",
        "buy TU98KLM 365 --on 3/9/2026",
        "buy LX95VWN 385 --on 3/9/2026",
        "spend 84 parts --car 1 --unpaid --to \"Hob Lane Spares\" --on 4/9/2026",
        "spend 84 balance --to \"Hob Lane Spares\" --on 5/9/2026",
        "dispose 1 scrapped --on 6/9/2026 --received 195 --to \"Tarn Metals\" --certificate CD1234567",
        "dispose 2 broken --on 6/9/2026",
        "receive 35 parts-sold --car 2 --on 7/9/2026",
        "dispose 3 lost --on 8/9/2026 --received 290",
        "dispose 4 kept --value 310 --on 8/9/2026",
        "draw 480 --loan \"Aunt Wyn\" --on 9/9/2026",
    ]);
}

/// Records lines, then undoes the entry `target`: it is refused, and names `by` with its words.
fn in_the_way(lines: &[&str], target: usize, by: usize, words: &str) {
    let yard = Yard::new("2026-11-25");
    for line in lines {
        yard.ok(line);
    }
    let said = yard.refused(&format!("undo {target}"));
    assert_eq!(said.code, 1);
    assert!(
        said.err.contains(&format!("entry {target} cannot change while entry {by} stands")) && said.err.contains(words),
        "undo {target} of {lines:#?} should name entry {by} ({words}), said: {}",
        said.err
    );
    assert!(said.err.contains(&format!("`runabout undo {by}`")), "{}", said.err);
}

const BUY: &str = "buy KX42RTO 475 --on 3/9/2026";
const SELL: &str = "sell 1 965 --on 10/9/2026 --to \"D Farrow\"";
const DEPOSIT: &str = "deposit 1 90 --by \"D Farrow\" --on 5/9/2026";

#[test]
fn a_sale_that_was_taken_back() {
    in_the_way(&[BUY, SELL, "take-back 1 --on 20/9/2026"], 2, 3, "took back 1 KX42 RTO");
    // The first sale once there is a second.
    in_the_way(&[BUY, SELL, "take-back 1 --on 20/9/2026", "sell 1 985 --on 25/9/2026"], 2, 3, "took back 1 KX42 RTO");
}

#[test]
fn a_take_back_once_the_car_is_sold_again() {
    in_the_way(
        &[BUY, SELL, "take-back 1 --on 20/9/2026", "sell 1 985 --on 25/9/2026"],
        3,
        4,
        "sold 1 KX42 RTO for £985.00",
    );
    in_the_way(&[BUY, SELL, "take-back 1 --on 20/9/2026", "dispose 1 scrapped --on 25/9/2026"], 3, 4, "scrapped");
    in_the_way(&[BUY, SELL, "take-back 1 --on 20/9/2026", "deposit 1 50 --on 25/9/2026"], 3, 4, "deposit");
}

#[test]
fn a_take_back_whose_refund_was_paid() {
    in_the_way(
        &[BUY, SELL, "take-back 1 --unpaid --on 20/9/2026", "spend 965 balance --car 1 --on 21/9/2026"],
        3,
        4,
        "£965.00",
    );
}

#[test]
fn a_take_back_whose_returned_car_was_bought_again() {
    let sell = "sell 1 965 --on 10/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=215";
    in_the_way(
        &[BUY, sell, "take-back 1 --return-part-exchange --on 20/9/2026", "buy JU48HVD 330 --on 25/9/2026"],
        3,
        4,
        "bought JU48 HVD as car 3",
    );
}

#[test]
fn a_payment_or_a_write_off_before_a_take_back() {
    let sell = "sell 1 965 --on 10/9/2026 --to \"D Farrow\" --paid-amount 780";
    let back = "take-back 1 --on 20/9/2026";
    in_the_way(&[BUY, sell, "receive 145 balance --car 1 --on 12/9/2026", back], 3, 4, "took back 1 KX42 RTO");
    in_the_way(&[BUY, sell, "write-off 1 145 --on 12/9/2026", back], 3, 4, "took back 1 KX42 RTO");
}

#[test]
fn a_deposit_that_went_somewhere() {
    in_the_way(&[BUY, DEPOSIT, SELL], 2, 3, "sold 1 KX42 RTO");
    in_the_way(&[BUY, DEPOSIT, "deposit 1 --give-back --on 8/9/2026"], 2, 3, "gave back £90.00");
    in_the_way(&[BUY, DEPOSIT, "deposit 1 --keep --on 8/9/2026"], 2, 3, "kept the deposit");
    in_the_way(
        &[BUY, DEPOSIT, "deposit 1 50 --on 6/9/2026", "deposit 1 --give-back 110 --on 8/9/2026"],
        3,
        4,
        "gave back £110.00",
    );
    in_the_way(&[BUY, DEPOSIT], 1, 2, "deposit");
    in_the_way(&[BUY, DEPOSIT, SELL, "take-back 1 --on 20/9/2026"], 2, 3, "sold 1 KX42 RTO");
}

/// With the giving back undone the deposit would be held on a car that is gone: what has to go
/// first is the sale, not the deposit.
#[test]
fn a_deposit_given_back_or_kept_before_the_car_went() {
    in_the_way(&[BUY, DEPOSIT, "deposit 1 --give-back --on 8/9/2026", SELL], 3, 4, "sold 1 KX42 RTO");
    in_the_way(&[BUY, DEPOSIT, "deposit 1 --keep --on 8/9/2026", SELL], 3, 4, "sold 1 KX42 RTO");
    in_the_way(
        &[BUY, DEPOSIT, "deposit 1 --keep --on 8/9/2026", "dispose 1 scrapped --on 10/9/2026"],
        3,
        4,
        "scrapped",
    );
}

#[test]
fn a_sale_whose_car_taken_in_has_moved_on() {
    let sell =
        "sell 1 965 --on 10/9/2026 --to \"D Farrow\" --part-exchange JU48HVD=215 --part-exchange-finance JU48HVD=55";
    in_the_way(&[BUY, sell, "spend 15 parts --car 2 --on 12/9/2026"], 2, 3, "spent £15.00");
    in_the_way(&[BUY, sell, "sell 2 385 --on 12/9/2026"], 2, 3, "sold 2 JU48 HVD");
    in_the_way(&[BUY, sell, "spend 55 balance --car 2 --on 12/9/2026"], 2, 3, "£55.00");
    in_the_way(&[BUY, sell, "dispose 2 broken --on 12/9/2026"], 2, 3, "broke for parts 2 JU48 HVD");
}

#[test]
fn a_car_that_left_and_was_bought_again() {
    in_the_way(
        &[BUY, "dispose 1 kept --value 415 --on 8/9/2026", "buy KX42RTO 430 --on 10/9/2026"],
        2,
        3,
        "bought KX42 RTO as car 2",
    );
}

#[test]
fn a_bill_or_a_loan_that_was_paid() {
    in_the_way(
        &[BUY, "spend 84 parts --car 1 --unpaid --to \"Hob Lane Spares\"", "spend 84 balance --to \"Hob Lane Spares\""],
        2,
        3,
        "£84.00",
    );
    in_the_way(&["pay-in 520 --loan \"Aunt Wyn\" --on 1/9/2026", "draw 185 --loan \"Aunt Wyn\""], 1, 2, "£185.00");
}

#[test]
fn bringing_back_what_no_longer_fits() {
    // The deposit is undone, the car sold at the full price: it cannot be held again.
    in_the_way(&[BUY, DEPOSIT, "undo 2", SELL], 3, 4, "sold 1 KX42 RTO");
    // The write-off is undone and the balance paid.
    let sell = "sell 1 965 --on 10/9/2026 --to \"D Farrow\" --paid-amount 780";
    in_the_way(
        &[BUY, sell, "write-off 1 145 --on 12/9/2026", "undo 3", "receive 185 balance --car 1 --on 12/9/2026"],
        4,
        5,
        "£185.00",
    );
    // The sale is undone and the car scrapped.
    in_the_way(&[BUY, SELL, "undo 2", "dispose 1 scrapped --on 12/9/2026"], 3, 4, "scrapped");
    // The take-back is undone and the balance paid since.
    in_the_way(
        &[BUY, sell, "take-back 1 --on 20/9/2026", "undo 3", "receive 185 balance --car 1 --on 12/9/2026"],
        4,
        5,
        "£185.00",
    );
}

//! Deals that are refused: exit 1, words that name the value and what to do, and the book byte for
//! byte as it was.

use crate::common::Yard;
use std::fs;

/// 1 KX42 RTO with a deposit of £110 from D Farrow; 2 AB91 CDE sold to P Lowther at £735 with £45
/// still owed; 3 TU98 KLM in stock; 4 LX95 VWN sold to S Marr, who gave 5 JU48 HVD with £160 of
/// finance on it; 6 BD42 SMR scrapped.
fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 5000 --on 1/9/2026",
        "buy KX42RTO 455 --on 3/9/2026",
        "deposit 1 110 --by \"D Farrow\" --on 10/9/2026",
        "buy AB91CDE 335 --on 5/9/2026",
        "sell 2 735 --to \"P Lowther\" --paid-amount 635 --on 20/9/2026",
        "receive 55 balance --car 2 --on 1/10/2026",
        "buy TU98KLM 365 --on 6/9/2026",
        "buy LX95VWN 430 --on 7/9/2026",
        "sell 4 925 --to \"S Marr\" --on 12/9/2026 --part-exchange JU48HVD=215 --part-exchange-finance JU48HVD=160",
        "buy BD42SMR 325 --on 8/9/2026",
        "dispose 6 scrapped --on 15/9/2026",
    ] {
        yard.ok(line);
    }
    yard
}

/// Each line is refused (which code goes with what is `exit_codes`), says each of the words, and leaves the file as it was.
fn refused(yard: &Yard, cases: &[(&str, &[&str])]) {
    let before = fs::read(yard.book()).unwrap();
    let mut wrong = Vec::new();
    for (line, words) in cases {
        let ran = yard.run(line);
        let silent = words.iter().find(|word| !ran.err.contains(**word));
        if !matches!(ran.code, 1 | 2) || silent.is_some() {
            wrong.push(format!("`{line}` gave {} and did not say {silent:?}: {}{}", ran.code, ran.out, ran.err));
        }
        if fs::read(yard.book()).unwrap() != before {
            wrong.push(format!("`{line}` touched the book"));
            fs::write(yard.book(), &before).unwrap();
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn all_refused(cases: &[(&str, &[&str])]) {
    refused(&yard(), cases);
}

#[test]
fn deposits() {
    all_refused(&[
        ("sell 1 915 --to \"P Lowther\"", &["£110.00", "1 KX42 RTO", "D Farrow", "P Lowther", "--give-back-deposit"]),
        ("deposit 1 50 --by \"P Lowther\"", &["£110.00", "D Farrow", "P Lowther", "runabout deposit 1 --give-back"]),
        ("deposit 1 --give-back 111", &["£111.00", "£110.00"]),
        ("deposit 1 --give-back 110 --on 9/9/2026", &["9 Sep 2026"]),
        ("deposit 1 --keep --on 9/9/2026", &["9 Sep 2026"]),
        ("deposit 3 --give-back", &["no deposit is held on 3 TU98 KLM", "runabout deposit 3"]),
        ("deposit 3 --keep", &["no deposit is held on 3 TU98 KLM"]),
        ("deposit 2 50", &["2 AB91 CDE", "sold on 20 Sep 2026"]),
        ("deposit 6 50", &["6 BD42 SMR", "scrapped on 15 Sep 2026"]),
        ("deposit 3 50 --on 5/9/2026", &["5 Sep 2026", "6 Sep 2026"]),
        ("deposit 3 50 --on 12/9/2026 --hold-until 2026-09-11", &["11 Sep 2026", "12 Sep 2026"]),
        ("deposit 3 50 --hold-until 5/12", &["'5/12'", "year"]),
        ("deposit 3 50 --on 26/11/2026", &["26 Nov 2026", "25 Nov 2026"]),
        ("sell 3 500 --give-back-deposit", &["no deposit is held on 3 TU98 KLM"]),
        ("sell 1 915 --on 9/9/2026", &["9 Sep 2026", "10 Sep 2026"]),
        ("sell 1 915 --paid-amount 806", &["£806.00", "£805.00"]),
        ("dispose 1 scrapped", &["£110.00", "1 KX42 RTO", "--give-back", "--keep"]),
    ]);
}

#[test]
fn sales_and_cars_in_exchange() {
    all_refused(&[
        ("sell 6 200", &["6 BD42 SMR", "scrapped on 15 Sep 2026"]),
        ("offer 2 500", &["2 AB91 CDE", "sold on 20 Sep 2026"]),
        ("offer 3 500 --on 5/9/2026", &["5 Sep 2026", "6 Sep 2026"]),
        ("offer 6 500", &["6 BD42 SMR", "scrapped on 15 Sep 2026"]),
        ("ask 6 500", &["6 BD42 SMR", "scrapped on 15 Sep 2026"]),
        ("sell 3 535 --part-exchange KX42RTO=315", &["1 KX42 RTO", "in stock already"]),
        ("sell 3 535 --part-exchange TU98KLM=315", &["part-exchange"]),
        ("sell 3 535 --part-exchange NB43HTX=315 --part-exchange NB43HTX=100", &["NB43 HTX", "twice"]),
        ("sell 3 535 --part-exchange NB43HTX=315 --part-exchange-finance NB43HTX=316", &["£316.00", "£315.00"]),
        (
            "sell 3 535 --part-exchange NB43HTX=315 --part-exchange-finance MB44HTX=100",
            &["MB44 HTX", "--part-exchange"],
        ),
        (
            "sell 3 535 --part-exchange NB43HTX=315 --part-exchange-finance NB43HTX=215 --paid-amount 436",
            &["£436.00", "£435.00"],
        ),
        ("sell 3 535 --part-exchange NB43HTX=720 --paid-amount 5", &["£185.00"]),
        ("receive 46 balance --car 2", &["£46.00", "£45.00", "2 AB91 CDE"]),
        ("receive 45 balance --car 2 --on 19/9/2026", &["19 Sep 2026", "20 Sep 2026"]),
        ("spend 161 balance --car 5", &["£161.00", "£160.00", "5 JU48 HVD"]),
        ("amend 5 price 680", &["2 AB91 CDE"]),
    ]);
}

#[test]
fn take_backs() {
    all_refused(&[
        ("take-back 3", &["3 TU98 KLM is not sold"]),
        ("take-back 6", &["6 BD42 SMR", "scrapped on 15 Sep 2026"]),
        ("take-back 2 --refund 691", &["£691.00", "£690.00"]),
        // Of the £925, £55 was the car less its finance and £870 money.
        ("take-back 4 --refund 925.01", &["£925.01", "£925.00"]),
        ("take-back 2 --on 19/9/2026", &["19 Sep 2026", "20 Sep 2026"]),
        ("take-back 2 --on 30/9/2026", &["30 Sep 2026", "1 Oct 2026"]),
        ("take-back 2 --on 26/11/2026", &["26 Nov 2026", "25 Nov 2026"]),
        ("take-back 2 --return-part-exchange", &["--return-part-exchange", "no car was taken in"]),
        ("take-back 4 --return-part-exchange", &["5 JU48 HVD", "finance", "--refund"]),
        ("take-back 2 --refund 0 --unpaid", &["--unpaid"]),
    ]);
}

#[test]
fn a_car_that_came_back() {
    let yard = yard();
    yard.ok("take-back 2 --on 5/10/2026");
    refused(
        &yard,
        &[
            ("take-back 2", &["2 AB91 CDE is not sold"]),
            ("receive 45 balance --car 2", &["2 AB91 CDE", "not sold"]),
            ("write-off 2 45", &["2 AB91 CDE", "not sold"]),
            ("sell 2 680 --on 4/10/2026", &["4 Oct 2026", "5 Oct 2026"]),
            ("dispose 2 scrapped --on 25/9/2026", &["25 Sep 2026", "5 Oct 2026"]),
            ("deposit 2 50 --on 25/9/2026", &["25 Sep 2026"]),
            ("spend 1 balance --car 2", &["nothing is owed"]),
        ],
    );
}

#[test]
fn a_refund_still_to_be_paid() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 485 --on 3/9/2026 --from \"R Ashdown\" --paid-amount 430");
    yard.ok("sell 1 945 --to \"D Farrow\" --on 10/9/2026");
    yard.ok("take-back 1 --unpaid --on 20/9/2026");
    refused(
        &yard,
        &[
            ("spend 15 balance --car 1", &["£55.00", "£945.00", "--to NAME"]),
            ("spend 946 balance --car 1 --to \"D Farrow\"", &["£946.00", "£945.00"]),
            ("spend 56 balance --car 1 --to \"R Ashdown\"", &["£56.00", "£55.00"]),
            ("spend 15 balance --car 1 --to \"P Lowther\"", &["£55.00", "£945.00", "--to NAME"]),
            ("spend 945 balance --car 1 --to \"D Farrow\" --on 19/9/2026", &["19 Sep 2026", "20 Sep 2026"]),
        ],
    );
}

#[test]
fn a_car_taken_in_with_a_deposit_on_it_does_not_go_back() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 505 --on 3/9/2026");
    yard.ok("sell 1 975 --to \"D Farrow\" --part-exchange JU48HVD=225 --on 10/9/2026");
    yard.ok("deposit 2 65 --by \"P Lowther\" --on 12/9/2026");
    refused(&yard, &[("take-back 1 --return-part-exchange", &["£65.00", "2 JU48 HVD", "--give-back"])]);
    // The car taken in at £225 goes back: of £750 in money no more than £750 can.
    yard.ok("deposit 2 --give-back --on 13/9/2026");
    refused(&yard, &[("take-back 1 --return-part-exchange --refund 751", &["£751.00", "£750.00"])]);
    // Nor can a car go back before it had what was spent on it since settled: the day is the sale's or later.
    refused(&yard, &[("take-back 1 --return-part-exchange --on 9/9/2026", &["9 Sep 2026", "10 Sep 2026"])]);
}

#[test]
fn disposals() {
    all_refused(&[
        ("dispose 2 scrapped", &["2 AB91 CDE", "sold on 20 Sep 2026"]),
        ("dispose 6 scrapped", &["6 BD42 SMR", "scrapped on 15 Sep 2026"]),
        ("dispose 3 scrapped --on 5/9/2026", &["5 Sep 2026", "6 Sep 2026"]),
        ("dispose 3 scrapped --on 26/11/2026", &["26 Nov 2026"]),
        ("dispose 3 returned", &["returned", "--return-part-exchange"]),
        ("dispose 3 kept", &["--value AMOUNT"]),
        ("dispose 3 kept --value 10 --received 5", &["--received"]),
        ("dispose 3 scrapped --value 5", &["--value"]),
        ("dispose 3 lost --certificate CD1234567", &["--certificate"]),
        ("buy BD42SMR 340 --on 14/9/2026", &["6 BD42 SMR"]),
        // Only a car that is kept has a value to put right.
        ("amend 11 value 5", &["value"]),
        ("amend 11 on 7/9/2026", &["7 Sep 2026", "8 Sep 2026"]),
    ]);
}

#[test]
fn write_offs() {
    all_refused(&[
        ("write-off 2 45.01", &["£45.01", "£45.00", "2 AB91 CDE"]),
        ("write-off 3 5", &["3 TU98 KLM is not sold"]),
        ("write-off 6 5", &["6 BD42 SMR"]),
        ("write-off 4 5", &["£5.00", "nothing is owed", "4 LX95 VWN"]),
        ("write-off 2 10 --on 19/9/2026", &["19 Sep 2026", "20 Sep 2026"]),
    ]);
}

/// What recording refuses, putting right refuses too.
#[test]
fn what_is_put_right() {
    let yard = yard();
    yard.ok("offer 3 480 --on 12/9/2026");
    yard.ok("deposit 3 50 --by \"D Farrow\" --hold-until 2026-10-01 --on 13/9/2026");
    yard.ok("buy NB43HTX 350 --on 14/9/2026");
    yard.ok("dispose 7 kept --value 325 --on 15/9/2026");
    refused(
        &yard,
        &[
            ("amend 12 on 5/9/2026", &["5 Sep 2026", "6 Sep 2026"]),
            ("amend 13 hold-until 2026-09-12", &["12 Sep 2026", "13 Sep 2026"]),
            ("amend 13 on 5/9/2026", &["5 Sep 2026", "6 Sep 2026"]),
            ("amend 15 certificate CD1234567", &["certificate"]),
            ("amend 15 on 13/9/2026", &["13 Sep 2026", "14 Sep 2026"]),
        ],
    );
    // A field that is refused is not among those offered in the same breath.
    let said = yard.refused("amend 15 received 5").err;
    assert!(!said.contains(", received"), "{said}");
}

#[test]
fn auctions() {
    all_refused(&[
        ("buy NB43HTX 425 --via private --buyers-fee 95", &["auction"]),
        ("buy NB43HTX 425 --via auction --buyers-fee 120 --fee-vat 21", &["£21.00", "£120.00", "£20.00"]),
        ("buy NB43HTX 425 --via auction --buyers-fee 95 --paid-amount 521", &["£521.00", "£520.00"]),
        ("settings set auction:moor-lane \"250=110\"", &["0"]),
        ("settings set auction:moor-lane \"0=75 250=ninety\"", &["ninety"]),
        ("settings set auction:moor-lane \"0=75 0=110\"", &["0"]),
    ]);
}

/// Refused by the command line itself: exit 2.
#[test]
fn wrong_command_lines() {
    let yard = yard();
    let before = fs::read(yard.book()).unwrap();
    for line in [
        "deposit 3 0",
        "deposit 3",
        "deposit 3 50 --keep",
        "deposit 3 50 --give-back",
        "deposit 1 --keep --by \"D Farrow\"",
        "offer 3 0",
        "write-off 2 0",
        "dispose 3 crushed",
        "dispose 3 scrapped --paid cash",
        "take-back 2 --unpaid --paid cash",
        "sell 3 535 --part-exchange-finance NB43HTX=100",
        "buy NB43HTX 425 --via auction --fee-vat 20",
    ] {
        let ran = yard.refused(line);
        assert_eq!(ran.code, 2, "`{line}`: {}", ran.err);
    }
    assert!(fs::read(yard.book()).unwrap() == before);
}

//! Whatever is answered to whatever question: the program ends, nothing is recorded unless it says so, and
//! what is recorded is what the line it shows records.

use crate::common::Yard;
use proptest::prelude::*;
use std::sync::LazyLock;

/// A yard with a car of every kind to answer with: in stock, with a deposit, sold with money owed.
static YARD: LazyLock<Yard> = LazyLock::new(|| {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 3000 --on 1/9/2026",
        "buy KX42RTO 465 --on 1/10/2026 --mot-until 2/12/2026",
        "buy AB91CDE 345 --on 2/10/2026",
        "ask 2 1295",
        "deposit 2 120 --by \"P Quill\"",
        "buy ST99WEM 335 --on 3/10/2026",
        "sell 3 520 --to \"D Farrow\" --paid-amount 410",
        "spend 84 parts --car 1 --unpaid --to \"Hob Lane Spares\"",
    ] {
        yard.ok(line);
    }
    yard
});

fn begun() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        "buy",
        "buy UT48KEM",
        "sell",
        "sell 2",
        "spend",
        "spend 54.85 mot",
        "receive",
        "mot",
        "mot 1 pass --until 1/12",
        "ask",
        "offer",
        "deposit",
        "deposit --give-back",
        "take-back",
        "dispose",
        "tax",
        "hours",
        "note",
        "journey",
        "check",
        "mark",
        "write-off",
        "move",
        "pay-in",
        "draw",
        "paper add insurance --until 14/3",
    ])
}

/// What is good for something, and what is good for nothing.
fn answer() -> impl Strategy<Value = &'static str> {
    prop_oneof![
        2 => Just(""),
        20 => prop::sample::select(vec![
            "1", "2", "3", "kx42 rto", "UT48 KEM", "50", "1,250.50", "mot", "balance", "overhead", "other", "1,2",
            "1=40", "pass", "fail", "major brake hose", "advisory:x", "yesterday", "mon", "21/3", "2027", "cash", "own",
            "bank", "kept", "scrapped", "6", "sorn", "2h30", "recall", "done", "D Farrow", "P Quill",
            "Hob Lane Spares", "O'Neill & \"Söhne\"", "y",
        ]),
        5 => prop::sample::select(vec![
            "?", "none", "mark:1", "4", "£9", "-5", "0", "1e9", "99999999999999999999", "tyre", "vat", "wheels-sold",
            "2=10,overhead=30", "=", ",", "--", "-x", "--yes", "--book=x", "tomorrow", "29/2", "31/13", "a\tb",
            "\u{1b}[31m", "\u{202e}", "\u{fffd}", "日本", "$(x) `y`",
        ]),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn nothing_is_recorded_unless_it_is_said(line in begun(), answers in prop::collection::vec(answer(), 0..70)) {
        let (yard, twin) = (YARD.copy(), YARD.copy());
        let ran = yard.run_answering(line, &answers);
        // Whoever gives the same bad value twice is told what the whole line would be told, with its code.
        prop_assert!([0, 1, 2].contains(&ran.code), "{}", ran.err);
        prop_assert!(!ran.err.contains('\u{1b}') && !ran.err.contains('\u{202e}'), "{}", ran.err);
        if ran.code != 0 {
            prop_assert_eq!(ran.out, "");
            prop_assert_eq!(yard.dump(), YARD.dump(), "{}", ran.err);
        } else {
            let whole = ran.err.split("in one line: `runabout ").nth(1).unwrap().trim().strip_suffix('`').unwrap();
            prop_assert_eq!(&twin.run_answering(whole, &[]).out, &ran.out, "{}", whole);
            prop_assert_eq!(twin.dump(), yard.dump());
        }
    }
}

//! Everything that is refused: one clear sentence that names the value and the accepted form, exit
//! 1 or 2, the book as it was (checked row by row by `Yard::refused`).

use crate::common::Yard;

/// A yard with one car in stock, one sold, a standing rent and an unpaid bill.
fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    yard.ok("pay-in 3,200 --on 1/10/2026");
    yard.ok("buy KX42RTO 465 --on 3/10/2026 --vin 1M8GDM9AXKP042788");
    yard.ok("buy AB91CDE 345 --on 5/10/2026 --paid-amount 240");
    yard.ok("sell 2 785 --on 20/10/2026 --paid-amount 670");
    yard.ok("standing add \"yard rent\" 95 --every month --from 2026-10-01 --heading rent");
    yard.ok("spend 84 parts --car 1 --unpaid --to \"Hob Lane Spares\" --on 6/10/2026");
    yard
}

/// Each line is refused and its message says each of the words.
fn all_refused(cases: &[(&str, &[&str])]) {
    let yard = yard();
    for (line, words) in cases {
        let said = yard.refused(line).err;
        for word in *words {
            assert!(said.contains(word), "`{line}` should say {word:?}, said: {said}");
        }
    }
}

#[test]
fn amounts() {
    all_refused(&[
        ("spend 12.345 mot --car 1", &["'12.345'", "two decimals"]),
        ("spend -5 mot --car 1", &["-5"]),
        ("spend 0 mot --car 1", &["£0.00", "--usual"]),
        ("spend 1e3 mot --car 1", &["'1e3'"]),
        ("spend 1,25 mot --car 1", &["'1,25'"]),
        ("spend forty mot --car 1", &["'forty'", "1250"]),
        ("receive 0 wheels-sold --car 1", &["0"]),
        ("pay-in 0", &["0"]),
        ("ask 1 0", &["0"]),
        ("buy TU98KLM 999999999999", &["'999999999999'"]),
        ("spend 54.85 mot --car 1 --vat 55", &["£55.00", "£54.85"]),
    ]);
}

#[test]
fn dates() {
    all_refused(&[
        ("spend 54.85 mot --car 1 --on 30/2/2026", &["'30/2/2026'"]),
        ("spend 54.85 mot --car 1 --on 2025-02-29", &["'2025-02-29'"]),
        ("spend 54.85 mot --car 1 --on 11/25/2026", &["the day before the month"]),
        ("spend 54.85 mot --car 1 --on 26/11/2026", &["26 Nov 2026", "after today (25 Nov 2026)"]),
        ("spend 54.85 mot --car 1 --on tomorrow", &["after today"]),
        ("spend 54.85 mot --car 1 --on someday", &["'someday'", "21/11"]),
        ("buy TU98KLM 455 --mot-until 6/12", &["'6/12'", "year"]),
        ("sell 1 905 --on 2/10/2026", &["2 Oct 2026", "before", "3 Oct 2026"]),
        ("buy TU98KLM 455 --on 1/10/2026 --first-registered 2/10/2026", &["2 Oct 2026"]),
        ("month dec 2026", &["Dec 2026"]),
        ("month brumaire", &["'brumaire'"]),
        ("results --from nov --to jan", &["after"]),
    ]);
}

#[test]
fn marks_cars_and_headings() {
    all_refused(&[
        ("buy KX42/RTO 455", &["'KX42/RTO'"]),
        ("buy 12345678901234A 455", &["12345678901234A"]),
        ("buy 1234 455", &["mark:1234"]),
        ("buy none 455", &["--vin"]),
        ("buy overhead 455", &["'overhead'", "is no mark"]),
        ("buy KX42RTO 505", &["1 KX42 RTO", "in stock already"]),
        ("buy TU98KLM 505 --vin 1M8GDM9AXKP042788", &["1 KX42 RTO", "in stock already"]),
        ("buy TU98KLM 505 --vin 1M8GDM9AIKP042788", &["1M8GDM9AIKP042788"]),
        ("buy TU98KLM 505 --tax-until 2027-01-31", &["vehicle tax never passes"]),
        ("spend 54.85 mot --car KX42RTQ", &["'KX42RTQ'", "did you mean 'KX42 RTO'"]),
        ("spend 54.85 mot --car 9", &["no car '9'", "runabout stock"]),
        ("car 9", &["no car '9'"]),
        ("spend 64 tyre --car 1", &["no heading 'tyre'", "'tyres'"]),
        ("spend 55 wheels-sold --car 1", &["`receive`"]),
        ("receive 54.85 mot --car 1", &["`spend`"]),
        ("spend 54.85 mot", &["--car", "--overhead"]),
        ("receive 55 wheels-sold", &["--other"]),
        ("spend 54.85 mot --car 1 --overhead", &["--overhead"]),
        ("mark 2 KX42RTO", &["1 KX42 RTO"]),
        ("buy TU98KLM 455 --miles 82,5", &["'82,5'", "82,000"]),
        ("settings set auction: 0=75", &["is empty"]),
    ]);
}

#[test]
fn splits_and_shares() {
    all_refused(&[
        ("spend 62.30 parts --split 1=42.30 --split overhead=15", &["£57.30", "£62.30", "£5.00 short"]),
        ("spend 62 parts --split 1=31 --split KX42RTO=31", &["named twice"]),
        ("spend 62 parts --share 1,1", &["named twice"]),
        ("spend 62 parts --split 1", &["'1'", "overhead=15"]),
        ("spend 62 parts --share 1,9", &["no car '9'"]),
    ]);
}

#[test]
fn deals_that_cannot_be() {
    all_refused(&[
        ("sell 2 905", &["2 AB91 CDE", "sold on 20 Oct 2026"]),
        ("ask 2 905", &["sold on 20 Oct 2026"]),
        ("ask 1 905 --lowest 906", &["£906.00", "£905.00"]),
        ("sell 1 905 --paid-amount 906", &["£906.00", "£905.00"]),
        ("sell 1 905 --part-exchange TU98KLM=1000 --paid-amount 5", &["£95.00"]),
        ("sell 1 905 --part-exchange TU98KLM", &["'TU98KLM'", "KX42RTO=165"]),
        ("buy TU98KLM 455 --paid-amount 456", &["£456.00", "£455.00"]),
        ("buy TU98KLM 455 --finance 456", &["£456.00"]),
        ("buy TU98KLM 455 --vat 75", &["--vat-invoice"]),
        ("receive 116 balance --car 2", &["£116.00", "£115.00", "2 AB91 CDE"]),
        ("receive 10 balance --car 1", &["not sold"]),
        ("receive 10 balance", &["--car"]),
        ("spend 106 balance --car 2", &["£106.00", "£105.00"]),
        ("spend 10 balance --car 1", &["nothing is owed"]),
        ("spend 85 balance --to \"hob lane spares\"", &["£84.00"]),
        ("spend 10 balance --to \"Hob Lane Spares\" --on 5/10/2026", &["6 Oct 2026"]),
        ("spend 10 balance", &["--car CAR", "--to NAME"]),
        ("spend 10 parts --car 1 --unpaid", &["--to"]),
        ("draw 10 --loan \"Aunt Wyn\"", &["nothing is owed"]),
        ("draw 10 --paid own", &["cash or bank"]),
        ("move 10 cash cash", &["cash"]),
        ("move 10 own bank", &["'own'"]),
        ("hours 1 0", &["'0'"]),
    ]);
}

#[test]
fn standing_costs() {
    all_refused(&[
        ("standing add \"Yard Rent\" 100 --every month", &["on the list already"]),
        ("standing add storage 100 --every fortnight", &["'fortnight'", "week, month, quarter or year"]),
        ("standing stop rates", &["'rates'", "yard rent"]),
        ("standing skip \"yard rent\" --on 2/11/2026", &["2 Nov 2026", "1 Dec 2026"]),
        ("standing change \"yard rent\" 100 --from 1/9/2026", &["1 Oct 2026"]),
        ("standing stop \"yard rent\" --on 30/9/2026", &["1 Oct 2026"]),
    ]);
}

#[test]
fn entries_and_settings() {
    all_refused(&[
        ("undo 99", &["no entry 99"]),
        ("undo 3", &["entry 4", "sold 2 AB91 CDE"]),
        ("amend 99 price 5", &["no entry 99"]),
        ("amend 2 wheels 5", &["'wheels'", "price"]),
        ("amend 2 price 12.345", &["'12.345'"]),
        ("amend 2 price 465", &["nothing would change"]),
        ("amend 3 price 230", &["£240.00", "£230.00"]),
        ("amend 4 on 4/10/2026", &["before"]),
        ("amend 3 on 21/10/2026", &["sold 2 AB91 CDE"]),
        ("settings set default-payed bank", &["'default-payed'", "default-paid"]),
        ("settings set default-paid cheque", &["'cheque'", "bank, cash or card"]),
        ("settings set region FR", &["'FR'", "GB or NI"]),
        ("settings set age-bands 30,20", &["'30,20'"]),
        ("settings set vat-registered-from 1/4", &["year"]),
        ("settings set heading:tyre wheels", &["'wheels'", "goods"]),
        ("settings set heading:mot premises", &["'mot'"]),
        ("settings set heading:balance goods", &["reserved"]),
    ]);
}

#[test]
fn hostile_text_is_refused_with_a_reason() {
    let yard = yard();
    for name in ["a\u{1b}[31mb", "two\nlines", "right\u{202e}left", "tab\there", ""] {
        let words = ["buy", "TU98KLM", "455", "--from", name].map(str::to_owned);
        let before = yard.dump();
        let ran = yard.run_words(&words);
        assert_eq!(ran.code, 2, "{name:?}");
        assert!(!ran.err.contains('\u{1b}') && !ran.err.contains('\u{202e}'), "{:?}", ran.err);
        assert_eq!(yard.dump(), before);
    }
}

#[test]
fn a_refused_first_recording_leaves_no_book_behind() {
    let yard = Yard::new("2026-11-25");
    assert_eq!(yard.run("spend 54.85 mot --car KX42RTO").code, 1);
    assert!(!yard.book().exists());
    assert_eq!(yard.run("buy KX42RTO 485 --dry-run").code, 0);
    assert!(!yard.book().exists());
    let looked = yard.run("stock");
    assert_eq!(looked.code, 4);
    assert!(looked.err.contains("runabout buy") && looked.err.contains("runabout demo"), "{}", looked.err);
    assert!(!yard.book().exists());
}

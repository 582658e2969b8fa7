//! Hostile words in every place text is taken: refused with a reason, or kept and shown safely in every
//! format.

use crate::common::Yard;
use runabout::domain::value::control_chars::is_unseen;
use runabout::render::csv::guard;
use serde_json::Value;
use std::collections::BTreeSet;
use std::fs;

/// Every command that takes text, once for each of its text fields, `TEXT` where the text goes. In this
/// order each can be carried out.
const FIELDS: &[&[&str]] = &[
    &["settings", "set", "--", "trader-name", "TEXT"],
    &["settings", "set", "--", "trader-address", "TEXT"],
    &["settings", "set", "--", "trader-phone", "TEXT"],
    &["settings", "set", "--", "vat-number", "TEXT"],
    &["settings", "set", "--", "auction:TEXT", "0=75"],
    &["pay-in", "5000", "--on", "1/10/2026"],
    &["pay-in", "200", "--loan=TEXT", "--on", "1/10/2026"],
    &["buy", "KX42RTO", "455", "--on", "3/10/2026", "--from=TEXT"],
    &["amend", "--", "LAST", "make", "TEXT"],
    &["buy", "AB91CDE", "345", "--on", "3/10/2026", "--make=TEXT", "--mot-until", "2026-12-20"],
    &["buy", "ST99WEM", "355", "--on", "3/10/2026", "--model=TEXT"],
    &["buy", "TU98KLM", "365", "--on", "3/10/2026", "--colour=TEXT"],
    &["buy", "DE44FGH", "375", "--on", "3/10/2026", "--fuel=TEXT"],
    &["buy", "EF45GHJ", "385", "--on", "3/10/2026", "--note=TEXT"],
    &["buy", "FG46HJK", "395", "--on", "3/10/2026", "--vat-invoice", "--purchase-invoice=TEXT"],
    &["spend", "15", "parts", "--car", "1", "--to=TEXT", "--on", "4/10/2026"],
    &["spend", "15", "parts", "--car", "1", "--note=TEXT", "--on", "4/10/2026"],
    &["spend", "15", "phone", "--overhead", "--unpaid", "--to=TEXT", "--on", "4/10/2026"],
    &["receive", "15", "wheels-sold", "--car", "1", "--from=TEXT", "--on", "4/10/2026"],
    &["receive", "15", "wheels-sold", "--car", "1", "--note=TEXT", "--on", "4/10/2026"],
    &["hours", "1", "2", "--note=TEXT", "--on", "4/10/2026"],
    &["journey", "12", "--on", "4/10/2026", "--", "TEXT"],
    &["note", "1", "--on", "4/10/2026", "--", "TEXT"],
    &["mot", "2", "fail", "--on", "5/10/2026", "--defect=major:TEXT"],
    &["check", "2", "recall", "done", "--note=TEXT", "--on", "5/10/2026"],
    &["offer", "2", "405", "--by=TEXT", "--on", "6/10/2026"],
    &["deposit", "2", "55", "--by=TEXT", "--on", "6/10/2026"],
    &["standing", "add", "--every", "month", "--from", "2026-10-01", "--heading", "rent", "--", "TEXT", "95"],
    &["paper", "add", "--until", "2026-12-14", "--", "TEXT"],
    &["sell", "1", "925", "--to=TEXT", "--on", "20/10/2026"],
    &["amend", "--", "LAST", "address", "TEXT"],
    &["sell", "3", "935", "--to", "D Farrow", "--address=TEXT", "--on", "20/10/2026"],
    &["sell", "4", "945", "--note=TEXT", "--paid-amount", "845", "--on", "20/10/2026"],
    &["take-back", "1", "--reason=TEXT", "--on", "1/11/2026"],
    &["dispose", "5", "scrapped", "--to=TEXT", "--on", "2/11/2026"],
    &["dispose", "6", "scrapped", "--certificate=TEXT", "--on", "2/11/2026"],
    &["draw", "50", "--loan=TEXT", "--on", "3/11/2026"],
    &["import", "CARS"],
    &["import", "MONEY"],
];

/// Every report, all of it.
const REPORTS: &[&str] = &[
    "stock",
    "car 1",
    "log 1",
    "log 2",
    "car 2",
    "car 3",
    "car 4",
    "car 5",
    "car 6",
    "car 7",
    "car 8",
    "month oct",
    "month nov",
    "cash",
    "results",
    "standing",
    "paper",
    "due --within 365",
    "log --last 100",
    "settings",
    "stock-book",
    "tax-year 2026-27",
    "lessons",
    "verify",
    "invoice 1",
    "invoice 3",
];

/// The words of a field with `text` in it, the files it names written.
fn words(yard: &Yard, field: &[&str], text: &str) -> Vec<String> {
    let cell = format!("\"{}\"", guard(text).replace('"', "\"\""));
    let file = |name: &str, csv: String| {
        let path = yard.folder().join(name);
        fs::write(&path, csv).unwrap();
        path.to_str().unwrap().to_owned()
    };
    field
        .iter()
        .map(|word| match *word {
            "CARS" => file(
                "cars.csv",
                format!(
                    "mark,bought_on,purchase_price,from,make,model,colour,fuel,note,sold_on,selling_price,to\r\n\
                     GH47JKL,5/11/2026,340,{cell},{cell},{cell},{cell},{cell},{cell},6/11/2026,480,{cell}\r\n"
                ),
            ),
            "MONEY" => {
                file("money.csv", format!("on,amount,heading,party,note\r\n6/11/2026,5,phone,{cell},{cell}\r\n"))
            }
            "LAST" => yard.json("log --last 1")["entries"][0]["entry"].to_string(),
            word => word.replace("TEXT", text),
        })
        .collect()
}

/// Characters that act on a terminal are in nothing that is shown, line breaks apart.
fn is_safe_to_show(shown: &str) -> bool {
    !shown.contains(|character| character != '\n' && is_unseen(character))
}

#[test]
fn what_cannot_be_seen_is_refused_in_every_field_with_a_reason() {
    let long = "x".repeat(10_000);
    let hostile = [
        "a\tb",
        "\ta",
        "two\nlines",
        "a\r\nBEGIN:VALARM",
        "\u{1b}[31mred",
        "a\u{9b}2J",
        "right\u{202e}left",
        "a\u{2066}b",
        "a\u{200b}b",
        "a\u{0}b",
        "a\u{7f}",
        long.as_str(),
    ];
    let yard = Yard::new("2026-11-25");
    for field in FIELDS {
        if field.iter().any(|word| word.contains("TEXT")) || field[0] == "import" {
            for text in hostile {
                // Blanks around a spreadsheet's cell are no part of it.
                if field[0] == "import" && !text.trim().contains(is_unseen) && text.len() < 10 {
                    continue;
                }
                let line = words(&yard, field, text);
                let before = if yard.book().exists() { fs::read(yard.book()).unwrap() } else { Vec::new() };
                let ran = yard.run_words(&line);
                assert!(matches!(ran.code, 1 | 2), "{field:?} {:.20?} gave {}: {}", text, ran.code, ran.out);
                assert!(is_safe_to_show(&ran.err) && ran.out.is_empty(), "{field:?} {:.20?}: {:?}", text, ran.err);
                assert!(
                    ["has a", "has an", "is too long", "are too long", "cannot be", "letters, digits"]
                        .iter()
                        .any(|reason| ran.err.contains(reason)),
                    "{field:?} {text:.20?} without a reason: {:.300}",
                    ran.err
                );
                let after = if yard.book().exists() { fs::read(yard.book()).unwrap() } else { Vec::new() };
                assert!(before == after, "{field:?} {text:.20?} changed the book");
            }
        }
        let plain = words(&yard, field, "plain words");
        let ran = yard.run_words(&plain);
        assert_eq!(ran.code, 0, "{plain:?}: {}", ran.err);
    }
}

/// Every string in an answer.
fn strings(value: &Value, found: &mut BTreeSet<String>) {
    match value {
        // A command as it was typed has its words quoted.
        Value::String(text) => {
            found.extend(shlex::split(text).into_iter().flatten());
            found.insert(text.clone());
        }
        Value::Array(values) => values.iter().for_each(|value| strings(value, found)),
        Value::Object(values) => values.values().for_each(|value| strings(value, found)),
        _ => {}
    }
}

fn cells_are_inert(csv: &str, what: &str) {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(csv.as_bytes());
    for record in reader.records() {
        for cell in &record.unwrap() {
            let runs = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
            assert!(!runs || cell.parse::<rust_decimal::Decimal>().is_ok(), "{what} has the cell {cell:?}");
            assert!(is_safe_to_show(cell), "{what} has the cell {cell:?}");
        }
    }
}

fn page_is_inert(page: &str, what: &str) {
    assert!(page.starts_with("<!DOCTYPE html>"), "{what}");
    for tag in ["<script", "<img", "onerror=\"", "javascript:"] {
        assert!(!page.contains(tag), "{what} has {tag}: {page}");
    }
}

/// The names of a calendar's lines, folded ones joined.
fn property_names(calendar: &str) -> Vec<String> {
    let unfolded = calendar.replace("\r\n ", "");
    unfolded
        .split_terminator("\r\n")
        .map(|line| match line.split_once(':') {
            Some((name @ ("BEGIN" | "END"), what)) => format!("{name}:{what}"),
            Some((name, _)) => name.to_owned(),
            None => panic!("not a property: {line:?}"),
        })
        .collect()
}

/// Records every field with text of its own, begun with `start`, and gives the yard with what was kept.
fn filled(start: &str, rest: &str) -> (Yard, Vec<String>) {
    let yard = Yard::new("2026-11-25");
    let mut kept = Vec::new();
    for (number, field) in FIELDS.iter().enumerate() {
        // An earlier lender is the one paid back.
        let number = if field[0] == "draw" { 6 } else { number };
        let text = format!("{start}f{number:02}{rest}");
        let ran = yard.run_words(&words(&yard, field, &text));
        assert_eq!(ran.code, 0, "{field:?} {text:?}: {}", ran.err);
        assert!(is_safe_to_show(&ran.out) && is_safe_to_show(&ran.err), "{field:?}: {ran:?}");
        if field.iter().any(|word| word.ends_with("TEXT") && !word.starts_with("auction:")) || field[0] == "import" {
            kept.push(text);
        }
    }
    (yard, kept)
}

fn shown_safely(start: &str) {
    let rest = "1\"'a,b;c\\n<script>alert(1)</script><img src=x onerror=alert(2)>&BEGIN:VALARM 日本 é";
    let (yard, kept) = filled(start, rest);
    let mut told = BTreeSet::new();
    for report in REPORTS {
        if !report.starts_with("invoice") {
            let table = yard.run(report);
            assert!(is_safe_to_show(&table.out) && is_safe_to_show(&table.err), "{report}: {table:?}");
        }
        cells_are_inert(&yard.run(&format!("{report} --format csv")).out, report);
        strings(&yard.json(report), &mut told);
    }
    let missing: Vec<&String> =
        kept.iter().filter(|text| !told.iter().any(|string| string.contains(text.as_str()))).collect();
    assert!(missing.is_empty(), "in no answer: {missing:?}");
    for page in ["stock-book --html", "invoice 1", "invoice 1 --credit-note", "invoice 1 --purchase", "invoice 3"] {
        page_is_inert(&yard.ok(page).out, page);
    }
    let (plain, _) = filled("p", "lain");
    let names = |yard: &Yard| property_names(&yard.ok("calendar").out);
    assert_eq!(names(&yard), names(&plain));
    assert!(names(&yard).contains(&"BEGIN:VALARM".to_owned()), "the calendar has something in it");
    let folder = yard.folder().join("whole");
    yard.ok(&format!("export {}", folder.display()));
    let year = yard.folder().join("year");
    yard.ok(&format!("export {} --year 2026-27", year.display()));
    let mut files = 0;
    for file in fs::read_dir(&folder).unwrap().chain(fs::read_dir(&year).unwrap()) {
        let path = file.unwrap().path();
        let Ok(text) = fs::read_to_string(&path) else { continue };
        match path.extension().and_then(|extension| extension.to_str()) {
            Some("csv") => cells_are_inert(&text, &path.display().to_string()),
            Some("html") => page_is_inert(&text, &path.display().to_string()),
            _ => assert!(is_safe_to_show(&text), "{}", path.display()),
        }
        files += 1;
    }
    assert!(files > 20, "{files}");
    // What went out comes in again, the guard against formulas taken off.
    let again = yard.folder().join("again.book");
    yard.ok(&format!("import {} --book {}", folder.display(), again.display()));
    for report in ["car 1 --format json", "stock --format json", "log --last 100 --format json"] {
        assert_eq!(yard.ok(&format!("{report} --book {}", again.display())).out, yard.ok(report).out);
    }
}

#[test]
fn what_begins_like_a_formula_is_shown_as_text_everywhere() {
    std::thread::scope(|all| {
        for start in ["=", "+", "-", "@", "'=", ""] {
            all.spawn(move || shown_safely(start));
        }
    });
}

/// Words that are quoted back though they were never kept: commands, options, columns, files.
#[test]
fn what_is_quoted_in_an_error_is_made_visible() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 455 --on 3/10/2026");
    let bad = "x\u{1b}[31m\u{202e}\ny";
    let file = |name: &str, text: String| {
        fs::write(yard.folder().join(name), text).unwrap();
        yard.folder().join(name).display().to_string()
    };
    let header = file("header.csv", format!("mark,bought_on,purchase_price,\"{bad}\"\r\n"));
    let cells = file("cells.csv", format!("on,amount,heading\r\n1/10/2026,5,\"{bad}\"\r\n"));
    let (fees, rates) = (file("fees", bad.to_owned()), file("own", format!("vat-standard-rate 2027-01-01 {bad}\n")));
    let lines: &[&[&str]] = &[
        &[bad],
        &["stock", bad],
        &["stock", &format!("--{bad}")],
        &["car", bad],
        &["month", bad],
        &["month", "--part", bad, "--format", "csv"],
        &["spend", "5", bad, "--overhead"],
        &["spend", bad, "mot", "--car", "1"],
        &["check", "1", bad, "done"],
        &["settings", "set", bad, "x"],
        &["settings", "set", &format!("heading:{bad}"), "goods"],
        &["settings", "set", "--", "heading:dents", bad],
        &["settings", "set", &format!("auction:{bad}"), "0=75"],
        &["standing", "stop", bad],
        &["paper", "remove", bad],
        &["forget", bad],
        &["amend", "1", bad, "x"],
        &["amend", "1", "price", bad],
        &["import", &header],
        &["import", &cells],
        &["import", bad],
        &["bid", "--sells-for", "1275", "--fees", &fees],
        &["stock", "--rates", &rates],
        &["stock", "--rates", bad],
        &["stock", "--as-of", bad],
        &["stock", "--book", bad],
        &["receipt", "1", bad],
    ];
    for line in lines {
        let ran = yard.run_words(&line.iter().map(|word| (*word).to_owned()).collect::<Vec<_>>());
        assert!(matches!(ran.code, 1 | 2 | 4), "{line:?} gave {}: {}", ran.code, ran.out);
        assert!(is_safe_to_show(&ran.err) && !ran.err.is_empty() && ran.out.is_empty(), "{line:?}: {ran:?}");
    }
}

/// A file's own name is text too, and is kept with its receipt.
#[cfg(unix)]
#[test]
fn the_name_of_a_receipt_is_shown_safely() {
    let yard = Yard::new("2026-11-25");
    for (number, name) in
        ["=1+1.pdf", "a\u{1b}[31m.pdf", "fdp\u{202e}.pdf", "two\nlines.pdf", "<script>.pdf"].into_iter().enumerate()
    {
        let path = yard.folder().join(name);
        fs::write(&path, format!("%PDF-1.7 {number}")).unwrap();
        let words = ["spend", "5", "phone", "--overhead", "--receipt", path.to_str().unwrap()].map(str::to_owned);
        let ran = yard.run_words(&words);
        assert!(matches!(ran.code, 0..=2), "{name:?}: {}", ran.err);
        assert!(is_safe_to_show(&ran.out) && is_safe_to_show(&ran.err), "{ran:?}");
    }
    for report in ["log", "month", "verify", "tax-year"] {
        assert!(is_safe_to_show(&yard.ok(report).out), "{report}");
        cells_are_inert(&yard.ok(&format!("{report} --format csv")).out, report);
        assert!(is_safe_to_show(&yard.ok(&format!("{report} --format json")).out), "{report}");
    }
}

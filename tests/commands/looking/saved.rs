//! Every report in every format on the test yard, against its saved output in `saved/`. After a
//! wanted change: `RUNABOUT_SAVE=1 cargo test --test commands saved`, then read the difference.

use crate::common::Yard;
use std::fs;
use std::path::Path;

const LOOKS: &[(&str, &str)] = &[
    ("morning", ""),
    ("stock", "stock"),
    ("stock-book", "stock-book --from 2026-09-01"),
    ("car-sold", "car 12"),
    ("car-in-stock", "car 15"),
    ("car-loss", "car 5"),
    ("car-taken-back", "car 13"),
    ("car-scrapped", "car 17"),
    ("due", "due"),
    ("month-of-a-take-back", "month sep"),
    ("programme", "programme"),
    ("bid", "bid --sells-for 1200 --auction \"Marl Cross Auctions\""),
    ("forecast", "forecast --runs 500"),
    ("lessons", "lessons"),
    ("lessons-by-heading", "lessons --by heading"),
    ("vat", "vat"),
    ("vat-watch", "vat --watch"),
    ("verify", "verify"),
    ("month", "month apr"),
    ("month-so-far", "month"),
    ("results", "results"),
    ("tax-year", "tax-year"),
    ("tax-year-ended", "tax-year 2025-26"),
    ("cash", "cash"),
    ("log", "log"),
    ("log-of-a-car", "log 8"),
    ("standing", "standing list"),
    ("settings", "settings"),
    ("headings", "settings headings"),
];

/// Compares with the saved output, or saves it when asked to.
fn check(name: &str, got: &str) -> Option<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/commands/saved").join(name);
    if std::env::var_os("RUNABOUT_SAVE").is_some() {
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(&path, got).unwrap();
    }
    let saved = fs::read_to_string(&path).unwrap_or_default();
    (saved != got).then(|| format!("{name} is not as saved; it is now:\n{got}"))
}

#[test]
fn every_report_is_as_saved_in_every_format() {
    let yard = Yard::filled();
    let mut wrong = Vec::new();
    for (name, line) in LOOKS {
        for format in ["table", "json", "csv"] {
            let got = yard.ok(&format!("{line} --format {format}")).out;
            let got = got.replace(&*yard.book().to_string_lossy(), "BOOK");
            wrong.extend(check(&format!("{name}.{format}"), &got));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}

#[test]
fn the_demo_says_where_it_is_and_opens_only_a_fresh_book() {
    let yard = Yard::new("2026-11-25");
    let shown = yard.ok("demo");
    assert!(shown.err.contains(&*yard.book().to_string_lossy()), "{}", shown.err);
    for heading in ["$ runabout stock", "$ runabout month last", "$ runabout results"] {
        assert!(shown.out.contains(heading), "{heading}");
    }
    let before = yard.dump();
    assert_eq!(yard.run("demo").code, 1);
    assert_eq!(yard.dump(), before);
}

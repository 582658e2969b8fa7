//! `page` and `month --page` on every kind of book: empty, of one car, of very many, with hostile and with
//! very long names.

use crate::common::Yard;
use crate::common::page_read::Page;
use std::fs;
use std::path::Path;

fn words(line: &[&str]) -> Vec<String> {
    line.iter().map(|word| (*word).to_owned()).collect()
}

#[test]
fn an_empty_book_has_a_page_that_says_so() {
    let yard = Yard::new("2026-11-25");
    yard.ok("settings set trader-name \"Wend Lane Motors\"");
    let page = Page::read(&yard.ok("page").out);
    assert_eq!(page.words("h1"), ["The yard on 25 Nov 2026"]);
    assert_eq!(page.words(".trader"), ["Wend Lane Motors"]);
    let said = page.words("main p").join(" ");
    for wanted in ["No cars in stock.", "Nothing overdue", "No sales and no overheads", "Fewer than five cars sold"] {
        assert!(said.contains(wanted), "{wanted} in {said}");
    }
    assert_eq!(page.all(".entries li").len(), 0);
    Page::read(&yard.ok("month --page").out);
}

#[test]
fn a_book_of_one_car_begins_with_its_first_month_and_never_calls_the_unknown_nothing() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 465 --on 3/11/2026");
    let page = Page::read(&yard.ok("page").out);
    let months = page.table("months");
    assert_eq!(months.len(), 2, "{months:?}");
    assert_eq!(months[0][..2], ["Nov 2026", "1"]);
    assert_eq!(months[0][8], "—");
    let facts = page.words("#yard .facts dd");
    assert_eq!(facts, ["22", "£465.00", "—", "—"]);
    let entry = page.words("#yard li").join(" ");
    assert!(entry.contains("No MOT known"), "{entry}");
}

#[test]
fn losses_are_drawn_and_said() {
    let yard = Yard::new("2026-11-25");
    for line in [
        "buy KX42RTO 870 --on 3/10/2026",
        "spend 380 parts --car 1 --on 4/10/2026",
        "sell 1 455 --on 20/10/2026",
        "buy AB91CDE 615 --on 21/10/2026",
        "dispose 2 lost --on 1/11/2026",
        "spend 55 rent --overhead --on 2/11/2026",
    ] {
        yard.ok(line);
    }
    let page = Page::read(&yard.ok("page").out);
    let drawn = page.words("#cars svg text").join(" ");
    assert!(drawn.contains("lost £795.00") && drawn.contains("lost £615.00"), "{drawn}");
    assert!(page.words("#cars svg desc").join("").contains("2 lost it"));
    let oct = Page::read(&yard.ok("month oct --page").out);
    assert!(oct.words(".answers strong").contains(&"Lost £795.00".to_owned()));
}

/// As many cars as a busy yard sells in years, in one.
#[test]
fn very_many_cars_are_bounded_and_what_is_left_out_is_said() {
    let yard = Yard::new("2026-11-25");
    let mut rows = String::from("mark,bought_on,purchase_price,from,sold_on,selling_price,to\r\n");
    for n in 0..160_u32 {
        let day = chrono::NaiveDate::from_ymd_opt(2026, 1, 1).unwrap() + chrono::Days::new(u64::from(n) * 2);
        let letters: String =
            [n / 20, n % 20].iter().map(|n| char::from(b"ABCDEFGHJKLMNOPRSTUV"[*n as usize])).collect();
        let sold = if n < 110 { format!("{},{}", day + chrono::Days::new(20), 420 + n * 13) } else { ",".into() };
        rows +=
            &format!("AB91{letters}X,{day},{},R Ashdown,{sold},{}\r\n", 320 + n, if n < 110 { "S Wendon" } else { "" });
    }
    fs::write(yard.folder().join("cars.csv"), rows).unwrap();
    yard.ok(&format!("import {}", yard.folder().join("cars.csv").display()));
    let text = yard.ok("page").out;
    let page = Page::read(&text);
    assert!(text.len() < 200_000, "{} bytes", text.len());
    assert_eq!(page.all("#yard li").len(), 24);
    assert_eq!(page.all("#due li").len(), 15);
    for (section, wanted) in [
        ("yard", "Shown: 24 of 50 cars in stock. runabout stock shows them all."),
        ("cars", "Shown: 30 of 160 cars of the last twelve months. runabout stock-book shows them all."),
        ("stays", "Shown: 30 of 160 cars"),
        ("sold", "Shown: 60 of 110 cars sold"),
    ] {
        let notes = page.words(&format!("#{section} .note")).join(" ");
        assert!(notes.contains(wanted), "{wanted} in {notes}");
    }
    // Half of what is drawn is in stock, half has left.
    let left = page.table("cars").iter().filter(|row| row[10] != "—").count();
    assert_eq!(left, 15);
}

#[test]
fn hostile_and_endless_words_are_shown_and_neither_run_nor_break_the_page() {
    let long = "W".repeat(500);
    for text in
        ["<script>alert(1)</script>", "\"><img src=x onerror=alert(1)>", "]]><svg onload=x>", "مرحبا & <b>", &long]
    {
        let yard = Yard::new("2026-11-25");
        for line in [
            words(&["settings", "set", "trader-name", text]),
            words(&["pay-in", "5000", "--on", "1/10/2026"]),
            words(&["buy", "KX42RTO", "455", "--make", text, "--from", text, "--on", "3/10/2026"]),
            words(&["buy", "AB91CDE", "345", "--model", text, "--mot-until", "2026-12-04", "--on", "3/10/2026"]),
            words(&["standing", "add", text, "95", "--every", "month", "--from", "2026-10-05", "--heading", "rent"]),
            words(&["paper", "add", text, "--until", "2026-12-14"]),
            words(&["spend", "15", "phone", "--overhead", "--to", text, "--note", text, "--on", "4/10/2026"]),
            words(&["spend", "15", "parts", "--overhead", "--to", text, "--unpaid", "--on", "4/10/2026"]),
            words(&["sell", "1", "925", "--to", text, "--on", "20/10/2026"]),
        ] {
            let ran = yard.run_words(&line);
            assert_eq!(ran.code, 0, "{line:?}: {}", ran.err);
        }
        let page = yard.ok("page").out;
        // The words are there, as words: the parser finds none of the elements in them.
        let read = read_hostile(&page);
        assert_eq!(read.words(".trader bdi"), [text]);
        assert!(read.words("#due .entries").join(" ").contains(text));
        assert!(read.words("#yard-figures td").contains(&text.to_owned()));
        let month = read_hostile(&yard.ok("month oct --page").out);
        assert!(month.words("#overheads-figures td").contains(&text.to_owned()));
    }
}

/// No element comes of the words.
fn read_hostile(text: &str) -> Page {
    for banned in ["<script", "<img", "<svg onload", "<b>"] {
        assert!(!text.contains(banned), "{banned}");
    }
    Page::read_words(text)
}

#[test]
fn a_page_goes_where_it_is_asked_to_and_out_needs_a_page() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 485 --on 3/11/2026");
    for (command, name) in [("page", "yard.html"), ("month --page", "month.html")] {
        let path = yard.folder().join(name);
        let said = yard.ok(&format!("{command} --out {}", path.display()));
        assert_eq!(said.out, "");
        assert!(said.err.contains(&*path.to_string_lossy()), "{}", said.err);
        assert_eq!(fs::read_to_string(&path).unwrap(), yard.ok(command).out);
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
        }
    }
    assert_eq!(yard.run("month --out x.html").code, 2);
    let missing = Yard::new("2026-11-25").run("page");
    assert!(missing.code != 0 && missing.out.is_empty(), "{}", missing.err);
}

/// The page as it stood on an earlier day holds nothing of later ones.
#[test]
fn what_is_dated_later_is_on_no_page_of_before() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 475 --on 3/9/2026");
    let before = yard.ok("page --as-of 30/9/2026").out;
    yard.ok("sell 1 935 --on 2/10/2026 --to \"R Ashdown\"");
    yard.ok("buy AB91CDE 345 --on 5/11/2026");
    assert_eq!(yard.ok("page --as-of 30/9/2026").out, before);
}

/// `saved/page.html` is what the program makes of the test yard now. After a wanted change:
/// `RUNABOUT_SAVE=1 cargo test --test commands page`, and look at it.
#[test]
fn the_page_of_the_test_yard_is_as_saved() {
    let yard = Yard::filled();
    let made = yard.ok("page").out;
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/commands/saved/page.html");
    if std::env::var_os("RUNABOUT_SAVE").is_some() {
        fs::write(&path, &made).unwrap();
    }
    assert!(fs::read_to_string(&path).unwrap_or_default() == made, "saved/page.html is not the page made now");
    Page::read(&made);
}

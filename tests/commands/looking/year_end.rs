//! Everything an accountant asks for, in one folder.

use crate::common::Yard;
use std::collections::BTreeSet;
use std::fs;

fn yard() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "pay-in 3000 --on 1/4/2026",
        "buy KX42RTO 465 --on 10/4/2026 --from \"=HYPERLINK(1)\"",
        "spend 35 labour --car 1 --on 12/4/2026",
        "spend 95 rent --overhead --on 1/5/2026",
        "journey 40 \"to fetch parts\" --on 2/5/2026",
        "sell 1 935 --on 20/5/2026 --to \"D <script>Farrow\"",
    ] {
        yard.ok(line);
    }
    yard
}

#[test]
fn the_folder_holds_what_its_contents_list_and_nothing_else() {
    let yard = yard();
    let folder = yard.folder().join("year-end");
    yard.ok(&format!("export {} --year 2026-27", folder.display()));
    let there: BTreeSet<String> =
        fs::read_dir(&folder).unwrap().map(|file| file.unwrap().file_name().into_string().unwrap()).collect();
    let contents = fs::read_to_string(folder.join("contents.csv")).unwrap();
    let listed: BTreeSet<String> =
        contents.lines().skip(1).filter_map(|line| line.split(',').next()).map(str::to_owned).collect();
    let mut files = there.clone();
    assert!(files.remove("contents.csv"));
    assert_eq!(files, listed);
    for wanted in [
        "stock-book.csv",
        "stock-book.html",
        "tax-year-boxes.csv",
        "tax-year-cash-expenses.csv",
        "month-2026-05-bridge.csv",
    ] {
        assert!(there.contains(wanted), "{wanted} in {there:?}");
    }
    let expenses = fs::read_to_string(folder.join("tax-year-cash-expenses.csv")).unwrap();
    assert!(expenses.contains("95.00") && expenses.contains("465.00"), "{expenses}");
    // Names are shown, never run.
    let book = fs::read_to_string(folder.join("stock-book.csv")).unwrap();
    assert!(book.contains("'=HYPERLINK(1)"), "{book}");
    let page = fs::read_to_string(folder.join("stock-book.html")).unwrap();
    assert!(page.contains("D &lt;script&gt;Farrow") && !page.contains("<script"), "{page}");
    #[cfg(unix)]
    for file in ["", "contents.csv"] {
        use std::os::unix::fs::PermissionsExt;
        let mode = fs::metadata(folder.join(file)).unwrap().permissions().mode();
        assert_eq!(mode & 0o077, 0, "{file} is its owner's alone");
    }
}

#[test]
fn a_folder_that_is_there_and_a_year_to_come_are_refused() {
    let yard = yard();
    let folder = yard.folder().join("year-end");
    fs::create_dir(&folder).unwrap();
    assert_eq!(yard.run(&format!("export {} --year 2026-27", folder.display())).code, 1);
    let ran = yard.run(&format!("export {} --year 2027-28", yard.folder().join("next").display()));
    assert!(ran.code == 1 && ran.err.contains("the tax year 2027-28 has not begun"), "{}", ran.err);
    assert!(!yard.folder().join("next").exists());
}

//! Books of every version there has been: each opens, is copied beside itself first, and gives the reports
//! the same facts give when recorded today. The facts are of kinds the first version knew.

use crate::common::Yard;
use crate::common::older::{made_by_version, migrations, texts};
use rusqlite::Connection;
use rusqlite::types::Value;
use std::fs;
use std::path::Path;

const REPORTS: &[&str] = &["month", "month oct", "cash", "stock", "results", "car 1", "car 2", "standing", "log"];

const UNDOING: &[&str] = &["undo", "undo 15", "undo 14", "spend 12.50 phone --overhead"];

fn recorded_today() -> Yard {
    let yard = Yard::new("2026-11-25");
    for line in [
        "settings set trader-name \"Wend Lane Motors\"",
        "settings set heading:dents goods",
        "pay-in 3000 --on 1/10/2026",
        "pay-in 215 --loan \"Aunt Wyn\" --on 1/10/2026",
        "move 310 bank cash --on 2/10/2026",
        "buy KX42RTO 465 --on 3/10/2026 --from \"R Ashdown\" --make Brindle --miles 82000 --mot-until 2026-12-06",
        "spend 38 labour --car 1 --usual 105 --paid cash --on 4/10/2026 --note \"=1+1, \\\"kept\\\"\"",
        "spend 35 dents --car 1 --unpaid --to \"Kit Marsh\" --on 4/10/2026",
        "hours 1 2h30 --on 4/10/2026",
        "buy AB91CDE 345 --on 5/10/2026 --paid-amount 240",
        "standing add \"yard rent\" 95 --every month --from 2026-10-01 --heading rent",
        "ask 1 985 --lowest 910 --on 6/10/2026",
        "receive 55 wheels-sold --car 1 --on 7/10/2026",
        "sell 1 925 --on 20/10/2026 --to \"D Farrow\" --paid-amount 870",
        "receive 55 balance --car 1 --on 21/10/2026",
        "draw 100 --on 1/11/2026",
    ] {
        yard.ok(line);
    }
    yard
}

fn dump(book: &Path) -> Vec<String> {
    let book = Connection::open(book).unwrap();
    let mut rows = Vec::new();
    for table in texts(&book, "SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name") {
        let mut all = book.prepare(&format!("SELECT * FROM {table} ORDER BY 1")).unwrap();
        let width = all.column_count();
        let mut found = all.query([]).unwrap();
        while let Some(row) = found.next().unwrap() {
            let values: Vec<Value> = (0..width).map(|at| row.get(at).unwrap()).collect();
            rows.push(format!("{table}: {values:?}"));
        }
    }
    rows
}

#[test]
fn a_book_of_any_version_gives_the_reports_its_facts_give_today() {
    let today = recorded_today();
    let wanted = |yard: &Yard| -> Vec<String> {
        REPORTS.iter().map(|line| yard.ok(&format!("{line} --format json")).out).collect()
    };
    let expected = wanted(&today);
    let other = today.copy();
    for line in UNDOING {
        other.ok(line);
    }
    let after_undoing = wanted(&other);
    let newest = migrations().len();
    assert!(newest >= 6);
    for version in 1..=newest {
        let yard = Yard::new("2026-11-25");
        made_by_version(version, &today.book(), &yard.book());
        let as_it_was = dump(&yard.book());
        assert!(as_it_was.iter().filter(|row| row.starts_with("history")).count() >= 25, "version {version}");
        for (line, (found, wanted)) in REPORTS.iter().zip(wanted(&yard).iter().zip(&expected)) {
            assert_eq!(found, wanted, "`{line}` of version {version}");
        }
        assert_eq!(yard.run("verify").code, 0, "version {version}: {}", yard.run("verify").out);

        // Copied beside itself before it was touched, and only then; the copy opens too.
        let copy = yard.book().with_extension(format!("before-version-{newest}.book"));
        assert_eq!(copy.exists(), version < newest, "version {version}");
        if version < newest {
            assert_eq!(dump(&copy), as_it_was, "version {version}");
            #[cfg(unix)]
            {
                let mode = std::os::unix::fs::PermissionsExt::mode(&fs::metadata(&copy).unwrap().permissions());
                assert_eq!(mode & 0o777, 0o600, "the copy holds names too");
            }
            let again = Yard::new("2026-11-25");
            fs::copy(&copy, again.book()).unwrap();
            assert_eq!(
                again.ok("results --format json").out,
                yard.ok("results --format json").out,
                "version {version}"
            );
        }
        let left: Vec<String> = fs::read_dir(yard.folder())
            .unwrap()
            .map(|file| file.unwrap().file_name().to_string_lossy().into_owned())
            .filter(|name| name != "yard.book" && !name.ends_with(&format!("before-version-{newest}.book")))
            .collect();
        assert_eq!(left, Vec::<String>::new(), "version {version}");

        // What the old version wrote down of its entries is enough to take one back.
        for line in UNDOING {
            yard.ok(line);
        }
        assert_eq!(wanted(&yard), after_undoing, "after undoing in version {version}");
        assert_eq!(yard.run("verify").code, 0, "version {version}");
    }
}

/// A migration that cannot be finished leaves the book as it was, and its copy.
#[test]
fn a_book_that_cannot_be_brought_up_to_date_stays_of_its_version() {
    let today = recorded_today();
    let yard = Yard::new("2026-11-25");
    made_by_version(1, &today.book(), &yard.book());
    let old = Connection::open(yard.book()).unwrap();
    // A table of a later version is there already: the migration that makes it cannot.
    old.execute_batch("CREATE TABLE programme (anything)").unwrap();
    drop(old);
    let as_it_was = dump(&yard.book());
    assert_ne!(yard.run("stock").code, 0);
    assert_eq!(dump(&yard.book()), as_it_was);
    let old = Connection::open(yard.book()).unwrap();
    old.execute_batch("DROP TABLE programme").unwrap();
    drop(old);
    assert_eq!(yard.ok("cash --format json").out, today.ok("cash --format json").out);
}

/// The copy of another old book of the same name is another copy; the same one is kept once.
#[test]
fn a_copy_kept_before_is_never_written_over() {
    let today = recorded_today();
    let yard = Yard::new("2026-11-25");
    let beside = |count: &str| yard.book().with_extension(format!("before-version-{}{count}.book", migrations().len()));
    made_by_version(6, &today.book(), &yard.book());
    yard.ok("cash");
    let first = fs::read(beside("")).unwrap();
    for _ in 0..2 {
        fs::write(yard.book(), &first).unwrap();
        yard.ok("cash");
        assert!(!beside("-2").exists());
    }
    fs::remove_file(yard.book()).unwrap();
    today.ok("pay-in 27.50");
    made_by_version(6, &today.book(), &yard.book());
    yard.ok("cash");
    assert!(beside("-2").exists() && !beside("-3").exists());
    assert_eq!(fs::read(beside("")).unwrap(), first);
}

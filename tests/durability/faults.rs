//! An error of the disk at every call in turn that writes, brings to the disk, makes, renames or removes a
//! file: before the commit nothing happened, after it everything, and the program says which it cannot know.

use crate::common::{Yard, rows_of};
use crate::failing::{Ended, FailingDisk, Place, WAYS};
use crate::told::TODAY;
use std::fs;
use std::path::Path;

/// Which calls go wrong.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Which {
    /// Each.
    Every,
    /// Of many writes in a row to one file only the first, the last and each seventh between; all others.
    Telling,
}

/// Lets the calls of a command go wrong in turn, in one way, each time in a fresh place. What is judged is
/// said in the last argument.
fn each_call(seed: &Yard, words: &[&str], (way, which): (&str, Which), judge: impl Fn(&Place, &Ended, &str)) {
    let disk = FailingDisk::new();
    let calls = disk.calls(&Place::with(seed), words);
    assert!(calls.len() >= 30, "only {} calls are counted: are they still those of failing_io.c?", calls.len());
    let same = |one: usize, other: usize| {
        let name = |at: usize| calls.get(at).and_then(|call| call.rsplit('/').next());
        calls[one].starts_with("write ") && name(one) == name(other)
    };
    for (at, call) in calls.iter().enumerate() {
        let alike = at > 0 && same(at, at - 1) && same(at, at + 1);
        if which == Which::Telling && alike && at % 7 != 0 {
            continue;
        }
        let place = Place::with(seed);
        let ended = disk.run(&place, words, way, u32::try_from(at).unwrap() + 1);
        let about = format!("{} {way} at {at}, {call}: {ended:?}", words[0]);
        assert!(ended.hit.is_some(), "nothing went wrong: {about}");
        match ended.code {
            None => assert_eq!(way, "torn", "{about}"),
            Some(4) => assert!(ended.err.starts_with("error: ") && !ended.err.contains("report this"), "{about}"),
            code => assert_eq!(code, Some(0), "{about}"),
        }
        judge(&place, &ended, &about);
    }
}

/// Rows of the book, whenever they were written, without what is noted of copies.
fn rows(book: &Path) -> Vec<String> {
    let time = |word: &str| word.len() == 20 && word.ends_with('Z') && word.get(10..11) == Some("T");
    let timeless = |row: String| row.split('"').map(|word| if time(word) { "TIME" } else { word }).collect::<String>();
    let facts = rows_of(book, &["backup_made"]).into_iter().filter(|row| !row.contains("\"backup_made\""));
    facts.map(timeless).collect()
}

/// The journal was gone already when the call went wrong: the entry is in the book, but whether it would
/// outlast a power cut cannot be known.
fn came_late(place: &Place, hit: &str, way: &str) -> bool {
    // Half a removal is a whole one, and it is the next call that fails.
    place.is_sync_of_folder(hit) || (way == "short" && hit.starts_with("unlink"))
}

/// One command that records: whole or not at all, and done after all when it is typed again.
fn records_whole_or_not_at_all(seed: &Yard, words: &[&str], which: impl Fn(&str) -> Which) {
    let clean = Place::with(seed);
    let before = rows(&clean.book());
    assert_eq!(clean.run(words).code, Some(0));
    let after = rows(&clean.book());
    assert_ne!(before, after);
    let entries = |rows: &[String]| rows.iter().filter(|row| row.starts_with("entry: ")).count();
    for way in WAYS {
        each_call(seed, words, (way, which(way)), |place, ended, about| {
            // Looked at first by the program itself: it is what has to play a journal back.
            let verified = place.run(&["verify"]);
            let found = rows(&place.book());
            if entries(&found) == 0 {
                assert!(verified.code == Some(0) || verified.err.contains("there is no book"), "{about} {verified:?}");
            } else {
                assert_eq!(verified.code, Some(0), "{about} {verified:?}");
            }
            if ended.code == Some(0) {
                assert_eq!(found, after, "{about}");
            } else if found == after {
                assert!(came_late(place, ended.hit.as_deref().unwrap(), way), "{about}");
                assert!(ended.code.is_none() || ended.err.contains("runabout log"), "{about}");
            } else {
                // A book that is only begun holds its empty tables, or nothing.
                assert!(found == before || entries(&before) + entries(&found) == 0, "{about}");
                assert_eq!(place.run(words).code, Some(0), "again after {about}");
                assert_eq!(rows(&place.book()), after, "again after {about}");
            }
        });
    }
}

fn yard() -> Yard {
    let yard = Yard::new(TODAY);
    fs::write(yard.folder().join("bill.pdf"), b"%PDF-1.7 a bill").unwrap();
    yard.ok("pay-in 3000 --on 1/10/2026");
    yard.ok("buy KX42RTO 465 --on 3/10/2026");
    yard.ok(&format!("spend 35 labour --car 1 --receipt {}", yard.folder().join("bill.pdf").display()));
    yard
}

#[test]
fn an_entry_is_kept_whole_or_not_at_all() {
    let which = |way: &str| if way == "eio" { Which::Every } else { Which::Telling };
    records_whole_or_not_at_all(&yard(), &["spend", "12.50", "mot", "--car", "1"], which);
}

#[test]
fn a_book_is_begun_whole_or_not_at_all() {
    records_whole_or_not_at_all(&Yard::new(TODAY), &["pay-in", "1850"], |_| Which::Telling);
}

#[test]
fn a_copy_is_whole_or_not_there_and_the_book_as_it_was() {
    let seed = yard();
    let whole = rows(&seed.book());
    for way in WAYS {
        each_call(&seed, &["backup"], (way, Which::Telling), |place, ended, about| {
            let verified = place.run(&["verify"]);
            assert_eq!(verified.code, Some(0), "{about} {verified:?}");
            assert_eq!(rows(&place.book()), whole, "{about}");
            let again = place.book().with_file_name("again.book");
            let folder = place.book().with_extension("backups");
            let files = fs::read_dir(&folder).map(|files| files.map(|file| file.unwrap().path()).collect());
            let files: Vec<_> = files.unwrap_or_default();
            let of_kind = |kind: &str| {
                files.iter().filter(|path| path.extension().is_some_and(|ending| ending == kind)).collect::<Vec<_>>()
            };
            let copies = of_kind("book");
            for copy in &copies {
                assert_eq!(rows(copy), whole, "{about}");
            }
            let noted = rows_of(&place.book(), &[]).iter().filter(|row| row.starts_with("backup_made: ")).count();
            if ended.code == Some(0) {
                assert_eq!((copies.len(), noted), (1, 1), "{about}");
                assert_eq!(fs::read_dir(folder.join("receipts")).unwrap().count(), 1, "{about}");
            }
            if !matches!(way, "gone" | "torn") {
                assert!(of_kind("part").is_empty(), "half a copy is left: {about} {files:?}");
            }
            assert_eq!(place.run(&["backup", &again.display().to_string()]).code, Some(0), "again after {about}");
        });
    }
}

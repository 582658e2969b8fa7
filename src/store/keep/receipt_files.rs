//! Receipts: photos and PDFs of bills, kept as files beside the book under the SHA-256 of what is
//! in them (FIPS 180-4), so that a copy changed since can be told.
//!
//! A copy is on the disk, complete, before the entry that names it is committed. A crash between the
//! two leaves only a file that no entry names, a harmless extra. The other way round an entry could name
//! a file that is not there.

use crate::domain::value::control_chars::is_unseen;
use crate::store::fault::ReceiptFault;
use crate::store::files::receipt_names::{folder_of, hash};
use crate::store::files::{FileError, Part, make_private_folder, new_private_file};
use std::cell::{Cell, RefCell};
use std::fs::{self, File};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use thiserror::Error;

/// The most a receipt may hold, in bytes: 50 MiB. A photo takes a tenth of it.
pub const LARGEST: u64 = 50 * 1024 * 1024;
/// As many bytes from the beginning of a file as say what it is.
const HEAD: u64 = 64;
/// What a copy is called until it has the name of its content.
const INCOMING: &str = "incoming";

/// Why a file cannot be kept as a receipt.
#[derive(Debug, Error)]
pub enum ReceiptError {
    /// There is nothing there.
    #[error("there is no file '{}'", .0.display())]
    Missing(PathBuf),
    /// A folder or a device.
    #[error("'{}' is not a file: name a photo or a PDF of the bill", .0.display())]
    NotAFile(PathBuf),
    /// The name ends in nothing known.
    #[error("'{}' cannot be kept by its name: a receipt is a {} file", .0.display(), accepted())]
    UnknownKind(PathBuf),
    /// Nothing in it.
    #[error("'{}' is empty", .0.display())]
    Empty(PathBuf),
    /// Above `LARGEST`.
    #[error("'{}' is larger than 50 MiB, the most a receipt may be: make it smaller first", .0.display())]
    TooLarge(PathBuf),
    /// The beginning of the file is not of the kind its name says.
    #[error("'{}' is named .{extension} but holds {}: a receipt is a {} file", path.display(), held(*.found), accepted())]
    NotAsNamed {
        /// The file.
        path: PathBuf,
        /// What its name ends in.
        extension: &'static str,
        /// What it is instead, when that is known.
        found: Option<Form>,
    },
    /// The file to copy cannot be read.
    #[error("'{}' cannot be read", path.display())]
    CannotRead {
        /// The file.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: io::Error,
    },
    /// The copy cannot be written.
    #[error("no copy could be kept in '{}'", folder.display())]
    CannotKeep {
        /// The folder beside the book.
        folder: PathBuf,
        /// What the system said.
        #[source]
        source: io::Error,
    },
    /// The copy cannot be given its name.
    #[error("no copy could be kept in '{}'", folder.display())]
    NotPlaced {
        /// The folder beside the book.
        folder: PathBuf,
        /// Why.
        #[source]
        source: FileError,
    },
    /// The copy cannot be taken away again.
    #[error("'{}' could not be taken away again", path.display())]
    CannotDiscard {
        /// The copy.
        path: PathBuf,
        /// What the system said.
        #[source]
        source: io::Error,
    },
}

/// What a file is by its content.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// JPEG (ITU-T T.81).
    Jpeg,
    /// PNG (W3C).
    Png,
    /// WebP (RFC 9649).
    Webp,
    /// HEIF still pictures coded with HEVC, as telephones take them (ISO/IEC 23008-12).
    Heic,
    /// GIF.
    Gif,
    /// TIFF 6.0.
    Tiff,
    /// PDF (ISO 32000).
    Pdf,
}

/// What a receipt's name may end in, and what it then is.
const EXTENSIONS: &[(&str, Form)] = &[
    ("jpg", Form::Jpeg),
    ("jpeg", Form::Jpeg),
    ("png", Form::Png),
    ("webp", Form::Webp),
    ("heic", Form::Heic),
    ("gif", Form::Gif),
    ("tif", Form::Tiff),
    ("tiff", Form::Tiff),
    ("pdf", Form::Pdf),
];

/// The brands of HEIF that phones write into `.heic` (ISO/IEC 23008-12, annex B).
const HEIC_BRANDS: [&[u8]; 10] =
    [b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs", b"mif1", b"msf1"];

impl Form {
    /// The form that the first bytes of a file are those of.
    fn from_first_bytes(head: &[u8]) -> Option<Self> {
        let at = |from: usize, to: usize| head.get(from..to).unwrap_or_default();
        if head.starts_with(b"\xFF\xD8\xFF") {
            Some(Self::Jpeg)
        } else if head.starts_with(b"\x89PNG\r\n\x1A\n") {
            Some(Self::Png)
        } else if head.starts_with(b"RIFF") && at(8, 12) == b"WEBP" {
            Some(Self::Webp)
        } else if at(4, 8) == b"ftyp" && HEIC_BRANDS.contains(&at(8, 12)) {
            Some(Self::Heic)
        } else if head.starts_with(b"GIF87a") || head.starts_with(b"GIF89a") {
            Some(Self::Gif)
        } else if head.starts_with(b"II*\0") || head.starts_with(b"MM\0*") {
            Some(Self::Tiff)
        } else if head.trim_ascii_start().starts_with(b"%PDF-") {
            // Some scanners put an empty line first, and every reader takes it.
            Some(Self::Pdf)
        } else {
            None
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::Jpeg => "a JPEG picture",
            Self::Png => "a PNG picture",
            Self::Webp => "a WebP picture",
            Self::Heic => "a HEIC picture",
            Self::Gif => "a GIF picture",
            Self::Tiff => "a TIFF picture",
            Self::Pdf => "a PDF",
        }
    }
}

fn held(found: Option<Form>) -> &'static str {
    found.map_or("something else", Form::words)
}

/// `jpg, jpeg, … or pdf`.
fn accepted() -> String {
    let names: Vec<&str> = EXTENSIONS.iter().map(|(name, _)| *name).collect();
    match names.split_last() {
        Some((last, first)) => format!("{} or {last}", first.join(", ")),
        None => String::new(),
    }
}

/// A copy kept beside the book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptFile {
    /// The SHA-256 of its content, 64 lower-case hexadecimal digits.
    pub sha256: String,
    /// What its name ends in, lower case, without the dot.
    pub extension: &'static str,
    /// Its length, 1 to `LARGEST`.
    pub bytes: u64,
    /// The last part of the name it was given under, without unseen characters.
    pub original_name: String,
    /// The same content was kept before, perhaps for another entry.
    pub already_there: bool,
}

/// Keeps a copy of `source` beside the book. When this returns, the copy is on the disk.
///
/// Call it, and `discard`, while the book is held for writing: another recording could otherwise
/// come to rely on a copy that this one takes away again.
pub fn keep_copy(book: &Path, source: &Path) -> Result<KeptFile, ReceiptError> {
    let cannot_read = |error| unreadable(source, error);
    let about = fs::metadata(source).map_err(cannot_read)?;
    if !about.is_file() {
        return Err(ReceiptError::NotAFile(source.to_owned()));
    }
    let (extension, form) = by_name(source).ok_or_else(|| ReceiptError::UnknownKind(source.to_owned()))?;
    if about.len() > LARGEST {
        return Err(ReceiptError::TooLarge(source.to_owned()));
    }
    let content = File::open(source).map_err(cannot_read)?;
    let mut head = Vec::new();
    (&content).take(HEAD).read_to_end(&mut head).map_err(cannot_read)?;
    if head.is_empty() {
        return Err(ReceiptError::Empty(source.to_owned()));
    }
    let found = Form::from_first_bytes(&head);
    if found != Some(form) {
        return Err(ReceiptError::NotAsNamed { path: source.to_owned(), extension, found });
    }

    let folder = folder_of(book);
    let cannot_keep = |error| ReceiptError::CannotKeep { folder: folder.clone(), source: error };
    make_private_folder(&folder).map_err(cannot_keep)?;
    let part = Part::beside(&folder.join(INCOMING)).map_err(cannot_keep)?;
    let mut copy = new_private_file(&part.path(INCOMING)).map_err(cannot_keep)?;
    // The length is counted, not believed: the file may still be growing.
    let content = head.as_slice().chain(content).take(LARGEST + 1);
    let (sha256, bytes) = hash(content, cannot_read, |piece| copy.write_all(piece).map_err(cannot_keep))?;
    if bytes > LARGEST {
        return Err(ReceiptError::TooLarge(source.to_owned()));
    }
    copy.sync_all().map_err(cannot_keep)?;
    drop(copy);

    let there = path_of(book, &sha256, extension);
    let already_there = there.try_exists().map_err(cannot_keep)?;
    let placed = if !already_there {
        part.place_new(INCOMING, &there)
    } else if check(book, &sha256, extension, bytes).is_err() {
        // A copy that was damaged since is made good by the same content.
        part.place_over(INCOMING, &there)
    } else {
        Ok(())
    };
    placed.map_err(|error| ReceiptError::NotPlaced { folder: folder.clone(), source: error })?;
    Ok(KeptFile { sha256, extension, bytes, original_name: last_name(source), already_there })
}

/// Where a receipt is kept: `<book file stem>.receipts/<sha256>.<extension>`, beside the book.
pub fn path_of(book: &Path, sha256: &str, extension: &str) -> PathBuf {
    named_in(&folder_of(book), sha256, extension)
}

/// Where a receipt lies in a folder of receipts.
pub(crate) fn named_in(folder: &Path, sha256: &str, extension: &str) -> PathBuf {
    // Both may come from a book somebody sent: nothing in them may lead out of the folder.
    let plain = |text: &str| text.chars().filter(char::is_ascii_alphanumeric).collect::<String>();
    folder.join(format!("{}.{}", plain(sha256), plain(extension)))
}

/// Takes a copy away again when its entry is not kept. One that was there before stays.
pub fn discard(book: &Path, kept: &KeptFile) -> Result<(), ReceiptError> {
    if kept.already_there {
        return Ok(());
    }
    let path = path_of(book, &kept.sha256, kept.extension);
    match fs::remove_file(&path) {
        Err(source) if source.kind() != ErrorKind::NotFound => Err(ReceiptError::CannotDiscard { path, source }),
        _ => Ok(()),
    }
}

/// Reads a copy again and compares it with what the book says of it.
pub fn check(book: &Path, sha256: &str, extension: &str, bytes: u64) -> Result<(), ReceiptFault> {
    let path = path_of(book, sha256, extension);
    let fault = |error: io::Error| match error.kind() {
        ErrorKind::NotFound => ReceiptFault::Missing,
        _ => ReceiptFault::Unreadable(error.to_string()),
    };
    let about = fs::metadata(&path).map_err(fault)?;
    if !about.is_file() {
        return Err(ReceiptFault::Unreadable("it is not a file".to_owned()));
    }
    if about.len() != bytes {
        return Err(ReceiptFault::Changed);
    }
    let (found, _) = hash(File::open(&path).map_err(fault)?, fault, |_| Ok(()))?;
    if found == sha256 { Ok(()) } else { Err(ReceiptFault::Changed) }
}

fn unreadable(path: &Path, source: io::Error) -> ReceiptError {
    let path = path.to_owned();
    match source.kind() {
        ErrorKind::NotFound => ReceiptError::Missing(path),
        _ => ReceiptError::CannotRead { path, source },
    }
}

/// What the name ends in, and the form a file so named has.
fn by_name(source: &Path) -> Option<(&'static str, Form)> {
    let typed = source.extension()?.to_str()?;
    EXTENSIONS.iter().find(|(name, _)| name.eq_ignore_ascii_case(typed)).copied()
}

/// Never a path, and nothing that acts on the line it is shown in.
fn last_name(source: &Path) -> String {
    let name = source.file_name().unwrap_or_default().to_string_lossy();
    name.chars().filter(|character| !is_unseen(*character)).collect()
}

/// Copies made while an entry is being written. Dropped before the entry is kept, they go again.
#[derive(Debug, Default)]
pub(crate) struct PendingCopies {
    pub(crate) made: RefCell<Vec<(PathBuf, KeptFile)>>,
    kept: Cell<bool>,
}

impl PendingCopies {
    /// The entry is in the book: the copies stay.
    pub(crate) fn keep(&self) {
        self.kept.set(true);
    }
}

impl Drop for PendingCopies {
    fn drop(&mut self) {
        if !self.kept.get() {
            for (book, copy) in self.made.borrow().iter() {
                // A copy that cannot be taken away is a file nobody points at, and no failure.
                let _ = discard(book, copy);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::files::receipt_names::PIECE;
    use tempfile::TempDir;

    /// `printf '%%PDF-1.4\nbill' | sha256sum`, by GNU coreutils.
    const BILL: &[u8] = b"%PDF-1.4\nbill";
    const BILL_SHA256: &str = "c03ab04ed3a8b3787cd01a4b164937bae88362ec9e5967287c6f769f9ae45131";

    /// A folder with a place for a book and a bill to keep.
    fn yard() -> (TempDir, PathBuf) {
        let yard = tempfile::tempdir().unwrap();
        let book = yard.path().join("yard.book");
        (yard, book)
    }

    fn file(yard: &TempDir, name: &str, content: &[u8]) -> PathBuf {
        let path = yard.path().join(name);
        fs::write(&path, content).unwrap();
        path
    }

    /// Names in the receipts folder; empty when there is none.
    fn kept_names(book: &Path) -> Vec<String> {
        let Ok(found) = fs::read_dir(folder_of(book)) else { return Vec::new() };
        let mut names: Vec<String> =
            found.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
        names.sort();
        names
    }

    #[test]
    fn a_copy_is_kept_by_its_hash_and_the_original_stays() {
        let (yard, book) = yard();
        let source = file(&yard, "Ash Tyres.PDF", BILL);
        let kept = keep_copy(&book, &source).unwrap();
        assert_eq!(
            kept,
            KeptFile {
                sha256: BILL_SHA256.to_owned(),
                extension: "pdf",
                bytes: 13,
                original_name: "Ash Tyres.PDF".to_owned(),
                already_there: false,
            }
        );
        let path = yard.path().join("yard.receipts").join(format!("{BILL_SHA256}.pdf"));
        assert_eq!(path_of(&book, BILL_SHA256, "pdf"), path);
        assert_eq!(fs::read(path).unwrap(), BILL);
        assert_eq!(fs::read(source).unwrap(), BILL);
        assert_eq!(kept_names(&book), [format!("{BILL_SHA256}.pdf")], "nothing unfinished is left");
        assert_eq!(check(&book, BILL_SHA256, "pdf", 13), Ok(()));
    }

    #[test]
    fn files_of_many_pieces_are_copied_whole() {
        let (yard, book) = yard();
        for length in [HEAD - 1, HEAD, HEAD + 1, PIECE as u64, 3 * PIECE as u64 + 7] {
            let mut content = b"GIF89a".to_vec();
            content.extend((6..length).map(|n| u8::try_from(n % 251).unwrap()));
            let kept = keep_copy(&book, &file(&yard, "bill.gif", &content)).unwrap();
            assert_eq!(kept.bytes, length);
            assert_eq!(fs::read(path_of(&book, &kept.sha256, "gif")).unwrap(), content);
            assert_eq!(check(&book, &kept.sha256, "gif", length), Ok(()));
        }
    }

    #[test]
    fn the_same_content_is_kept_once_and_survives_a_discard() {
        let (yard, book) = yard();
        let first = keep_copy(&book, &file(&yard, "one.pdf", BILL)).unwrap();
        let second = keep_copy(&book, &file(&yard, "two.pdf", BILL)).unwrap();
        assert!(second.already_there);
        assert_eq!((&second.sha256, second.original_name.as_str()), (&first.sha256, "two.pdf"));
        assert_eq!(kept_names(&book).len(), 1);
        discard(&book, &second).unwrap();
        assert_eq!(check(&book, BILL_SHA256, "pdf", 13), Ok(()));
        discard(&book, &first).unwrap();
        assert_eq!(check(&book, BILL_SHA256, "pdf", 13), Err(ReceiptFault::Missing));
        discard(&book, &first).unwrap();
    }

    #[test]
    fn a_damaged_copy_is_made_good_and_still_counts_as_there_before() {
        let (yard, book) = yard();
        let source = file(&yard, "one.pdf", BILL);
        keep_copy(&book, &source).unwrap();
        for damaged in [&b"%PDF-1.4\nbil"[..], b"%PDF-1.4\nbils"] {
            fs::write(path_of(&book, BILL_SHA256, "pdf"), damaged).unwrap();
            let again = keep_copy(&book, &source).unwrap();
            assert!(again.already_there);
            assert_eq!(check(&book, BILL_SHA256, "pdf", 13), Ok(()));
        }
        assert_eq!(kept_names(&book).len(), 1);
    }

    #[test]
    fn copies_are_checked_against_the_book() {
        let (yard, book) = yard();
        assert_eq!(check(&book, BILL_SHA256, "pdf", 13), Err(ReceiptFault::Missing));
        keep_copy(&book, &file(&yard, "one.pdf", BILL)).unwrap();
        assert_eq!(check(&book, BILL_SHA256, "pdf", 14), Err(ReceiptFault::Changed), "the length counts too");
        let path = path_of(&book, BILL_SHA256, "pdf");
        for changed in [&b"%PDF-1.4\nbill "[..], b"%PDF-1.4\nbilk", b""] {
            fs::write(&path, changed).unwrap();
            assert_eq!(check(&book, BILL_SHA256, "pdf", 13), Err(ReceiptFault::Changed));
        }
        fs::remove_file(&path).unwrap();
        fs::create_dir(&path).unwrap();
        assert_eq!(
            check(&book, BILL_SHA256, "pdf", 13).unwrap_err().to_string(),
            "the file cannot be read: it is not a file"
        );
    }

    #[test]
    fn every_kind_is_known_by_its_first_bytes() {
        let (yard, book) = yard();
        for (extension, head) in [
            ("jpg", &b"\xFF\xD8\xFF\xE0\0\x10JFIF"[..]),
            ("jpeg", b"\xFF\xD8\xFF\xE1\0\x10Exif"),
            ("JPG", b"\xFF\xD8\xFF\xDB"),
            ("png", b"\x89PNG\r\n\x1A\n\0\0\0\x0DIHDR"),
            ("webp", b"RIFF\x10\0\0\0WEBPVP8 "),
            ("heic", b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"),
            ("Heic", b"\0\0\0\x18ftypmif1\0\0\0\0mif1heic"),
            ("gif", b"GIF87a"),
            ("gif", b"GIF89a"),
            ("tif", b"II*\0\x08\0\0\0"),
            ("tiff", b"MM\0*\0\0\0\x08"),
            ("pdf", b"%PDF-1.7"),
            ("pdf", b"\r\n%PDF-1.7"),
        ] {
            let kept = keep_copy(&book, &file(&yard, &format!("bill.{extension}"), head)).unwrap();
            assert_eq!(kept.extension, extension.to_lowercase());
        }
    }

    #[test]
    fn what_cannot_be_kept_is_refused_in_words_and_leaves_nothing() {
        const KINDS: &str = "a receipt is a jpg, jpeg, png, webp, heic, gif, tif, tiff or pdf file";
        let (yard, book) = yard();
        fs::create_dir(yard.path().join("bills.pdf")).unwrap();
        for (name, content, says) in [
            ("none.pdf", None, "there is no file '{}'".to_owned()),
            ("bills.pdf", None, "'{}' is not a file: name a photo or a PDF of the bill".to_owned()),
            ("none.pdf/bill.pdf", None, "there is no file '{}'".to_owned()),
            ("bill.docx", Some(BILL), format!("'{{}}' cannot be kept by its name: {KINDS}")),
            ("pdf", Some(BILL), format!("'{{}}' cannot be kept by its name: {KINDS}")),
            (".pdf", Some(BILL), format!("'{{}}' cannot be kept by its name: {KINDS}")),
            ("bill.pdf.", Some(BILL), format!("'{{}}' cannot be kept by its name: {KINDS}")),
            ("empty.pdf", Some(&b""[..]), "'{}' is empty".to_owned()),
            ("bill.jpg", Some(BILL), format!("'{{}}' is named .jpg but holds a PDF: {KINDS}")),
            ("bill.PDF", Some(b"<html>%PDF-"), format!("'{{}}' is named .pdf but holds something else: {KINDS}")),
            ("cut.pdf", Some(b"%PDF"), format!("'{{}}' is named .pdf but holds something else: {KINDS}")),
            ("cut.webp", Some(b"RIFF\0\0"), format!("'{{}}' is named .webp but holds something else: {KINDS}")),
            (
                "song.webp",
                Some(b"RIFF\0\0\0\0WAVE"),
                format!("'{{}}' is named .webp but holds something else: {KINDS}"),
            ),
            (
                "film.heic",
                Some(b"\0\0\0\x18ftypisom"),
                format!("'{{}}' is named .heic but holds something else: {KINDS}"),
            ),
            ("shot.jpg", Some(b"\x89PNG\r\n\x1A\n"), format!("'{{}}' is named .jpg but holds a PNG picture: {KINDS}")),
        ] {
            let path = yard.path().join(name);
            if let Some(content) = content {
                fs::write(&path, content).unwrap();
            }
            let refused = keep_copy(&book, &path).unwrap_err();
            assert_eq!(refused.to_string(), says.replace("{}", &path.display().to_string()));
        }
        assert!(!folder_of(&book).exists());
    }

    #[test]
    fn fifty_mebibytes_are_kept_and_one_byte_more_is_not() {
        let (yard, book) = yard();
        let source = file(&yard, "large.pdf", BILL);
        let sized = |length: u64| File::options().write(true).open(&source).unwrap().set_len(length).unwrap();
        sized(LARGEST + 1);
        assert!(matches!(keep_copy(&book, &source), Err(ReceiptError::TooLarge(path)) if path == source));
        assert!(kept_names(&book).is_empty());
        sized(LARGEST);
        assert_eq!(keep_copy(&book, &source).unwrap().bytes, 52_428_800);
    }

    #[test]
    fn a_folder_that_cannot_be_written_is_named() {
        let (yard, book) = yard();
        let source = file(&yard, "bill.pdf", BILL);
        // A file stands where the folder should.
        fs::write(folder_of(&book), "").unwrap();
        let refused = keep_copy(&book, &source).unwrap_err();
        assert_eq!(refused.to_string(), format!("no copy could be kept in '{}'", folder_of(&book).display()));
        assert!(std::error::Error::source(&refused).is_some());
    }

    #[test]
    fn unfinished_copies_of_a_crash_are_taken_away() {
        let (yard, book) = yard();
        let source = file(&yard, "bill.pdf", BILL);
        let left = folder_of(&book).join(".runabout-00112233445566aa.part");
        fs::create_dir_all(&left).unwrap();
        fs::write(left.join("lock"), "").unwrap();
        fs::write(left.join("incoming"), "half a bi").unwrap();
        assert!(!keep_copy(&book, &source).unwrap().already_there);
        assert_eq!(kept_names(&book), [format!("{BILL_SHA256}.pdf")]);
    }

    #[test]
    fn nothing_in_a_book_leads_out_of_the_folder() {
        let (_yard, book) = yard();
        let folder = folder_of(&book);
        for (sha256, extension, name) in
            [("../../etc/passwd", "pdf", "etcpasswd.pdf"), ("ab", "/../pdf", "ab.pdf"), ("ab", "..", "ab.")]
        {
            assert_eq!(path_of(&book, sha256, extension), folder.join(name));
            assert_eq!(path_of(&book, sha256, extension).parent(), Some(folder.as_path()));
        }
    }

    #[test]
    fn the_folder_is_named_for_the_book() {
        for (book, folder) in [
            ("yard.book", "yard.receipts"),
            ("some/where/yard.book", "some/where/yard.receipts"),
            ("yard", "yard.receipts"),
            ("my.yard.2026.book", "my.yard.2026.receipts"),
        ] {
            assert_eq!(folder_of(Path::new(book)), Path::new(folder));
        }
    }

    #[test]
    fn the_original_name_is_one_plain_name() {
        for (given, name) in [
            ("some/where/bill.pdf", "bill.pdf"),
            ("bi\u{1b}[2Jll\n.pdf", "bi[2Jll.pdf"),
            ("bill\u{202e}fdp.pdf", "billfdp.pdf"),
            ("£5 café.jpg", "£5 café.jpg"),
        ] {
            assert_eq!(last_name(Path::new(given)), name);
        }
    }

    #[cfg(unix)]
    #[test]
    fn only_the_owner_can_read_what_is_kept() {
        use std::os::unix::fs::PermissionsExt;
        let (yard, book) = yard();
        let source = file(&yard, "bill.pdf", BILL);
        fs::set_permissions(&source, PermissionsExt::from_mode(0o644)).unwrap();
        keep_copy(&book, &source).unwrap();
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(&folder_of(&book)), 0o700);
        assert_eq!(mode(&path_of(&book, BILL_SHA256, "pdf")), 0o600);
    }
}

//! Files the program makes for somebody, by kind, and the mark in each by which it knows its own again: what it
//! may write over without being told to.

/// A kind of file the program makes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Made {
    /// The yard in pictures.
    YardPage,
    /// A month in pictures.
    MonthPage,
    /// The stock book, to print.
    StockBook,
    /// An invoice.
    Invoice,
    /// A credit note.
    CreditNote,
    /// The record of a purchase, to be signed.
    PurchaseRecord,
    /// What is due, as iCalendar.
    Calendar,
    /// A page of the manual.
    ManualPage,
    /// The list of what a copy lacks.
    Lacking,
}

/// As much of a file's beginning as holds the mark, in bytes.
pub const BEGINNING: usize = 1024;

impl Made {
    /// What it is, for people, with its article.
    pub const fn noun(self) -> &'static str {
        match self {
            Self::YardPage => "a page of the yard",
            Self::MonthPage => "a page of a month",
            Self::StockBook => "a stock book",
            Self::Invoice => "an invoice",
            Self::CreditNote => "a credit note",
            Self::PurchaseRecord => "a purchase record",
            Self::Calendar => "a calendar",
            Self::ManualPage => "a page of the manual",
            Self::Lacking => "a list of what a copy lacks",
        }
    }

    /// What the file says of itself: in a page to print, the content of its `meta` element `generator` (HTML
    /// Living Standard, WHATWG, 4.2.5.1); in a calendar, the value of `PRODID` (RFC 5545 section 3.7.3); in the
    /// others, the first line. Without a version, so that the same book gives the same bytes.
    pub const fn mark(self) -> &'static str {
        match self {
            Self::YardPage => "Runabout: yard page",
            Self::MonthPage => "Runabout: month page",
            Self::StockBook => "Runabout: stock book",
            Self::Invoice => "Runabout: invoice",
            Self::CreditNote => "Runabout: credit note",
            Self::PurchaseRecord => "Runabout: purchase record",
            Self::Calendar => "-//Runabout//Runabout//EN",
            Self::ManualPage => ".\\\" Runabout: a page of its manual",
            Self::Lacking => "Runabout: what this copy of the book lacks",
        }
    }

    /// Whether a file that begins so is one of this kind that the program made.
    pub fn is_at(self, beginning: &[u8]) -> bool {
        let beginning = beginning.get(..BEGINNING).unwrap_or(beginning);
        let text = String::from_utf8_lossy(beginning);
        match self {
            Self::Calendar => {
                let is_mark = |line: &str| line.strip_prefix("PRODID:") == Some(self.mark());
                text.starts_with("BEGIN:VCALENDAR") && text.lines().any(is_mark)
            }
            Self::ManualPage | Self::Lacking => text.lines().next() == Some(self.mark()),
            _ => {
                text.starts_with("<!DOCTYPE html>")
                    && text.contains(&format!("<meta name=\"generator\" content=\"{}\">", self.mark()))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_is_known_by_its_own_mark_in_its_own_place() {
        let page = "<!DOCTYPE html><html><head><meta name=\"generator\" content=\"Runabout: yard page\"></head>";
        assert!(Made::YardPage.is_at(page.as_bytes()));
        assert!(!Made::MonthPage.is_at(page.as_bytes()), "another kind of page is another thing");
        assert!(!Made::YardPage.is_at(format!("<p>{page}").as_bytes()), "quoted in something else");
        assert!(!Made::YardPage.is_at(format!("<!DOCTYPE html>{}{page}", " ".repeat(BEGINNING)).as_bytes()));
        let calendar = format!("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:{}\r\n", Made::Calendar.mark());
        assert!(Made::Calendar.is_at(calendar.as_bytes()));
        assert!(!Made::Calendar.is_at(calendar.replace("//EN", "//EN2").as_bytes()));
        assert!(!Made::Calendar.is_at(b"PRODID:-//Runabout//Runabout//EN"));
        assert!(Made::ManualPage.is_at(b".\\\" Runabout: a page of its manual\n.TH runabout 1\n"));
        for made in [Made::YardPage, Made::Calendar, Made::ManualPage, Made::Lacking] {
            assert!(!made.is_at(b"") && !made.is_at(b"\xFF\xFE notes"), "{made:?}");
        }
    }
}

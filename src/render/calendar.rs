//! An agenda as an iCalendar file (RFC 5545), for the calendar program the trader already uses.
//!
//! All events are whole days, so no time zone comes into it, and none of them blocks time.
//! Numbers of sections are those of RFC 5545.

use chrono::{DateTime, NaiveDate, Utc};

use crate::domain::value::control_chars::is_unseen;
use crate::domain::value::made::Made;
use crate::report::yard::agenda::{Agenda, Event};

/// Longest line in octets, its break not counted (section 3.1).
const LONGEST: usize = 75;
/// A calendar must have one component at least (section 3.6). An agenda of nothing has this one,
/// which no calendar program shows.
const NOTHING: [&str; 9] = [
    "BEGIN:VTIMEZONE",
    "TZID:Etc/UTC",
    "BEGIN:STANDARD",
    "DTSTART:19700101T000000",
    "TZOFFSETFROM:+0000",
    "TZOFFSETTO:+0000",
    "TZNAME:UTC",
    "END:STANDARD",
    "END:VTIMEZONE",
];

/// The file as text: lines end in CR LF, none is over 75 octets, and no unseen character is in it.
///
/// The name is given twice: as RFC 7986 section 5.1 has it, and as most programs read it.
pub fn calendar(agenda: &Agenda) -> String {
    let mut lines = Lines::default();
    lines.plain("BEGIN:VCALENDAR");
    lines.plain("VERSION:2.0");
    lines.text("PRODID", Made::Calendar.mark());
    lines.plain("CALSCALE:GREGORIAN");
    lines.text("NAME", &agenda.name);
    lines.text("X-WR-CALNAME", &agenda.name);
    for event in &agenda.events {
        lines.event(event);
    }
    if agenda.events.is_empty() {
        for line in NOTHING {
            lines.plain(line);
        }
    }
    lines.plain("END:VCALENDAR");
    lines.0
}

/// Content lines, folded and ended as section 3.1 asks.
#[derive(Default)]
struct Lines(String);

impl Lines {
    fn event(&mut self, event: &Event) {
        self.plain("BEGIN:VEVENT");
        self.text("UID", &event.uid);
        self.plain(&format!("DTSTAMP:{}", utc(event.stamp)));
        self.plain(&format!("DTSTART;VALUE=DATE:{}", date(event.on)));
        // The end is the first day that is no longer part of it (section 3.6.1).
        self.plain(&format!("DTEND;VALUE=DATE:{}", date(event.on.succ_opt().unwrap_or(event.on))));
        self.text("SUMMARY", &event.summary);
        if !event.description.is_empty() {
            self.text("DESCRIPTION", &event.description);
        }
        self.plain("TRANSP:TRANSPARENT");
        for days in &event.alarm_days_before {
            self.alarm(*days, &event.summary);
        }
        self.plain("END:VEVENT");
    }

    /// A reminder so many days before the midnight the day begins with.
    fn alarm(&mut self, days_before: u32, says: &str) {
        self.plain("BEGIN:VALARM");
        self.plain("ACTION:DISPLAY");
        self.text("DESCRIPTION", says);
        self.plain(&format!("TRIGGER:-P{days_before}D"));
        self.plain("END:VALARM");
    }

    /// A property whose value is words (section 3.3.11).
    fn text(&mut self, name: &str, value: &str) {
        self.plain(&format!("{name}:{}", escaped(value)));
    }

    fn plain(&mut self, line: &str) {
        let mut room = LONGEST;
        for character in line.chars() {
            if character.len_utf8() > room {
                self.0.push_str("\r\n ");
                // The space that marks a line as continued counts.
                room = LONGEST - 1;
            }
            room -= character.len_utf8();
            self.0.push(character);
        }
        self.0.push_str("\r\n");
    }
}

/// Words as a value: backslash, semicolon and comma escaped, a line break as `\n`, the colon as it
/// is, and unseen characters left out.
fn escaped(text: &str) -> String {
    let mut value = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '\n' => value.push_str("\\n"),
            '\\' | ';' | ',' => value.extend(['\\', character]),
            unseen if is_unseen(unseen) => {}
            seen => value.push(seen),
        }
    }
    value
}

fn date(day: NaiveDate) -> String {
    day.format("%Y%m%d").to_string()
}

/// In UTC, marked by its Z (section 3.3.5, form 2).
fn utc(moment: DateTime<Utc>) -> String {
    moment.format("%Y%m%dT%H%M%SZ").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mot() -> Event {
        Event {
            uid: "mot-7@book.runabout".into(),
            stamp: "2026-11-21T18:04:05Z".parse().unwrap(),
            on: "2026-12-31".parse().unwrap(),
            summary: "MOT of 7 KX42 RTO ends".into(),
            description: "Book a test: keeps the date from 1 Dec; £54.85, at most\nUntested, untaxed.".into(),
            alarm_days_before: vec![30, 0],
        }
    }

    #[test]
    fn a_whole_file() {
        let agenda = Agenda { name: "Car book, due".into(), events: vec![mot()] };
        let expected = "\
BEGIN:VCALENDAR
VERSION:2.0
PRODID:-//Runabout//Runabout//EN
CALSCALE:GREGORIAN
NAME:Car book\\, due
X-WR-CALNAME:Car book\\, due
BEGIN:VEVENT
UID:mot-7@book.runabout
DTSTAMP:20261121T180405Z
DTSTART;VALUE=DATE:20261231
DTEND;VALUE=DATE:20270101
SUMMARY:MOT of 7 KX42 RTO ends
DESCRIPTION:Book a test: keeps the date from 1 Dec\\; £54.85\\, at most\\nUnt
 ested\\, untaxed.
TRANSP:TRANSPARENT
BEGIN:VALARM
ACTION:DISPLAY
DESCRIPTION:MOT of 7 KX42 RTO ends
TRIGGER:-P30D
END:VALARM
BEGIN:VALARM
ACTION:DISPLAY
DESCRIPTION:MOT of 7 KX42 RTO ends
TRIGGER:-P0D
END:VALARM
END:VEVENT
END:VCALENDAR
";
        assert_eq!(calendar(&agenda), expected.replace('\n', "\r\n"));
    }

    #[test]
    fn an_agenda_of_nothing_still_has_a_component() {
        let written = calendar(&Agenda { name: "Due".into(), events: Vec::new() });
        assert!(written.contains("\r\nBEGIN:VTIMEZONE\r\nTZID:Etc/UTC\r\n") && !written.contains("VEVENT"));
    }

    #[test]
    fn a_description_of_nothing_is_left_out() {
        let event = Event { description: String::new(), alarm_days_before: Vec::new(), ..mot() };
        assert!(!calendar(&Agenda { name: "Due".into(), events: vec![event] }).contains("DESCRIPTION"));
    }

    #[test]
    fn lines_fold_at_75_octets_and_between_characters() {
        let folded = |line: &str| {
            let mut lines = Lines::default();
            lines.plain(line);
            lines.0
        };
        let (a75, a74) = ("a".repeat(75), "a".repeat(74));
        assert_eq!(folded(&a75), format!("{a75}\r\n"));
        assert_eq!(folded(&format!("{a75}{a74}")), format!("{a75}\r\n {a74}\r\n"));
        assert_eq!(folded(&format!("{a75}{a75}")), format!("{a75}\r\n {a74}\r\n a\r\n"));
        assert_eq!(folded(&format!("{a74}é")), format!("{a74}\r\n é\r\n"));
        assert_eq!(folded(""), "\r\n");
    }

    #[test]
    fn only_what_must_be_is_escaped_and_the_unseen_is_left_out() {
        assert_eq!(escaped("a\\b;c,d:e\"f\nA\r\n\tB\u{202e}\u{200b}"), "a\\\\b\\;c\\,d:e\"f\\nA\\nB");
    }
}

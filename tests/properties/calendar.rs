//! Calendar files: their bytes against RFC 5545, and what another program's parser reads in them.

#![allow(clippy::unwrap_used, reason = "a test that cannot go on has failed")]

use std::collections::BTreeSet;

use chrono::{DateTime, Days, NaiveDate, Utc};
use icalendar::parser::{Component, read_calendar, unfold};
use proptest::prelude::*;

use runabout::domain::value::control_chars::is_unseen;
use runabout::render::calendar::calendar;
use runabout::report::yard::agenda::{Agenda, Event};

/// Words full of what must be escaped, folded between, or left out.
fn words() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "\\",
        ";",
        ",",
        ":",
        "\n",
        "\\n",
        "\"",
        " ",
        "£",
        "é",
        "日本",
        "🚗",
        "\u{301}",
        "MOT",
        "KX42 RTO",
        "keeps the date",
        "\r\n",
        "\t",
        "\u{202e}",
        "\u{200b}",
        "END:VEVENT",
        "BEGIN:VALARM",
    ]);
    prop_oneof![
        4 => prop::collection::vec(piece, 0..40).prop_map(|pieces| pieces.concat()),
        1 => any::<String>(),
    ]
}

fn any_event() -> impl Strategy<Value = Event> {
    (0..2_000_000_000_i64, 0..73_414_u64, words(), words(), prop::collection::vec(0..400_u32, 0..4)).prop_map(
        |(seconds, days, summary, description, alarm_days_before)| Event {
            uid: String::new(),
            stamp: DateTime::<Utc>::from_timestamp(seconds, 0).unwrap(),
            on: NaiveDate::from_ymd_opt(1900, 1, 1).unwrap() + Days::new(days),
            summary,
            description,
            alarm_days_before,
        },
    )
}

/// Agendas whose events each have a name of their own.
fn any_agenda() -> impl Strategy<Value = Agenda> {
    (words(), prop::collection::vec(any_event(), 0..5)).prop_map(|(name, mut events)| {
        for (event, number) in events.iter_mut().zip(1..) {
            event.uid = format!("due-{number}@book.runabout");
        }
        Agenda { name, events }
    })
}

/// Text as it should come back: what cannot be seen is gone, line breaks apart.
fn seen(text: &str) -> String {
    text.chars().filter(|c| *c == '\n' || !is_unseen(*c)).collect()
}

/// A value of words read back one character at a time, refusing what no writer may leave bare.
fn unescaped(value: &str) -> Result<String, String> {
    let mut text = String::new();
    let mut characters = value.chars();
    while let Some(character) = characters.next() {
        text.push(match character {
            '\\' => match characters.next() {
                Some('n') => '\n',
                Some(escaped @ ('\\' | ';' | ',')) => escaped,
                other => return Err(format!("escape of {other:?} in {value:?}")),
            },
            ';' | ',' => return Err(format!("bare {character:?} in {value:?}")),
            plain => plain,
        });
    }
    Ok(text)
}

/// Lines joined up again by hand, as section 3.1 has it.
fn content_lines(written: &str) -> Vec<String> {
    written.replace("\r\n ", "").split_terminator("\r\n").map(str::to_owned).collect()
}

/// The values of every property whose whole head is `head`, such as `DTSTART;VALUE=DATE`.
fn values<'l>(lines: &'l [String], head: &str) -> Vec<&'l str> {
    lines.iter().filter_map(|line| line.strip_prefix(head)?.strip_prefix(':')).collect()
}

/// The value another program's parser found, freed by it of its escapes.
fn value(component: &Component<'_>, name: &str) -> Option<String> {
    component.find_prop(name).map(|property| property.val.to_string())
}

proptest! {
    #[test]
    fn every_line_is_ended_and_short_enough(agenda in any_agenda()) {
        let written = calendar(&agenda);
        prop_assert!(written.ends_with("END:VCALENDAR\r\n"));
        prop_assert_eq!(written.matches('\n').count(), written.matches("\r\n").count());
        prop_assert_eq!(written.matches('\r').count(), written.matches("\r\n").count());
        for line in written.split("\r\n") {
            prop_assert!(line.len() <= 75, "{} octets: {line:?}", line.len());
            prop_assert!(!line.contains(is_unseen), "{line:?}");
        }
        // Cut as late as it can be: the next character would not have fitted.
        for (line, next) in written.split("\r\n").zip(written.split("\r\n").skip(1)) {
            if let Some(next) = next.strip_prefix(' ') {
                let first = next.chars().next().map_or(0, char::len_utf8);
                prop_assert!(first > 0 && line.len() + first > 75, "{line:?} {next:?}");
            }
        }
    }

    #[test]
    fn an_escape_is_never_mistaken_and_words_come_back(agenda in any_agenda()) {
        let lines = content_lines(&calendar(&agenda));
        let read = |head| -> Result<Vec<String>, TestCaseError> {
            values(&lines, head).into_iter().map(|value| unescaped(value).map_err(TestCaseError::fail)).collect()
        };
        prop_assert_eq!(read("NAME")?, vec![seen(&agenda.name)]);
        prop_assert_eq!(read("X-WR-CALNAME")?, vec![seen(&agenda.name)]);
        let summaries: Vec<String> = agenda.events.iter().map(|event| seen(&event.summary)).collect();
        prop_assert_eq!(read("SUMMARY")?, summaries);
        let mut descriptions = Vec::new();
        for event in &agenda.events {
            descriptions.extend((!event.description.is_empty()).then(|| seen(&event.description)));
            descriptions.extend(event.alarm_days_before.iter().map(|_| seen(&event.summary)));
        }
        prop_assert_eq!(read("DESCRIPTION")?, descriptions);
    }

    #[test]
    fn days_are_dates_with_an_end_left_out_and_stamps_are_utc(agenda in any_agenda()) {
        let lines = content_lines(&calendar(&agenda));
        let starts = values(&lines, "DTSTART;VALUE=DATE");
        let ends = values(&lines, "DTEND;VALUE=DATE");
        let stamps = values(&lines, "DTSTAMP");
        prop_assert_eq!((starts.len(), ends.len(), stamps.len()), (agenda.events.len(), agenda.events.len(), agenda.events.len()));
        for (event, ((start, end), stamp)) in agenda.events.iter().zip(starts.into_iter().zip(ends).zip(stamps)) {
            prop_assert!([start, end].iter().all(|date| date.len() == 8 && date.bytes().all(|b| b.is_ascii_digit())));
            let (start, end) = (NaiveDate::parse_from_str(start, "%Y%m%d")?, NaiveDate::parse_from_str(end, "%Y%m%d")?);
            prop_assert_eq!(start, event.on);
            prop_assert_eq!(end.signed_duration_since(start).num_days(), 1);
            prop_assert_eq!(stamp.len(), "20261121T180405Z".len());
            let stamp = stamp.strip_suffix('Z').ok_or(TestCaseError::fail("no Z"))?;
            let stamp = chrono::NaiveDateTime::parse_from_str(stamp, "%Y%m%dT%H%M%S")?;
            prop_assert_eq!(stamp.and_utc(), event.stamp);
        }
        let uids: BTreeSet<&str> = values(&lines, "UID").into_iter().collect();
        prop_assert_eq!(uids.len(), agenda.events.len());
        prop_assert_eq!(values(&lines, "VERSION"), ["2.0"]);
        prop_assert_eq!(values(&lines, "PRODID").len(), 1);
    }

    #[test]
    fn another_programs_parser_reads_the_same(agenda in any_agenda()) {
        let written = unfold(&calendar(&agenda));
        let read = read_calendar(&written).map_err(TestCaseError::fail)?;
        if agenda.events.is_empty() {
            let names: Vec<&str> = read.components.iter().map(|component| component.name.as_str()).collect();
            prop_assert_eq!(names, ["VTIMEZONE"]);
            return Ok(());
        }
        prop_assert_eq!(read.components.len(), agenda.events.len());
        for (component, event) in read.components.iter().zip(&agenda.events) {
            prop_assert_eq!(component.name.as_str(), "VEVENT");
            prop_assert_eq!(value(component, "UID"), Some(event.uid.clone()));
            prop_assert_eq!(value(component, "TRANSP"), Some("TRANSPARENT".into()));
            prop_assert_eq!(value(component, "DTSTART"), Some(event.on.format("%Y%m%d").to_string()));
            prop_assert_eq!(value(component, "SUMMARY"), Some(seen(&event.summary)));
            let description = (!event.description.is_empty()).then(|| seen(&event.description));
            prop_assert_eq!(value(component, "DESCRIPTION"), description);
            prop_assert_eq!(component.components.len(), event.alarm_days_before.len());
            for (alarm, days) in component.components.iter().zip(&event.alarm_days_before) {
                prop_assert_eq!(alarm.name.as_str(), "VALARM");
                prop_assert_eq!(value(alarm, "ACTION"), Some("DISPLAY".into()));
                prop_assert_eq!(value(alarm, "TRIGGER"), Some(format!("-P{days}D")));
                prop_assert_eq!(value(alarm, "DESCRIPTION"), Some(seen(&event.summary)));
            }
        }
    }
}

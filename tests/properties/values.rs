//! Typed values: what is printed reads back as itself, parts add up, and no words can make a
//! parser panic.

use chrono::{Days, NaiveDate};
use proptest::prelude::*;

use runabout::domain::days::day::{DayAhead, WrittenDay, long};
use runabout::domain::days::mark_period::issued;
use runabout::domain::days::month::{Month, WrittenMonth};
use runabout::domain::days::period::Period;
use runabout::domain::value::car_ref::{CarRef, StockNo};
use runabout::domain::value::control_chars::is_unseen;
use runabout::domain::value::hours::Hours;
use runabout::domain::value::mark::{Mark, joins};
use runabout::domain::value::pence::Pence;
use runabout::domain::value::share::{divide, divide_equally};
use runabout::domain::value::vin::Vin;
use runabout::domain::value::wording::Wording;

/// Any day from 1 January 1900 to 31 December 2100.
fn any_day() -> impl Strategy<Value = NaiveDate> {
    (0..73_414u64).prop_map(|days| NaiveDate::from_ymd_opt(1900, 1, 1).unwrap_or_default() + Days::new(days))
}

/// Words made of the pieces that values are made of, so that a parser is led far in.
fn near_miss() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "£", ",", ".", "-", "/", ":", " ", "#", "0", "1", "2", "9", "12", "31", "250", "2026", "99999", "h", "m", "st",
        "nov", "feb", "mon", "ago", "days", "weeks", "in", "today", "mark:", "A", "kx", "Q", "Z", "\u{202E}", "\u{1B}",
        "é", "日", "٣", "\u{2212}", "e3",
    ]);
    prop::collection::vec(piece, 0..8).prop_map(|pieces| pieces.concat())
}

fn any_words() -> impl Strategy<Value = String> {
    prop_oneof![any::<String>(), near_miss(), "[0-9/.: -]{0,14}", "[A-Za-z0-9 -]{0,18}"]
}

/// Whether an error is one line that no terminal will act on.
fn is_safe(message: &str) -> bool {
    !message.chars().any(is_unseen)
}

proptest! {
    #[test]
    fn an_amount_printed_reads_back(pence in 0..=9_999_999_999_i64) {
        let amount = Pence::new(pence);
        prop_assert_eq!(amount.to_string().parse::<Pence>(), Ok(amount));
        prop_assert_eq!(amount.grouped().parse::<Pence>(), Ok(amount));
        prop_assert_eq!(amount.plain().parse::<Pence>(), Ok(amount));
        prop_assert_eq!(Pence::from_pounds_rounded(amount.to_pounds()), amount);
    }

    #[test]
    fn an_amount_below_zero_is_refused_however_it_is_printed(pence in i64::MIN..0) {
        let amount = Pence::new(pence);
        prop_assert!(amount.to_string().parse::<Pence>().is_err());
        prop_assert!(amount.plain().parse::<Pence>().is_err());
        prop_assert_eq!(Pence::from_pounds_rounded(amount.to_pounds()), amount);
    }

    #[test]
    fn a_full_date_printed_reads_back_whatever_today_is(day in any_day(), today in any_day()) {
        for shape in ["%Y-%m-%d", "%d/%m/%Y", "%-d.%-m.%Y", "%d-%m-%Y", "%-d %B %Y", "%d-%b-%Y"] {
            let written = day.format(shape).to_string().parse::<WrittenDay>();
            prop_assert_eq!(written.and_then(|written| written.resolve_any(today)), Ok(day));
        }
        let written = long(day).parse::<WrittenDay>()?;
        prop_assert_eq!(long(day).parse::<DayAhead>()?.resolve(today), Ok(day));
        prop_assert_eq!(written.resolve_past(today).is_ok(), day <= today);
    }

    #[test]
    fn a_date_without_a_year_is_the_latest_not_after_today(day in any_day(), today in any_day()) {
        let written = day.format("%d/%m").to_string().parse::<WrittenDay>()?;
        if let Ok(resolved) = written.resolve_past(today) {
            prop_assert!(resolved <= today);
            prop_assert_eq!(resolved.format("%d/%m").to_string(), written.text());
            // No such day lies between it and today.
            let later = (1..).map_while(|n| resolved.checked_add_days(Days::new(n)))
                .take_while(|later| *later <= today)
                .any(|later| later.format("%d/%m").to_string() == written.text());
            prop_assert!(!later);
        } else {
            prop_assert!(today < NaiveDate::from_ymd_opt(1904, 2, 29).unwrap_or_default());
        }
    }

    #[test]
    fn a_weekday_is_within_the_last_seven_days(day in any_day(), today in any_day()) {
        prop_assume!(today > NaiveDate::from_ymd_opt(1900, 1, 7).unwrap_or_default());
        let resolved = day.format("%A").to_string().parse::<WrittenDay>()?.resolve_past(today)?;
        prop_assert!((0..7).contains(&(today - resolved).num_days()));
        prop_assert_eq!(resolved.format("%A").to_string(), day.format("%A").to_string());
    }

    #[test]
    fn a_month_printed_reads_back(day in any_day(), today in any_day()) {
        let month = Month::containing(day);
        for printed in [month.iso(), month.to_string(), day.format("%m/%Y").to_string()] {
            prop_assert_eq!(printed.parse::<WrittenMonth>()?.resolve_any(today), month);
        }
        let named = day.format("%b").to_string().parse::<WrittenMonth>()?.resolve(today)?;
        prop_assert_eq!(named.number(), month.number());
        prop_assert!(named <= Month::containing(today) && named > Month::containing(today).minus(12));
        prop_assert_eq!(month.next().previous(), month);
        prop_assert_eq!(month.last_day().succ_opt(), Some(month.next().first_day()));
    }

    #[test]
    fn a_period_is_made_of_its_months(a in any_day(), b in any_day()) {
        let period = Period::new(a.min(b), a.max(b)).ok_or(TestCaseError::fail("empty"))?;
        let days: i64 = period
            .months()
            .into_iter()
            .filter_map(|month| Period::new(
                month.first_day().max(period.from()),
                month.last_day().min(period.to()),
            ))
            .map(Period::days)
            .sum();
        prop_assert_eq!(days, period.days());
    }

    #[test]
    fn hours_printed_read_back(minutes in 1..=44_640_u32) {
        let hours = Hours::from_minutes(minutes);
        prop_assert_eq!(hours.to_string().parse::<Hours>(), Ok(hours));
        // Two decimals of an hour are finer than a minute, so they read back too.
        prop_assert_eq!(hours.to_decimal().to_string().parse::<Hours>(), Ok(hours));
    }

    #[test]
    fn a_car_printed_reads_back(number in 1..=u32::MAX, mark in "[A-Z0-9-]{0,6}[A-Z0-9][A-Z0-9-]{0,6}") {
        let stock_no = CarRef::StockNo(StockNo::new(number));
        prop_assert_eq!(stock_no.to_string().parse::<CarRef>(), Ok(stock_no));
        let car = CarRef::Mark(format!("mark:{mark}").parse::<Mark>()?);
        prop_assert_eq!(car.to_string().parse::<CarRef>(), Ok(car));
    }

    #[test]
    fn a_mark_shown_with_a_space_is_the_mark_its_two_words_join_to(
        mark in "[A-HJ-NPR-TV-Y]{1,3}[1-9][0-9]{0,2}[A-HJ-NPR-TV-Y]{0,3}",
    ) {
        let mark = mark.parse::<Mark>()?;
        let shown = mark.to_string();
        if let Some((first, second)) = shown.split_once(' ') {
            prop_assert_eq!(joins(first, second), Some(mark.shape()));
        }
    }

    #[test]
    fn parts_add_up_to_the_whole(
        total in any::<i64>(),
        weights in prop::collection::vec(any::<i64>(), 1..12),
    ) {
        let parts = divide(Pence::new(total), &weights);
        prop_assert_eq!(parts.len(), weights.len());
        prop_assert_eq!(
            parts.iter().map(|part| i128::from(part.get())).sum::<i128>(),
            i128::from(total)
        );
    }

    #[test]
    fn each_part_is_within_a_penny_of_its_due(
        total in -1_000_000..=1_000_000_i64,
        weights in prop::collection::vec(0..=100_000_i64, 1..12),
    ) {
        let sum: i64 = weights.iter().sum();
        prop_assume!(sum > 0);
        for (part, weight) in divide(Pence::new(total), &weights).into_iter().zip(weights) {
            prop_assert!((part.get() * sum - total * weight).abs() < sum);
        }
    }

    #[test]
    fn equal_parts_differ_by_a_penny_at_most(total in -1_000_000..=1_000_000_i64, n in 1..40_usize) {
        let parts: Vec<i64> =
            divide_equally(Pence::new(total), n).into_iter().map(|part| part.get().abs()).collect();
        prop_assert_eq!(parts.iter().sum::<i64>(), total.abs());
        prop_assert!(parts.is_sorted_by(|earlier, later| earlier >= later));
        prop_assert!(parts.first().zip(parts.last()).is_some_and(|(most, least)| most - least <= 1));
    }

    #[test]
    fn no_words_make_a_parser_panic(words in any_words(), today in any_day()) {
        fn message<T>(read: Result<T, runabout::domain::value::value_error::ValueError>) -> String {
            read.err().map(|error| error.to_string()).unwrap_or_default()
        }
        let day = words.parse::<WrittenDay>();
        for outcome in [
            message(words.parse::<Pence>()),
            message(Pence::parse_positive(&words)),
            message(day.clone().and_then(|day| day.resolve_past(today))),
            message(day.and_then(|day| day.resolve_any(today))),
            message(words.parse::<DayAhead>().and_then(|day| day.resolve(today))),
            message(words.parse::<WrittenMonth>().and_then(|month| month.resolve(today))),
            message(words.parse::<Hours>()),
            message(words.parse::<Vin>().map(|vin| (vin.check_note(), vin.length_note()))),
            message(words.parse::<CarRef>()),
            message(words.parse::<Mark>().map(|mark| (mark.to_string(), issued(&mark)))),
            message(words.parse::<Wording>()),
        ] {
            prop_assert!(is_safe(&outcome), "{outcome:?}");
        }
        let (first, second) = words.split_once(' ').unwrap_or((&words, "RTO"));
        joins(first, second);
    }

    #[test]
    fn accepted_text_is_shown_as_it_was_typed(words in any_words()) {
        if let Ok(wording) = words.parse::<Wording>() {
            prop_assert_eq!(wording.as_str(), words.trim());
            prop_assert!(is_safe(wording.as_str()));
        }
    }
}

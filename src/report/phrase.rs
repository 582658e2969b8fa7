//! Pieces of what reports say in words: a number with its noun, what was made or lost, why a figure
//! is absent.

use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, TwoDecimals};

/// What stands on every page of figures for tax.
pub const CAUTION: &str = "A record, not advice: check with HMRC guidance or an accountant.";

/// `1 car`, `4 cars`, `no cars`.
pub fn cars(count: usize) -> String {
    match count {
        0 => "no cars".into(),
        1 => "1 car".into(),
        _ => format!("{} cars", grouped(count)),
    }
}

/// A count as people read it: `1,895`.
pub fn grouped(count: usize) -> String {
    let digits = count.to_string();
    let mut shown = String::with_capacity(digits.len() + digits.len() / 3);
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            shown.push(',');
        }
        shown.push(digit);
    }
    shown
}

/// `1 day`, `33 days`.
pub fn days(count: i64) -> String {
    if count == 1 { "1 day".into() } else { format!("{count} days") }
}

/// `made £412.15`, `lost £12.00`, `made nothing and lost nothing`.
pub fn made(profit: Pence) -> String {
    if profit.is_positive() {
        format!("made {profit}")
    } else if profit.is_negative() {
        format!("lost {}", profit.abs())
    } else {
        "made nothing and lost nothing".into()
    }
}

/// `making £412.15`, `losing £12.00`, `making nothing`.
pub fn making(profit: Pence) -> String {
    if profit.is_positive() {
        format!("making {profit}")
    } else if profit.is_negative() {
        format!("losing {}", profit.abs())
    } else {
        "making nothing".into()
    }
}

/// A figure, or a dash and why there is none.
pub fn number_or_reason(number: Option<TwoDecimals>, reason: Option<&str>) -> Cell {
    match (number, reason) {
        (None, Some(reason)) => Cell::text(format!("— ({reason})")),
        (number, _) => Cell::number(number.map(Into::into)),
    }
}

/// A percentage, or a dash and why there is none.
pub fn percent_or_reason(percent: Option<TwoDecimals>, reason: Option<&str>) -> Cell {
    match (percent, reason) {
        (None, Some(reason)) => Cell::text(format!("— ({reason})")),
        (percent, _) => Cell::percent(percent.map(Into::into)),
    }
}

/// The text with its first letter in capitals.
pub fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_is_singular_and_none_is_a_word() {
        assert_eq!([cars(0), cars(1), cars(2)], ["no cars", "1 car", "2 cars"]);
        assert_eq!([999, 1_000, 1_234_567].map(grouped), ["999", "1,000", "1,234,567"]);
        assert_eq!([days(0), days(1), days(33)], ["0 days", "1 day", "33 days"]);
    }

    #[test]
    fn a_loss_is_said_in_words_not_by_a_sign() {
        let [gain, loss] = [41_215, -1_200].map(Pence::new);
        assert_eq!([made(gain), made(loss)], ["made £412.15", "lost £12.00"]);
        assert_eq!([making(gain), making(loss)], ["making £412.15", "losing £12.00"]);
        assert_eq!([made(Pence::ZERO), making(Pence::ZERO)], ["made nothing and lost nothing", "making nothing"]);
    }

    #[test]
    fn an_absent_percentage_has_its_reason() {
        let percent = TwoDecimals(rust_decimal::Decimal::new(7436, 2));
        assert_eq!(percent_or_reason(Some(percent), None), Cell::Percent(percent.0));
        assert_eq!(percent_or_reason(None, Some("too short")), Cell::text("— (too short)"));
        assert_eq!(percent_or_reason(None, None), Cell::Missing);
    }

    #[test]
    fn only_the_first_letter_is_raised() {
        assert_eq!([capitalised("unpaid bills"), capitalised("élan"), capitalised("")], ["Unpaid bills", "Élan", ""]);
    }
}

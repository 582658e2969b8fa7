//! Words in a picture: how much room they take, how they are cut to it, and how sums stand at an axis.

use crate::domain::value::control_chars::escape_control_chars;
use crate::domain::value::pence::Pence;
use rust_decimal::Decimal;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// The room of one column of ordinary words, which are set at 118; fonts differ, so a little much.
const COLUMN: i64 = 71;
/// The same of small words, set at 104.
const SMALL_COLUMN: i64 = 63;

/// The size words are set in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Size {
    Plain,
    Small,
}

impl Size {
    /// The room a text takes.
    pub(super) fn room(self, text: &str) -> i64 {
        let columns = i64::try_from(text.width()).unwrap_or(i64::MAX / 100);
        columns * self.column()
    }

    const fn column(self) -> i64 {
        match self {
            Self::Plain => COLUMN,
            Self::Small => SMALL_COLUMN,
        }
    }

    /// The text with what cannot be seen written out, cut to the room with `…` where it is too long.
    pub(super) fn cut(self, text: &str, room: i64) -> String {
        let text = escape_control_chars(text);
        if self.room(&text) <= room {
            return text.into_owned();
        }
        let (mut kept, mut taken) = (String::new(), self.column());
        for character in text.chars() {
            taken += i64::try_from(character.width().unwrap_or(0)).unwrap_or(0) * self.column();
            if taken > room {
                break;
            }
            kept.push(character);
        }
        kept + "…"
    }
}

/// A sum at an axis, as short as it can be said: `£1,500`, `-£20`, `£0.50`, `£1.5m`.
pub(super) fn sum(pence: i64) -> String {
    let sign = if pence < 0 { "-" } else { "" };
    let pounds = Decimal::new(pence, 2).abs();
    let million = Decimal::from(1_000_000);
    if pounds >= million {
        return format!("{sign}£{}m", (pounds / million).normalize());
    }
    let grouped = Pence::new(pence).abs().grouped();
    format!("{sign}£{}", grouped.strip_suffix(".00").unwrap_or(&grouped))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_at_an_axis_are_short() {
        for (pence, said) in [
            (0, "£0"),
            (150_000, "£1,500"),
            (-2_000, "-£20"),
            (50, "£0.50"),
            (150_000_000, "£1.5m"),
            (-1_000_000_000, "-£10m"),
            (99_999_900, "£999,999"),
        ] {
            assert_eq!(sum(pence), said);
        }
    }

    #[test]
    fn words_are_cut_to_their_room() {
        assert_eq!(Size::Plain.cut("KX42 RTO", 8 * COLUMN), "KX42 RTO");
        assert_eq!(Size::Plain.cut("KX42 RTOX", 8 * COLUMN), "KX42 RT…");
        assert_eq!(Size::Plain.cut("日本日本日", 6 * COLUMN), "日本…");
        assert_eq!(Size::Small.cut("a\u{202e}b", 3000), "a\\u{202e}b");
        for room in 1..9 {
            assert!(Size::Small.room(&Size::Small.cut("日本日本日 long", room * SMALL_COLUMN)) <= room * SMALL_COLUMN);
        }
    }
}

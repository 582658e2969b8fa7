//! Characters that change what a line shows without being seen themselves.
//!
//! Names in the book end up on terminals, in spreadsheets and on invoices, where such a
//! character could move the cursor or make one name look like another.

use std::borrow::Cow;

/// Whether a character acts on the text around it instead of being seen.
///
/// These are the control characters (general category Cc), the line and paragraph separators (Zl,
/// Zp) and the format characters (Cf) of the Unicode Character Database, with the tag and
/// supplementary selector block as a whole. Left out of Cf are the Arabic, Syriac and Kaithi signs
/// that are drawn (U+0600–0605, U+06DD, U+070F, U+0890–0891, U+08E2, U+110BD, U+110CD).
pub fn is_unseen(character: char) -> bool {
    character.is_control()
        || matches!(
            character,
            '\u{ad}'
                | '\u{61c}'
                | '\u{180e}'
                | '\u{200b}'..='\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{206f}'
                | '\u{feff}'
                | '\u{fff9}'..='\u{fffb}'
                | '\u{13430}'..='\u{1343f}'
                | '\u{1bca0}'..='\u{1bca3}'
                | '\u{1d173}'..='\u{1d17a}'
                | '\u{e0000}'..='\u{e0fff}'
        )
}

/// `text` with every unseen character written out as an escape, such as `\u{1b}` or `\n`.
pub fn escape_control_chars(text: &str) -> Cow<'_, str> {
    if !text.contains(is_unseen) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len() + 8);
    for character in text.chars() {
        if is_unseen(character) {
            shown.extend(character.escape_default());
        } else {
            shown.push(character);
        }
    }
    Cow::Owned(shown)
}

#[cfg(test)]
mod tests {
    use super::{escape_control_chars, is_unseen};

    #[test]
    fn ordinary_letters_in_any_script_are_seen() {
        for character in ['a', 'Z', '7', ' ', '£', 'é', 'ß', '日', '\u{0301}', '…', '🚗'] {
            assert!(!is_unseen(character), "{character:?}");
        }
    }

    #[test]
    fn controls_and_format_characters_are_unseen() {
        for character in [
            '\0', '\n', '\t', '\u{1B}', '\u{7F}', '\u{85}', '\u{200B}', '\u{200F}', '\u{2028}', '\u{202A}', '\u{202E}',
            '\u{2060}', '\u{2069}', '\u{FEFF}', '\u{061C}',
        ] {
            assert!(is_unseen(character), "{character:?}");
        }
        // The neighbours of each range stay ordinary.
        for character in ['\u{200A}', '\u{2010}', '\u{2027}', '\u{202F}', '\u{205F}', '\u{2070}'] {
            assert!(!is_unseen(character), "{character:?}");
        }
    }

    #[test]
    fn unseen_characters_are_written_out() {
        assert_eq!(escape_control_chars("a\u{1B}[2Jb"), r"a\u{1b}[2Jb");
        assert_eq!(escape_control_chars("one\ntwo"), r"one\ntwo");
        assert_eq!(escape_control_chars("abc\u{202E}fdp"), r"abc\u{202e}fdp");
        assert_eq!(escape_control_chars("£5 café"), "£5 café");
    }
}

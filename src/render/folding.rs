//! Text in lines of a width: for sentences of a report, and for what is said beside one.

use unicode_width::UnicodeWidthStr;

/// A sentence folded to `width`, later lines set in by two.
pub fn folded(text: &str, width: usize) -> String {
    fold(text, width.saturating_sub(2)).join("\n  ")
}

/// A sentence in lines of at most `width`, broken at spaces only. A command in backticks stays
/// whole, so that it can be copied; a word longer than the line is left to the terminal.
pub fn fold(text: &str, width: usize) -> Vec<String> {
    let mut pieces: Vec<String> = Vec::new();
    let mut in_command = false;
    for word in text.split(' ') {
        match pieces.last_mut() {
            Some(piece) if in_command || hold_together(piece, word) => {
                piece.push(' ');
                piece.push_str(word);
            }
            _ => pieces.push(word.to_owned()),
        }
        in_command ^= word.matches('`').count() % 2 == 1;
    }

    let mut lines = Vec::new();
    let mut line = String::new();
    let mut used = 0;
    for piece in pieces {
        let more = piece.width();
        if line.is_empty() {
            used = more;
        } else if used + 1 + more <= width {
            line.push(' ');
            used += 1 + more;
        } else {
            lines.push(std::mem::take(&mut line));
            used = more;
        }
        line.push_str(&piece);
    }
    lines.push(line);
    lines
}

const MONTHS: &[&str] = &["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

/// Whether no line ends between the two: a figure and its percent sign, a day, its month and its year.
fn hold_together(before: &str, word: &str) -> bool {
    let last = before.rsplit(' ').next().unwrap_or_default();
    let in_digits = |text: &str| text.starts_with(|letter: char| letter.is_ascii_digit());
    word.starts_with('%')
        || (in_digits(last) && MONTHS.iter().any(|month| word.starts_with(month)))
        || (MONTHS.contains(&last) && in_digits(word))
}

#[cfg(test)]
mod tests {
    use super::fold;

    #[test]
    fn no_line_ends_in_a_date_or_before_a_percent_sign() {
        for (text, width, wanted) in [
            ("bought on 3 Nov 2026, paid", 16, &["bought on", "3 Nov 2026, paid"][..]),
            ("bought on 3 Nov 2026, paid", 12, &["bought on", "3 Nov 2026,", "paid"]),
            ("Nov 2026 made (43.00 %, 1.43 times)", 20, &["Nov 2026 made", "(43.00 %, 1.43", "times)"]),
            ("to watch for 3 days", 14, &["to watch for 3", "days"]),
        ] {
            assert_eq!(fold(text, width), wanted, "{text} in {width}");
        }
    }
}

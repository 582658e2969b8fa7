//! Taking a name out of text: a field that is the name, a summary that mentions it, a command line
//! in which it was typed.
//!
//! Spaces count as one however many they are, and a name is only found as whole words. Where it is
//! part of somebody else's longer name it is that name, and stays.

use std::borrow::Cow;
use std::ops::Range;

/// Whether two names are the same but for capitals and spaces.
pub fn is_same_name(one: &str, other: &str) -> bool {
    folded(one.trim(), Case::Ignored)
        .iter()
        .map(|seen| seen.0)
        .eq(folded(other.trim(), Case::Ignored).iter().map(|seen| seen.0))
}

/// Whether capitals count.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Case {
    /// `Ashdown` is not `ASHDOWN`.
    Counts,
    /// It is.
    Ignored,
}

/// What is to be taken out of text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Blanking {
    /// The words to take out, as they were written.
    pub words: Vec<String>,
    /// Every other name there is: where one of these is longer, it stays.
    pub others: Vec<String>,
    /// What stands there afterwards: one word that needs no quotes.
    pub becomes: String,
}

impl Blanking {
    /// The text without the words; none when it has none of them.
    pub fn of_text(&self, text: &str, case: Case) -> Option<String> {
        let spans = self.spans(text, case);
        let mut blanked = String::with_capacity(text.len());
        let mut at = 0;
        for span in &spans {
            blanked.push_str(&text[at..span.start]);
            blanked.push_str(&self.becomes);
            at = span.end;
        }
        blanked.push_str(&text[at..]);
        (!spans.is_empty()).then_some(blanked)
    }

    /// A command as typed without the words, whatever quotes they stood in; none when it has none.
    pub fn of_command(&self, typed: &str, case: Case) -> Option<String> {
        let mut changed = false;
        let words = arguments(typed).into_iter().map(|(written, meant)| match self.of_text(&meant, case) {
            Some(blanked) => {
                changed = true;
                quoted(&blanked).into_owned()
            }
            None => written.to_owned(),
        });
        let words = words.collect::<Vec<_>>().join(" ");
        changed.then_some(words)
    }

    /// Where the words stand, in order, the longest at each place.
    fn spans(&self, text: &str, case: Case) -> Vec<Range<usize>> {
        let seen = folded(text, case);
        let find = |words: &[String]| -> Vec<Range<usize>> {
            words.iter().flat_map(|word| occurrences(&seen, &folded(word.trim(), case))).collect()
        };
        let longer = find(&self.others);
        let is_part = |span: &Range<usize>| {
            longer.iter().any(|other| other.start <= span.start && span.end <= other.end && other != span)
        };
        let mut spans = find(&self.words);
        spans.retain(|span| !is_part(span));
        spans.sort_by_key(|span| (span.start, std::cmp::Reverse(span.end)));
        let mut end = 0;
        spans.retain(|span| {
            let apart = span.start >= end;
            end = if apart { span.end } else { end };
            apart
        });
        spans
    }
}

/// A character as it is compared, and the bytes it stands for.
type Seen = (char, Range<usize>);

/// The text as it is compared: one space for many, and in small letters where capitals do not count.
fn folded(text: &str, case: Case) -> Vec<Seen> {
    let mut seen: Vec<Seen> = Vec::new();
    for (start, character) in text.char_indices() {
        let span = start..start + character.len_utf8();
        match seen.last_mut() {
            Some((' ', last)) if character.is_whitespace() => last.end = span.end,
            _ if character.is_whitespace() => seen.push((' ', span)),
            _ if case == Case::Ignored => seen.extend(character.to_lowercase().map(|small| (small, span.clone()))),
            _ => seen.push((character, span)),
        }
    }
    seen
}

/// Where `word` stands in `text` with no letter or digit joined to it.
fn occurrences(text: &[Seen], word: &[Seen]) -> Vec<Range<usize>> {
    let (Some(first), Some(last)) = (word.first(), word.last()) else { return Vec::new() };
    let joins = |edge: &Seen, beside: Option<&Seen>| {
        edge.0.is_alphanumeric() && beside.is_some_and(|beside| beside.0.is_alphanumeric())
    };
    let found = text.windows(word.len()).enumerate().filter(|(at, window)| {
        let before = at.checked_sub(1).and_then(|before| text.get(before));
        window.iter().zip(word).all(|(one, other)| one.0 == other.0)
            && !joins(first, before)
            && !joins(last, text.get(at + word.len()))
    });
    found.filter_map(|(_, window)| Some(window.first()?.1.start..window.last()?.1.end)).collect()
}

/// The words of a command line, each as written and as it was meant: single quotes, double quotes
/// and backslashes as a POSIX shell reads them, which is how commands are kept.
fn arguments(typed: &str) -> Vec<(&str, String)> {
    let mut found = Vec::new();
    let mut begun: Option<(usize, String)> = None;
    let mut quote = None;
    let mut characters = typed.char_indices();
    while let Some((at, character)) = characters.next() {
        if quote.is_none() && character.is_whitespace() {
            found.extend(begun.take().map(|(start, meant)| (&typed[start..at], meant)));
            continue;
        }
        let (_, meant) = begun.get_or_insert_with(|| (at, String::new()));
        match (quote, character) {
            (None, '\'' | '"') => quote = Some(character),
            (Some(open), _) if open == character => quote = None,
            (None | Some('"'), '\\') => meant.extend(characters.next().map(|(_, escaped)| escaped)),
            _ => meant.push(character),
        }
    }
    found.extend(begun.map(|(start, meant)| (&typed[start..], meant)));
    found
}

/// A word as it is typed, in quotes where it needs them.
fn quoted(word: &str) -> Cow<'_, str> {
    let is_plain = |character: char| character.is_alphanumeric() || "-_./:=,+@%£".contains(character);
    if !word.is_empty() && word.chars().all(is_plain) {
        return Cow::Borrowed(word);
    }
    Cow::Owned(format!("'{}'", word.replace('\'', r"'\''")))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn blanking(words: &[&str], others: &[&str]) -> Blanking {
        let owned = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect();
        Blanking { words: owned(words), others: owned(others), becomes: "forgotten-9".into() }
    }

    fn text(words: &[&str], others: &[&str], text: &str) -> String {
        blanking(words, others).of_text(text, Case::Ignored).unwrap_or_else(|| "as it was".into())
    }

    #[test]
    fn names_are_the_same_whatever_their_capitals_and_spaces() {
        assert!(is_same_name("R Ashdown", " r  ASHDOWN "));
        assert!(is_same_name("Søren Ågård", "SØREN ÅGÅRD"));
        assert!(!is_same_name("R Ashdown", "R Ashdowne"));
        assert!(!is_same_name("R Ashdown", "RAshdown"));
    }

    #[test]
    fn only_whole_words_are_taken_out() {
        assert_eq!(text(&["R Ashdown"], &[], "bought 7 from R  ashdown; paid"), "bought 7 from forgotten-9; paid");
        assert_eq!(text(&["Ash"], &[], "Ashdown's ash, ASH"), "Ashdown's forgotten-9, forgotten-9");
        assert_eq!(text(&["Ash"], &[], "Ashdown"), "as it was");
        assert_eq!(text(&["O'Dell"], &[], "(O'Dell)"), "(forgotten-9)");
        assert_eq!(text(&["=1+1"], &[], "x=1+1, =1+1y"), "xforgotten-9, =1+1y");
        assert_eq!(text(&["Ågård"], &[], "ÅGÅRD ågårds"), "forgotten-9 ågårds");
        assert_eq!(text(&[""], &[], "anything"), "as it was");
    }

    #[test]
    fn capitals_count_where_that_is_wanted() {
        let mark = blanking(&["Mark"], &[]);
        assert_eq!(
            mark.of_text("gave the mark to Mark", Case::Counts).as_deref(),
            Some("gave the mark to forgotten-9")
        );
        assert_eq!(mark.of_text("gave the mark", Case::Counts), None);
    }

    #[test]
    fn a_name_inside_a_longer_one_stays() {
        assert_eq!(text(&["Ash"], &["Ash Tyres"], "Ash from Ash Tyres"), "forgotten-9 from Ash Tyres");
        assert_eq!(text(&["Ash Tyres"], &["Ash"], "Ash from Ash Tyres"), "Ash from forgotten-9");
        assert_eq!(text(&["Ash", "2 Ash Lane"], &[], "Ash at 2 Ash Lane"), "forgotten-9 at forgotten-9");
    }

    #[test]
    fn a_command_is_blanked_inside_any_quotes() {
        let command = |word: &str, typed: &str| blanking(&[word], &[]).of_command(typed, Case::Ignored);
        for (word, typed, blanked) in [
            (
                "R Ashdown",
                "sell 7 985 --to 'R Ashdown' --note 'two keys'",
                "sell 7 985 --to forgotten-9 --note 'two keys'",
            ),
            ("R Ashdown", "sell 7 985 '--to=R  Ashdown'", "sell 7 985 --to=forgotten-9"),
            ("O'Dell", "buy none --from \"O'Dell\"", "buy none --from forgotten-9"),
            ("Pat \"Dot\" O'Dell", r#"buy 1 --from 'Pat "Dot" O'\''Dell'"#, "buy 1 --from forgotten-9"),
            ("Pat \"Dot\" O'Dell", r#"buy 1 --from 'Pat "Dot"'" O'Dell""#, "buy 1 --from forgotten-9"),
            ("A$h", r#"buy 1 --from "A\$h""#, "buy 1 --from forgotten-9"),
            ("Ash", "note 1 'rang Ash, it'\\''s his'", "note 1 'rang forgotten-9, it'\\''s his'"),
        ] {
            assert_eq!(command(word, typed).as_deref(), Some(blanked), "{typed}");
        }
        assert_eq!(command("R Ashdown", "sell 7 985 --to 'R Ashdowne'"), None);
        // Two arguments are not one name.
        assert_eq!(command("R Ashdown", "note R Ashdown"), None);
    }

    proptest! {
        #[test]
        fn nothing_panics_and_nothing_is_left(words in "[aAéE' \"$\\\\]{1,6}", around in "[bB '\"\\\\é]{0,12}") {
            let blanking = blanking(&[&words], &[]);
            let line = format!("{around} {words} {around}");
            if let Some(blanked) = blanking.of_text(&line, Case::Ignored) {
                prop_assert_eq!(blanking.of_text(&blanked, Case::Ignored), None);
            } else {
                prop_assert!(words.trim().is_empty());
            }
            let _ = blanking.of_command(&around, Case::Ignored);
        }
    }
}

//! What to look into before a car goes on sale. A record that care was taken, never a claim that
//! the car passed: each item is done, not needed, or not done, with a day and a note.

use crate::domain::value::words::word_set;

/// One thing to look into.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Item {
    /// Its word, as typed and as stored.
    pub word: &'static str,
    /// What has to be true for it to be done.
    pub meaning: &'static str,
}

/// Everything to look into, in the order it is best done: what could end the deal first.
///
/// Source: "Accurate descriptions: used vehicle sales", nibusinessinfo; "Car traders and consumer
/// law", Business Companion. In our own words.
pub const ITEMS: &[Item] = &[
    Item { word: "identity", meaning: "the number stamped on the car is the one on its log book" },
    Item { word: "finance", meaning: "nothing is owed on it, so it is the seller's to sell" },
    Item { word: "stolen", meaning: "it is not recorded as stolen" },
    Item { word: "write-off", meaning: "no insurer has written it off, or the category is known and told" },
    Item { word: "mileage", meaning: "the reading fits its MOT history, its papers and its wear" },
    Item { word: "keepers", meaning: "the number of keepers before is known" },
    Item { word: "service-history", meaning: "the service book, bills and any warranty have been read" },
    Item { word: "recall", meaning: "no safety recall is outstanding" },
    Item { word: "keys", meaning: "the number of keys is known and each one works" },
    Item { word: "mot", meaning: "the date of its MOT is known and leaves a buyer long enough" },
    Item { word: "inspection", meaning: "it was gone over before sale and what was found was put right" },
    Item { word: "road-test", meaning: "it was driven until warm, and pulls, stops and steers as it should" },
    Item { word: "advert", meaning: "everything the advertisement says is true of this car" },
    Item { word: "v5c", meaning: "the log book is here and is this car's" },
    Item { word: "purchase-record", meaning: "the seller signed a record of the sale with the mileage on it" },
];

/// The item of that word, in capitals or not.
pub fn item(word: &str) -> Option<&'static Item> {
    let folded = word.trim().to_lowercase();
    ITEMS.iter().find(|item| item.word == folded)
}

word_set! {
    /// Whether an item has been seen to.
    CheckState, "state" {
        /// Seen to.
        Done = "done",
        /// Does not arise with this car.
        NotNeeded = "not-needed",
        /// Still to do, as at the start.
        NotDone = "not-done",
    }
}

impl CheckState {
    /// The word as it is said.
    pub fn in_words(self) -> String {
        self.word().replace('-', " ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_item_is_found_by_its_word_and_no_other() {
        for wanted in ITEMS {
            assert_eq!(item(&format!(" {} ", wanted.word.to_uppercase())), Some(wanted));
        }
        for stranger in ["", "service history", "mots", "all"] {
            assert_eq!(item(stranger), None, "{stranger}");
        }
    }

    #[test]
    fn words_are_kebab_case_and_meanings_one_clause() {
        for Item { word, meaning } in ITEMS {
            assert!(word.split('-').all(|part| !part.is_empty()), "{word}");
            assert!(word.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'), "{word}");
            assert!(meaning.len() > 10 && !meaning.ends_with('.') && !meaning.contains(';'), "{meaning}");
        }
    }

    #[test]
    fn states_read_back_and_strangers_are_told_the_words() {
        for word in CheckState::WORDS {
            assert_eq!(&word.parse::<CheckState>().unwrap().word(), word);
        }
        assert_eq!(" Not-Done ".parse(), Ok(CheckState::NotDone));
        assert_eq!(
            "no".parse::<CheckState>().unwrap_err().to_string(),
            "state 'no' is not understood: write done, not-needed or not-done"
        );
    }
}

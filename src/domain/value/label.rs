//! How something of the book is called in a sentence.

/// The first word of a label: what to type for the car it names.
pub fn first_word(label: &str) -> &str {
    label.split_whitespace().next().unwrap_or(label)
}

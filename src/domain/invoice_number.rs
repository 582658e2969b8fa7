//! The numbers of papers given to buyers. Each is the book's own number of the sale or the take-back it
//! belongs to, so it is unique, runs on, is never given to another, and stays the same for ever.

/// The number of the invoice of a sale: `S12`. Margin-scheme invoices are numbered in sequence (AM
/// Online, 4 October 2007, on the rules of 1 October 2007), and a gap has to be explained.
pub fn sales_invoice(sale_no: i64) -> String {
    format!("S{sale_no}")
}

/// The number of the credit note for a sale taken back: `C3`. A series of its own.
pub fn credit_note(take_back_no: i64) -> String {
    format!("C{take_back_no}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_two_series_never_meet() {
        assert_eq!([sales_invoice(12), credit_note(12)], ["S12", "C12"]);
    }
}

//! Small closed sets of words: pockets, kinds of vehicle, where a car came from. Each parses from
//! the word people type and prints the same word; nothing here knows the command line or the book.

/// Makes an enum whose every variant has exactly one word.
macro_rules! word_set {
    ($(#[$doc:meta])* $name:ident, $what:literal {
        $($(#[$variant_doc:meta])* $variant:ident = $word:literal),+ $(,)?
    }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $name { $($(#[$variant_doc])* $variant),+ }

        impl $name {
            /// Every word of the set, in the order people are shown them.
            pub const WORDS: &'static [&'static str] = &[$($word),+];

            /// Every one of the set, in the same order.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word, as typed and as stored.
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.write_str(self.word())
            }
        }

        impl std::str::FromStr for $name {
            type Err = $crate::domain::value::value_error::ValueError;

            fn from_str(typed: &str) -> Result<Self, Self::Err> {
                // As stored first: a book is read far more often than a word is typed.
                match typed {
                    $($word => return Ok(Self::$variant),)+
                    _ => {}
                }
                match typed.trim().to_lowercase().as_str() {
                    $($word => Ok(Self::$variant),)+
                    _ => {
                        let words = $crate::domain::value::words::one_of(Self::WORDS);
                        Err($crate::domain::value::value_error::ValueError::new($what, typed, format!("write {words}")))
                    }
                }
            }
        }
    };
}

pub(crate) use word_set;

/// `cash, bank or own`.
pub(crate) fn one_of(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [only] => (*only).to_owned(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

word_set! {
    /// Where money sits. `Own` is the owner's own pocket: paid in and spent the same moment.
    Pocket, "pocket" {
        /// Cash in hand.
        Cash = "cash",
        /// The bank account; a card is the bank.
        Bank = "bank",
        /// The owner's own pocket.
        Own = "own",
    }
}

word_set! {
    /// How something was paid, as people say it.
    PaidBy, "way of paying" {
        /// Notes and coins.
        Cash = "cash",
        /// A transfer or a cheque.
        Bank = "bank",
        /// A card, which is the bank account.
        Card = "card",
        /// The owner's own money.
        Own = "own",
    }
}

impl PaidBy {
    /// The pocket the money comes from or goes to.
    pub const fn pocket(self) -> Pocket {
        match self {
            Self::Cash => Pocket::Cash,
            Self::Bank | Self::Card => Pocket::Bank,
            Self::Own => Pocket::Own,
        }
    }
}

word_set! {
    /// What kind of vehicle.
    Kind, "kind" {
        /// A car.
        Car = "car",
        /// A van.
        Van = "van",
        /// A motorcycle.
        Motorcycle = "motorcycle",
    }
}

word_set! {
    /// Where a car came from.
    Via, "source" {
        /// A private seller.
        Private = "private",
        /// An auction.
        Auction = "auction",
        /// Another trader.
        Trade = "trade",
        /// The trader's own car, brought into stock.
        Own = "own",
        /// Taken in as part payment for a car sold.
        PartExchange = "part-exchange",
    }
}

word_set! {
    /// Which way the money of a line went.
    Direction, "direction" {
        /// Spent.
        Cost = "cost",
        /// Received.
        Receipt = "receipt",
    }
}

word_set! {
    /// How an amount came to be this line's.
    Shared, "sharing" {
        /// The line is the whole amount.
        Whole = "whole",
        /// An equal part of an amount shared between cars.
        Equally = "equally",
        /// A part typed as such.
        Split = "split",
    }
}

word_set! {
    /// What a movement of money settles.
    Purpose, "purpose" {
        /// Paid to the seller of a car, or to the lender its finance is owed to.
        Purchase = "purchase",
        /// Received from the buyer of a car, or handed to them where their car was worth more.
        Sale = "sale",
        /// Taken to keep a car for somebody, or given back to them.
        Deposit = "deposit",
        /// Paid to the buyer of a car taken back, or handed over by them.
        Refund = "refund",
        /// Paid against unpaid bills.
        Bill = "bill",
        /// Paid in or drawn by the owner.
        Owner = "owner",
        /// Borrowed or paid back.
        Loan = "loan",
        /// Moved between cash in hand and the bank.
        Transfer = "transfer",
        /// Paid to, or repaid by, HMRC for VAT.
        Vat = "vat",
    }
}

word_set! {
    /// How a car left stock without a sale.
    Outcome, "way to leave stock" {
        /// To an authorised treatment facility.
        Scrapped = "scrapped",
        /// Taken apart, its parts sold.
        Broken = "broken",
        /// Stolen, burnt, written off by the insurer.
        Lost = "lost",
        /// Into the owner's own use.
        Kept = "kept",
        /// Given back to whoever it was taken in from, as their own purchase came back.
        Returned = "returned",
    }
}

impl Outcome {
    /// `was scrapped`, after the car's name.
    pub const fn happened(self) -> &'static str {
        match self {
            Self::Scrapped => "was scrapped",
            Self::Broken => "was broken for parts",
            Self::Lost => "was lost",
            Self::Kept => "was kept for your own use",
            Self::Returned => "went back to whoever it was taken in from",
        }
    }
}

word_set! {
    /// How an MOT test ended.
    TestResult, "result" {
        /// A certificate was given.
        Pass = "pass",
        /// It was refused.
        Fail = "fail",
    }
}

word_set! {
    /// How often a standing cost comes round.
    Every, "interval" {
        /// Each seven days.
        Week = "week",
        /// The same day each month.
        Month = "month",
        /// The same day each third month.
        Quarter = "quarter",
        /// The same day each year.
        Year = "year",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_parses_back() {
        for word in PaidBy::WORDS {
            assert_eq!(&word.parse::<PaidBy>().unwrap().word(), word);
        }
        assert_eq!(" Card ".parse::<PaidBy>().unwrap().pocket(), Pocket::Bank);
    }

    #[test]
    fn a_stranger_is_told_the_accepted_words() {
        let message = "cheque".parse::<Pocket>().unwrap_err().to_string();
        assert!(message.contains("'cheque'") && message.contains("cash, bank or own"), "{message}");
    }
}

//! What deposits, take-backs and balances do not allow, in words, with what to type next.

use crate::domain::days::day::long;
use crate::domain::value::label::first_word;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;
use std::fmt;

/// A request a car's deals do not allow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum DealRefusal {
    /// A deposit is held that something has to be done about first.
    DepositHeld {
        /// The car.
        car: String,
        /// How much.
        held: Pence,
    },
    /// A deposit is held from somebody else.
    DepositFromAnother {
        /// The car.
        car: String,
        /// How much.
        held: Pence,
        /// Who paid it.
        by: String,
        /// Who is buying, or would pay another.
        given: String,
        /// Whether the car was being sold.
        selling: bool,
    },
    /// No deposit is held.
    NoDeposit {
        /// The car.
        car: String,
    },
    /// More than is held as a deposit.
    MoreThanHeld {
        /// The money.
        given: Pence,
        /// What is held.
        held: Pence,
    },
    /// A day before the deposit it is about.
    BeforeTheDeposit {
        /// The car.
        car: String,
        /// The day given.
        given: NaiveDate,
        /// The day of the deposit.
        deposit: NaiveDate,
    },
    /// More to go back than the buyer gave.
    MoreThanGiven {
        /// The money.
        given: Pence,
        /// The most that can go back.
        most: Pence,
    },
    /// What was paid for a sale does not fit its take-back any more.
    TakeBackUnsettled {
        /// The car.
        car: String,
    },
    /// A car taken in with finance on it cannot simply go back.
    FinanceOnReturned {
        /// The car taken in.
        car: String,
    },
    /// Both the seller and a buyer are owed for one car.
    WhoIsPaid {
        /// The car.
        car: String,
        /// Owed to the seller or lender.
        seller: Pence,
        /// Owed to the buyer who brought it back.
        buyer: Pence,
    },
}

impl fmt::Display for DealRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::DepositHeld { car, held } => write!(f, "a deposit of {held} is held on {car}"),
            Self::DepositFromAnother { car, held, by, given, .. } => {
                write!(f, "a deposit of {held} is held on {car} from {by}, not from {given}")
            }
            Self::NoDeposit { car } => write!(f, "no deposit is held on {car}"),
            Self::MoreThanHeld { given, held } => write!(f, "{given} is too much: a deposit of {held} is held"),
            Self::BeforeTheDeposit { car, given, deposit } => {
                write!(f, "{} is before the deposit on {car}, of {}", long(*given), long(*deposit))
            }
            Self::MoreThanGiven { given, most } if most.is_zero() => {
                write!(f, "{given} is too much: the buyer gave nothing that could go back")
            }
            Self::MoreThanGiven { given, most } => {
                write!(f, "{given} is too much: at most {most} of what the buyer gave can go back")
            }
            Self::TakeBackUnsettled { car } => {
                write!(f, "{car} was taken back on what had been paid for it by then; that would no longer be so")
            }
            Self::FinanceOnReturned { car } => {
                write!(f, "{car} was taken in with finance on it and cannot simply go back")
            }
            Self::WhoIsPaid { car, seller, buyer } => {
                write!(f, "for {car} both its seller ({seller}) and a buyer who brought it back ({buyer}) are owed")
            }
        }
    }
}

impl DealRefusal {
    /// A question that would settle it, and the option a yes stands for.
    pub fn question(&self) -> Option<(String, &'static str)> {
        match self {
            Self::DepositFromAnother { held, by, selling: true, .. } => Some((
                format!("{by}'s deposit of {held} is held on it. Hand it back with this sale?"),
                "--give-back-deposit",
            )),
            _ => None,
        }
    }

    /// What to type next, where there is something that helps.
    pub fn hint(&self) -> Option<String> {
        Some(match self {
            Self::DepositHeld { car, .. } => {
                format!("`runabout deposit {0} --give-back`, or `runabout deposit {0} --keep`", first_word(car))
            }
            Self::DepositFromAnother { car, selling: true, .. } => format!(
                "add --give-back-deposit to hand it back with the sale, or first `runabout deposit {} --keep`",
                first_word(car)
            ),
            Self::DepositFromAnother { car, by, .. } => {
                format!("`runabout deposit {0} --give-back` lets {by} go first", first_word(car))
            }
            Self::NoDeposit { car } => format!("`runabout deposit {} AMOUNT --by NAME` takes one", first_word(car)),
            Self::FinanceOnReturned { car } => format!(
                "agree the refund with --refund, and `runabout sell {} PRICE` if they take their car again",
                first_word(car)
            ),
            Self::WhoIsPaid { .. } => "add --to NAME: who is paid now".into(),
            Self::MoreThanHeld { .. }
            | Self::BeforeTheDeposit { .. }
            | Self::MoreThanGiven { .. }
            | Self::TakeBackUnsettled { .. } => return None,
        })
    }
}

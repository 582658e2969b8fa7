//! Three kinds of number run side by side: of cars, of entries, of what is due. One that is not of the kind
//! asked for is told for what it is.

use std::fmt;

/// What a number is the number of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NumberIs {
    /// A car.
    Car {
        /// Its number and mark.
        label: String,
    },
    /// An entry.
    Entry {
        /// What it recorded.
        summary: String,
    },
    /// An item of `due`.
    Due {
        /// What it is about.
        subject: String,
        /// Whether saying that it is done deals with it.
        until_done: bool,
    },
}

/// A number of another kind than the one asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NumberMeant {
    /// The number.
    pub number: i64,
    /// What is wrong with it where it was typed, in words.
    pub why: String,
    /// What it is instead; never nothing.
    pub is: Vec<NumberIs>,
}

impl fmt::Display for NumberMeant {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let is: Vec<String> = self.is.iter().map(NumberIs::to_string).collect();
        write!(f, "{}; {} is {}", self.why, self.number, is.join(", and "))
    }
}

impl fmt::Display for NumberIs {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Car { label } => write!(f, "a car, {label}"),
            Self::Entry { summary } => write!(f, "an entry, which says: {summary}"),
            Self::Due { subject, .. } => write!(f, "an item of `due`, about {subject}"),
        }
    }
}

impl NumberMeant {
    /// What to type about it, each as what it is.
    pub fn hint(&self) -> String {
        let number = self.number;
        let lines = self.is.iter().map(|is| match is {
            NumberIs::Car { .. } => format!("`runabout log {number}` lists the entries of that car"),
            NumberIs::Entry { .. } => {
                format!(
                    "`runabout undo {number}` takes that entry back, `runabout amend {number} FIELD VALUE` mends it"
                )
            }
            NumberIs::Due { until_done: true, .. } => format!("`runabout done {number}` marks it"),
            NumberIs::Due { until_done: false, .. } => "`runabout due --within 365` says what deals with it".to_owned(),
        });
        lines.collect::<Vec<_>>().join("; ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::refusal::Refusal;

    #[test]
    fn a_number_is_told_for_all_it_is() {
        let why = Refusal::EntryUnknown { entry: 161 };
        assert_eq!(why.number_unknown(), Some(161));
        let due = NumberIs::Due { subject: "1 TU42 RTO".into(), until_done: true };
        let one = NumberMeant { number: 161, why: why.to_string(), is: vec![due] };
        assert_eq!(one.to_string(), "there is no entry 161; 161 is an item of `due`, about 1 TU42 RTO");
        assert_eq!(one.hint(), "`runabout done 161` marks it");
        let why = Refusal::NotDue { number: 3 };
        let is = vec![
            NumberIs::Car { label: "3 TU43 RTO".into() },
            NumberIs::Entry { summary: "spent £15.00 on parts".into() },
        ];
        let two = NumberMeant { number: 3, why: why.to_string(), is };
        assert_eq!(
            two.to_string(),
            "nothing is due under the number 3; 3 is a car, 3 TU43 RTO, and an entry, which says: spent £15.00 on parts"
        );
        assert_eq!(
            two.hint(),
            "`runabout log 3` lists the entries of that car; `runabout undo 3` takes that entry back, \
             `runabout amend 3 FIELD VALUE` mends it"
        );
        let mark = Refusal::CarUnknown { given: "TU42 RTO".into(), near: Vec::new() };
        assert_eq!(mark.number_unknown(), None);
    }
}

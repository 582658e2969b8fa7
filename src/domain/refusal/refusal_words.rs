//! What each refusal says, and what it suggests typing next.

use crate::domain::days::day::long;
use crate::domain::refusal::Refusal;
use crate::domain::value::bad_row::BadRow;
use crate::domain::value::heading::heading_name;
use crate::domain::value::label::first_word;
use crate::domain::value::pence::Pence;
use chrono::NaiveDate;
use std::fmt;

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Value(error) => write!(f, "{error}"),
            Self::CarUnknown { given, near } => near_miss(f, &format!("no car '{given}' in the book"), near),
            Self::NoCars { kind } => write!(f, "there is no car {kind}"),
            Self::HeadingUnknown { given, near, .. } => near_miss(f, &format!("no heading '{given}'"), near),
            Self::HeadingForTheOtherWay { given, command } => {
                write!(f, "the heading '{given}' goes with `{command}`, not with this command")
            }
            Self::NoTarget { accepted } => write!(f, "what it was for is not said: add {accepted}"),
            Self::DoesNotGoWith { what, with } | Self::AtOdds { what, with } => apart(f, what, with),
            Self::WholeOrYear { folder } => whole_or_year(f, folder),
            Self::NothingSaid { of, .. } => write!(f, "{of}: nothing is said that should be otherwise"),
            Self::InStockAlready { car } => write!(f, "{car} is in stock already; sell it before buying it again"),
            Self::NoPlatesNoVin => f.write_str("a car without plates needs its VIN: add --vin"),
            Self::AnotherVin { mark, known, given } => {
                write!(f, "{mark} is in the book with VIN {known}, not '{given}'")
            }
            Self::SoldAlready { car, on } => write!(f, "{car} was sold on {}", long(*on)),
            Self::NotSold { car } => write!(f, "{car} is not sold"),
            Self::Disposed { car, how, on } => write!(f, "{car} {} on {}", how.happened(), long(*on)),
            Self::BeforeItCameBack { car, given, back } => is_before(f, *given, car, "came back into stock", *back),
            Self::Deal(refusal) => write!(f, "{refusal}"),
            Self::Paper(refusal) => write!(f, "{refusal}"),
            Self::Forget(refusal) => write!(f, "{refusal}"),
            Self::Closed { what, closed_to } => {
                write!(f, "{what} is in a closed month: everything up to {} is closed", long(*closed_to))
            }
            Self::BadRows { rows } => bad_rows(f, rows),
            Self::NotForClosing { why } | Self::NoBid { why } | Self::NothingBefore { what: why } => f.write_str(why),
            Self::NoWorth => f.write_str("what is it worth to you? Add --value AMOUNT"),
            Self::BoughtAgain { car, later } => {
                write!(f, "{car} cannot come back: it was bought again since, as {later}")
            }
            Self::BeforePurchase { car, given, bought } => is_before(f, *given, car, "was bought", *bought),
            Self::BeforeTheDeal { car, given, deal } => {
                write!(f, "{} is before the deal on {car} it belongs to, of {}", long(*given), long(*deal))
            }
            Self::StaysOverlap { earlier, later } => {
                write!(f, "{later} would be bought before the same vehicle, as {earlier}, had left stock")
            }
            Self::PartsDoNotAddUp { amount, parts } => out_by(f, *amount, *parts),
            Self::NamedTwice { what } => write!(f, "{what} is named twice"),
            Self::VatTooBig { vat, amount, most } => {
                write!(f, "VAT of {vat} is too much: {amount} holds at most {most} of VAT")
            }
            Self::MoreThanOwed { given, owed, who } => {
                let most = if owed.is_zero() { "nothing".to_owned() } else { owed.to_string() };
                write!(f, "{given} is too much: {most} is owed {who}")
            }
            Self::FinanceTooBig { finance, price } => {
                write!(f, "finance of {finance} is more than the price of {price} it is part of")
            }
            Self::LowestAboveAsking { lowest, asking } => {
                write!(f, "the lowest price {lowest} is above the asking price {asking}")
            }
            Self::DifferenceGoesToBuyer { due } => {
                write!(f, "the cars taken in are worth {due} more than the price, so nothing is paid by the buyer")
            }
            Self::PocketNotForThis { pocket, accepted } => write!(f, "'{pocket}' will not do here: write {accepted}"),
            Self::NameTaken { what, name } => write!(f, "a {what} '{name}' is on the list already"),
            Self::NameUnknown { what, name, near, known } => no_such_name(f, what, name, near, known),
            Self::NotADueDay { name, day, next } => {
                let next = next.map(|next| format!("; the next time is {}", long(next))).unwrap_or_default();
                write!(f, "'{name}' does not fall due on {}{next}", long(*day))
            }
            Self::BeforeItBegan { name, first } => {
                write!(f, "that is before '{name}' first fell due, on {}", long(*first))
            }
            Self::EntryUnknown { entry } => write!(f, "there is no entry {entry}"),
            Self::NothingToUndo => f.write_str("there is nothing to undo"),
            Self::UndoneAlready { entry, by } => write!(f, "entry {entry} was undone already, by entry {by}"),
            Self::InTheWay { entry, by, summary } => {
                write!(f, "entry {entry} cannot change while entry {by} stands, which says: {summary}")
            }
            Self::NotAmendable { field, command, near, accepted, .. } => {
                near_or_all(f, &format!("a `{command}` entry has no '{field}' to put right"), near, accepted, "it has")
            }
            Self::NumberMeant(meant) => write!(f, "{meant}"),
            Self::TwoReadings(two) => write!(f, "{two}"),
            Self::NotDue { number } => write!(f, "nothing is due under the number {number}"),
            Self::NotDoneByWord { number, kind, action } => {
                write!(f, "{number} ({kind}) is not done by saying so: {action}")
            }
            Self::WordUnknown { what, given, near, known } => not_a_word(f, what, given, near, known),
            Self::HeadingFixed { name } => write!(f, "the heading '{name}' came with the program and stays as it is"),
            Self::NothingChanges { field, value } => write!(f, "{field} is {value} already: nothing would change"),
            Self::EndsBeforeItBegins { what, from, until } => {
                write!(f, "{what} would end on {}, before it begins, on {}", long(*until), long(*from))
            }
            Self::MarkCarried { mark, car } => write!(f, "{car} carries {mark} already"),
            Self::NoSuchPart { part, near, accepted } => no_such_part(f, part, near, accepted),
        }
    }
}

impl Refusal {
    /// A question that would settle it, and the option a yes stands for.
    pub fn question(&self) -> Option<(String, &'static str)> {
        match self {
            Self::Deal(refusal) => refusal.question(),
            Self::WholeOrYear { folder } => {
                Some((format!("No --year is said. Write the whole book to {folder}?"), "--whole"))
            }
            Self::TwoReadings(two) => two.question(),
            _ => None,
        }
    }

    /// What to type next, where there is something that helps.
    pub fn hint(&self) -> Option<String> {
        Some(match self {
            Self::CarUnknown { .. } => "`runabout stock` lists the cars in stock".into(),
            Self::NoCars { kind: "sold" } => "`runabout sell CAR PRICE` records a sale".into(),
            Self::NoCars { .. } => "`runabout buy MARK PRICE` records one".into(),
            Self::HeadingUnknown { given, under, .. } => match heading_name(given) {
                Ok(name) => format!(
                    "`runabout settings headings` lists them; `runabout settings set heading:{name} {under}` adds one"
                ),
                Err(_) => "`runabout settings headings` lists them".into(),
            },
            Self::NumberMeant(meant) => meant.hint(),
            Self::Deal(refusal) => return refusal.hint(),
            Self::Paper(refusal) => return refusal.hint(),
            Self::Forget(refusal) => return refusal.hint(),
            Self::Closed { closed_to, .. } => format!(
                "`runabout close --reopen {}` opens it to be put right; what is found late is dated the day it is found",
                closed_to.format("%Y-%m")
            ),
            Self::InStockAlready { car } | Self::SoldAlready { car, .. } | Self::Disposed { car, .. } => {
                format!("`runabout car {}` shows it", first_word(car))
            }
            Self::NotSold { car } => format!("`runabout sell {} PRICE` sells it", first_word(car)),
            Self::NoPlatesNoVin => "`runabout buy none 340 --vin WDX1234567`".into(),
            Self::NameTaken { what: "paper", name } => {
                format!("`runabout paper renew \"{name}\" --until DATE` gives it another last day")
            }
            Self::NameTaken { .. } | Self::NameUnknown { what: "standing cost", .. } => {
                "`runabout standing list` shows them".into()
            }
            Self::NameUnknown { what: "auction's fee scale", .. } => {
                "`runabout settings set auction:NAME \"0=75 250=110\"` saves one; `runabout settings` lists them".into()
            }
            Self::NameUnknown { .. } => "`runabout paper list` shows them".into(),
            Self::NotDue { .. } => "`runabout due --within 365` lists them with their numbers".into(),
            Self::EntryUnknown { .. } | Self::NothingToUndo => "`runabout log` lists the entries".into(),
            Self::NotAmendable { near, .. } if near.is_empty() => {
                "`runabout log` lists the entries, each with its number".into()
            }
            Self::UndoneAlready { by, .. } => format!("`runabout undo {by}` brings it back"),
            Self::InTheWay { by, .. } => format!("`runabout undo {by}` takes that one back first"),
            Self::WholeOrYear { .. } => {
                "add --year 2026-27 for what an accountant asks for of that year, or --whole for the whole book".into()
            }
            Self::NothingSaid { example, .. } => format!("say what should be, as in `{example}`"),
            Self::PartsDoNotAddUp { .. } => "repeat --split TARGET=AMOUNT until the parts make the whole".into(),
            _ => return None,
        })
    }
}

fn apart(f: &mut fmt::Formatter<'_>, what: &str, with: &str) -> fmt::Result {
    write!(f, "{what} does not go with {with}")
}

fn whole_or_year(f: &mut fmt::Formatter<'_>, folder: &str) -> fmt::Result {
    write!(f, "'{folder}' is named for a year's papers; without --year the whole book would go there")
}

fn near_miss(f: &mut fmt::Formatter<'_>, wrong: &str, near: &[String]) -> fmt::Result {
    f.write_str(wrong)?;
    did_you_mean(f, near)
}

fn is_before(f: &mut fmt::Formatter<'_>, given: NaiveDate, car: &str, what: &str, on: NaiveDate) -> fmt::Result {
    write!(f, "{} is before {car} {what}, on {}", long(given), long(on))
}

fn no_such_name(f: &mut fmt::Formatter<'_>, what: &str, name: &str, near: &[String], known: &[String]) -> fmt::Result {
    if known.is_empty() {
        return write!(f, "no {what} '{name}'; there are none yet");
    }
    let quoted: Vec<String> = known.iter().map(|known| format!("'{known}'")).collect();
    not_a_word(f, what, name, near, &quoted.join(", "))
}

fn no_such_part(f: &mut fmt::Formatter<'_>, part: &str, near: &[String], accepted: &str) -> fmt::Result {
    near_or_all(f, &format!("this report has no part '{part}'"), near, accepted, "it has")
}

fn not_a_word(f: &mut fmt::Formatter<'_>, what: &str, given: &str, near: &[String], known: &str) -> fmt::Result {
    near_or_all(f, &format!("no {what} '{given}'"), near, known, "there is")
}

/// What is wrong, then what is spelt alike, or when nothing is, all there is.
fn near_or_all(f: &mut fmt::Formatter<'_>, wrong: &str, near: &[String], known: &str, there_is: &str) -> fmt::Result {
    f.write_str(wrong)?;
    if near.is_empty() { write!(f, "; {there_is} {known}") } else { did_you_mean(f, near) }
}

impl Refusal {
    /// What is told below the refusal, each on a line of its own.
    pub fn details(&self) -> Vec<String> {
        let rows = match self {
            Self::BadRows { rows } => rows,
            Self::TwoReadings(two) => return two.details(),
            _ => return Vec::new(),
        };
        let more = rows.len().checked_sub(ROWS_TOLD).filter(|more| *more > 0).map(|more| format!("and {more} more"));
        rows.iter().take(ROWS_TOLD).map(ToString::to_string).chain(more).collect()
    }
}

/// The most bad rows told; the first are enough to see what is wrong with a file.
const ROWS_TOLD: usize = 50;

fn bad_rows(f: &mut fmt::Formatter<'_>, rows: &[BadRow]) -> fmt::Result {
    let which =
        if rows.len() == 1 { "1 row will not do".to_owned() } else { format!("{} rows will not do", rows.len()) };
    write!(f, "{which}, so nothing was taken in")
}

fn out_by(f: &mut fmt::Formatter<'_>, amount: Pence, parts: Pence) -> fmt::Result {
    let (gap, way) = if parts < amount { (amount - parts, "short") } else { (parts - amount, "over") };
    write!(f, "the parts come to {parts}, not to {amount}: {gap} {way}")
}

fn did_you_mean(f: &mut fmt::Formatter<'_>, near: &[String]) -> fmt::Result {
    match near {
        [] => Ok(()),
        [only] => write!(f, "; did you mean '{only}'?"),
        [first @ .., last] => {
            let first: Vec<String> = first.iter().map(|word| format!("'{word}'")).collect();
            write!(f, "; did you mean {} or '{last}'?", first.join(", "))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn near_misses_are_offered_as_a_sentence() {
        let refused = |near: &[&str]| {
            Refusal::HeadingUnknown {
                given: "tyre".into(),
                under: "goods",
                near: near.iter().map(|word| (*word).to_owned()).collect(),
            }
            .to_string()
        };
        assert_eq!(refused(&[]), "no heading 'tyre'");
        assert_eq!(refused(&["tyres"]), "no heading 'tyre'; did you mean 'tyres'?");
        assert_eq!(refused(&["tyres", "keys"]), "no heading 'tyre'; did you mean 'tyres' or 'keys'?");
    }

    #[test]
    fn a_split_says_how_far_out_it_is() {
        let out = |parts| Refusal::PartsDoNotAddUp { amount: Pence::new(6_000), parts: Pence::new(parts) }.to_string();
        assert_eq!(out(5_000), "the parts come to £50.00, not to £60.00: £10.00 short");
        assert_eq!(out(6_001), "the parts come to £60.01, not to £60.00: £0.01 over");
    }
}

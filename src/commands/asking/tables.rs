//! The questions of each command, in the order they are asked: what is needed first.

use crate::commands::asking::{Ask, Cars, Enter, Known, Need, Takes};
use crate::commands::steps::lookup;
use crate::domain::law::vehicle_tax::TaxMonths;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::target::BoughtMark;
use crate::domain::value::words::{Direction, Outcome, TestResult};
use crate::error::Error;

const fn ask(id: &'static str, words: &'static str, need: Need) -> Ask {
    Ask { id, words, need, enter: Enter::Leaves("skip"), takes: Takes::Value, when: |_| Ok(true) }
}

const fn needed(id: &'static str, words: &'static str) -> Ask {
    Ask { enter: Enter::Leaves(""), ..ask(id, words, Need::Needed) }
}

const fn welcome(id: &'static str, words: &'static str) -> Ask {
    ask(id, words, Need::Welcome)
}

impl Ask {
    const fn words(self, words: &'static str) -> Self {
        Self { words, ..self }
    }

    const fn enter(self, enter: Enter) -> Self {
        Self { enter, ..self }
    }

    const fn takes(self, takes: Takes) -> Self {
        Self { takes, ..self }
    }

    const fn when(self, when: fn(&Known<'_>) -> Result<bool, Error>) -> Self {
        Self { when, ..self }
    }
}

const CAR: Ask = needed("car", "Which car (mark or number)").enter(Enter::OnlyCar).takes(Takes::Car(Cars::InStock));
const ANY_CAR: Ask = CAR.takes(Takes::Car(Cars::Any));
const SOLD_CAR: Ask = CAR.takes(Takes::Car(Cars::Sold));
const DAY: Ask = welcome("on", "Which day").enter(Enter::Leaves("today"));
const PAID: Ask = welcome("paid", "Paid by cash, bank, card or own").enter(Enter::PaidAsSet);
const MILES: Ask = welcome("miles", "Miles on the odometer");

const BUY: &[Ask] = &[
    needed("mark", "Registration mark (none if it has no plates)").takes(Takes::NewMark),
    needed("vin", "VIN, as it has no plates").when(|known| Ok(has_no_plates(known))),
    needed("price", "Price"),
    welcome("from", "Bought from (name)").when(|known| Ok(!known.typed.has("auction"))),
    PAID,
    MILES,
    welcome("mot_until", "MOT until"),
    welcome("make", "Make").when(is_a_stranger),
    welcome("model", "Model").when(is_a_stranger),
    DAY,
];

const SELL: &[Ask] = &[
    CAR,
    needed("price", "Price").enter(Enter::AskingPrice),
    ask("part_exchange", "Part-exchange, such as AB91CDE=165", Need::Repeated).enter(Enter::NoMore),
    welcome("to", "Sold to (name)").enter(Enter::Depositor),
    PAID,
    MILES,
    DAY,
];

const SPEND: &[Ask] = &[
    needed("amount", "How much").takes(Takes::Spent),
    needed("heading", "On what (? lists them)").takes(Takes::Heading(Direction::Cost)),
    needed("about", "For which car (1,2 to share, or overhead)")
        .enter(Enter::LatestCar)
        .takes(Takes::SpentOn)
        .when(|known| Ok(!is_settling(known))),
    needed("about", "Owed for which car, or to whom")
        .takes(Takes::OwedFor)
        .when(|known| Ok(is_heading(known, "balance"))),
    welcome("to", "Paid to (name)").when(|known| Ok(!is_settling(known))),
    PAID.when(|known| Ok(!known.typed.has("unpaid"))),
    DAY,
];

const RECEIVE: &[Ask] = &[
    needed("amount", "How much"),
    needed("heading", "For what (? lists them)").takes(Takes::Heading(Direction::Receipt)),
    needed("about", "From which car, or other")
        .enter(Enter::OnlyCar)
        .takes(Takes::CameFrom)
        .when(|known| Ok(!is_settling(known))),
    SOLD_CAR.when(|known| Ok(is_heading(known, "balance"))),
    welcome("from", "Paid by whom (name)").when(|known| Ok(!is_settling(known))),
    PAID,
    DAY,
];

const MOT: &[Ask] = &[
    ANY_CAR,
    needed("result", "Pass or fail"),
    DAY,
    welcome("until", "Good until").enter(Enter::LastDayOfMot).when(|known| Ok(has_passed(known))),
    MILES,
    welcome("fee", "Fee paid").enter(Enter::Leaves("none")),
    PAID.when(|known| Ok(known.typed.has("fee"))),
    ask("defect", "Defect, such as major brake hose (buyers read it)", Need::Repeated)
        .enter(Enter::NoMore)
        .takes(Takes::Defect)
        .when(|known| Ok(!has_passed(known))),
    ask("defect", "Advisory, such as advisory tyre (buyers read it)", Need::Repeated)
        .enter(Enter::NoMore)
        .takes(Takes::LesserDefect)
        .when(|known| Ok(has_passed(known))),
];

const ASK: &[Ask] = &[CAR, needed("amount", "Asking price"), welcome("lowest", "Lowest you would take")];

const OFFER: &[Ask] = &[CAR, needed("amount", "How much was offered"), welcome("by", "Offered by (name)"), DAY];

const DEPOSIT: &[Ask] = &[
    CAR,
    needed("amount", "How much is taken").when(|known| Ok(takes_a_deposit(known))),
    welcome("by", "Paid by whom (name)").when(|known| Ok(takes_a_deposit(known))),
    PAID.when(|known| Ok(!known.typed.has("keep"))),
    welcome("hold_until", "Kept for them until").when(|known| Ok(takes_a_deposit(known))),
    DAY,
];

const TAKE_BACK: &[Ask] = &[
    SOLD_CAR,
    welcome("refund", "How much goes back").enter(Enter::Leaves("all the money received")),
    PAID.when(|known| Ok(!known.typed.has("unpaid"))),
    welcome("reason", "Why it came back (the buyer reads it)"),
    DAY,
];

const DISPOSE: &[Ask] = &[
    CAR,
    needed("how", "Scrapped, broken, lost or kept"),
    needed("value", "What it is worth to you").when(|known| Ok(is_kept(known))),
    welcome("received", "Money it brought").enter(Enter::Leaves("none")).when(|known| Ok(!is_kept(known))),
    PAID.when(|known| Ok(known.typed.has("received"))),
    welcome("to", "Who took it (name)").when(|known| Ok(!is_kept(known))),
    welcome("certificate", "Certificate of Destruction").when(|known| Ok(is_destroyed(known))),
    DAY,
];

const TAX: &[Ask] = &[
    CAR,
    needed("what", "Taxed for 6 or 12 months, sorn, or none").takes(Takes::Tax),
    welcome("paid_amount", "Tax paid").when(|known| Ok(known.typed.get::<TaxMonths>("months").is_some())),
    PAID.when(|known| Ok(known.typed.has("paid_amount"))),
    DAY,
];

const HOURS: &[Ask] = &[ANY_CAR, needed("hours", "How long (2, 1h30)"), welcome("note", "What you did"), DAY];

const NOTE: &[Ask] = &[ANY_CAR, needed("text", "Note")];

const JOURNEY: &[Ask] = &[needed("miles", "How many miles"), needed("purpose", "What for"), DAY];

const CHECK: &[Ask] = &[
    ANY_CAR,
    needed("item", "Which item (? lists them)").takes(Takes::Item),
    needed("state", "Done, not-needed or not-done"),
    welcome("note", "Note"),
    DAY,
];

const MARK: &[Ask] = &[ANY_CAR, needed("mark", "Its mark now"), DAY.words("Since which day")];

const WRITE_OFF: &[Ask] = &[SOLD_CAR, needed("amount", "How much will not come"), DAY];

const MOVE: &[Ask] =
    &[needed("amount", "How much"), needed("from", "From cash or bank"), needed("to", "To bank or cash"), DAY];

const PAY_IN: &[Ask] = &[
    needed("amount", "How much"),
    PAID.words("Into cash or bank"),
    welcome("loan", "Lent by (name)").enter(Enter::Leaves("nobody, it is yours")),
    DAY,
];

const DRAW: &[Ask] = &[needed("amount", "How much"), PAID.words("From cash or bank"), DAY];

/// The questions of a command; none for one that does not ask.
pub(crate) fn of(command: &str) -> &'static [Ask] {
    TABLES.iter().find(|(name, _)| *name == command).map_or(&[], |(_, table)| table)
}

pub(crate) const TABLES: &[(&str, &[Ask])] = &[
    ("buy", BUY),
    ("sell", SELL),
    ("spend", SPEND),
    ("receive", RECEIVE),
    ("mot", MOT),
    ("ask", ASK),
    ("offer", OFFER),
    ("deposit", DEPOSIT),
    ("take-back", TAKE_BACK),
    ("dispose", DISPOSE),
    ("tax", TAX),
    ("hours", HOURS),
    ("note", NOTE),
    ("journey", JOURNEY),
    ("check", CHECK),
    ("mark", MARK),
    ("write-off", WRITE_OFF),
    ("move", MOVE),
    ("pay-in", PAY_IN),
    ("draw", DRAW),
];

fn has_no_plates(known: &Known<'_>) -> bool {
    known.typed.get::<BoughtMark>("mark") == Some(&BoughtMark::None)
}

/// Whether nothing is known of the vehicle yet: one that was in stock before keeps its make and model.
fn is_a_stranger(known: &Known<'_>) -> Result<bool, Error> {
    let Some(BoughtMark::Mark(mark)) = known.typed.get::<BoughtMark>("mark") else { return Ok(true) };
    let known_as = known.reader.find_car(&CarRef::Mark(mark.clone()))?;
    let vehicle = known_as.map(|car| lookup::whole_car(known.reader, car)).transpose()?.map(|car| car.vehicle);
    Ok(vehicle.is_none_or(|vehicle| vehicle.make.is_none()))
}

fn is_heading(known: &Known<'_>, heading: &str) -> bool {
    known.typed.get::<String>("heading").is_some_and(|typed| typed.trim() == heading)
}

/// Whether the money settles what is owed.
fn is_settling(known: &Known<'_>) -> bool {
    is_heading(known, "balance") || is_heading(known, "vat")
}

fn has_passed(known: &Known<'_>) -> bool {
    known.typed.get::<TestResult>("result") == Some(&TestResult::Pass)
}

fn takes_a_deposit(known: &Known<'_>) -> bool {
    !known.typed.has("give_back") && !known.typed.has("keep")
}

fn is_kept(known: &Known<'_>) -> bool {
    known.typed.get::<Outcome>("how") == Some(&Outcome::Kept)
}

fn is_destroyed(known: &Known<'_>) -> bool {
    matches!(known.typed.get::<Outcome>("how"), Some(Outcome::Scrapped | Outcome::Broken))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::Cli;
    use clap::{Command, CommandFactory};

    fn command(name: &str) -> Command {
        Cli::command().find_subcommand(name).unwrap().clone()
    }

    #[test]
    fn every_question_is_for_a_part_its_command_has() {
        for (name, table) in TABLES {
            let command = command(name);
            for ask in *table {
                let is_argument = command.get_arguments().any(|argument| argument.get_id() == ask.id);
                let is_several = ask.takes.is_about() || ask.takes == Takes::Tax;
                assert!(is_argument || is_several, "{name} has no {}", ask.id);
                assert!(!ask.words.ends_with([':', '?', ' ']) && ask.words.len() < 50, "{}", ask.words);
            }
        }
    }

    #[test]
    fn every_word_that_must_be_there_is_asked_for() {
        for (name, table) in TABLES {
            for word in command(name).get_positionals().filter(|word| word.is_required_set()) {
                let asked = table.iter().any(|ask| word.get_id() == ask.id && ask.need == Need::Needed);
                assert!(asked, "{name} does not ask for {}", word.get_id());
            }
        }
    }

    #[test]
    fn the_help_of_exactly_these_commands_says_that_they_ask() {
        let says_so = |command: &&Command| {
            command
                .get_after_help()
                .is_some_and(|help| help.to_string().contains("On a terminal it asks for what is left"))
        };
        let mut says: Vec<String> =
            Cli::command().get_subcommands().filter(says_so).map(|command| command.get_name().to_owned()).collect();
        let mut asks: Vec<&str> = TABLES.iter().map(|(name, _)| *name).collect();
        says.sort();
        asks.sort_unstable();
        assert_eq!(says, asks);
    }
}

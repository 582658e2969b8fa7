//! `forget`: a person's name and address taken out of the book for good, once no rule needs them.
//!
//! It is one entry like any other until it is kept; then the file is made anew and the files of
//! receipts go, which nothing can bring back.

use crate::cli::Trying;
use crate::commands::steps::act::Records;
use crate::commands::steps::context::{Context, settings_of};
use crate::commands::steps::lookup;
use crate::commands::steps::recording::{ReadBack, record};
use crate::domain::book::blanking::{Blanking, is_same_name};
use crate::domain::book::claims::{deposit_held, depositor, owed_by_buyer, owed_to_seller, refund_owed};
use crate::domain::book::facts::Car;
use crate::domain::book::order::owed_for_bills;
use crate::domain::book::stay::Left;
use crate::domain::days::day::{LAST_DAY, day_after, long};
use crate::domain::law::registration::Registration;
use crate::domain::law::retention::{Kept, Stock, kept};
use crate::domain::refusal::Refusal;
use crate::domain::refusal::forget_refusal::ForgetRefusal;
use crate::domain::value::car_ref::StockNo;
use crate::domain::value::pence::Pence;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::Purpose;
use crate::error::Error;
use crate::report::Report;
use crate::report::keep::forgotten::{ForgottenReport, MentionRow, ReceiptLine};
use crate::store::{Book, BookError, Mention, NamedFact, Reader, ReceiptRow, Recording};
use chrono::NaiveDate;
use clap::Args;
use std::collections::{BTreeMap, BTreeSet};

/// Take a person's name and address out of the book for good, once no rule needs them any more.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  runabout forget \"R Ashdown\" --dry-run\n  \
runabout forget \"R Ashdown\" --notes --receipts\n\n\
VAT records are kept 6 years, self-employment records 5 years after the 31 January that follows the\n\
tax year, a car's own record while it is in stock. `forget` is the one entry that cannot be undone.")]
pub struct ForgetArgs {
    /// The name, whole, as it stands in the book; capitals do not count
    #[arg(value_name = "NAME")]
    pub name: Wording,
    /// Take it out of notes and other free text too, which are only listed otherwise
    #[arg(long)]
    pub notes: bool,
    /// Remove the receipts of the entries that name the person, which are only listed otherwise
    #[arg(long)]
    pub receipts: bool,
    #[command(flatten)]
    #[allow(missing_docs)]
    pub trying: Trying,
}

/// What a recording of a forgetting found.
#[derive(Default)]
struct Found {
    mentions: Vec<Mention>,
    receipts: Vec<ReceiptRow>,
}

impl Records for ForgetArgs {
    fn record(&self, book: &mut Book, context: &Context) -> Result<Report, Error> {
        let dry_run = self.trying.dry_run;
        let mut found = Found::default();
        let recorded = record(book, context, "forget", dry_run, |recording| {
            let (said, seen) = forget(self, recording, context)?;
            found = seen;
            Ok(said)
        });
        // What an earlier forgetting left to be done, when it was stopped, is done with this one.
        let removed = if dry_run { Ok(Vec::new()) } else { book.remove_forgotten_receipts() };
        let recorded = match recorded {
            Err(error @ Error::Refused(Refusal::Forget(ForgetRefusal::NobodyNamed { .. }))) if !dry_run => {
                if let Some((path, source)) = removed?.into_iter().next() {
                    return Err(BookError::CannotOpen { path, source }.into());
                }
                book.rebuild()?;
                return Err(error);
            }
            recorded => recorded?,
        };
        if let Some(entry) = recorded.kept_entry() {
            let not_rebuilt = |source| Error::NotRebuilt { entry, source };
            book.rebuild().map_err(not_rebuilt)?;
            if let Some((path, source)) = removed.map_err(not_rebuilt)?.into_iter().next() {
                return Err(Error::NotRemoved { entry, path, source });
            }
        }
        let mention = |mention: Mention| MentionRow { entry: mention.entry, what: mention.what, text: mention.text };
        let receipt = |receipt: ReceiptRow| ReceiptLine { entry: receipt.of_entry, file_name: receipt.file_name };
        Ok(ForgottenReport {
            recorded,
            mentions: found.mentions.into_iter().map(mention).collect(),
            mentions_changed: self.notes,
            receipts: found.receipts.into_iter().map(receipt).collect(),
            receipts_removed: self.receipts,
        }
        .into())
    }
}

fn forget(args: &ForgetArgs, recording: &Recording<'_>, context: &Context) -> Result<(ReadBack, Found), Error> {
    let reader = recording.read();
    let (his, others): (Vec<String>, Vec<String>) =
        reader.known_names()?.into_iter().partition(|known| is_same_name(known, args.name.as_ref()));
    if his.is_empty() {
        let near = lookup::near_words(args.name.as_ref(), others.iter().map(String::as_str));
        return Err(Refusal::from(ForgetRefusal::NobodyNamed { name: args.name.to_string(), near }).into());
    }
    let facts = reader.facts_naming(&his)?;
    let cars = cars_of(reader, &facts)?;
    check_not_needed(args, reader, context, &his, &facts, &cars)?;

    let becomes = format!("forgotten-{}", recording.entry());
    let also = reader.names_in_the_same_place(&his)?;
    let entries = reader.entries_naming(&his)?;
    let receipts = reader.receipts_of_entries(&entries)?;
    let names = Blanking { words: his.clone(), others, becomes: becomes.clone() };
    // Their address goes with their name where they are known to be meant, and in free text where that is asked.
    let his_words = [his.clone(), reader.addresses_of(&his)?].concat();
    let with_addresses = Blanking { words: his_words, ..names.clone() };
    let mentions = reader.mentions(&with_addresses)?;

    let (rows, told) = recording.rewriting_history(|| -> Result<_, Error> {
        let rows = recording.replace_names(&his, &becomes)?;
        if args.notes {
            recording.replace_in_texts(&with_addresses)?;
        }
        if args.receipts {
            if !args.trying.dry_run {
                recording.list_forgotten_receipts(&receipts)?;
            }
            recording.drop_receipts(&receipts)?;
        }
        let elsewhere = if args.notes { &with_addresses } else { &names };
        let told = recording.replace_in_entries(&entries, &with_addresses, elsewhere)?;
        recording.keep_no_history()?;
        Ok((rows, told))
    })?;

    let rows = rows.into_iter().map(|(table, count)| counted(count, noun(table))).collect::<Vec<_>>();
    let rows = if rows.is_empty() { "what was undone".to_owned() } else { rows.join(", ") };
    let summary = format!("forgot a name, which is '{becomes}' now: {rows}; {} reworded", counted(told, "entry"));
    let mut said = ReadBack::new(summary, cars.keys().copied());
    said.notes.push("backups, exports and copies made before today still hold the name: remove them too".into());
    said.notes.extend(also.into_iter().filter(|other| !other.starts_with("forgotten-")).map(|other| {
        format!("'{other}' once stood in the same place: `runabout forget \"{other}\"` if it was the same person")
    }));
    Ok((said, Found { mentions, receipts }))
}

fn cars_of(reader: Reader<'_>, facts: &[NamedFact]) -> Result<BTreeMap<StockNo, Car>, Error> {
    let numbers: BTreeSet<StockNo> = facts.iter().filter_map(|fact| fact.stock_no).collect();
    numbers.into_iter().map(|number| Ok((number, lookup::whole_car(reader, number)?))).collect()
}

/// Refuses while a rule or an open balance needs the name, and says until when.
fn check_not_needed(
    args: &ForgetArgs,
    reader: Reader<'_>,
    context: &Context,
    his: &[String],
    facts: &[NamedFact],
    cars: &BTreeMap<StockNo, Car>,
) -> Result<(), Error> {
    let today = context.today;
    let registration = settings_of(reader)?.registration;
    let mut why = Vec::new();
    // The longest each record is needed; records of one kind on one car are one.
    let mut needed: BTreeMap<(Option<StockNo>, &str), (NaiveDate, Kept)> = BTreeMap::new();
    for fact in facts {
        let Some(kept) = rule(fact, cars, &registration).filter(|kept| kept.holds_on(today)) else { continue };
        let place = needed.entry((fact.stock_no, noun(fact.table))).or_insert((fact.on, kept));
        if kept.until.is_none() || kept.until > place.1.until {
            *place = (fact.on, kept);
        }
    }
    for ((stock_no, what), (on, kept)) in &needed {
        let car = stock_no.and_then(|number| cars.get(&number));
        let of = car.map_or_else(String::new, |car| format!(" of {}", car.label()));
        let until = kept.until.map_or_else(|| "until it is sold".to_owned(), |until| format!("until {}", long(until)));
        why.push(format!("the {what}{of} of {}, {until} ({})", long(*on), kept.rule));
    }
    let open = open_money(reader, his, cars)?;
    let from = needed.values().map(|(_, kept)| kept.until.map(day_after)).max();
    let from = from.flatten().filter(|_| open.is_empty() && needed.values().all(|(_, kept)| kept.until.is_some()));
    why.extend(open);
    if why.is_empty() {
        return Ok(());
    }
    Err(Refusal::from(ForgetRefusal::StillNeeded { name: args.name.to_string(), why, from }).into())
}

/// How long a fact that names them is kept. An offer is no record of the business's: nothing came of it.
fn rule(fact: &NamedFact, cars: &BTreeMap<StockNo, Car>, registration: &Registration) -> Option<Kept> {
    if fact.table == "offer" {
        return None;
    }
    let stock = match fact.stock_no.and_then(|number| cars.get(&number)) {
        None => Stock::NoCar,
        Some(car) => car.left().map_or(Stock::Unsold, |left: Left<'_>| Stock::Left(left.on())),
    };
    kept(fact.on, stock, registration)
}

/// Money still open with them, which their name is needed for.
fn open_money(reader: Reader<'_>, his: &[String], cars: &BTreeMap<StockNo, Car>) -> Result<Vec<String>, Error> {
    let mut open = Vec::new();
    let mut tell = |amount: Pence, what: String| {
        if !amount.is_zero() {
            open.push(format!("{} {what}", amount.abs()));
        }
    };
    let is_his = |name: Option<&str>| name.is_some_and(|name| his.iter().any(|spelling| spelling == name));
    for car in cars.values() {
        if is_his(car.seller.as_deref()) {
            tell(owed_to_seller(car, LAST_DAY), format!("is open on the purchase of {}", car.label()));
        }
        // What an earlier buyer owed lapsed when the car came back, and a refund is the last one's to bring it.
        if car.sales.last().is_some_and(|sale| is_his(sale.buyer.as_deref())) {
            tell(owed_by_buyer(car, LAST_DAY), format!("is open on the sale of {}", car.label()));
        }
        let brought_back = car.sales.iter().rev().find(|sale| sale.taken_back.is_some());
        if brought_back.is_some_and(|sale| is_his(sale.buyer.as_deref())) {
            tell(refund_owed(car, LAST_DAY), format!("is to be refunded for {}", car.label()));
        }
        if is_his(depositor(car)) {
            tell(deposit_held(car, LAST_DAY), format!("is held as a deposit on {}", car.label()));
        }
    }
    let (mut bills, mut loans) = (Pence::ZERO, Pence::ZERO);
    // The book matches names of bills and loans whatever the capitals.
    let distinct: BTreeSet<String> = his.iter().map(|name| name.to_ascii_lowercase()).collect();
    for name in &distinct {
        bills += owed_for_bills(&reader.bills_of(name)?, &reader.movements_with(Purpose::Bill, name)?);
        loans += reader.movements_with(Purpose::Loan, name)?.iter().map(|movement| movement.amount).sum::<Pence>();
    }
    tell(bills, "is owed for bills".to_owned());
    tell(loans, "of a loan is not paid back".to_owned());
    Ok(open)
}

/// What a row of a table is, in a word.
fn noun(table: &str) -> &'static str {
    match table {
        "car" => "purchase",
        "sale" => "sale",
        "line" => "cost or receipt",
        "movement" => "payment",
        "offer" => "offer",
        _ => "disposal",
    }
}

/// `1 sale`, `2 sales`, `3 costs or receipts`.
fn counted(count: usize, noun: &str) -> String {
    let many = match noun {
        "entry" => "entries".to_owned(),
        "cost or receipt" => "costs or receipts".to_owned(),
        noun => format!("{noun}s"),
    };
    format!("{count} {}", if count == 1 { noun } else { &many })
}

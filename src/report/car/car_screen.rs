//! How `car` reads: how the car stands, the lines behind it, what it made, what is known of it.

use crate::domain::days::day::long;
use crate::domain::figures::yard::Flag;
use crate::domain::value::target::Miles;
use crate::report::car::car::{CarReport, Made, Test};
use crate::report::car::car_facts::offer_caution;
use crate::report::car::car_lines::{self, Totals};
use crate::report::cell::{Cell, MoneyText, two_decimals};
use crate::report::document::Document;
use crate::report::phrase;

impl CarReport {
    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(headline(self));
        if let Some(watch) = to_watch(self) {
            document.sentence(watch);
        }
        let totals = Totals {
            stands_in: self.facts.stands_in.0,
            paid_ahead: self.paid_ahead.0,
            after_sale_costs: self.made.after_sale_costs.map(|costs| costs.0),
            on_leaving: self.deals.cost_on_leaving(),
        };
        document.table(car_lines::table(&self.lines, &totals));
        if self.made.sold_on.is_some() {
            document.heading("What it made").facts(what_it_made(self));
        }
        let on_leaving = self.deals.on_leaving(self.facts.stands_in);
        named(&mut document, "What leaving it came to", on_leaving);
        named(&mut document, "Offers", self.deals.offers());
        named(&mut document, "Sold and taken back", self.deals.past_sales());
        let the_car = the_car(self);
        if !the_car.is_empty() {
            document.heading("The car").facts(the_car);
        }
        if !self.mot_tests.is_empty() {
            document
                .heading("MOT tests")
                .facts(self.mot_tests.iter().map(|test| (long(test.on.0), Cell::text(tested(test)))));
        }
        named(&mut document, "Checks before sale", checks(self));
        if !self.notes.is_empty() {
            document.heading("Notes").facts(self.notes.iter().map(|note| (long(note.on.0), Cell::text(&*note.text))));
        }
        named(&mut document, "Receipts", self.deals.receipts());
        document.sentence(next_step(self));
        if let Some(caution) = offer_caution([&self.facts]) {
            document.note(caution);
        }
        document
    }
}

/// Facts under their name, where there are any.
fn named<L: Into<String>>(document: &mut Document, name: &str, facts: Vec<(L, Cell)>) {
    if !facts.is_empty() {
        document.heading(name).facts(facts);
    }
}

fn headline(report: &CarReport) -> String {
    let facts = &report.facts;
    let mark = facts.mark.as_deref().unwrap_or("(no plates)");
    let description = facts.description.as_ref().map(|text| format!(", {text}")).unwrap_or_default();
    let name = format!("{} {mark}{description}", facts.stock_no);
    let Some(days) = facts.days_in_stock else {
        return format!("{name}: not in stock yet on {}.", long(report.stamp.day()));
    };
    let days = phrase::days(days);
    match report.made {
        Made { sold_on: Some(on), selling_price: Some(price), profit: Some(profit), return_pct, .. } => {
            let percent = return_pct.map(|percent| format!(" ({} %)", two_decimals(percent.0))).unwrap_or_default();
            let making = phrase::making(profit.0);
            format!("{name}: sold {} for {}, {making}{percent} in {days}.", long(on.0), price.0)
        }
        _ => match report.deals.loss().zip(report.deals.left_on()) {
            Some((loss, on)) => {
                format!("{name}: {} {}, {} after {days}.", report.status, long(on.0), phrase::making(-loss.0))
            }
            None => format!("{name}: {days} in stock, stands you in at {}.", facts.stands_in.0),
        },
    }
}

fn to_watch(report: &CarReport) -> Option<String> {
    let left = report.facts.mot_days_left.unwrap_or_default();
    let words = report.facts.flags.iter().map(|flag| match flag.0 {
        Flag::DangerousDefect => "a dangerous defect: not to be driven".to_owned(),
        Flag::MajorDefect => "a major defect".to_owned(),
        Flag::NoMot => "failed its MOT".to_owned(),
        Flag::MotUnknown => "no MOT known".to_owned(),
        Flag::MotLapsed => format!("MOT lapsed {} ago", phrase::days(-left)),
        Flag::MotSoon => format!("MOT runs out in {}", phrase::days(left)),
        Flag::BelowMinimumMot => "less MOT than you want a car to have".to_owned(),
        Flag::Untaxed => "not taxed by you".to_owned(),
        Flag::Over(days) => format!("over {days} days in stock"),
        Flag::NoAskingPrice => "no asking price".to_owned(),
        Flag::Deposit => "a deposit is held".to_owned(),
    });
    let words = words.collect::<Vec<_>>().join(", ");
    (!words.is_empty()).then(|| format!("To watch: {words}."))
}

/// The sale step by step, signed so that the eye can add it up, then the measures of it.
fn what_it_made(report: &CarReport) -> Vec<(&'static str, Cell)> {
    let made = &report.made;
    let mut facts =
        vec![("Selling price", made.selling_price.into()), ("Stood in at", (-report.facts.stands_in.0).into())];
    facts.extend(taken_off("VAT on the sale", made.vat_on_sale));
    facts.push(("Profit", made.profit.into()));
    if let Some(since) = taken_off("Since the sale", made.after_sale_costs) {
        facts.extend([since, ("Profit to date", made.profit_to_date.into())]);
    }
    facts.extend([
        ("Return", Cell::percent(made.return_pct.map(Into::into))),
        ("Multiple", Cell::number(made.multiple.map(Into::into))),
        ("Profit a day", made.profit_per_day.into()),
        ("Profit per £100 for 30 days", made.profit_per_100_per_30_days.into()),
        ("Profit at usual prices", made.profit_at_usual_prices.into()),
    ]);
    if let Some(per_hour) = report.profit_per_hour {
        facts.extend([("Own hours", Cell::number(report.hours.0)), ("Profit an hour", per_hour.into())]);
    }
    facts.push((
        "Annual return",
        phrase::percent_or_reason(made.annual_return_pct, made.annual_return_reason.as_deref()),
    ));
    facts
}

/// `pass, until 5 Dec 2027, 84,200 miles; advisory: tyre near limit`.
fn tested(test: &Test) -> String {
    let until = test.until.map(|until| format!(", until {}", long(until.0))).unwrap_or_default();
    let miles = test.miles.map(|miles| format!(", {}", Miles(miles))).unwrap_or_default();
    let defects: String = test.defects.iter().map(|found| format!("; {}: {}", found.level, found.text)).collect();
    format!("{}{until}{miles}{defects}", test.result)
}

/// The whole pre-sale list: what is known of each item, and in one line those nothing is known of. Of a car
/// that left without a sale nobody asks for it, unless it was begun.
fn checks(report: &CarReport) -> Vec<(&'static str, Cell)> {
    let known = report.checks.iter().filter_map(|check| {
        let note = check.note.as_ref().map(|note| format!(": {note}")).unwrap_or_default();
        Some((check.item, Cell::text(format!("{} on {}{note}", check.state_in_words, long(check.on?.0)))))
    });
    let known: Vec<(&str, Cell)> = known.collect();
    if report.facts.days_in_stock.is_none() || (known.is_empty() && !matches!(report.status, "in-stock" | "sold")) {
        return Vec::new();
    }
    let open: Vec<&str> = report.checks.iter().filter(|check| check.on.is_none()).map(|check| check.item).collect();
    let label = if report.status == "in-stock" { "not done yet" } else { "not done" };
    let open = (!open.is_empty()).then(|| (label, Cell::text(open.join(", "))));
    known.into_iter().chain(open).collect()
}

fn taken_off(label: &'static str, amount: Option<MoneyText>) -> Option<(&'static str, Cell)> {
    amount.filter(|amount| !amount.0.is_zero()).map(|amount| (label, (-amount.0).into()))
}

/// Only what is known.
fn the_car(report: &CarReport) -> Vec<(&'static str, Cell)> {
    let (facts, vehicle) = (&report.facts, &report.vehicle);
    let owed = |amount: MoneyText| (!amount.0.is_zero()).then(|| Cell::text(amount.0.to_string()));
    let bought_from = vehicle.bought_from.as_ref().map_or_else(String::new, |seller| format!(" from {seller}"));
    let bought =
        facts.days_in_stock.map(|_| Cell::text(format!("{}{bought_from} ({})", long(facts.bought_on.0), vehicle.via)));
    let mileage = facts.mileage.zip(vehicle.mileage_on);
    let old_mark = vehicle.mark_at_purchase.as_ref().filter(|old| Some(*old) != facts.mark.as_ref());
    let open_hours = report.made.sold_on.is_none().then_some(report.hours).filter(|hours| !hours.0.is_zero());
    [
        ("Bought", bought),
        ("Still owed for it", owed(report.owed_to_seller)),
        ("Sold to", report.made.sold_to.as_deref().map(Cell::text)),
        ("Buyer still owes", owed(report.owed_by_buyer)),
        ("Asking price", facts.asking_price.map(|price| Cell::text(price.0.to_string()))),
        ("Lowest price", facts.lowest_price.map(|price| Cell::text(price.0.to_string()))),
        ("MOT until", facts.mot_until.map(Cell::from)),
        ("Mileage", mileage.map(|(miles, on)| Cell::text(format!("{} on {}", Miles(miles), long(on.0))))),
        ("Mark when bought", old_mark.map(|mark| Cell::text(&**mark))),
        ("VIN", vehicle.vin.as_deref().map(Cell::text)),
        ("First registered", vehicle.first_registered.map(Cell::from)),
        ("Fuel", vehicle.fuel.as_deref().map(Cell::text)),
        ("Kind", Some(vehicle.kind).filter(|kind| *kind != "car").map(Cell::text)),
        ("Keys", vehicle.keys.map(|keys| Cell::text(keys.to_string()))),
        ("Own hours", open_hours.map(|hours| Cell::text(two_decimals(hours.0)))),
    ]
    .into_iter()
    .filter_map(|(label, cell)| Some((label, cell?)))
    .chain(report.deals.known(facts.deposit_held))
    .collect()
}

fn next_step(report: &CarReport) -> String {
    let stock_no = report.facts.stock_no;
    format!("`runabout log {stock_no}` tells its whole history.")
}

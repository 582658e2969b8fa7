//! What the papers of a deal say in sentences. An invoice takes away no right of the buyer's and warrants
//! nothing the book does not hold; one for a buyer in the trade says nothing of a consumer's rights.

use crate::domain::book::facts::{Car, Sale, TakeBack};
use crate::domain::days::day::long;
use crate::domain::law::buyer_rights::{cancellation_ends, presumption_ends, refund_ends, rejection_ends};
use crate::domain::law::mot::DefectLevel;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::Via;
use crate::report::paper::invoice::{InvoiceReport, PaperKind};
use crate::report::paper::invoice_parts::{Mot, Party, Term};
use crate::report::paper::invoice_source::{Mileage, Source};
use crate::report::phrase::capitalised;

/// Stands under every paper.
const CAUTION: &str = "A record, not advice: check what an invoice must say with HMRC guidance or an accountant.";

impl InvoiceReport {
    /// `Invoice S12`, `Credit note C3`, `Purchase record`.
    pub fn title(&self) -> String {
        let kind = match self.kind {
            PaperKind::SalesInvoice if self.vat.is_some() => "VAT invoice",
            PaperKind::SalesInvoice => "Invoice",
            PaperKind::CreditNote => "Credit note",
            PaperKind::PurchaseRecord => "Purchase record",
        };
        let number = self.number.as_ref().map(|number| format!(" {number}")).unwrap_or_default();
        format!("{kind}{number}")
    }

    /// What the amount at the head of the account is.
    pub const fn price_label(&self) -> &'static str {
        match self.kind {
            PaperKind::SalesInvoice | PaperKind::PurchaseRecord => "Price in full",
            PaperKind::CreditNote => "Price credited in full",
        }
    }

    /// What the amount at its foot is; a credit note has none, since its account is closed.
    pub fn balance_label(&self) -> Option<&'static str> {
        match self.kind {
            PaperKind::SalesInvoice => Some("Balance due"),
            PaperKind::CreditNote => None,
            PaperKind::PurchaseRecord => (!self.balance_due.0.is_zero()).then_some("Still to be paid to the seller"),
        }
    }

    /// That the sale was reversed, or which invoice this is about.
    pub fn standing(&self) -> Option<String> {
        match (&self.reversed_by, &self.refers_to, self.kind) {
            (Some(note), ..) => Some(format!(
                "Reversed: the {} came back on {}. Credit note {}.",
                self.car.vehicle,
                long(note.on.0),
                note.number
            )),
            (None, Some(invoice), PaperKind::CreditNote) => {
                Some(format!("For invoice {} of {}, which it reverses.", invoice.number, long(invoice.on.0)))
            }
            (None, Some(invoice), _) => {
                Some(format!("Taken in as part payment: see invoice {} of {}.", invoice.number, long(invoice.on.0)))
            }
            (None, None, _) => None,
        }
    }

    pub(crate) fn terms_of_sale(&self, sale: &Sale) -> Vec<Term> {
        let mut terms = vec![
            Term { heading: "Mileage", text: mileage(self.mileage.as_ref(), self.car.vehicle) },
            Term { heading: "MOT", text: self.mot.as_ref().map(|mot| mot_words(mot, self.on.0)).unwrap_or_default() },
        ];
        if sale.to_trade {
            terms.push(Term { heading: "Buyer", text: "Sold to a buyer in the motor trade.".into() });
        } else {
            terms.push(Term { heading: "Your rights", text: rights(sale, self.car.vehicle) });
        }
        if sale.distance && !sale.to_trade {
            terms.push(Term { heading: "Your right to cancel", text: cancellation(sale, self.car.vehicle) });
        }
        terms
    }

    pub(crate) fn terms_of_take_back(&self, back: &TakeBack, to_pay: Pence) -> Vec<Term> {
        let mut terms = Vec::new();
        if let Some(reason) = &back.reason {
            terms.push(Term { heading: "Why it came back", text: reason.clone() });
        }
        if to_pay.is_positive() {
            let law = if self.to_trade { "" } else { " (Consumer Rights Act 2015 s.20)" };
            let by = long(refund_ends(back.on));
            terms.push(Term { heading: "Refund", text: format!("{to_pay} is still to be paid, by {by}{law}.") });
        }
        if !self.to_trade {
            let text = "Nothing on this note takes away a right you have by law.".into();
            terms.push(Term { heading: "Your rights", text });
        }
        terms
    }

    pub(crate) fn terms_of_purchase(&self) -> Vec<Term> {
        let known = self.mot.as_ref().and_then(|mot| mot.until);
        let mot = known.map_or_else(|| "No MOT is recorded.".into(), |until| format!("Until {}.", long(until.0)));
        vec![Term { heading: "MOT", text: mot }]
    }

    /// What a private seller signs to: that they may sell, what is owed on the car, what its odometer
    /// reads. Source: written purchase record signed by the seller with the mileage, Car traders and
    /// consumer law, Business Companion; that they certify that they are the seller at that price, The Second
    /// Hand Car Margin Scheme, Lawgistics. In our own words.
    pub(crate) fn declaration_of(&self, car: &Car) -> Vec<String> {
        let owed = if car.finance.is_zero() {
            "Nothing is owed on it: no hire purchase, loan or other finance is outstanding.".to_owned()
        } else {
            format!(
                "{} of finance is outstanding on it, which the buyer pays off out of the price. Nothing else is owed on it.",
                car.finance
            )
        };
        let reading = self.mileage.map(|mileage| format!("{} miles", grouped(mileage.miles)));
        vec![
            format!("I sell this {} to the buyer named above for {}.", self.car.vehicle, self.price.0),
            "I am its owner, or I am entitled to sell it.".into(),
            owed,
            format!(
                "Its odometer reads {}. As far as I know that is the distance it has travelled:",
                reading.as_deref().unwrap_or("________________ miles")
            ),
        ]
    }

    pub(crate) fn notes_on_sale(&self, source: &Source<'_>, sale_entry: i64) -> Vec<String> {
        let mut notes = missing(source);
        for (field, known, what) in [("to", &self.buyer.name, "name"), ("address", &self.buyer.address, "address")] {
            if known.is_none() {
                notes.push(format!(
                    "the buyer's {what} is a line to fill in: `runabout amend {sale_entry} {field} TEXT` adds it"
                ));
            }
        }
        if self.to_trade && !source.taken_in.is_empty() {
            // VATMARG13350: the sales invoice will do only for a seller who is not registered.
            notes.push(
                "a car taken in from a trader registered for VAT needs that trader's own invoice (HMRC, VATMARG13350)"
                    .into(),
            );
        }
        notes.extend(undone(source));
        notes.push(CAUTION.into());
        notes
    }

    pub(crate) fn notes_on_purchase(&self, source: &Source<'_>) -> Vec<String> {
        let car = source.car;
        let mut notes = missing(source);
        if self.seller.name.is_none() && car.via != Via::Own {
            notes.push(format!(
                "the seller's name is a line to fill in: `runabout amend {} from NAME` adds it",
                car.entry
            ));
        }
        notes.push("the book holds no address of a seller: write it on the line, and have the record signed".into());
        let not_for = match car.via {
            _ if car.vat_invoice => {
                Some("it was bought on an invoice showing VAT, and that invoice is the record to keep")
            }
            Via::Auction => Some("it came from an auction, whose own invoice is the record to keep"),
            Via::Trade => {
                Some("it came from a trader: one registered for VAT gives an invoice, and that is the record to keep")
            }
            Via::Own => Some("it was your own, so nobody else has to sign"),
            Via::Private | Via::PartExchange => None,
        };
        notes.extend(not_for.map(str::to_owned));
        notes.push(CAUTION.into());
        notes
    }
}

impl Party {
    /// What the paper says of it, line by line; none is a line to fill in.
    pub fn lines(&self) -> Vec<(&'static str, Option<&str>)> {
        let mut lines = vec![("Name", self.name.as_deref()), ("Address", self.address.as_deref())];
        if self.is_trader {
            lines.push(("Telephone", self.phone.as_deref()));
        }
        if self.registered {
            lines.push(("VAT number", self.vat_number.as_deref()));
        }
        lines
    }
}

fn missing(source: &Source<'_>) -> Vec<String> {
    let keys = source.trader.missing(source.registered).into_iter();
    keys.map(|key| format!("{key} is a line to fill in: `runabout settings set {key} TEXT` adds it")).collect()
}

fn undone(source: &Source<'_>) -> Option<String> {
    let said: Vec<String> = source.undone.iter().map(ToString::to_string).collect();
    (!said.is_empty()).then(|| format!("{}; the number is never given to another", said.join(", ")))
}

/// The reading and what it is worth, in one breath: a disclaimer has to be as plain as the figure it
/// qualifies (OFT1241, as quoted in Accurate descriptions, nibusinessinfo).
fn mileage(mileage: Option<&Mileage>, vehicle: &str) -> String {
    let Some(mileage) = mileage else { return "No odometer reading is recorded.".into() };
    let checked = mileage
        .checked_on
        .map(|on| format!(" It was compared with the {vehicle}'s history on {}.", long(on.0)))
        .unwrap_or_default();
    format!(
        "{} miles is what the odometer read on {}, as recorded by the seller, who does not warrant that it is the \
         distance the {vehicle} has travelled.{checked}",
        grouped(mileage.miles),
        long(mileage.on.0)
    )
}

/// How long the MOT runs and everything the last test found, the gravest first.
fn mot_words(mot: &Mot, on: chrono::NaiveDate) -> String {
    let mut said = match mot.until {
        Some(until) if until.0 >= on => format!("Until {}.", long(until.0)),
        Some(until) => format!("The last MOT ran out on {}; sold without one.", long(until.0)),
        None => "No MOT is recorded.".into(),
    };
    let (Some(tested), Some(passed)) = (mot.tested_on, mot.passed) else { return said };
    let result = if passed { "passed" } else { "failed" };
    said += &format!(" Last test {}: {result}", long(tested.0));
    if mot.defects.is_empty() {
        return said + ", no advisories recorded.";
    }
    for level in DefectLevel::WORDS {
        let found: Vec<&str> =
            mot.defects.iter().filter(|defect| defect.level == *level).map(|defect| defect.text.as_str()).collect();
        if !found.is_empty() {
            said += &format!(". {}: {}", capitalised(level), found.join("; "));
        }
    }
    said + "."
}

/// What a member of the public may do about a faulty car. Consumer Rights Act 2015 ss.9–11, 19, 20, 22
/// to 24 and 31.
fn rights(sale: &Sale, vehicle: &str) -> String {
    // Sold at a distance without a day of delivery, the clock has no day to begin on yet.
    let begun = !sale.distance || sale.delivered_on.is_some();
    let delivered = sale.delivered_on.unwrap_or(sale.on);
    let until = if begun {
        format!(", that is until {}", long(rejection_ends(sale.on, sale.delivered_on)))
    } else {
        ", beginning the day after it reaches you".into()
    };
    let presumed =
        if begun { format!("up to {}", long(presumption_ends(delivered))) } else { "within six months".into() };
    format!(
        "Nothing on this invoice takes away a right you have by law. Under the Consumer Rights Act 2015 the {vehicle} must be \
         of satisfactory quality for its age, mileage and price, fit for its purpose and as described. If it is not, you \
         may give it back for a full refund within 30 days{until}, and later than that by as long as a repair you asked \
         for takes. After that you may have it repaired or replaced, and if that fails, money off or your money back \
         less something for use. A fault that shows {presumed} counts as there from the start unless the seller proves \
         otherwise."
    )
}

/// Consumer Contracts (Information, Cancellation and Additional Charges) Regulations 2013 regs 29 to 31.
fn cancellation(sale: &Sale, vehicle: &str) -> String {
    let until = sale.delivered_on.map_or_else(
        || format!("for 14 days after the day the {vehicle} reaches you"),
        |delivered| format!("until {}, 14 days after the {vehicle} reached you", long(cancellation_ends(delivered))),
    );
    format!(
        "You bought without meeting the seller, so you may cancel without giving a reason {until} (Consumer Contracts \
         Regulations 2013)."
    )
}

/// `82,120`.
pub fn grouped(whole: u32) -> String {
    let digits = whole.to_string();
    let mut grouped = String::new();
    for (n, digit) in digits.chars().enumerate() {
        if n > 0 && (digits.len() - n).is_multiple_of(3) {
            grouped.push(',');
        }
        grouped.push(digit);
    }
    grouped
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::cell::IsoDay;
    use crate::report::paper::invoice_parts::DefectRow;

    fn day(text: &str) -> chrono::NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn thousands_are_grouped() {
        for (whole, shown) in [(0, "0"), (999, "999"), (1_000, "1,000"), (82_120, "82,120"), (1_234_567, "1,234,567")] {
            assert_eq!(grouped(whole), shown);
        }
    }

    #[test]
    fn an_mot_is_good_on_its_last_day_and_the_day_after_is_without() {
        let mot = Mot { until: Some(IsoDay(day("2026-11-21"))), ..Mot::default() };
        assert_eq!(mot_words(&mot, day("2026-11-21")), "Until 21 Nov 2026.");
        assert_eq!(mot_words(&mot, day("2026-11-22")), "The last MOT ran out on 21 Nov 2026; sold without one.");
        assert_eq!(mot_words(&Mot::default(), day("2026-11-22")), "No MOT is recorded.");
    }

    #[test]
    fn everything_the_test_found_is_told_the_gravest_first() {
        let row = |level, text: &str| DefectRow { level, text: text.into() };
        let mut defects = vec![row("advisory", "tyre near limit"), row("minor", "number plate lamp")];
        defects.extend((0..20).map(|n| row("advisory", &format!("item {n} {}", "x".repeat(200)))));
        defects.extend([row("dangerous", "brake pipe"), row("major", "track rod"), row("major", "spring")]);
        let tested = Mot {
            tested_on: Some(IsoDay(day("2026-11-01"))),
            passed: Some(false),
            defects: defects.clone(),
            ..Mot::default()
        };
        let said = mot_words(&tested, day("2026-11-22"));
        assert!(
            said.starts_with(
                "No MOT is recorded. Last test 1 Nov 2026: failed. Dangerous: brake pipe. Major: track rod; spring. \
                 Minor: number plate lamp. Advisory: tyre near limit; item 0 xxx"
            ),
            "{said}"
        );
        assert!(defects.iter().all(|defect| said.contains(&defect.text)), "{said}");
        let clean = Mot { passed: Some(true), defects: Vec::new(), ..tested };
        let said = mot_words(&clean, day("2026-11-22"));
        assert!(said.ends_with(" Last test 1 Nov 2026: passed, no advisories recorded."), "{said}");
    }
}

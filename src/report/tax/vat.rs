//! `vat`: the nine boxes of a period's return, the cars and lines behind them, and the VAT account.

use crate::domain::book::facts::Car;
use crate::domain::days::day::long;
use crate::domain::days::vat_quarter::return_due_day;
use crate::domain::law::rate_table::VAT_STANDARD_RATE;
use crate::domain::law::registration::Registration;
use crate::domain::tax::vat_return::{Behind, OwedTo, VatAccount, VatItem, VatReturn};
use crate::domain::value::car_ref::StockNo;
use crate::report::cell::{Cell, IsoDay, MoneyText};
use crate::report::document::{Column, Document, Table};
use crate::report::phrase;
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;
use std::collections::BTreeMap;

/// What each box is, in its order.
const BOX_NAMES: [&str; 9] = [
    "VAT due on sales",
    "VAT due on goods brought into Northern Ireland from the EU",
    "VAT due in all: 1 + 2",
    "VAT to reclaim on purchases",
    "VAT to pay or to reclaim: the difference between 3 and 4",
    "Sales without VAT, whole pounds",
    "Purchases without VAT, whole pounds",
    "Goods sent from Northern Ireland to the EU",
    "Goods brought into Northern Ireland from the EU",
];

/// The return of a period.
#[derive(Clone, Debug, Serialize)]
pub struct VatReport {
    #[serde(flatten)]
    stamp: Stamp,
    from: IsoDay,
    to: IsoDay,
    /// Whether the period is over.
    complete: bool,
    registered: bool,
    return_due_on: Option<IsoDay>,
    boxes: Option<BTreeMap<u8, MoneyText>>,
    /// `hmrc` or `trader`: whom box 5, which is never negative, is owed to.
    box_5_owed_to: Option<&'static str>,
    #[serde(skip)]
    owed_to: Option<OwedTo>,
    cars: Vec<CarRow>,
    other_sales: Vec<ItemRow>,
    purchases: Vec<ItemRow>,
    sales_without_vat: MoneyText,
    costs_without_vat: MoneyText,
    account: AccountRow,
    /// What people are told beside it.
    notes: Vec<String>,
    #[serde(skip)]
    registration: Registration,
}

/// A car sold under the margin scheme.
#[derive(Clone, Debug, Serialize)]
struct CarRow {
    stock_no: u32,
    mark: Option<String>,
    sold_on: IsoDay,
    purchase_price: MoneyText,
    selling_price: MoneyText,
    margin: MoneyText,
    vat: MoneyText,
    /// In box 6.
    net: MoneyText,
}

/// Anything else behind a box.
#[derive(Clone, Debug, Serialize)]
struct ItemRow {
    kind: &'static str,
    on: IsoDay,
    entry: i64,
    stock_no: Option<u32>,
    mark: Option<String>,
    what: Option<String>,
    amount: MoneyText,
    vat: MoneyText,
    net: MoneyText,
    #[serde(skip)]
    in_words: String,
}

#[derive(Clone, Copy, Debug, Serialize)]
struct AccountRow {
    owed_at_start: MoneyText,
    due: MoneyText,
    paid: MoneyText,
    repaid: MoneyText,
    owed_at_end: MoneyText,
}

impl VatReport {
    /// Lays out a return; `whole_quarter` when it is of one VAT quarter exactly.
    pub fn new(as_of: NaiveDate, found: &VatReturn<'_>, registration: Registration, whole_quarter: bool) -> Self {
        let last_day = registration.until.map_or(found.asked.to(), |until| until.min(found.asked.to()));
        let due_on = (whole_quarter && found.boxes.is_some()).then(|| IsoDay(return_due_day(last_day)));
        Self {
            stamp: Stamp::new("vat", as_of),
            from: IsoDay(found.asked.from()),
            to: IsoDay(found.asked.to()),
            complete: found.asked.to() <= as_of,
            registered: found.boxes.is_some(),
            return_due_on: due_on,
            boxes: found.boxes.map(|boxes| boxes.numbered().map(|(n, figure)| (n, MoneyText(figure))).collect()),
            box_5_owed_to: found.boxes.and_then(|boxes| boxes.owed_to()).map(OwedTo::word),
            owed_to: found.boxes.and_then(|boxes| boxes.owed_to()),
            cars: found.sales.iter().filter_map(CarRow::new).collect(),
            other_sales: found
                .sales
                .iter()
                .filter(|item| item.behind != Behind::MarginSale)
                .map(ItemRow::from)
                .collect(),
            purchases: found.purchases.iter().map(ItemRow::from).collect(),
            sales_without_vat: MoneyText(found.sales_without_vat()),
            costs_without_vat: MoneyText(found.costs_without_vat),
            account: AccountRow::from(&found.account),
            notes: notes(found, &registration),
            registration,
        }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(self.headline());
        if let Some(due_on) = self.return_due_on {
            document.sentence(format!("The return and its payment are due by {}.", long(due_on.0)));
        }
        document.table(self.boxes_table());
        for (heading, table) in [
            ("Cars sold under the margin scheme", self.cars_table()),
            ("Other sales", items_table("other-sales", &self.other_sales)),
            ("Cars bought, and costs that show VAT", items_table("purchases", &self.purchases)),
        ] {
            if !table.rows.is_empty() {
                document.heading(heading);
            }
            document.table(table);
        }
        if self.registered || !self.account.is_nil() {
            document.heading("VAT account").facts(self.account.facts());
        }
        document.sentence(if self.registered {
            "`runabout car CAR` shows a car line by line; `runabout spend AMOUNT vat` records a payment to HMRC."
        } else {
            "`runabout vat --watch` shows how near the registration threshold is."
        });
        for note in &self.notes {
            document.note(note.as_str());
        }
        document
    }

    fn span(&self) -> String {
        format!("{} to {}", long(self.from.0), long(self.to.0))
    }

    fn headline(&self) -> String {
        let Some(to_pay) = self.boxes.as_ref().and_then(|boxes| boxes.get(&5)) else {
            let when = match (self.registration.from, self.registration.until) {
                (Some(from), _) if from > self.to.0 || from > self.stamp.day() => {
                    format!("; you are from {}", long(from))
                }
                (Some(_), Some(until)) => format!("; you were until {}", long(until)),
                _ => String::new(),
            };
            return format!("You were not registered for VAT on any day of {}{when}: there is no return.", self.span());
        };
        let so_far = if self.complete { "" } else { " so far" };
        let amount = to_pay.0;
        let verdict = match self.owed_to {
            Some(OwedTo::Hmrc) => format!("{amount} of VAT to pay{so_far}"),
            Some(OwedTo::Trader) => format!("{amount} of VAT to reclaim{so_far}"),
            None => format!("no VAT to pay or reclaim{so_far}"),
        };
        format!("{}: {verdict}.", self.span())
    }

    fn boxes_table(&self) -> Table {
        let columns = vec![Column::new("box", "Box"), Column::new("what", "What"), Column::new("amount", "Amount")];
        let mut table = Table::new("boxes", columns, "");
        for ((number, amount), name) in self.boxes.iter().flatten().zip(BOX_NAMES) {
            let name = if *number == 5 { self.box_5() } else { name };
            table.row(vec![Cell::count(i64::from(*number)), Cell::text(name), (*amount).into()]);
        }
        table
    }

    /// Box 5 by whom it is owed to.
    const fn box_5(&self) -> &'static str {
        match self.owed_to {
            Some(OwedTo::Hmrc) => "VAT to pay to HMRC: 3 − 4",
            Some(OwedTo::Trader) => "VAT to reclaim from HMRC: 4 − 3",
            None => BOX_NAMES[4],
        }
    }

    fn cars_table(&self) -> Table {
        let columns = vec![
            Column::new("stock_no", "No"),
            Column::new("mark", "Mark"),
            Column::new("sold_on", "Sold"),
            Column::new("purchase_price", "Bought at"),
            Column::new("selling_price", "Sold at"),
            Column::new("margin", "Margin"),
            Column::new("vat", "VAT"),
            Column::new("net", "Box 6").csv_only(),
        ];
        let mut table = Table::new("cars", columns, "");
        for row in &self.cars {
            table.row(vec![
                Cell::count(i64::from(row.stock_no)),
                row.mark.clone().into(),
                row.sold_on.into(),
                row.purchase_price.into(),
                row.selling_price.into(),
                row.margin.into(),
                row.vat.into(),
                row.net.into(),
            ]);
        }
        table
    }
}

fn items_table(name: &'static str, rows: &[ItemRow]) -> Table {
    let columns = vec![
        Column::new("kind", "Kind").csv_only(),
        Column::new("on", "Date"),
        Column::new("entry", "Entry").csv_only(),
        Column::new("stock_no", "No").csv_only(),
        Column::new("mark", "Mark").csv_only(),
        Column::new("what", "What").csv_only(),
        Column::new("in_words", "What").elastic().screen_only(),
        Column::new("amount", "Amount"),
        Column::new("vat", "VAT"),
        Column::new("net", "Without VAT"),
    ];
    let mut table = Table::new(name, columns, "");
    for row in rows {
        table.row(vec![
            Cell::text(row.kind),
            row.on.into(),
            Cell::count(row.entry),
            Cell::count(row.stock_no.map(i64::from)),
            row.mark.clone().into(),
            row.what.clone().into(),
            Cell::text(row.in_words.as_str()),
            row.amount.into(),
            row.vat.into(),
            row.net.into(),
        ]);
    }
    table
}

/// What the figures do not say by themselves.
fn notes(found: &VatReturn<'_>, registration: &Registration) -> Vec<String> {
    let mut notes = Vec::new();
    if found.boxes.is_some() {
        notes.extend(registration.rates.own_used(&VAT_STANDARD_RATE, found.asked.from(), found.asked.to()));
        notes.push(
            "This is the record, not the filing: Making Tax Digital for VAT wants the return sent by compatible \
             software, with a digital link from the figures to it."
                .to_owned(),
        );
        let (sales, costs) = (found.sales_without_vat(), found.costs_without_vat);
        if sales.is_positive() {
            notes.push(format!("{sales} of other sales show no VAT: see whether any was due."));
        }
        if costs.is_positive() {
            notes.push(format!(
                "{costs} of costs show no VAT and are in no box: add to box 7 what was zero-rated or exempt, but no \
                 wages, rates, vehicle tax or MOT fees."
            ));
        }
        let kept = found.sales.iter().filter(|item| item.behind == Behind::DepositKept && item.vat.is_positive());
        if kept.into_iter().any(|item| item.car.is_some_and(|car| !car.vat_invoice)) {
            notes.push(
                "VAT on a deposit kept is reckoned in full; whether the margin scheme may apply to one is not settled \
                 (HMRC Brief 13/2018)."
                    .to_owned(),
            );
        }
    } else if !found.account.due.is_zero() {
        notes.push(format!(
            "{} of VAT changed all the same: a sale made while registered was reversed; ask HMRC how to claim it.",
            found.account.due
        ));
    }
    if registration.from.is_some_and(|from| found.period.contains(from)) {
        notes.push(
            "VAT on goods still on hand from before registration may be claimed on the first return; it is not \
             reckoned here."
                .to_owned(),
        );
    }
    for car in &found.kept_outside_scheme {
        notes.push(format!(
            "Car {} was bought on a VAT invoice and kept: VAT may be due on what it would cost now, which is in no \
             box here.",
            car.label()
        ));
    }
    notes.push("A record, not tax advice: check with HMRC guidance or an accountant.".to_owned());
    notes
}

impl CarRow {
    fn new(item: &VatItem<'_>) -> Option<Self> {
        let (car, margin) = (item.car?, item.margin()?);
        Some(Self {
            stock_no: car.stock_no.get(),
            mark: car.mark.as_ref().map(ToString::to_string),
            sold_on: IsoDay(item.on),
            purchase_price: MoneyText(car.purchase_price),
            selling_price: MoneyText(item.amount),
            margin: MoneyText(margin),
            vat: MoneyText(item.vat),
            net: MoneyText(item.net()),
        })
    }
}

impl From<&VatItem<'_>> for ItemRow {
    fn from(item: &VatItem<'_>) -> Self {
        Self {
            kind: item.behind.word(),
            on: IsoDay(item.on),
            entry: item.entry,
            stock_no: item.car.map(|car| car.stock_no).map(StockNo::get),
            mark: item.car.and_then(|car| car.mark.as_ref()).map(ToString::to_string),
            what: item.what.map(str::to_owned),
            amount: MoneyText(item.amount),
            vat: MoneyText(item.vat),
            net: MoneyText(item.net()),
            in_words: in_words(item),
        }
    }
}

/// `Full price 4 UT48 KEM`, `Parts, 4 UT48 KEM`, `Yard rent`.
fn in_words(item: &VatItem<'_>) -> String {
    let car = item.car.map(Car::label);
    let named = |words: &str| format!("{words} {}", car.as_deref().unwrap_or_default());
    match item.behind {
        Behind::MarginSale | Behind::FullPriceSale => named("Full price"),
        Behind::SaleReversed => named("Reversed"),
        Behind::DepositKept => named("Deposit kept on"),
        Behind::KeptBack => named("Kept back on"),
        Behind::CarBought => named("Bought"),
        Behind::CarReturned => named("Went back"),
        Behind::Receipt | Behind::Cost | Behind::StandingCost => {
            let what = phrase::capitalised(item.what.unwrap_or_default());
            car.map_or_else(|| what.clone(), |car| format!("{what}, {car}"))
        }
    }
}

impl From<&VatAccount> for AccountRow {
    fn from(account: &VatAccount) -> Self {
        Self {
            owed_at_start: MoneyText(account.owed_at_start),
            due: MoneyText(account.due),
            paid: MoneyText(account.paid),
            repaid: MoneyText(account.repaid),
            owed_at_end: MoneyText(account.owed_at_end),
        }
    }
}

impl AccountRow {
    fn is_nil(self) -> bool {
        [self.owed_at_start, self.due, self.paid, self.repaid, self.owed_at_end].iter().all(|part| part.0.is_zero())
    }

    /// Signed so that the eye can add it up.
    fn facts(self) -> Vec<(&'static str, Cell)> {
        vec![
            ("Owed at the start", self.owed_at_start.into()),
            ("Due in the period", self.due.into()),
            ("Paid to HMRC", (-self.paid.0).into()),
            ("Repaid by HMRC", self.repaid.into()),
            ("Owed at the end", self.owed_at_end.into()),
        ]
    }
}

//! The lines of one car, the purchase first among equals: so laid out that what it stands in at
//! can be added up by eye.

use crate::domain::book::facts::{Car, Line};
use crate::domain::figures::car_figures::{CarFigures, CountedLine, PartOf};
use crate::domain::value::pence::Pence;
use crate::domain::value::words::Direction;
use crate::report::cell::{Cell, IsoDay, MoneyText};
use crate::report::document::{Column, Table};
use serde::Serialize;

/// One line of a car.
#[derive(Clone, Debug, Serialize)]
pub struct CarLine {
    on: IsoDay,
    entry: i64,
    direction: &'static str,
    heading: String,
    amount: MoneyText,
    usual_price: Option<MoneyText>,
    party: Option<String>,
    note: Option<String>,
    vat: MoneyText,
    net: MoneyText,
    part_of: &'static str,
    #[serde(skip)]
    counts: PartOf,
    // Net in the proportion of what was paid, as it enters the profit at usual prices.
    #[serde(skip)]
    usual_net: Option<Pence>,
}

impl CarLine {
    /// The purchase and every line seen, by date.
    pub(crate) fn all(car: &Car, figures: &CarFigures) -> Vec<Self> {
        let counted = |counted: &CountedLine| {
            let line = car.lines.iter().find(|line| line.line_no == counted.line_no)?;
            Some(Self::from_line(line, counted))
        };
        let mut lines: Vec<Self> = figures.lines.iter().filter_map(counted).collect();
        if figures.days_in_stock.is_some() {
            lines.push(Self::purchase(car, figures));
        }
        // The purchase goes before the lines of its own day.
        lines.sort_by_key(|line| (line.on.0, line.heading != PURCHASE));
        lines
    }

    fn purchase(car: &Car, figures: &CarFigures) -> Self {
        Self {
            on: IsoDay(car.bought_on),
            entry: car.entry,
            direction: Direction::Cost.word(),
            heading: PURCHASE.into(),
            amount: MoneyText(car.purchase_price),
            usual_price: None,
            party: car.seller.clone(),
            note: None,
            vat: MoneyText(figures.purchase_vat),
            net: MoneyText(figures.purchase_price),
            part_of: part_word(PartOf::StandsIn),
            counts: PartOf::StandsIn,
            usual_net: None,
        }
    }

    fn from_line(line: &Line, counted: &CountedLine) -> Self {
        Self {
            on: IsoDay(line.on),
            entry: line.entry,
            direction: line.direction.word(),
            heading: line.heading.clone(),
            amount: MoneyText(line.amount),
            usual_price: line.usual_price.map(MoneyText),
            party: line.party.clone(),
            note: line.note.clone(),
            vat: MoneyText(counted.vat),
            net: MoneyText(counted.net),
            part_of: part_word(counted.part_of),
            counts: counted.part_of,
            usual_net: counted.net_at_usual,
        }
    }

    fn what(&self) -> String {
        match self.counts {
            PartOf::StandsInPaidAhead => format!("{} (paid ahead)", self.heading),
            PartOf::Disposal => format!("{} (on leaving)", self.heading),
            PartOf::StandsIn | PartOf::NotYet | PartOf::AfterSale => self.heading.clone(),
        }
    }

    /// As paid, signed as it counts: a receipt is negative.
    fn paid(&self) -> Cell {
        if self.direction == Direction::Receipt.word() { (-self.amount.0).into() } else { self.amount.into() }
    }

    fn stands_in(&self) -> Cell {
        match self.counts {
            PartOf::StandsIn | PartOf::StandsInPaidAhead => self.net.into(),
            PartOf::NotYet | PartOf::AfterSale | PartOf::Disposal => Cell::blank(),
        }
    }

    fn paid_ahead(&self) -> Cell {
        if self.counts == PartOf::NotYet { self.net.into() } else { Cell::blank() }
    }

    fn after_sale(&self) -> Cell {
        if self.counts == PartOf::AfterSale { self.net.into() } else { Cell::blank() }
    }

    fn on_leaving(&self) -> Cell {
        if self.counts == PartOf::Disposal { self.net.into() } else { Cell::blank() }
    }
}

/// The heading of the purchase itself.
const PURCHASE: &str = "purchase";

const fn part_word(part_of: PartOf) -> &'static str {
    match part_of {
        PartOf::StandsIn => "stands-in",
        PartOf::StandsInPaidAhead => "stands-in-paid-ahead",
        PartOf::NotYet => "not-yet",
        PartOf::AfterSale => "after-sale",
        PartOf::Disposal => "disposal",
    }
}

/// What the columns of amounts come to.
pub(crate) struct Totals {
    pub(crate) stands_in: Pence,
    pub(crate) paid_ahead: Pence,
    pub(crate) after_sale_costs: Option<Pence>,
    /// What its disposal cost less what it brought.
    pub(crate) on_leaving: Option<Pence>,
}

/// A column and what a line has in it.
type Told = (Column, fn(&CarLine) -> Cell);

/// The table of lines: what the car stands in at in one column, or what is paid ahead before it is
/// bought; what came after its sale in another. What was paid and the VAT in it are shown only where
/// VAT makes them differ.
pub(crate) fn table(lines: &[CarLine], totals: &Totals) -> Table {
    let (columns, tell): (Vec<Column>, Vec<_>) = told(lines).into_iter().unzip();
    let mut table = Table::new("lines", columns, "Nothing is recorded on it.");
    for line in lines {
        table.row(tell.iter().map(|cell| cell(line)).collect());
    }
    let total = table.columns.iter().map(|column| match column.key {
        "what" => Cell::text("Total"),
        "stands_in" => totals.stands_in.into(),
        "paid_ahead" => totals.paid_ahead.into(),
        "after_sale" => or_blank(totals.after_sale_costs),
        "on_leaving" => or_blank(totals.on_leaving),
        _ => Cell::blank(),
    });
    let total = total.collect();
    table.total_row(total);
    table
}

/// The columns, those that only people would read left out where they would be empty.
fn told(lines: &[CarLine]) -> Vec<Told> {
    let has_vat = lines.iter().any(|line| !line.vat.0.is_zero());
    let has_after_sale = lines.iter().any(|line| line.counts == PartOf::AfterSale);
    let not_yet = lines.iter().any(|line| line.counts == PartOf::NotYet);
    let has_usual = lines.iter().any(|line| line.usual_price.is_some());
    let has_note = lines.iter().any(|line| line.note.is_some());
    let people_too_if = |shown: bool, column: Column| if shown { column } else { column.csv_only() };
    let mut told: Vec<Told> = vec![
        (Column::new("on", "Date"), |line| line.on.into()),
        (Column::new("entry", "Entry").importance(1), |line| Cell::count(line.entry)),
        (Column::new("direction", "Direction").csv_only(), |line| Cell::text(line.direction)),
        (Column::new("heading", "Heading").csv_only(), |line| Cell::text(&*line.heading)),
        (Column::new("what", "What").screen_only(), |line| Cell::text(line.what())),
        (Column::new("to_or_from", "To or from").elastic().screen_only(), |line| or_blank(line.party.clone())),
        (Column::new("amount", "Amount").csv_only(), |line| line.amount.into()),
        (people_too_if(has_vat, Column::new("vat", "VAT").importance(2)), |line| line.vat.into()),
        (Column::new("net", "Net").csv_only(), |line| line.net.into()),
        (Column::new("part_of", "Part of").csv_only(), |line| Cell::text(line.part_of)),
        if not_yet {
            (Column::new("paid_ahead", "Paid ahead").screen_only(), CarLine::paid_ahead)
        } else {
            (Column::new("stands_in", "Stands in").screen_only(), CarLine::stands_in)
        },
        (Column::new("usual_price", "Usual").csv_only(), |line| or_blank(line.usual_price)),
        (Column::new("party", "Party").csv_only(), |line| or_blank(line.party.clone())),
        (people_too_if(has_note, Column::new("note", "Note").elastic().importance(4)), |line| {
            or_blank(line.note.clone())
        }),
    ];
    let mut show_before = |key: &str, column: Column, cell: fn(&CarLine) -> Cell| {
        let at = told.iter().position(|(column, _)| column.key == key).unwrap_or(told.len());
        told.insert(at, (column.screen_only(), cell));
    };
    if has_vat {
        show_before("vat", Column::new("paid", "Paid").importance(2), CarLine::paid);
    }
    if has_after_sale {
        show_before("usual_price", Column::new("after_sale", "After sale"), CarLine::after_sale);
    }
    if lines.iter().any(|line| line.counts == PartOf::Disposal) {
        show_before("usual_price", Column::new("on_leaving", "On leaving"), CarLine::on_leaving);
    }
    if has_usual {
        let title = if has_vat { "Usual, net" } else { "Usual" };
        show_before("usual_price", Column::new("usual_net", title).importance(3), |line| or_blank(line.usual_net));
    }
    told
}

/// What is not there is nothing unknown: most lines have no note and no usual price.
fn or_blank(value: Option<impl Into<Cell>>) -> Cell {
    value.map_or_else(Cell::blank, Into::into)
}

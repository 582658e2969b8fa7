//! `tax-year`: a tax year on the cash basis and by traditional accounting, with every line behind
//! income and expenses, the boxes of the return, and why the two differ.

use crate::domain::book::journey::Distance;
use crate::domain::days::tax_year::TaxYear;
use crate::domain::figures::stock_value::{CarValue, StockValue};
use crate::domain::tax::return_pages::{Form, ReturnHeading};
use crate::domain::tax::tax_figures::{NamedLine, TaxFigures};
use crate::domain::tax::tax_lines::{Basis, TaxLine};
use crate::domain::value::numbers::EntryNo;
use crate::domain::value::pence::Pence;
use crate::report::cell::{IsoDay, MoneyText, TwoDecimals};
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::{Serialize, Serializer};

/// The figures of a tax year.
#[derive(Clone, Debug, Serialize)]
pub struct TaxYearReport {
    #[serde(flatten)]
    pub(crate) stamp: Stamp,
    #[serde(serialize_with = "in_words")]
    pub(crate) tax_year: TaxYear,
    pub(crate) from: IsoDay,
    /// The last day counted: 5 April, or the as-of day when that comes first.
    pub(crate) to: IsoDay,
    /// Whether that is all of it.
    pub(crate) complete: bool,
    #[serde(serialize_with = "number")]
    pub(crate) form: Form,
    pub(crate) form_name: &'static str,
    pub(crate) cash_basis: CashBasis,
    pub(crate) traditional: Traditional,
    pub(crate) difference: MoneyText,
    pub(crate) identity: Vec<Named>,
    pub(crate) named_lines: Vec<NamedRow>,
    pub(crate) trading_allowance: Option<Allowance>,
    pub(crate) mileage: Option<MileageRow>,
    pub(crate) stock_values: Vec<StockRow>,
    pub(crate) register_by: IsoDay,
    pub(crate) return_by: IsoDay,
    /// Which of the trader's own statutory figures the year was reckoned with.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) own_rates: Vec<String>,
    /// Registered for VAT on some day counted.
    #[serde(skip)]
    pub(crate) registered: bool,
}

/// The cash basis.
#[derive(Clone, Debug, Serialize)]
pub struct CashBasis {
    pub(crate) income: MoneyText,
    pub(crate) turnover: MoneyText,
    pub(crate) other_income: MoneyText,
    pub(crate) expenses: MoneyText,
    pub(crate) profit: MoneyText,
    pub(crate) boxes: Vec<BoxRow>,
    pub(crate) lines: Vec<LineRow>,
}

/// Traditional accounting.
#[derive(Clone, Debug, Serialize)]
pub struct Traditional {
    pub(crate) income: MoneyText,
    pub(crate) turnover: MoneyText,
    pub(crate) other_income: MoneyText,
    pub(crate) opening_stock: MoneyText,
    pub(crate) purchases: MoneyText,
    /// Costs under the heading of goods, cars left out.
    pub(crate) costs_of_goods: MoneyText,
    pub(crate) paid_ahead_at_start: MoneyText,
    pub(crate) paid_ahead_at_end: MoneyText,
    pub(crate) closing_stock: MoneyText,
    pub(crate) cost_of_goods: MoneyText,
    pub(crate) expenses: MoneyText,
    pub(crate) cars_kept: MoneyText,
    pub(crate) profit: MoneyText,
    /// The profit as `month` and `results` have it.
    pub(crate) book_profit: MoneyText,
    pub(crate) stock_written_down: MoneyText,
    pub(crate) equipment: MoneyText,
    pub(crate) mileage: MoneyText,
    pub(crate) boxes: Vec<BoxRow>,
    pub(crate) lines: Vec<LineRow>,
}

/// A box of the form.
#[derive(Clone, Debug, Serialize)]
pub struct BoxRow {
    #[serde(rename = "box")]
    pub(crate) number: &'static str,
    pub(crate) name: &'static str,
    pub(crate) amount: MoneyText,
}

/// A line behind income, expenses or equipment.
#[derive(Clone, Debug, Serialize)]
pub struct LineRow {
    pub(crate) on: IsoDay,
    /// Null for stock at the start or end.
    pub(crate) entry: Option<EntryNo>,
    #[serde(serialize_with = "word")]
    pub(crate) counts_as: ReturnHeading,
    pub(crate) heading: String,
    pub(crate) what: Option<String>,
    pub(crate) amount: MoneyText,
}

/// A named amount.
#[derive(Clone, Debug, Serialize)]
pub struct Named {
    pub(crate) name: &'static str,
    pub(crate) amount: MoneyText,
}

/// A line with a name of its own, either way.
#[derive(Clone, Debug, Serialize)]
pub struct NamedRow {
    pub(crate) name: &'static str,
    pub(crate) cash_basis: Option<MoneyText>,
    pub(crate) traditional: Option<MoneyText>,
    #[serde(rename = "box")]
    pub(crate) form_box: Option<&'static str>,
    pub(crate) counts: &'static str,
}

/// The trading allowance.
#[derive(Clone, Debug, Serialize)]
pub struct Allowance {
    pub(crate) amount: MoneyText,
    pub(crate) usable: MoneyText,
    pub(crate) better: bool,
    pub(crate) profit: MoneyText,
    #[serde(rename = "box")]
    pub(crate) form_box: &'static str,
}

/// Mileage at the flat rate.
#[derive(Clone, Debug, Serialize)]
pub struct MileageRow {
    pub(crate) miles: TwoDecimals,
    #[serde(skip)]
    pub(crate) distance: Distance,
    pub(crate) pence_a_mile: i64,
    pub(crate) pence_a_mile_after: i64,
    /// False where the rate of the year was not settled when this was written.
    pub(crate) settled: bool,
    pub(crate) amount: MoneyText,
    pub(crate) journeys: Vec<JourneyRow>,
}

/// A journey.
#[derive(Clone, Debug, Serialize)]
pub struct JourneyRow {
    pub(crate) on: IsoDay,
    pub(crate) entry: EntryNo,
    pub(crate) miles: TwoDecimals,
    pub(crate) purpose: String,
    pub(crate) amount: MoneyText,
}

/// A car in stock at the start or the end.
#[derive(Clone, Debug, Serialize)]
pub struct StockRow {
    /// `start` or `end`.
    pub(crate) at: &'static str,
    pub(crate) stock_no: u32,
    pub(crate) mark: Option<String>,
    pub(crate) stands_in: MoneyText,
    pub(crate) should_fetch: Option<MoneyText>,
    pub(crate) value: MoneyText,
    pub(crate) written_down: MoneyText,
}

fn in_words<S: Serializer>(year: &TaxYear, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.collect_str(year)
}

// The signatures are serde's.
#[allow(clippy::trivially_copy_pass_by_ref)]
fn number<S: Serializer>(form: &Form, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(form.number())
}

#[allow(clippy::trivially_copy_pass_by_ref)]
fn word<S: Serializer>(heading: &ReturnHeading, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(heading.word())
}

impl TaxYearReport {
    /// Lays out the figures; `registered` when VAT was left out of any.
    pub fn new(as_of: NaiveDate, figures: &TaxFigures<'_>, registered: bool, own_rates: Vec<String>) -> Self {
        let (year, period) = (figures.year, figures.period);
        Self {
            stamp: Stamp::new("tax-year", as_of),
            tax_year: year,
            from: IsoDay(period.from()),
            to: IsoDay(period.to()),
            complete: period.to() == year.last_day(),
            form: figures.form,
            own_rates,
            form_name: figures.form.name(),
            cash_basis: CashBasis::new(figures),
            traditional: Traditional::new(figures),
            difference: MoneyText(figures.difference()),
            identity: figures
                .identity
                .iter()
                .map(|(name, amount)| Named { name, amount: MoneyText(*amount) })
                .collect(),
            named_lines: figures.named.iter().map(NamedRow::new).collect(),
            trading_allowance: figures.allowance.map(|allowance| Allowance {
                amount: MoneyText(allowance.amount),
                usable: MoneyText(allowance.usable),
                better: allowance.better,
                profit: MoneyText(allowance.profit),
                form_box: figures.form.trading_allowance(),
            }),
            mileage: MileageRow::new(figures),
            stock_values: stock_rows("start", &figures.opening.stock)
                .chain(stock_rows("end", &figures.closing.stock))
                .collect(),
            register_by: IsoDay(year.register_by()),
            return_by: IsoDay(year.return_by()),
            registered,
        }
    }
}

impl CashBasis {
    fn new(figures: &TaxFigures<'_>) -> Self {
        let basis = &figures.cash;
        Self {
            income: MoneyText(basis.income()),
            turnover: MoneyText(basis.under(ReturnHeading::Sales)),
            other_income: MoneyText(basis.under(ReturnHeading::OtherIncome)),
            expenses: MoneyText(basis.expenses()),
            profit: MoneyText(basis.profit()),
            boxes: boxes(figures, basis),
            lines: basis.lines.iter().map(LineRow::new).collect(),
        }
    }
}

impl Traditional {
    fn new(figures: &TaxFigures<'_>) -> Self {
        let (basis, opening, closing) = (&figures.traditional, &figures.opening, &figures.closing);
        let goods = basis.under(ReturnHeading::Goods);
        let carried = opening.stock.value() + opening.paid_ahead - closing.stock.value() - closing.paid_ahead;
        Self {
            income: MoneyText(basis.income()),
            turnover: MoneyText(basis.under(ReturnHeading::Sales)),
            other_income: MoneyText(basis.under(ReturnHeading::OtherIncome)),
            opening_stock: MoneyText(opening.stock.value()),
            purchases: MoneyText(figures.purchases),
            costs_of_goods: MoneyText(goods - carried - figures.purchases),
            paid_ahead_at_start: MoneyText(opening.paid_ahead),
            paid_ahead_at_end: MoneyText(closing.paid_ahead),
            closing_stock: MoneyText(closing.stock.value()),
            cost_of_goods: MoneyText(goods),
            expenses: MoneyText(basis.expenses()),
            cars_kept: MoneyText(figures.cars_kept),
            profit: MoneyText(basis.profit()),
            book_profit: MoneyText(figures.book_profit),
            stock_written_down: MoneyText(closing.stock.written_down() - opening.stock.written_down()),
            equipment: MoneyText(basis.under(ReturnHeading::Capital)),
            mileage: MoneyText(figures.mileage.as_ref().map_or(Pence::ZERO, |mileage| mileage.amount)),
            boxes: boxes(figures, basis),
            lines: basis.lines.iter().map(LineRow::new).collect(),
        }
    }
}

fn boxes(figures: &TaxFigures<'_>, basis: &Basis) -> Vec<BoxRow> {
    let of = |((number, name), amount)| BoxRow { number, name, amount: MoneyText(amount) };
    basis.boxes(figures.form, figures.cars_kept).into_iter().map(of).collect()
}

impl LineRow {
    fn new(line: &TaxLine) -> Self {
        Self {
            on: IsoDay(line.on),
            entry: line.entry,
            counts_as: line.under,
            heading: line.heading.clone(),
            what: line.what.clone(),
            amount: MoneyText(line.amount),
        }
    }
}

impl NamedRow {
    fn new(line: &NamedLine) -> Self {
        Self {
            name: line.name,
            cash_basis: line.cash_basis.map(MoneyText),
            traditional: line.traditional.map(MoneyText),
            form_box: line.form_box,
            counts: line.counts,
        }
    }
}

impl MileageRow {
    fn new(figures: &TaxFigures<'_>) -> Option<Self> {
        let mileage = figures.mileage.as_ref()?;
        let journeys = mileage.journeys.iter().map(|(journey, amount)| JourneyRow {
            on: IsoDay(journey.on),
            entry: journey.entry,
            miles: TwoDecimals(journey.distance.miles()),
            purpose: journey.purpose.clone(),
            amount: MoneyText(*amount),
        });
        Some(Self {
            miles: TwoDecimals(mileage.distance.miles()),
            distance: mileage.distance,
            pence_a_mile: mileage.rate.first,
            pence_a_mile_after: mileage.rate.after,
            settled: mileage.rate.settled,
            amount: MoneyText(mileage.amount),
            journeys: journeys.collect(),
        })
    }
}

fn stock_rows<'a>(at: &'static str, stock: &'a StockValue<'_>) -> impl Iterator<Item = StockRow> + 'a {
    let of = move |valued: &CarValue<'_>| StockRow {
        at,
        stock_no: valued.car.stock_no.get(),
        mark: valued.car.mark.as_ref().map(ToString::to_string),
        stands_in: MoneyText(valued.stands_in),
        should_fetch: valued.should_fetch.map(MoneyText),
        value: MoneyText(valued.value()),
        written_down: MoneyText(valued.written_down()),
    };
    stock.cars.iter().map(of)
}

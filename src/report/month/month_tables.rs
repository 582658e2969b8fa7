//! The lists of a month: cars sold, taken back, bought, gone without a sale; the lines behind each sum.

use crate::domain::book::facts::Car;
use crate::domain::figures::kept_figures::Difference;
use crate::domain::figures::period_figures::PeriodFigures;
use crate::domain::figures::period_lines::PeriodLine;
use crate::domain::figures::profits::CarDisposed;
use crate::domain::value::pence::Pence;
use crate::report::cell::Cell;
use crate::report::document::Table;
use crate::report::list::List;
use crate::report::phrase;

pub(crate) fn differences(differences: &[Difference]) -> Table {
    List::of("differences", differences)
        .column("figure", "Figure", |difference| difference.figure.as_str())
        .column("kept", "When closed", |difference| difference.kept)
        .column("now", "Now", |difference| difference.now)
        .table()
}

/// The columns that say which car a row is about; what it is called goes early where room is short.
fn cars<'r, R>(list: List<'r, R>, importance: u8, car: impl Fn(&'r R) -> &'r Car) -> List<'r, R> {
    list.column("stock_no", "No", |row| car(row).stock_no)
        .column("mark", "Mark", |row| car(row).mark.as_ref().map(ToString::to_string))
        .column("description", "Car", |row| Some(car(row).vehicle.description()).filter(|text| !text.is_empty()))
        .elastic()
        .importance(importance)
}

pub(crate) fn cars_sold(figures: &PeriodFigures<'_>) -> Table {
    let (sold, made) = (&figures.cars_sold, &figures.made);
    let came_back = sold.iter().any(|sold| sold.taken_back.is_some());
    // The average leaves out what came back the same month, which the sums beside it do not.
    let average = if came_back { Cell::blank() } else { Cell::percent(figures.averages.pooled_return_pct) };
    let list = List::of("cars-sold", sold).or_say("No car was sold.");
    cars(list, 3, |sold| sold.car)
        .column("sold_on", "Sold", |sold| sold.figures.sold_on)
        .importance(1)
        .column("selling_price", "Price", |sold| sold.figures.selling_price)
        .total(made.sales)
        .column("stands_in", "Stood in", |sold| sold.figures.stood_in)
        .total(made.cost_of_cars_sold)
        .column("vat_on_margin", "VAT on margin", |sold| sold.figures.vat_on_margin)
        .csv_only()
        .total(made.vat_on_margins)
        .column("vat_on_sale", "VAT", |sold| sold.figures.vat_on_sale)
        .csv_only_unless(!made.vat_on_sales.is_zero())
        .total(made.vat_on_sales)
        .column("profit", "Profit", |sold| sold.figures.profit)
        .total(made.gross_profit())
        .column("return_pct", "Return", |sold| Cell::percent(sold.figures.return_pct))
        .total(average)
        .column("multiple", "Multiple", |sold| Cell::number(sold.figures.multiple))
        .importance(2)
        .column("days_to_sell", "Days", |sold| Cell::days(sold.figures.days))
        .column("reversed_on", "Came back", |sold| Cell::or_blank(sold.taken_back.map(|back| back.on)))
        .csv_only_unless(came_back)
        .named_total("mark", phrase::cars(sold.len()))
        .table()
}

pub(crate) fn sales_reversed(figures: &PeriodFigures<'_>) -> Table {
    let reversed: Vec<_> =
        figures.sales_reversed.iter().filter_map(|sold| Some((sold.car, &sold.figures, sold.taken_back?))).collect();
    let totals = &figures.reversed;
    cars(List::of("sales-reversed", &reversed), 3, |(car, ..)| car)
        .column("sold_on", "Sold", |(_, sale, _)| sale.sold_on)
        .importance(1)
        .column("reversed_on", "Came back", |(.., back)| back.on)
        .column("selling_price", "Price", |(_, sale, _)| sale.selling_price)
        .total(totals.sales)
        .column("stands_in", "Stood in", |(_, sale, _)| sale.stood_in)
        .importance(2)
        .total(totals.cost_of_cars_sold)
        .column("vat_on_margin", "VAT on margin", |(_, sale, _)| sale.vat_on_margin)
        .csv_only()
        .total(totals.vat_on_margins)
        .column("vat_on_sale", "VAT", |(_, sale, _)| sale.vat_on_sale)
        .csv_only()
        .total(totals.vat_on_sales)
        .column("profit", "Profit", |(_, sale, _)| sale.profit)
        .total(totals.gross_profit())
        .column("refund", "Refund", |(.., back)| back.refund)
        .column("kept_back", "Kept back", |(.., back)| back.kept_back)
        .importance(4)
        .named_total("mark", "Taken off")
        .table()
}

/// What leaving without a sale came to, for people: a gain is no loss with a minus.
fn gain_or_loss(cars: &[CarDisposed<'_>]) -> (&'static str, fn(Pence) -> Pence) {
    if cars.iter().all(|car| !car.figures.loss.is_negative()) {
        ("Loss", |loss| loss)
    } else if cars.iter().all(|car| !car.figures.loss.is_positive()) {
        ("Gain", |loss| -loss)
    } else {
        ("Gain, or loss (-)", |loss| -loss)
    }
}

pub(crate) fn cars_disposed(figures: &PeriodFigures<'_>) -> Table {
    let disposed = &figures.cars_disposed;
    let (name, signed) = gain_or_loss(disposed);
    cars(List::of("cars-disposed", disposed), 3, |disposed| disposed.car)
        .column("on", "Left", |disposed| disposed.figures.on)
        .importance(1)
        .column("how", "How", |disposed| disposed.figures.how.word())
        .column("stands_in", "Stood in", |disposed| disposed.stood_in)
        .column("value", "Worth", |disposed| disposed.figures.value)
        .column("received", "Received", |disposed| disposed.figures.brought_in)
        .column("loss", "Loss", |disposed| disposed.figures.loss)
        .csv_only()
        .column("gain_or_loss", name, |disposed| signed(disposed.figures.loss))
        .screen_only()
        .table()
}

pub(crate) fn cars_bought(figures: &PeriodFigures<'_>) -> Table {
    let bought = &figures.cars_bought;
    let list = List::of("cars-bought", bought).or_say("No car was bought.");
    cars(list, 0, |(car, _)| car)
        .column("bought_on", "Bought", |(car, _)| car.bought_on)
        .column("purchase_price", "Price", |(_, price)| *price)
        .total(figures.cost_of_cars_bought())
        .named_total("mark", phrase::cars(bought.len()))
        .table()
}

pub(crate) fn disposal_lines(figures: &PeriodFigures<'_>) -> Table {
    lines("disposal-lines", "Car", &figures.disposal_lines).table()
}

pub(crate) fn overhead_lines(figures: &PeriodFigures<'_>) -> Table {
    let list = lines("overhead-lines", "What for", &figures.overhead_lines).or_say("No overheads.");
    list.total(figures.overheads_total).named_total("heading", "Total").table()
}

pub(crate) fn other_income_lines(figures: &PeriodFigures<'_>) -> Table {
    let list = lines("other-income-lines", "From", &figures.other_income_lines);
    list.total(figures.other_income).named_total("heading", "Total").table()
}

pub(crate) fn after_sale_lines(figures: &PeriodFigures<'_>) -> Table {
    let list = lines("after-sale-lines", "Car", &figures.after_sale_lines);
    list.total(figures.after_sale_costs).named_total("heading", "Total").table()
}

/// The lines behind one figure; `what` is the title of what each was for.
fn lines<'r>(name: &'static str, what: &'static str, lines: &'r [PeriodLine]) -> List<'r, PeriodLine> {
    List::of(name, lines)
        .column("on", "Date", |line| line.on)
        .column("entry", "Entry", |line| Cell::count(line.entry))
        .column("heading", "Heading", |line| line.heading.as_str())
        .column("what", what, |line| Cell::or_blank(line.what.as_deref()))
        .elastic()
        .column("amount", "Amount", |line| line.amount)
}

/// The sums by heading, for machines: people read the lines.
pub(crate) fn overheads(figures: &PeriodFigures<'_>) -> Table {
    List::of("overheads", &figures.overheads)
        .column("heading", "heading", |(heading, _)| heading.as_str())
        .csv_only()
        .column("amount", "amount", |(_, amount)| *amount)
        .csv_only()
        .table()
}

//! Rows of a spreadsheet as cars or money: which column is which, and what each cell says. Nothing here
//! reads a file or knows the book.

use crate::domain::days::day::{DayAhead, WrittenDay};
use crate::domain::value::bad_row::BadRow;
use crate::domain::value::car_ref::CarRef;
use crate::domain::value::digits::are_digits;
use crate::domain::value::pence::Pence;
use crate::domain::value::target::{BoughtMark, Miles, ModelYear};
use crate::domain::value::value_error::ValueError;
use crate::domain::value::vin::Vin;
use crate::domain::value::wording::Wording;
use crate::domain::value::words::{Direction, PaidBy, Via, word_set};
use chrono::NaiveDate;
use std::fmt;
use std::str::FromStr;

word_set! {
    /// What the rows of a file are.
    Rows, "kind of rows" {
        /// A car a row, bought and perhaps sold.
        Cars = "cars",
        /// Money spent or received, a row each.
        Money = "money",
    }
}

/// A file as read: its header and its rows, no cell understood yet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sheet {
    /// The header's cells.
    pub header: Vec<String>,
    /// The rows below it.
    pub rows: Vec<SheetRow>,
}

/// One row and the line of the file it begins on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetRow {
    /// The line, the header's being 1.
    pub line: u64,
    /// Its cells.
    pub cells: Vec<String>,
}

/// A column the program knows: its name, what people call it too, and whether it must be there.
type Known = (&'static str, &'static [&'static str], bool);

const CARS: &[Known] = &[
    ("mark", &["registration", "registration_mark", "reg", "plate", "car"], true),
    ("bought_on", &["bought", "date_bought", "purchase_date", "date_of_purchase", "on", "date"], true),
    ("purchase_price", &["price", "price_paid", "bought_for", "cost_price"], true),
    ("from", &["seller", "bought_from", "name_of_seller"], false),
    ("via", &["source"], false),
    ("make", &[], false),
    ("model", &[], false),
    ("year", &["model_year"], false),
    ("colour", &["color"], false),
    ("fuel", &[], false),
    ("miles", &["mileage", "odometer"], false),
    ("vin", &["chassis", "chassis_number"], false),
    ("mot_until", &["mot", "mot_expiry", "mot_due"], false),
    ("paid", &["paid_by"], false),
    ("sold_on", &["sold", "date_sold", "sale_date", "date_of_sale"], false),
    ("selling_price", &["sold_for", "sale_price"], false),
    ("to", &["buyer", "sold_to", "name_of_buyer"], false),
    ("note", &["notes", "remarks"], false),
];

const MONEY: &[Known] = &[
    ("on", &["date", "dated", "day"], true),
    ("amount", &["value", "paid_amount"], true),
    ("heading", &["category", "what", "what_for"], true),
    ("car", &["mark", "registration", "reg", "stock_no"], false),
    ("direction", &["in_or_out", "type"], false),
    ("party", &["name", "supplier", "payee", "to_or_from"], false),
    ("note", &["notes", "remarks", "description"], false),
    ("paid", &["paid_by", "pocket"], false),
    ("vat", &[], false),
    ("usual", &["usual_price"], false),
];

/// Columns of money.
const OF_MONEY: &[&str] = &["amount", "vat", "usual", "purchase_price", "selling_price"];
/// Columns of words, in which figures alone are next to never meant. A model may be figures, a car's number too.
const OF_WORDS: &[&str] = &["heading", "direction", "party", "note", "paid", "from", "to", "make", "colour", "fuel"];

/// Which cell of a row each known column is.
#[derive(Clone, Debug)]
pub struct Layout {
    rows: Rows,
    /// How many columns the header has, known or passed over.
    columns: usize,
    places: Vec<(&'static str, usize)>,
}

impl Layout {
    /// Reads a header. Unknown columns are named and refused, unless they are to be passed over.
    pub fn from_header(header: &[String], rows: Option<Rows>, pass_over_unknown: bool) -> Result<Self, BadRow> {
        let refuse = |why| Err(BadRow { line: 1, why });
        let names: Vec<String> = header.iter().map(|cell| plain_name(cell)).collect();
        let rows = rows.unwrap_or_else(|| guessed(&names));
        let known = if rows == Rows::Cars { CARS } else { MONEY };
        let mut places: Vec<(&'static str, usize)> = Vec::new();
        let mut unknown = Vec::new();
        for (at, name) in names.iter().enumerate() {
            let exactly = known.iter().find(|(column, ..)| column == name);
            let column = exactly.or_else(|| known.iter().find(|(_, aliases, _)| aliases.contains(&name.as_str())));
            match column {
                Some((column, ..)) if places.iter().any(|(placed, _)| placed == column) => {
                    return refuse(format!("two columns are '{column}'"));
                }
                Some((column, ..)) => places.push((column, at)),
                None => unknown.push(header.get(at).map_or("", |cell| cell.trim())),
            }
        }
        if !unknown.is_empty() && !pass_over_unknown {
            let columns: Vec<&str> = known.iter().map(|(column, ..)| *column).collect();
            return refuse(format!(
                "no column '{}' is known; there is {}. Add --ignore-unknown to leave it out",
                unknown.join("', '"),
                columns.join(", ")
            ));
        }
        let missing: Vec<&str> = known
            .iter()
            .filter(|(column, _, needed)| *needed && !places.iter().any(|(placed, _)| placed == column))
            .map(|(column, ..)| *column)
            .collect();
        if missing.is_empty() {
            Ok(Self { rows, columns: header.len(), places })
        } else {
            refuse(format!("no column {}", missing.join(", ")))
        }
    }

    /// What the rows are.
    pub const fn rows(&self) -> Rows {
        self.rows
    }

    /// One row's cells by name. A row that ends early leaves out the cells at its end. One that goes on
    /// after the last column, or in which an amount seems to have come apart at its comma, is refused: what
    /// it says is not what would be read.
    pub fn cells<'r>(&'r self, row: &'r SheetRow) -> Result<Cells<'r>, BadRow> {
        let beyond = row.cells.get(self.columns..).unwrap_or_default();
        let too_long = beyond.iter().any(|cell| !cell.trim().is_empty());
        let apart = self.apart(row);
        if !too_long && apart.is_none() {
            return Ok(Cells { layout: self, row });
        }
        let example = match apart {
            Some((whole, rest)) => format!("\"{whole},{rest}\""),
            None => "\"1,250.00\"".to_owned(),
        };
        let why = if too_long {
            let (cells, columns) = (row.cells.len(), self.columns);
            format!(
                "has {cells} cells where the header has {columns}: a comma inside a cell needs quotes around it, as in {example}"
            )
        } else {
            format!("an amount seems to have come apart at its comma: write it as {example}, or without the comma")
        };
        Err(BadRow { line: row.line, why })
    }

    /// The two halves of an amount that came apart at the comma between its thousands: a cell of money of one
    /// to three figures, and after it three figures and perhaps pence, where no column is or one in which
    /// those would mean nothing.
    fn apart<'r>(&self, row: &'r SheetRow) -> Option<(&'r str, &'r str)> {
        let cell = |at: usize| row.cells.get(at).map(|cell| cell.trim());
        let money = self.places.iter().filter(|(column, _)| OF_MONEY.contains(column));
        let mut pairs = money.filter_map(|(_, at)| {
            let (whole, rest) = (cell(*at)?, cell(at + 1)?);
            let next = self.places.iter().find(|(_, next)| *next == at + 1).map(|(column, _)| *column);
            let means_nothing = match next {
                None => at + 1 >= self.columns,
                Some(column) if rest.contains('.') => !OF_MONEY.contains(&column),
                Some(column) => OF_WORDS.contains(&column),
            };
            Some((whole, rest)).filter(|_| means_nothing)
        });
        pairs.find(|(whole, rest)| is_thousands(whole) && is_the_rest(rest))
    }
}

/// One to three figures, a pound sign in front perhaps.
fn is_thousands(cell: &str) -> bool {
    let figures = cell.strip_prefix('£').unwrap_or(cell);
    (1..=3).contains(&figures.len()) && are_digits(figures) && !figures.starts_with('0')
}

/// Three figures, and perhaps two of pence.
fn is_the_rest(cell: &str) -> bool {
    let (pounds, pence) = cell.split_once('.').unwrap_or((cell, "00"));
    pounds.len() == 3 && are_digits(pounds) && pence.len() == 2 && are_digits(pence)
}

/// Lower case, words joined by an underscore.
fn plain_name(cell: &str) -> String {
    let words: Vec<String> = cell
        .trim_start_matches('\u{feff}')
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join("_")
}

/// A file with a heading a row is money, any other is cars.
fn guessed(names: &[String]) -> Rows {
    let is_heading = |name: &String| name == "heading" || name == "category";
    if names.iter().any(is_heading) { Rows::Money } else { Rows::Cars }
}

/// A row's cells by name. An empty cell is as good as none.
#[derive(Clone, Copy, Debug)]
pub struct Cells<'r> {
    layout: &'r Layout,
    row: &'r SheetRow,
}

impl<'r> Cells<'r> {
    fn text(self, column: &str) -> Option<&'r str> {
        let at = self.layout.places.iter().find(|(placed, _)| *placed == column)?.1;
        self.row.cells.get(at).map(|cell| cell.trim()).filter(|cell| !cell.is_empty())
    }

    fn bad(self, column: &str, why: impl fmt::Display) -> BadRow {
        BadRow { line: self.row.line, why: format!("{column}: {why}") }
    }

    fn some<T: FromStr<Err = ValueError>>(self, column: &'static str) -> Result<Option<T>, BadRow> {
        self.text(column).map(|text| text.parse().map_err(|why: ValueError| self.bad(column, why))).transpose()
    }

    fn needed<T: FromStr<Err = ValueError>>(self, column: &'static str) -> Result<T, BadRow> {
        self.some(column)?.ok_or_else(|| self.bad(column, "is empty"))
    }

    fn past(self, column: &'static str, today: NaiveDate) -> Result<Option<NaiveDate>, BadRow> {
        let day: Option<WrittenDay> = self.some(column)?;
        day.map(|day| day.resolve_past(today).map_err(|why| self.bad(column, why))).transpose()
    }

    /// The row as a car.
    pub fn car(self, today: NaiveDate) -> Result<CarRow, BadRow> {
        let mot_until: Option<DayAhead> = self.some("mot_until")?;
        let mot_until = mot_until.map(|day| day.resolve(today).map_err(|why| self.bad("mot_until", why)));
        let (sold_on, selling_price) = (self.past("sold_on", today)?, self.some("selling_price")?);
        let sale = match (sold_on, selling_price) {
            (Some(on), Some(price)) => Some((on, price)),
            (None, None) => None,
            (Some(_), None) => return Err(self.bad("selling_price", "is empty, though there is a day of sale")),
            (None, Some(_)) => return Err(self.bad("sold_on", "is empty, though there is a selling price")),
        };
        Ok(CarRow {
            line: self.row.line,
            mark: self.needed("mark")?,
            bought_on: self.past("bought_on", today)?.ok_or_else(|| self.bad("bought_on", "is empty"))?,
            purchase_price: self.needed("purchase_price")?,
            from: self.some("from")?,
            via: self.some("via")?,
            make: self.some("make")?,
            model: self.some("model")?,
            year: self.some("year")?,
            colour: self.some("colour")?,
            fuel: self.some("fuel")?,
            miles: self.some("miles")?,
            vin: self.some("vin")?,
            mot_until: mot_until.transpose()?,
            paid: self.some("paid")?,
            sale,
            to: self.some("to")?,
            note: self.some("note")?,
        })
    }

    /// The row as money.
    pub fn money(self, today: NaiveDate) -> Result<MoneyRow, BadRow> {
        Ok(MoneyRow {
            line: self.row.line,
            on: self.past("on", today)?.ok_or_else(|| self.bad("on", "is empty"))?,
            amount: self.needed("amount")?,
            heading: self.text("heading").ok_or_else(|| self.bad("heading", "is empty"))?.to_owned(),
            car: self.some("car")?,
            direction: self.some("direction")?,
            party: self.some("party")?,
            note: self.some("note")?,
            paid: self.some("paid")?,
            vat: self.some("vat")?.unwrap_or_default(),
            usual: self.some("usual")?,
        })
    }
}

/// A car of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each field is the column of its name")]
pub struct CarRow {
    pub line: u64,
    pub mark: BoughtMark,
    pub bought_on: NaiveDate,
    pub purchase_price: Pence,
    pub from: Option<Wording>,
    pub via: Option<Via>,
    pub make: Option<Wording>,
    pub model: Option<Wording>,
    pub year: Option<ModelYear>,
    pub colour: Option<Wording>,
    pub fuel: Option<Wording>,
    pub miles: Option<Miles>,
    pub vin: Option<Vin>,
    pub mot_until: Option<NaiveDate>,
    pub paid: Option<PaidBy>,
    pub sale: Option<(NaiveDate, Pence)>,
    pub to: Option<Wording>,
    pub note: Option<Wording>,
}

/// Money of a file.
#[derive(Clone, Debug, PartialEq, Eq)]
#[allow(missing_docs, reason = "each field is the column of its name")]
pub struct MoneyRow {
    pub line: u64,
    pub on: NaiveDate,
    pub amount: Pence,
    pub heading: String,
    pub car: Option<CarRef>,
    pub direction: Option<Direction>,
    pub party: Option<Wording>,
    pub note: Option<Wording>,
    pub paid: Option<PaidBy>,
    pub vat: Pence,
    pub usual: Option<Pence>,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn header(cells: &str) -> Vec<String> {
        cells.split(',').map(str::to_owned).collect()
    }

    fn row(cells: &str) -> SheetRow {
        SheetRow { line: 2, cells: header(cells) }
    }

    fn today() -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
    }

    #[test]
    fn columns_are_known_by_what_people_call_them() {
        let layout =
            Layout::from_header(&header("\u{feff}Registration,Date bought,PRICE PAID,Seller"), None, false).unwrap();
        assert_eq!(layout.rows(), Rows::Cars);
        let car = layout.cells(&row("kx42 rto,1/10/2026,\"£425\",R Ashdown").clone()).unwrap().car(today());
        assert!(car.is_err(), "a quoted amount is the file reader's to unquote");
        let car = layout.cells(&row("kx42 rto,1/10/2026,£425,R Ashdown")).unwrap().car(today()).unwrap();
        assert_eq!((car.purchase_price, car.bought_on.to_string()), (Pence::new(42_500), "2026-10-01".to_owned()));
        assert_eq!(Layout::from_header(&header("date,amount,category"), None, false).unwrap().rows(), Rows::Money);
    }

    #[test]
    fn a_header_says_what_is_wrong_with_it() {
        let why = |cells: &str, pass| Layout::from_header(&header(cells), None, pass).unwrap_err().why;
        assert!(why("mark,bought_on", false).contains("no column purchase_price"));
        assert!(why("mark,bought_on,purchase_price,wheels", false).contains("no column 'wheels' is known"));
        assert!(why("mark,reg,bought_on,purchase_price", false).contains("two columns are 'mark'"));
        assert!(Layout::from_header(&header("mark,bought_on,purchase_price,wheels"), None, true).is_ok());
    }

    #[test]
    fn a_row_says_which_column_is_wrong_and_why() {
        let layout = Layout::from_header(&header("on,amount,heading,car"), None, false).unwrap();
        let why = |cells: &str| layout.cells(&row(cells)).unwrap().money(today()).unwrap_err().to_string();
        assert!(why("32/1,5,mot,").starts_with("line 2: on: "), "{}", why("32/1,5,mot,"));
        assert!(why("1/1/2026,-5,mot,").starts_with("line 2: amount: "));
        assert!(why("1/1/2026,5,,").contains("heading: is empty"));
        assert!(why("26/11/2026,5,mot,").contains("after today"));
    }

    #[test]
    fn a_row_longer_than_its_header_is_refused_with_the_likely_cause() {
        let short = Layout::from_header(&header("on,heading,amount"), None, false).unwrap();
        let long = Layout::from_header(&header("on,amount,heading,party,vat,note"), None, false).unwrap();
        let why = |layout: &Layout, cells: &str| layout.cells(&row(cells)).map(|_| ()).map_err(|row| row.to_string());
        let refused = |layout: &Layout, cells: &str| why(layout, cells).unwrap_err();
        let told = "line 2: has 4 cells where the header has 3: a comma inside a cell needs quotes around it, as in ";
        assert_eq!(refused(&short, "1/10/2026,parts,1,250.00"), format!("{told}\"1,250.00\""));
        assert_eq!(refused(&short, "1/10/2026,parts,£2,640"), format!("{told}\"£2,640\""));
        assert_eq!(refused(&short, "1/10/2026,parts,36,and a jack"), format!("{told}\"1,250.00\""));
        // As many cells as columns, because the last were left out.
        assert!(refused(&long, "1/10/2026,3,480.50,parts").contains("as \"3,480.50\""));
        assert!(refused(&long, "1/10/2026,15,parts,Ash,1,320.00").contains("as \"1,320.00\""));
        let cars = Layout::from_header(&header("on,heading,amount,car"), None, false).unwrap();
        assert!(refused(&cars, "1/10/2026,parts,1,250.00").contains("as \"1,250.00\""));
        assert_eq!(why(&cars, "1/10/2026,parts,36,250"), Ok(()), "that is the car's number");
        for will_do in ["1/10/2026,36,parts", "1/10/2026,36,parts,,,", "1/10/2026,36,parts,Ash,6,206 GTI,,"] {
            assert_eq!(why(&long, will_do), Ok(()), "{will_do}");
        }
        assert_eq!(why(&short, "1/10/2026,parts,36, "), Ok(()), "nothing is left out with an empty cell");
    }
}

//! One table of a report as CSV (RFC 4180) for spreadsheets and scripts.
//!
//! The forms are the machine forms of the cells, each row ends in CR LF, and the total row is left
//! out, since readers add up themselves. Text cells, and only those, are guarded against being taken
//! for a formula; the import takes that mark off again.

use std::borrow::Cow;
use std::io;

use csv::{Terminator, WriterBuilder};

use crate::report::cell::Cell;
pub use crate::report::cell::{guard, unguard};
use crate::report::document::{Readers, Table};

/// The table with a header line of its column keys.
///
/// # Errors
/// When a row has another number of cells than the table has columns.
pub fn table_csv(table: &Table) -> Result<String, csv::Error> {
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    let for_machines = |index: usize| table.columns.get(index).is_none_or(|column| column.readers != Readers::People);
    writer.write_record(
        table.columns.iter().filter(|column| column.readers != Readers::People).map(|column| column.key),
    )?;
    for row in &table.rows {
        let cells = row.iter().enumerate().filter(|(index, _)| for_machines(*index));
        writer.write_record(cells.map(|(_, cell)| field(cell).into_owned()))?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    // Only whole strings were written, so the bytes are UTF-8.
    Ok(String::from_utf8(bytes).map_err(io::Error::other)?)
}

fn field(cell: &Cell) -> Cow<'_, str> {
    match cell {
        Cell::Text(text) => guard(text),
        _ => cell.machine_form(),
    }
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;
    use proptest::prelude::*;
    use rust_decimal::Decimal;

    use super::*;
    use crate::domain::days::month::Month;
    use crate::domain::value::pence::Pence;
    use crate::report::document::Column;

    fn notes(texts: &[&str]) -> Table {
        let columns = vec![Column::new("stock_no", "No.").csv_only(), Column::new("note", "Note")];
        let mut table = Table::new("notes", columns, "No notes.");
        for text in texts {
            table.row(vec![Cell::count(7), Cell::text(*text)]);
        }
        table
    }

    #[test]
    fn each_kind_in_its_machine_form_and_no_total() {
        let day = NaiveDate::from_ymd_opt(2026, 11, 21).unwrap();
        let keys = ["mark", "price", "sold_on", "month", "days", "count", "return_pct", "turn", "to"];
        let columns = keys.iter().map(|key| Column::new(key, "Title")).collect();
        let mut table = Table::new("cars", columns, "None.");
        table.row(vec![
            Cell::text("KX42 RTO"),
            Cell::Money(Pence::new(-125_050)),
            Cell::from(day),
            Cell::from(Month::containing(day)),
            Cell::days(-3),
            Cell::count(1200),
            Cell::percent(Decimal::new(-74365, 3)),
            Cell::number(Decimal::new(2, 0)),
            Cell::Missing,
        ]);
        table.total_row(vec![Cell::text("Total"); 9]);
        assert_eq!(
            table_csv(&table).unwrap(),
            "mark,price,sold_on,month,days,count,return_pct,turn,to\r\n\
             KX42 RTO,-1250.50,2026-11-21,2026-11,-3,1200,-74.37,2.00,\r\n"
        );
    }

    #[test]
    fn quotes_where_rfc_4180_asks_for_them() {
        // RFC 4180, section 2, rules 6 and 7.
        let table = notes(&["a,b", "say \"no\"", "one\r\ntwo", "漢 ë £"]);
        assert_eq!(
            table_csv(&table).unwrap(),
            "stock_no,note\r\n\
             7,\"a,b\"\r\n\
             7,\"say \"\"no\"\"\"\r\n\
             7,\"one\r\ntwo\"\r\n\
             7,漢 ë £\r\n"
        );
    }

    #[test]
    fn formulas_are_guarded_in_text_only() {
        let table = notes(&["=1+1", "'=1+1", "-5", "'twas"]);
        assert_eq!(table_csv(&table).unwrap(), "stock_no,note\r\n7,'=1+1\r\n7,''=1+1\r\n7,'-5\r\n7,'twas\r\n");
    }

    #[test]
    fn what_is_only_for_people_is_left_out() {
        let columns = vec![Column::new("to_watch", "To watch").screen_only(), Column::new("flags", "Flags").csv_only()];
        let mut table = Table::new("cars", columns, "None.");
        table.row(vec![Cell::text("MOT soon"), Cell::text("mot-soon")]);
        assert_eq!(table_csv(&table).unwrap(), "flags\r\nmot-soon\r\n");
    }

    #[test]
    fn an_empty_table_is_its_header() {
        assert_eq!(table_csv(&notes(&[])).unwrap(), "stock_no,note\r\n");
    }

    #[test]
    fn an_uneven_row_is_an_error() {
        let mut table = notes(&[]);
        table.rows.push(vec![Cell::Missing]);
        assert!(table_csv(&table).is_err());
    }

    proptest! {
        #[test]
        fn any_text_reads_back(text in any::<String>()) {
            let written = table_csv(&notes(&[&text])).unwrap();
            let mut reader = csv::Reader::from_reader(written.as_bytes());
            let record = reader.records().next().unwrap().unwrap();
            prop_assert_eq!(unguard(&record[1]), text.as_str());
        }
    }
}

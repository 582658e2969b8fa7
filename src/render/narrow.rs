//! A table on a terminal too narrow for its columns: row by row, each value with the name of its column.

use unicode_width::UnicodeWidthStr;

/// Between two values.
const GAP: &str = "  ";
/// Before a line that goes on with a row.
const SET_IN: &str = "  ";

/// The rows of a table given by columns, each with its title first and perhaps a total last. The first value
/// of a row stands alone; what is not there is left out.
pub(super) fn row_by_row(columns: &[&[String]], rows: usize, width: usize) -> Vec<String> {
    let last = columns.iter().map(|column| column.len()).max().unwrap_or(0);
    let mut lines = Vec::new();
    for row in 1..last {
        if row > rows && !lines.is_empty() {
            lines.push(String::new());
        }
        let mut pieces = Vec::new();
        for (n, column) in columns.iter().enumerate() {
            let (title, value) = (column[0].trim(), column.get(row).map_or("", |value| value.trim()));
            let says_nothing = value.is_empty() || value == "—" || value == "-";
            if !says_nothing {
                pieces.push(if n == 0 || pieces.is_empty() { value.to_owned() } else { format!("{title} {value}") });
            }
        }
        if pieces.is_empty() {
            pieces.extend(columns.first().and_then(|column| column.get(row)).map(|value| value.trim().to_owned()));
        }
        lines.extend(filled(&pieces, width));
    }
    lines
}

/// Pieces in lines of at most `width`, a piece broken only where it is wider than a line.
fn filled(pieces: &[String], width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let mut place = |text: &str, gap: &str| {
        if !line.trim().is_empty() && line.width() + gap.len() + text.width() > width {
            lines.push(std::mem::replace(&mut line, SET_IN.to_owned()));
        }
        if !line.trim().is_empty() {
            line.push_str(gap);
        }
        line.push_str(text);
    };
    for piece in pieces {
        if piece.width() + SET_IN.len() <= width {
            place(piece, GAP);
        } else {
            for (n, word) in piece.split(' ').enumerate() {
                place(word, if n == 0 { GAP } else { " " });
            }
        }
    }
    lines.push(line);
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn column(lines: &[&str]) -> Vec<String> {
        lines.iter().map(|line| (*line).to_owned()).collect()
    }

    #[test]
    fn each_value_has_the_name_of_its_column() {
        let columns = [
            column(&["No", "15", "16", ""]),
            column(&["Mark", "TU49 GLE", "UJ92 TAV", "2 cars"]),
            column(&["Stands in", "  566.20", "  915.85", "1,482.05"]),
            column(&["Asking", "1,050.00", "—", ""]),
        ];
        let columns: Vec<&[String]> = columns.iter().map(|column| &column[..]).collect();
        assert_eq!(
            row_by_row(&columns, 2, 34),
            [
                "15  Mark TU49 GLE",
                "  Stands in 566.20",
                "  Asking 1,050.00",
                "16  Mark UJ92 TAV",
                "  Stands in 915.85",
                "",
                "2 cars  Stands in 1,482.05",
            ]
        );
    }

    #[test]
    fn what_is_wider_than_the_line_is_broken_at_spaces() {
        let filled = filled(&column(&["15", "a very long note on this car"]), 12);
        assert_eq!(filled, ["15  a very", "  long note", "  on this", "  car"]);
    }
}

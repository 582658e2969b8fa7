//! A report for people: plain lines, figures in columns, nothing that needs explaining.
//!
//! Everything about how it looks is decided here: the forms of money and dates, alignment, which
//! columns stay on a narrow screen, colour. What is shown, and in which order, came with the report.

use anstyle::{AnsiColor, Style};
use tabled::builder::Builder;
use tabled::settings::object::{Cell as At, Columns};
use tabled::settings::style::HorizontalLine;
use tabled::settings::themes::Theme;
use tabled::settings::{Alignment, Color, Padding, Style as Lines};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::domain::days::day;
use crate::domain::value::control_chars::escape_control_chars;
use crate::render::folding::fold;
use crate::render::narrow::row_by_row;
use crate::report::cell::{Cell, two_decimals};
use crate::report::document::{Block, Column, Document, Readers, Table};

/// Spaces between two columns.
const GAP: usize = 2;
/// The narrowest a text is cut to, in terminal columns: below this it tells nothing.
const SHORTEST_CUT: usize = 8;
/// The room an elastic text is granted before another column has to go for it. One very long note
/// must not drive every other column off the screen.
const FAIR_SHARE: usize = 24;
/// Stands after the digits of a percentage.
const PERCENT_SIGN: &str = " %";

const HEADLINE: Style = Style::new().bold();
const HEADING: Style = Style::new().underline();
const TOTAL: Style = Style::new().bold();
const NEGATIVE: Style = AnsiColor::Red.on_default();

/// What the terminal (or file) that is written to can show.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TextStyle {
    /// Terminal columns; `usize::MAX` for no limit.
    pub width: usize,
    /// Whether escape sequences for colour and weight may be written.
    pub colour: bool,
    /// Whether dashes, ellipses and rules may leave ASCII. Names, and £, are as recorded either way.
    pub unicode: bool,
}

/// A report as text.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Rendered {
    /// For standard output: the answer, each line ended.
    pub out: String,
    /// For standard error: hints and cautions, without colour or line end.
    pub notes: Vec<String>,
}

/// Lays out a report.
pub fn text(document: &Document, style: TextStyle) -> Rendered {
    let mut rendered = Rendered::default();
    let mut before = None;
    for block in &document.blocks {
        if let Block::Note(note) = block {
            rendered.notes.push(style.plain(note));
            continue;
        }
        let lines = style.block(block);
        if lines.is_empty() {
            continue;
        }
        if before.is_some_and(|before| stand_apart(before, block)) {
            rendered.out.push('\n');
        }
        for line in lines {
            rendered.out.push_str(line.trim_end());
            rendered.out.push('\n');
        }
        before = Some(block);
    }
    rendered
}

/// The form of a value that people read, in full Unicode and without colour: `1,250.50`,
/// `21 Nov 2026`, `Nov 2026`, `74.36 %`, `—`. Text is `escape_control_chars`.
pub fn human_form(cell: &Cell) -> String {
    match cell {
        Cell::Text(text) => escape_control_chars(text).into_owned(),
        Cell::Money(pence) => pence.grouped(),
        Cell::Date(date) => day::long(*date),
        Cell::Month(month) => month.to_string(),
        Cell::Days(whole) | Cell::Count(whole) => whole.to_string(),
        Cell::Percent(figure) => two_decimals(*figure) + PERCENT_SIGN,
        Cell::Number(figure) => two_decimals(*figure),
        Cell::Missing => "—".to_owned(),
        Cell::Blank => String::new(),
    }
}

/// Whether an empty line belongs between two blocks: sentences run on, and a heading stays with
/// what it names.
const fn stand_apart(before: &Block, after: &Block) -> bool {
    match before {
        Block::Heading(_) => false,
        Block::Headline(_) | Block::Sentence(_) => !matches!(after, Block::Sentence(_)),
        _ => true,
    }
}

impl TextStyle {
    fn block(self, block: &Block) -> Vec<String> {
        match block {
            Block::Headline(text) => self.sentence(text, HEADLINE),
            Block::Sentence(text) => self.sentence(text, Style::new()),
            Block::Heading(text) => self.sentence(text, HEADING),
            Block::Table(table) if table.rows.is_empty() && table.empty.is_empty() => Vec::new(),
            Block::Table(table) if table.rows.is_empty() => self.sentence(table.empty, Style::new()),
            Block::Table(table) => self.table(table),
            Block::Facts(facts) => self.facts(facts),
            Block::Note(_) => Vec::new(),
        }
    }

    fn sentence(self, text: &str, style: Style) -> Vec<String> {
        let lines = fold(&self.plain(text), self.width).into_iter();
        lines.map(|line| self.paint(&line, style)).collect()
    }

    /// Labels on the left, values beside them. Figures share a right edge; the sign of a percentage
    /// hangs over it, so that decimal points stay under each other.
    fn facts(self, facts: &[(String, Cell)]) -> Vec<String> {
        let has_percent = facts.iter().any(|(_, cell)| matches!(cell, Cell::Percent(_)));
        let has_figures = facts.iter().any(|(_, cell)| cell.is_figure());
        let shown: Vec<(String, String)> =
            facts.iter().map(|(label, cell)| (self.plain(label), self.cell(cell))).collect();
        // How far a figure reaches, the room under a percent sign included; `None` for the rest.
        let reach = |cell: &Cell, value: &str| match cell {
            Cell::Percent(_) => Some(value.width()),
            Cell::Missing if !has_figures => None,
            Cell::Text(_) | Cell::Blank | Cell::Date(_) | Cell::Month(_) => None,
            _ if has_percent => Some(value.width() + PERCENT_SIGN.len()),
            _ => Some(value.width()),
        };
        let rows = || facts.iter().map(|(_, cell)| cell).zip(&shown);
        let right_edge = rows().filter_map(|(cell, (_, value))| reach(cell, value)).max().unwrap_or(0);
        let indent = widest(shown.iter().map(|(label, _)| label)) + GAP;
        let room = self.width.saturating_sub(indent).max(SHORTEST_CUT);

        let mut lines = Vec::new();
        for (cell, (label, value)) in rows() {
            let mut start = pad(label, indent);
            if let Some(reach) = reach(cell, value) {
                start.push_str(&" ".repeat(right_edge - reach));
            }
            let parts = match cell {
                Cell::Text(_) => fold(value, room),
                _ => vec![value.clone()],
            };
            for part in parts {
                // A command that is kept whole may need the room under the label.
                let spare = self.width.saturating_sub(part.width());
                if spare < indent && part.width() > room {
                    if !start.trim().is_empty() {
                        lines.push(start);
                    }
                    start = " ".repeat(spare.min(indent));
                }
                lines.push(start + &self.paint(&part, weight(cell, false)));
                start = " ".repeat(indent);
            }
        }
        lines
    }

    fn table(self, table: &Table) -> Vec<String> {
        let mut strips: Vec<Strip> = (table.columns.iter().enumerate())
            .filter(|(_, column)| column.readers != Readers::Machines)
            .map(|(index, column)| self.strip(table, index, column))
            .collect();
        drop_columns(&mut strips, self.width);
        let cut_short = |strip: &Strip| if strip.is_elastic { strip.width.min(SHORTEST_CUT) } else { strip.width };
        if line_width(&strips, cut_short) > self.width {
            let columns: Vec<&[String]> = strips.iter().map(|strip| &strip.lines[..]).collect();
            return row_by_row(&columns, table.rows.len(), self.width);
        }
        self.cut_columns(&mut strips);

        let mut builder = Builder::default();
        for strip in &strips {
            builder.push_column(&strip.lines);
        }
        let mut grid = builder.build();
        let rule = HorizontalLine::new(if self.unicode { '─' } else { '-' });
        let mut theme = Theme::from_style(Lines::empty());
        theme.insert_horizontal_line(1, rule);
        if table.total.is_some() {
            theme.insert_horizontal_line(table.rows.len() + 1, rule);
        }
        grid.with(theme).with(Padding::zero()).modify(Columns::new(1..), Padding::new(GAP, 0, 0, 0));
        for (index, strip) in strips.iter().enumerate() {
            if strip.is_right {
                grid.modify(Columns::one(index), Alignment::right());
            }
            if self.colour {
                for (line, style) in &strip.painted {
                    let on = Color::new(style.render().to_string(), style.render_reset().to_string());
                    grid.modify(At::new(*line, index), on);
                }
            }
        }
        grid.to_string().lines().map(str::to_owned).collect()
    }

    fn strip(self, table: &Table, index: usize, column: &Column) -> Strip {
        let cells = || table.cells_of(index);
        let last = cells().count();
        let painted = cells()
            .zip(1..)
            .map(|(cell, line)| (line, weight(cell, table.total.is_some() && line == last)))
            .filter(|(_, style)| *style != Style::new())
            .collect();
        let date_width =
            cells().filter(|cell| matches!(cell, Cell::Date(_))).map(|cell| self.cell(cell).width()).max().unwrap_or(0);
        // A date early in the month starts one place later, so that months and years line up.
        let values = cells().map(|cell| match cell {
            Cell::Date(_) => format!("{:>date_width$}", self.cell(cell)),
            _ => self.cell(cell),
        });
        let lines: Vec<String> = std::iter::once(self.plain(column.title)).chain(values).collect();
        Strip {
            width: widest(&lines),
            lines,
            painted,
            is_right: table.holds_figures(index),
            importance: column.importance,
            // A sum or a date that is cut is wrong, whatever the column says of itself.
            is_elastic: column.elastic
                && cells().all(|cell| matches!(cell, Cell::Text(_) | Cell::Missing | Cell::Blank)),
        }
    }

    /// Narrows the elastic columns, the widest first, until the line fits or nothing more gives.
    fn cut_columns(self, strips: &mut [Strip]) {
        for strip in strips.iter_mut().filter(|strip| strip.is_elastic) {
            strip.width = strip.width.min(self.width.max(SHORTEST_CUT));
        }
        let mut excess = line_width(strips, |strip| strip.width).saturating_sub(self.width);
        while excess > 0 {
            let widest = (strips.iter_mut())
                .filter(|strip| strip.is_elastic && strip.width > SHORTEST_CUT)
                .max_by_key(|strip| strip.width);
            let Some(widest) = widest else { break };
            widest.width -= 1;
            excess -= 1;
        }
        for strip in strips.iter_mut().filter(|strip| strip.is_elastic) {
            for line in &mut strip.lines {
                if line.width() > strip.width {
                    *line = cut(line, strip.width, self.ellipsis());
                }
            }
        }
    }

    fn cell(self, cell: &Cell) -> String {
        self.in_charset(human_form(cell))
    }

    fn plain(self, text: &str) -> String {
        self.in_charset(escape_control_chars(text).into_owned())
    }

    fn in_charset(self, text: String) -> String {
        if self.unicode { text } else { text.replace(['—', '─'], "-").replace('…', "...") }
    }

    const fn ellipsis(self) -> &'static str {
        if self.unicode { "…" } else { "..." }
    }

    fn paint(self, text: &str, style: Style) -> String {
        if self.colour && style != Style::new() { format!("{style}{text}{style:#}") } else { text.to_owned() }
    }
}

/// One column on its way to the page.
struct Strip {
    /// The header, the rows, the total.
    lines: Vec<String>,
    /// Which of the lines are not plain.
    painted: Vec<(usize, Style)>,
    width: usize,
    is_right: bool,
    is_elastic: bool,
    importance: u8,
}

/// Leaves out columns, the highest importance number first and the rightmost among equals, until
/// the rest fits or only columns that are always shown are left.
fn drop_columns(strips: &mut Vec<Strip>, width: usize) {
    let least = |strip: &Strip| {
        if strip.is_elastic { strip.width.min(FAIR_SHARE) } else { strip.width }
    };
    while strips.len() > 1 && line_width(strips, least) > width {
        let droppable = (strips.iter().enumerate())
            .filter(|(_, strip)| strip.importance > 0)
            .max_by_key(|(_, strip)| strip.importance);
        let Some((index, _)) = droppable else { break };
        strips.remove(index);
    }
}

fn line_width(strips: &[Strip], width: impl Fn(&Strip) -> usize) -> usize {
    strips.iter().map(width).sum::<usize>() + GAP * strips.len().saturating_sub(1)
}

/// The colour only underlines what the minus sign and the word "Total" say already.
fn weight(cell: &Cell, in_total: bool) -> Style {
    let base = if in_total && !cell.is_silent() { TOTAL } else { Style::new() };
    match cell {
        Cell::Money(pence) if pence.is_negative() => base.fg_color(NEGATIVE.get_fg_color()),
        _ => base,
    }
}

fn widest(lines: impl IntoIterator<Item = impl AsRef<str>>) -> usize {
    let widths = lines.into_iter().map(|line| line.as_ref().width());
    widths.max().unwrap_or(0)
}

fn pad(text: &str, width: usize) -> String {
    text.to_owned() + &" ".repeat(width.saturating_sub(text.width()))
}

/// The longest beginning of a text that fits with the ellipsis after it.
fn cut(text: &str, width: usize, ellipsis: &str) -> String {
    let room = width.saturating_sub(ellipsis.width());
    let mut end = 0;
    let mut used = 0;
    for (start, character) in text.char_indices() {
        used += character.width().unwrap_or(0);
        if used > room {
            break;
        }
        end = start + character.len_utf8();
    }
    // A sequence of characters can be wider than its parts (an emoji selector widens the sign
    // before it), so the whole has the last word.
    let mut kept = text[..end].to_owned();
    while kept.width() > room {
        kept.pop();
    }
    kept.truncate(kept.trim_end().len());
    kept + ellipsis
}

#[cfg(test)]
mod tests {
    use chrono::NaiveDate;
    use proptest::prelude::*;
    use rust_decimal::Decimal;

    use super::*;
    use crate::domain::days::month::Month;
    use crate::domain::value::pence::Pence;

    const WIDE: TextStyle = TextStyle { width: 80, colour: false, unicode: true };

    fn at(width: usize) -> TextStyle {
        TextStyle { width, ..WIDE }
    }

    fn on(month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, month, day).unwrap()
    }

    fn money(pence: i64) -> Cell {
        Cell::Money(Pence::new(pence))
    }

    fn stock() -> Table {
        let columns = vec![
            Column::new("stock_no", "No."),
            Column::new("mark", "Mark"),
            Column::new("description", "Description").elastic(),
            Column::new("bought_on", "Bought").importance(3),
            Column::new("days_in_stock", "Days"),
            Column::new("stands_in", "Stands in at"),
            Column::new("asking_price", "Asking").importance(1),
            Column::new("mot_until", "MOT until").importance(2),
            Column::new("entry", "Entry").csv_only(),
        ];
        let mut table = Table::new("cars", columns, "No car is in stock.");
        table.row(vec![
            Cell::count(7),
            Cell::text("KX42 RTO"),
            Cell::text("Harrowgate Pimpernel 1.4 estate, silver"),
            Cell::from(on(9, 14)),
            Cell::days(68),
            money(58_485),
            money(129_500),
            Cell::from(on(11, 21)),
            Cell::count(12),
        ]);
        table.row(vec![
            Cell::count(11),
            Cell::text("Q7 ËLA"),
            Cell::text("漢字 Kestrel"),
            Cell::from(on(11, 2)),
            Cell::days(9),
            money(-1_234_505),
            Cell::Missing,
            Cell::Missing,
            Cell::count(40),
        ]);
        table.total_row(vec![
            Cell::blank(),
            Cell::text("2 cars"),
            Cell::blank(),
            Cell::blank(),
            Cell::blank(),
            money(-1_176_020),
            Cell::blank(),
            Cell::blank(),
            Cell::blank(),
        ]);
        table
    }

    fn shown(table: Table, style: TextStyle) -> String {
        let mut document = Document::new();
        document.table(table);
        text(&document, style).out
    }

    /// What a terminal would show, for the few sequences that are written.
    fn without_colour(painted: &str) -> String {
        let mut pieces = painted.split('\u{1b}');
        let first = pieces.next().unwrap().to_owned();
        pieces.fold(first, |text, piece| text + piece.split_once('m').unwrap().1)
    }

    #[test]
    fn each_kind_has_its_human_form() {
        for (cell, shown) in [
            (Cell::text("a\u{1b}[1m"), r"a\u{1b}[1m"),
            (money(125_050), "1,250.50"),
            (money(-5), "-0.05"),
            (Cell::from(on(11, 21)), "21 Nov 2026"),
            (Cell::from(Month::containing(on(11, 21))), "Nov 2026"),
            (Cell::days(-3), "-3"),
            (Cell::count(2012), "2012"),
            (Cell::percent(Decimal::new(74_355, 3)), "74.36 %"),
            (Cell::number(Decimal::new(2, 0)), "2.00"),
            (Cell::Missing, "—"),
            (Cell::blank(), ""),
        ] {
            assert_eq!(human_form(&cell), shown);
        }
    }

    #[test]
    fn a_wide_screen_shows_every_column_for_people() {
        let expected = "\
No.  Mark      Description                              Bought       Days  Stands in at    Asking  MOT until
──────────────────────────────────────────────────────────────────────────────────────────────────────────────
  7  KX42 RTO  Harrowgate Pimpernel 1.4 estate, silver  14 Sep 2026    68        584.85  1,295.00  21 Nov 2026
 11  Q7 ËLA    漢字 Kestrel                              2 Nov 2026     9    -12,345.05         —  —
──────────────────────────────────────────────────────────────────────────────────────────────────────────────
     2 cars                                                                  -11,760.20
";
        assert_eq!(shown(stock(), at(110)), expected);
        assert_eq!(shown(stock(), at(usize::MAX)), expected);
    }

    #[test]
    fn at_80_columns_go_by_importance_and_text_is_cut() {
        assert_eq!(
            shown(stock(), WIDE),
            "\
No.  Mark      Description                          Days  Stands in at    Asking
────────────────────────────────────────────────────────────────────────────────
  7  KX42 RTO  Harrowgate Pimpernel 1.4 estate, s…    68        584.85  1,295.00
 11  Q7 ËLA    漢字 Kestrel                            9    -12,345.05         —
────────────────────────────────────────────────────────────────────────────────
     2 cars                                                 -11,760.20
"
        );
    }

    #[test]
    fn at_40_what_cannot_be_cut_is_told_row_by_row() {
        assert_eq!(
            shown(stock(), at(40)),
            "\
7  Mark KX42 RTO  Description Harrowgate
  Pimpernel 1.4 estate, silver  Days 68
  Stands in at 584.85
11  Mark Q7 ËLA
  Description 漢字 Kestrel  Days 9
  Stands in at -12,345.05

2 cars  Stands in at -11,760.20
"
        );
    }

    #[test]
    fn an_empty_table_with_nothing_to_say_leaves_no_gap() {
        let mut report = Document::new();
        report.sentence("Nothing.").table(Table::new("lines", vec![Column::new("on", "Date")], "")).sentence("Next.");
        assert_eq!(text(&report, WIDE).out, "Nothing.\nNext.\n");
    }

    #[test]
    fn outside_unicode_the_lines_are_ascii() {
        let ascii = TextStyle { unicode: false, ..at(60) };
        assert_eq!(
            shown(stock(), ascii),
            "\
No.  Mark      Description                Days  Stands in at
------------------------------------------------------------
  7  KX42 RTO  Harrowgate Pimpernel 1...    68        584.85
 11  Q7 ËLA    漢字 Kestrel                  9    -12,345.05
------------------------------------------------------------
     2 cars                                       -11,760.20
"
        );
        assert_eq!(ascii.cell(&Cell::Missing), "-");
    }

    #[test]
    fn a_money_column_is_never_cut_even_if_called_elastic() {
        let columns = vec![Column::new("amount", "Amount").elastic(), Column::new("on", "On").elastic()];
        let mut table = Table::new("lines", columns, "None.");
        table.row(vec![money(123_456_789), Cell::from(on(11, 2))]);
        table.row(vec![Cell::Missing, Cell::Missing]);
        assert_eq!(shown(table, at(10)), "1,234,567.89\n  On 2 Nov\n  2026\n—\n");
    }

    #[test]
    fn a_long_note_drives_no_other_column_away() {
        let columns = vec![Column::new("note", "Note").elastic(), Column::new("amount", "Amount").importance(1)];
        let mut table = Table::new("lines", columns, "None.");
        table.row(vec![Cell::text("x".repeat(10_000)), money(450)]);
        assert_eq!(
            shown(table, at(40)),
            format!("{:<32}  Amount\n{}\n{}…    4.50\n", "Note", "─".repeat(40), "x".repeat(31))
        );
    }

    #[test]
    fn small_tables_stand_too() {
        let one = || vec![Column::new("mark", "Mark")];
        let empty = Table::new("cars", one(), "No car is in stock.");
        assert_eq!(shown(empty, WIDE), "No car is in stock.\n");

        let mut single = Table::new("cars", one(), "");
        single.row(vec![Cell::text("KX42 RTO")]);
        assert_eq!(shown(single, WIDE), "Mark\n────────\nKX42 RTO\n");

        let unseen = vec![Column::new("entry", "Entry").csv_only()];
        let mut machines = Table::new("cars", unseen, "");
        machines.row(vec![Cell::count(1)]);
        assert_eq!(shown(machines, WIDE), "");
    }

    fn whole() -> Document {
        let mut document = Document::new();
        document
            .headline("2 cars stand in at £1,842.40 — the older has been here 68 days.")
            .sentence("£3,157.60 is left to buy with.")
            .note("a record,\nnot advice…")
            .table(stock())
            .heading("The older car")
            .facts([
                ("Bought for", money(46_500)),
                ("Lost", money(-1_345)),
                ("Return", Cell::percent(Decimal::new(7436, 2))),
                ("Asking price", Cell::Missing),
                ("MOT until", Cell::from(on(11, 21))),
                ("Keeper", Cell::text("Mrs Ënid Farthing of the Old Forge")),
            ])
            .sentence("Next: `runabout stock` for all.");
        document
    }

    #[test]
    fn blocks_read_from_the_answer_down() {
        let rendered = text(&whole(), at(44));
        let mut lines = rendered.out.lines();
        assert_eq!(
            lines.by_ref().take(4).collect::<Vec<_>>(),
            [
                "2 cars stand in at £1,842.40 — the older has",
                "been here 68 days.",
                "£3,157.60 is left to buy with.",
                ""
            ]
        );
        assert_eq!(
            lines.skip(6).collect::<Vec<_>>(),
            [
                "",
                "The older car",
                "Bought for    465.00",
                "Lost          -13.45",
                "Return         74.36 %",
                "Asking price       —",
                "MOT until     21 Nov 2026",
                "Keeper        Mrs Ënid Farthing of the Old",
                "              Forge",
                "",
                "Next: `runabout stock` for all."
            ]
        );
        assert_eq!(rendered.notes, [r"a record,\nnot advice…"]);
    }

    #[test]
    fn colour_only_underlines() {
        let painted = text(&whole(), TextStyle { colour: true, ..WIDE });
        assert_eq!(without_colour(&painted.out), text(&whole(), WIDE).out);
        for part in [
            "\u{1b}[1m2 cars stand in",
            "\u{1b}[4mThe older car\u{1b}[0m\n",
            "    \u{1b}[31m-12,345.05\u{1b}[0m         —",
            "\u{1b}[1m2 cars\u{1b}[0m  ",
            "\u{1b}[1m\u{1b}[31m-11,760.20\u{1b}[0m\n",
            "Lost          \u{1b}[31m-13.45\u{1b}[0m\n",
        ] {
            assert!(painted.out.contains(part), "{part:?} in {:?}", painted.out);
        }
    }

    #[test]
    fn sentences_break_at_spaces_and_commands_stay_whole() {
        for (sentence, lines) in [
            ("", vec![""]),
            ("one two three", vec!["one two", "three"]),
            ("unbreakableword x", vec!["unbreakableword", "x"]),
            ("try `a b c d e` x", vec!["try", "`a b c d e`", "x"]),
            ("漢字 漢字 漢字", vec!["漢字 漢字", "漢字"]),
        ] {
            assert_eq!(fold(sentence, 9), lines);
        }
    }

    #[test]
    fn a_cut_measures_what_is_seen() {
        for (whole, short) in [
            ("漢字漢字漢字", "漢字漢…"),
            ("Zoë e\u{301}toile", "Zoë e\u{301}to…"),
            ("Harrow gate", "Harrow…"),
            ("❤\u{fe0f}❤\u{fe0f}❤\u{fe0f}❤\u{fe0f}❤\u{fe0f}", "❤\u{fe0f}❤\u{fe0f}❤\u{fe0f}❤…"),
        ] {
            assert_eq!(cut(whole, 8, "…"), short, "{whole}");
            assert!(short.width() <= 8, "{whole}");
        }
    }

    proptest! {
        #[test]
        fn any_text_keeps_to_its_row_and_its_width(
            note in any::<String>(),
            mark in "[A-Z0-9 ]{1,8}",
            width in 30_usize..120,
            colour in any::<bool>(),
        ) {
            let columns = vec![
                Column::new("mark", "Mark"),
                Column::new("note", "Note").elastic(),
                Column::new("amount", "Amount"),
            ];
            let mut table = Table::new("lines", columns, "None.");
            table.row(vec![Cell::text(mark), Cell::text(note), money(-125_050)]);
            let style = TextStyle { colour, ..at(width) };
            let out = without_colour(&shown(table, style));
            prop_assert_eq!(out.lines().count(), 3);
            prop_assert!(out.ends_with("  -1,250.50\n"));
            for line in out.lines() {
                prop_assert!(line.width() <= width, "{line}");
                prop_assert!(!line.contains(char::is_control), "{line:?}");
            }
        }
    }
}

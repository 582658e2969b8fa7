//! A page of pictures: the answers first, a picture to each section, the figures behind them at the end,
//! as in a printed book. It is read without a script, and nothing on it is folded away.

use crate::domain::days::day::long;
use crate::domain::value::made::Made;
use crate::domain::value::pence::Pence;
use crate::render::html::chart::chart;
use crate::render::html::page::{frame, text, value};
use crate::render::html::picture_style::STYLE;
use crate::report::cell::Cell;
use crate::report::document::{Readers, Table};
use crate::report::picture::picture::{Answer, Entry, Figures, PicturePage, Section};
use maud::{Markup, html};

/// The most columns of a table that need not fill the page.
const FEW: usize = 4;
/// The most characters of a text that is kept in one piece.
const SHORT: usize = 16;

/// The whole file, of the yard or of a month.
pub fn page(made: Made, page: &PicturePage) -> String {
    let behind = || page.sections.iter().filter_map(|section| Some((section, section.figures.as_ref()?)));
    let body = html! {
        header {
            @if let Some(trader) = &page.trader { p.trader { bdi { (text(trader)) } } }
            h1 { (text(&page.title)) }
        }
        main {
            (answers(&page.answers))
            @for part in &page.sections { (section(part)) }
            @if behind().next().is_some() {
                section #figures {
                    h2 { "The figures behind" }
                    div.said {
                        p { "In pounds unless another sign stands by. A dash stands for what is not known." }
                        @for (section, figures) in behind() { (table(section, figures)) }
                    }
                }
            }
        }
        footer {
            @for caution in &page.cautions { p { (sentence(caution)) } }
            p { "Made by Runabout from the book on " (long(page.day)) "." }
        }
    };
    frame(made, &page.title, &[STYLE], None, &body)
}

/// A sentence, the commands in it set as what is typed.
fn sentence(words: &str) -> Markup {
    html! {
        @for (n, part) in words.split('`').enumerate() {
            @if n % 2 == 1 { code { (text(part)) } } @else { (text(part)) }
        }
    }
}

/// A line each, the answer at the end of its leader.
fn answers(answers: &[Answer]) -> Markup {
    html! {
        dl.answers {
            @for answer in answers {
                div {
                    dt { (text(&answer.name)) }
                    dd {
                        strong { (text(&answer.figure)) }
                        @if let Some(remark) = &answer.remark { span { (sentence(remark)) } }
                    }
                }
            }
        }
    }
}

fn section(section: &Section) -> Markup {
    html! {
        section id=(section.id) {
            h2 { (text(&section.title)) }
            div.said {
                @for said in &section.said { p { (sentence(said)) } }
                @if !section.entries.is_empty() {
                    ul.entries { @for part in &section.entries { li class=[part.facts.is_empty().then_some("dated")] { (entry(part)) } } }
                }
                @if let Some(drawn) = &section.chart { figure { (chart(section.id, drawn)) } }
                @for note in &section.notes { p.note { (sentence(note)) } }
                @if section.figures.is_some() {
                    p.note { a href={ "#" (section.id) "-figures" } { "The figures behind: " (text(&section.title)) } }
                }
            }
        }
    }
}

fn entry(entry: &Entry) -> Markup {
    html! {
        p.what {
            strong {
                bdi { (text(&entry.name)) }
                @if let Some(when) = &entry.when { span.comma { ", " } span.when { (text(when)) } }
            }
            @if let Some(more) = &entry.more { " " span.more { bdi { (text(more)) } } }
        }
        @if !entry.facts.is_empty() {
            dl.facts { @for (name, cell) in &entry.facts { div { dt { (name) } dd { (with_pound(cell)) } } } }
        }
        @if let Some(watch) = &entry.watch { p.watch { bdi { (sentence(watch)) } } }
        @if let Some(next) = &entry.next { p.next { bdi { (sentence(next)) } } }
    }
}

/// A value away from a heading that says pounds.
fn with_pound(cell: &Cell) -> Markup {
    match cell {
        Cell::Money(amount) => html! { (amount.to_string()) },
        Cell::Missing => html! { "—" },
        other => value(other),
    }
}

/// A table under its name, which leads back to its section; wide ones scroll by themselves.
fn table(section: &Section, figures: &Figures) -> Markup {
    let Table { columns, rows, total, .. } = &figures.table;
    let shown: Vec<usize> = (0..columns.len()).filter(|n| columns[*n].readers != Readers::Machines).collect();
    let class = |n: &usize| figures.table.holds_figures(*n).then_some("figure");
    let id = format!("{}-figures", section.id);
    html! {
        div.wide id=(id) role="region" aria-labelledby={ (id) "-name" } tabindex="0" {
            table class=[(shown.len() <= FEW).then_some("few")] {
                caption id={ (id) "-name" } { (text(&figures.title)) }
                thead { tr { @for n in &shown { th scope="col" class=[class(n)] { (columns[*n].title) } } } }
                tbody { @for row in rows { tr { (cells(row, &shown, &class)) } } }
                @if let Some(total) = total { tfoot { tr { (cells(total, &shown, &class)) } } }
            }
        }
        p.note { a href={ "#" (section.id) } { "Back to: " (text(&section.title)) } }
    }
}

/// The first cell names its row.
fn cells(row: &[Cell], shown: &[usize], class: &impl Fn(&usize) -> Option<&'static str>) -> Markup {
    html! {
        @for (place, n) in shown.iter().enumerate() {
            @let class = class(n).unwrap_or_else(|| length(&row[*n]));
            @if place == 0 && !row[*n].is_silent() {
                th scope="row" class=(class) { bdi { (figure(&row[*n])) } }
            } @else {
                td class=(class) { bdi { (figure(&row[*n])) } }
            }
        }
    }
}

/// Words that are long may be broken anywhere; dates, marks and the like stay in one piece on a screen.
fn length(cell: &Cell) -> &'static str {
    match cell {
        Cell::Text(words) if words.chars().count() > SHORT => "long",
        _ => "short",
    }
}

/// A dash for what is not known, nothing where nothing belongs.
fn figure(cell: &Cell) -> Markup {
    match cell {
        Cell::Missing => html! { "—" },
        Cell::Money(amount) if *amount == Pence::ZERO => html! { "0.00" },
        other => value(other),
    }
}

//! Reading a page of pictures back with an independent HTML parser (html5ever, the one of the Servo
//! browser, by way of `scraper`), and what must hold of every one of them.

use scraper::{ElementRef, Html, Selector};
use std::collections::BTreeSet;
use unicode_width::UnicodeWidthStr;

/// A page read back.
pub struct Page {
    html: Html,
}

/// The room a column of words takes in a picture at the least that ordinary fonts do, in the picture's
/// units: 0.5 of its size, as Arial's figures (0.556) and letters on average.
const SIZES: [(&str, i64); 2] = [("small", 52), ("", 59)];
/// The height of letters and figures over their line: 0.72 of their size.
const CAPITALS: i64 = 78;

impl Page {
    /// Reads a page and checks what holds of every page.
    pub fn read(text: &str) -> Self {
        for banned in ["<script", "http:", "https:", "url(", "src=", "@import", "<iframe", "<object", "javascript:"] {
            assert!(!text.to_lowercase().contains(banned), "{banned}");
        }
        Self::read_words(text)
    }

    /// The same of a page on which somebody's words may look like any of these.
    pub fn read_words(text: &str) -> Self {
        let page = Self { html: Html::parse_document(text) };
        assert!(page.html.errors.is_empty(), "{:?}", page.html.errors);
        assert_eq!(page.all("script, link, img, iframe, object, embed, form, details").len(), 0);
        page.check_names();
        page.check_pictures();
        page
    }

    /// The elements a selector finds.
    pub fn all(&self, selector: &str) -> Vec<ElementRef<'_>> {
        let selector = Selector::parse(selector).unwrap();
        self.html.select(&selector).collect()
    }

    /// The words of the elements a selector finds.
    pub fn words(&self, selector: &str) -> Vec<String> {
        self.all(selector).into_iter().map(words).collect()
    }

    /// The table behind a section: its rows, the total last, money without its commas.
    pub fn table(&self, section: &str) -> Vec<Vec<String>> {
        let rows = self.all(&format!("#{section}-figures tbody tr, #{section}-figures tfoot tr"));
        assert!(!rows.is_empty(), "no table behind {section}");
        let cells = Selector::parse("td, th").unwrap();
        rows.iter().map(|row| row.select(&cells).map(|cell| words(cell).replace(',', "")).collect()).collect()
    }

    /// Every name is the only one of it, and every link and label leads to one.
    fn check_names(&self) {
        let mut names = BTreeSet::new();
        for named in self.all("[id]") {
            let name = named.value().id().unwrap();
            assert!(names.insert(name.to_owned()), "{name} is there twice");
        }
        for link in self.all("a[href]") {
            let to = link.value().attr("href").unwrap().strip_prefix('#').unwrap();
            assert!(names.contains(to), "no {to}");
        }
        for labelled in self.all("[aria-labelledby]") {
            for name in labelled.value().attr("aria-labelledby").unwrap().split(' ') {
                assert!(names.contains(name), "no {name}");
            }
        }
        assert_eq!(self.all("h1").len(), 1);
        assert!(self.all("section").iter().all(|section| section.select(&Selector::parse("h2").unwrap()).count() == 1));
    }

    /// Every picture has a title and says in words what it shows; its words neither touch nor leave it.
    fn check_pictures(&self) {
        for svg in self.all("svg") {
            let part = |name: &str| {
                let found: Vec<String> = svg.select(&Selector::parse(name).unwrap()).map(words).collect();
                assert_eq!(found.len(), 1, "{found:?}");
                found[0].clone()
            };
            assert!(!part("title").is_empty() && part("desc").len() > 40, "{}", part("desc"));
            assert_eq!(svg.value().attr("role"), Some("img"));
            check_words(svg);
        }
    }
}

fn words(element: ElementRef<'_>) -> String {
    element.text().collect::<String>().split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Where the words of a picture stand: left, top, right, foot.
fn check_words(svg: ElementRef<'_>) {
    let view: Vec<i64> = svg.value().attr("viewBox").unwrap().split(' ').map(|n| n.parse().unwrap()).collect();
    let mut placed: Vec<(String, [i64; 4])> = Vec::new();
    for text in svg.select(&Selector::parse("text").unwrap()) {
        let number = |name: &str| text.value().attr(name).unwrap().parse::<i64>().unwrap();
        let classes: Vec<&str> = text.value().classes().collect();
        let size = SIZES.iter().find(|(class, _)| class.is_empty() || classes.contains(class)).unwrap().1;
        let said = words(text);
        let room = i64::try_from(said.width()).unwrap() * size;
        let (x, y) = (number("x"), number("y"));
        let left = if classes.contains(&"end") {
            x - room
        } else if classes.contains(&"mid") {
            x - room / 2
        } else {
            x
        };
        let around = [left, y - CAPITALS, left + room, y];
        assert!(left >= -20 && left + room <= view[2] + 20 && y <= view[3], "{said} at {around:?} leaves {view:?}");
        for (other, there) in &placed {
            let apart =
                around[2] <= there[0] || there[2] <= around[0] || around[3] <= there[1] || there[3] <= around[1];
            assert!(apart, "{said} at {around:?} touches {other} at {there:?}");
        }
        placed.push((said, around));
    }
    for shape in svg.select(&Selector::parse("rect").unwrap()) {
        let number = |name: &str| shape.value().attr(name).unwrap().parse::<i64>().unwrap();
        let (x, y) = (number("x"), number("y"));
        assert!(
            x >= 0 && y >= 0 && x + number("width") <= view[2] && y + number("height") <= view[3],
            "{}",
            shape.html()
        );
    }
}

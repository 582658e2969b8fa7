//! Pictures as inline SVG, drawn for this book. Places are whole numbers, ten to a unit of the page; a
//! picture is 360 units wide, so that its words are read on a phone as they are set, and larger on a desk.
//!
//! Where a part of a bar begins is where the one before it ended: places on the paper, not figures.

mod bars;
mod drawn;
mod line_band;
mod months;
mod scale;
mod scatter;
mod style;
mod timeline;
mod waterfall;
mod words;

use crate::render::html::chart::drawn::WIDTH;
use crate::render::html::page::text;
use crate::report::picture::chart::{Chart, Drawing};
use maud::{Markup, html};

/// The picture, its title and its text equivalent. `id` is its section's, the only one of the page.
pub(super) fn chart(id: &str, chart: &Chart) -> Markup {
    let drawn = match &chart.drawing {
        Drawing::Months(columns) => months::drawn(columns),
        Drawing::LineBand(course) => line_band::drawn(course),
        Drawing::Bars(bars) => bars::drawn(bars),
        Drawing::Waterfall(steps) => waterfall::drawn(steps),
        Drawing::Timeline(stays) => timeline::drawn(stays),
        Drawing::Scatter(dots) => scatter::drawn(dots),
    };
    let (title, told) = (format!("{id}-title"), format!("{id}-told"));
    html! {
        svg viewBox={ "0 0 " (WIDTH) " " (drawn.height) } preserveAspectRatio="xMinYMin" role="img" aria-labelledby={ (title) " " (told) } {
            title id=(title) { (text(&chart.title)) }
            desc id=(told) { (text(&chart.told)) }
            (drawn.marks)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::domain::days::month::Month;
    use crate::domain::value::pence::Pence;
    use crate::render::html::chart::words::Size;
    use crate::report::picture::chart::{
        Ahead, Bar, Dot, LineBand, MonthColumn, Part, Pointer, Slots, Stay, Step, Stretch, StretchEnd, Timeline,
    };
    use chrono::{Days, NaiveDate};
    use proptest::prelude::*;
    use rust_decimal::Decimal;
    use scraper::{ElementRef, Html, Selector};

    fn day() -> NaiveDate {
        NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
    }

    fn month(number: usize) -> Month {
        (0..number).fold(Month::containing(day()), |month, _| month.next())
    }

    /// Up to a hundred million pounds either way, most of it small.
    fn sum() -> impl Strategy<Value = Pence> {
        prop_oneof![-300_000_i64..300_000, -9_999_999_999_i64..=9_999_999_999, Just(0)].prop_map(Pence::new)
    }

    fn name() -> impl Strategy<Value = String> {
        prop_oneof!["[A-Z0-9 ]{1,12}", "W{1,80}", "[日本a-z]{1,40}"]
    }

    fn months() -> impl Strategy<Value = Drawing> {
        prop::collection::vec((sum(), sum(), sum()), 1..13).prop_map(|sums| {
            let column = |(n, (gross, overheads, rest)): (usize, &(Pence, Pence, Pence))| MonthColumn {
                month: month(n),
                parts: vec![(Part::Gross, *gross), (Part::Overheads, *overheads), (Part::Rest, *rest)],
                profit: *gross + *overheads + *rest,
            };
            Drawing::Months(sums.iter().enumerate().map(column).collect())
        })
    }

    fn course() -> impl Strategy<Value = Drawing> {
        let ahead = prop::collection::vec((sum(), sum(), sum()), 0..25);
        (prop::collection::vec(sum(), 1..13), ahead).prop_map(|(behind, ahead)| {
            let before = behind.len() - 1;
            let behind = behind.into_iter().enumerate().map(|(n, sum)| (month(n).last_day(), sum)).collect();
            let ahead = ahead.into_iter().enumerate().map(|(n, (a, b, c))| {
                let mut sums = [a, b, c];
                sums.sort_unstable();
                Ahead { on: month(before + n + 1).last_day(), low: sums[0], middle: sums[1], high: sums[2] }
            });
            Drawing::LineBand(LineBand { behind, ahead: ahead.collect() })
        })
    }

    fn bars() -> impl Strategy<Value = Drawing> {
        let pointer = prop_oneof![Just(None), Just(Some(Pointer::CameIn)), Just(Some(Pointer::Asking))];
        let bar =
            (name(), name(), sum(), sum(), sum(), pointer, sum()).prop_map(|(name, told, a, b, c, pointer, at)| Bar {
                name,
                told,
                parts: vec![(Part::Purchase, a), (Part::OnYard, b), (Part::Profit, c)],
                pointer: pointer.map(|pointer| (pointer, at)),
            });
        prop::collection::vec(bar, 1..31).prop_map(Drawing::Bars)
    }

    fn walk() -> impl Strategy<Value = Drawing> {
        let step = (name(), sum(), any::<bool>()).prop_map(|(name, amount, is_sum)| Step { name, amount, is_sum });
        prop::collection::vec(step, 1..16).prop_map(Drawing::Waterfall)
    }

    fn stays() -> impl Strategy<Value = Drawing> {
        let ends = prop_oneof![Just(StretchEnd::Sold), Just(StretchEnd::Gone), Just(StretchEnd::Here)];
        let stay = (name(), 0_u64..700, 0_u64..400, ends, prop::option::of(0_u64..900));
        let cars = prop::collection::vec(stay, 0..31);
        (cars, 1_usize..16, prop::collection::vec((0_u32..120, 0_u32..120), 16)).prop_map(|(cars, count, slots)| {
            let first = month(0).first_day();
            let last = month(count - 1).last_day();
            let car = |(name, from, days, end, mot): (String, u64, u64, StretchEnd, Option<u64>)| {
                let from = (first - Days::new(300) + Days::new(from)).min(last);
                let until = (from + Days::new(days)).min(last);
                Stay {
                    name,
                    stretches: vec![Stretch { from, until, end }],
                    mot_until: mot.map(|days| first + Days::new(days)),
                }
            };
            let slot = |n: usize| Slots {
                month: month(n),
                planned: slots[n].0,
                filled: slots[n].1.min(slots[n].0),
                beyond: 0,
            };
            Drawing::Timeline(Timeline {
                from: first,
                to: last,
                today: last - Days::new(u64::try_from(count).unwrap()),
                slots: (0..count).map(slot).collect(),
                cars: cars.into_iter().map(car).collect(),
            })
        })
    }

    fn scatter() -> impl Strategy<Value = Drawing> {
        let dot = (1_u32..2_000, 0_i64..900, -10_000_i64..90_000).prop_map(|(stock_no, days, hundredths)| Dot {
            stock_no,
            days,
            return_pct: Decimal::new(hundredths, 2),
        });
        prop::collection::vec(dot, 1..61).prop_map(Drawing::Scatter)
    }

    fn number(element: ElementRef<'_>, name: &str) -> i64 {
        element.value().attr(name).unwrap().parse().unwrap()
    }

    /// The words of a picture and the room they take by the program's own measure, which is a little much.
    fn placed(svg: &Html) -> Vec<(String, [i64; 4])> {
        let texts = Selector::parse("text").unwrap();
        let around = |text: ElementRef<'_>| {
            let classes: Vec<&str> = text.value().classes().collect();
            let small = classes.contains(&"small");
            let said: String = text.text().collect();
            let room = if small { Size::Small } else { Size::Plain }.room(&said);
            let (x, y) = (number(text, "x"), number(text, "y"));
            let left = if classes.contains(&"end") {
                x - room
            } else if classes.contains(&"mid") {
                x - room / 2
            } else {
                x
            };
            (said, [left, y - if small { 75 } else { 85 }, left + room, y])
        };
        svg.select(&texts).map(around).collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

        /// Whatever the figures and names, words neither touch nor leave the picture, and nothing drawn does.
        #[test]
        fn words_never_touch(drawing in prop_oneof![months(), course(), bars(), walk(), stays(), scatter()]) {
            let made = chart("x", &Chart { title: "t".into(), told: "d".into(), drawing }).into_string();
            let svg = Html::parse_fragment(&made);
            let view = svg.select(&Selector::parse("svg").unwrap()).next().unwrap().value().attr("viewBox").unwrap();
            let height: i64 = view.split(' ').next_back().unwrap().parse().unwrap();
            let words = placed(&svg);
            for (n, (said, a)) in words.iter().enumerate() {
                prop_assert!(a[0] >= 0 && a[1] >= 0 && a[2] <= WIDTH && a[3] <= height, "{} at {:?} leaves {}", said, a, view);
                for (other, b) in &words[n + 1..] {
                    let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
                    prop_assert!(apart, "{} at {:?} touches {} at {:?}", said, a, other, b);
                }
            }
            for rect in svg.select(&Selector::parse("rect").unwrap()) {
                let (x, y) = (number(rect, "x"), number(rect, "y"));
                let (right, low) = (x + number(rect, "width"), y + number(rect, "height"));
                prop_assert!(x >= 0 && y >= 0 && right <= WIDTH && low <= height, "{} in {}", rect.html(), view);
            }
        }
    }
}

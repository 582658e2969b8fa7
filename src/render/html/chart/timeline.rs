//! When each car was here: a row for each, month by month, under the slots of the programme.

use crate::render::html::chart::drawn::{Drawn, WIDTH};
use crate::render::html::chart::scale::Scale;
use crate::render::html::chart::style::{Area, Key, key};
use crate::render::html::chart::words::Size;
use crate::report::picture::chart::{Slots, Stay, Stretch, StretchEnd, Timeline};
use chrono::{Datelike, NaiveDate};
use maud::{Markup, html};

const ROW: i64 = 190;
const BAR: i64 = 90;
/// The most room for names at the left.
const MOST_NAMES: i64 = 1250;
/// The most slots of a month drawn each by itself.
const MOST_SLOTS: u32 = 4;

pub(super) fn drawn(stays: &Timeline) -> Drawn {
    let has_slots = stays.slots.iter().any(|slots| slots.planned > 0);
    // The sign of the slots comes last.
    let (key, key_height) = key(&[], &SIGNS[..SIGNS.len() - usize::from(!has_slots)], 0);
    let number = |on: NaiveDate| i64::from(on.num_days_from_ce());
    let longest = stays.cars.iter().map(|stay| Size::Plain.room(&stay.name)).max().unwrap_or_default();
    let names = (longest + 100).clamp(600, MOST_NAMES);
    let scale = Scale::new((number(stays.from), number(stays.to) + 1), (names, WIDTH - 60));
    let place = |on: NaiveDate| scale.place(number(on));
    let months = key_height + 130;
    let top = months + if has_slots { 330 } else { 130 };
    let low = top + ROW * i64::try_from(stays.cars.len()).unwrap_or_default();
    let today = place(stays.today);
    let marks = html! {
        (key)
        @if has_slots { text.name x="0" y=(months + 190) { "slots" } }
        @for slots in &stays.slots {
            @let (x, width) = (place(slots.month.first_day()), place(slots.month.next().first_day()) - place(slots.month.first_day()));
            line.rule x1=(x) y1=(months + 60) x2=(x) y2=(low) {}
            (self::slots(slots, x, months + 100, width))
        }
        (month_names(&stays.slots, place, months))
        @for (n, stay) in stays.cars.iter().enumerate() {
            (row(stay, stays, &place, top + ROW * i64::try_from(n).unwrap_or_default()))
        }
        line.today x1=(today) y1=(months + 60) x2=(today) y2=(low) {}
        text.small.mid x=(today.clamp(names, WIDTH - 200)) y=(low + 120) { "today" }
    };
    Drawn { height: low + 160, marks }
}

/// The name of every third month or so, as there is room, and the year of the first in each.
fn month_names(slots: &[Slots], place: impl Fn(NaiveDate) -> i64, y: i64) -> Markup {
    let (mut free, mut year) = (0, None);
    let named = slots.iter().filter_map(|slots| {
        let (x, day) = (place(slots.month.first_day()), slots.month.first_day());
        let name =
            if year == Some(day.year()) { day.format("%b").to_string() } else { day.format("%b %Y").to_string() };
        let room = Size::Small.room(&name) + 60;
        (x >= free && x + room <= WIDTH + 60).then(|| {
            (free, year) = (x + room, Some(day.year()));
            (x, name)
        })
    });
    html! { @for (x, name) in named { text.small x=(x) y=(y + 30) { (name) } } }
}

/// The slots of a month: each a square, filled or open; many as one box filled as far as they are.
fn slots(slots: &Slots, x: i64, y: i64, width: i64) -> Markup {
    let room = width - 30;
    html! {
        @if slots.planned > MOST_SLOTS {
            rect.bare x=(x + 15) y=(y) width=(room) height="100" {}
            rect.deep x=(x + 15) y=(y) width=(room * i64::from(slots.filled) / i64::from(slots.planned)) height="100" {}
        } @else {
            @let side = (room / i64::from(slots.planned.max(1))).min(100) - 10;
            @for n in 0..slots.planned {
                rect class=(if n < slots.filled { "deep" } else { "bare" })
                    x=(x + 20 + i64::from(n) * (side + 10)) y=(y + (100 - side) / 2) width=(side) height=(side) {}
            }
        }
    }
}

fn row(stay: &Stay, stays: &Timeline, place: &impl Fn(NaiveDate) -> i64, y: i64) -> Markup {
    let middle = y + ROW / 2;
    html! {
        text.name x="0" y=(middle + 38) { (Size::Plain.cut(&stay.name, place(stays.from) - 70)) }
        @for stretch in stay.stretches.iter().filter(|stretch| stretch.until >= stays.from) {
            (self::stretch(stretch, place, middle))
        }
        @if let Some(until) = stay.mot_until.filter(|until| *until >= stays.from) {
            @if until <= stays.to { (diamond(place(until), middle)) } @else { (further(WIDTH - 50, middle)) }
        }
    }
}

fn stretch(stretch: &Stretch, place: &impl Fn(NaiveDate) -> i64, middle: i64) -> Markup {
    let (left, right) = (place(stretch.from), place(stretch.until));
    let class = if stretch.end == StretchEnd::Here { "pale" } else { "deep" };
    html! {
        rect class=(class) x=(left) y=(middle - BAR / 2) width=((right - left).max(16)) height=(BAR) {}
        @if stretch.end == StretchEnd::Gone { (cross(right, middle)) }
    }
}

fn diamond(x: i64, y: i64) -> Markup {
    html! { path.diamond d={ "M" (x) " " (y - 75) "l52 75l-52 75l-52 -75z" } {} }
}

/// The MOT ends after the last month drawn.
fn further(x: i64, y: i64) -> Markup {
    html! { path.diamond d={ "M" (x) " " (y - 60) "l48 60l-48 60z" } {} }
}

fn cross(x: i64, y: i64) -> Markup {
    html! { path.stop d={ "M" (x - 45) " " (y - 45) "l90 90m0 -90l-90 90" } {} }
}

const SIGNS: [Key; 6] = [
    Key {
        sign: |area| html! { rect.deep x=(area.x) y=(area.y + 10) width=(area.width) height="80" {} },
        name: "here, then sold",
    },
    Key {
        sign: |area| html! { rect.pale x=(area.x) y=(area.y + 10) width=(area.width) height="80" {} },
        name: "in stock",
    },
    Key { sign: |area| cross(area.x + area.width / 2, area.y + 50), name: "left unsold" },
    Key { sign: |area| diamond(area.x + area.width / 2, area.y + 50), name: "MOT ends" },
    Key { sign: |area| further(area.x + area.width / 2, area.y + 50), name: "MOT ends later" },
    Key {
        sign: |area: Area| {
            html! {
                rect.deep x=(area.x) y=(area.y + 10) width="75" height="75" {}
                rect.bare x=(area.x + 90) y=(area.y + 10) width="75" height="75" {}
            }
        },
        name: "slot filled, empty",
    },
];

//! `vat --watch`: twelve months' turnover against the registration threshold, and what follows.

use crate::domain::days::day::long;
use crate::domain::law::registration::Registration;
use crate::domain::tax::vat_watch::{Watch, WatchedMonth, may_deregister};
use crate::domain::value::pence::Pence;
use crate::report::cell::{Cell, IsoDay, IsoMonth, MoneyText};
use crate::report::document::{Document, Table};
use crate::report::list::List;
use crate::report::stamp::Stamp;
use chrono::NaiveDate;
use serde::Serialize;

/// How the turnover stands.
#[derive(Clone, Debug, Serialize)]
pub struct VatWatchReport {
    #[serde(flatten)]
    stamp: Stamp,
    registered: bool,
    twelve_months_to: IsoDay,
    turnover_12_months: MoneyText,
    threshold: Option<MoneyText>,
    headroom: Option<MoneyText>,
    crossed_on: Option<IsoDay>,
    notify_by: Option<IsoDay>,
    registered_from: Option<IsoDay>,
    this_month_so_far: MoneyText,
    monthly_rate: Option<MoneyText>,
    crossed_at_present_rate: Option<IsoMonth>,
    look_ahead: Option<LookAhead>,
    deregistration_threshold: Option<MoneyText>,
    turnover_without_vat: Option<MoneyText>,
    may_deregister: Option<bool>,
    months: Table,
    #[serde(skip)]
    since: Option<NaiveDate>,
}

/// The question only the trader can answer, and what a yes would mean.
#[derive(Clone, Debug, Serialize)]
struct LookAhead {
    question: String,
    notify_by: IsoDay,
    registered_from: IsoDay,
}

impl VatWatchReport {
    /// Lays out the watch; `without_vat` is a registered trader's turnover of the same months less its VAT.
    pub fn new(as_of: NaiveDate, watch: &Watch, registration: Registration, without_vat: Option<Pence>) -> Self {
        let last = watch.last_month();
        let registered = registration.holds_on(as_of);
        let threshold = last.and_then(|month| month.threshold);
        let look_ahead = threshold.filter(|_| !registered).map(|threshold| LookAhead {
            question: format!(
                "Do you expect to sell for more than {threshold} in the thirty days to {} alone?",
                long(watch.look_ahead.notify_by)
            ),
            notify_by: IsoDay(watch.look_ahead.notify_by),
            registered_from: IsoDay(watch.look_ahead.registered_from),
        });
        Self {
            stamp: Stamp::new("vat-watch", as_of),
            registered,
            twelve_months_to: IsoDay(last.map_or(as_of, |month| month.month.last_day())),
            turnover_12_months: MoneyText(last.map_or(Pence::ZERO, |month| month.twelve_months)),
            threshold: threshold.map(MoneyText),
            headroom: last.and_then(WatchedMonth::headroom).map(MoneyText),
            crossed_on: watch.crossing.map(|crossing| IsoDay(crossing.on())),
            notify_by: watch.crossing.map(|crossing| IsoDay(crossing.notice.notify_by)),
            registered_from: watch.crossing.map(|crossing| IsoDay(crossing.notice.registered_from)),
            this_month_so_far: MoneyText(watch.this_month_so_far),
            monthly_rate: watch.monthly_rate.map(MoneyText),
            crossed_at_present_rate: watch.crossed_at_rate.filter(|_| !registered).map(IsoMonth),
            look_ahead,
            deregistration_threshold: watch.deregistration_threshold.map(MoneyText),
            turnover_without_vat: without_vat.map(MoneyText),
            may_deregister: without_vat.and_then(|turnover| may_deregister(&registration.rates, turnover, as_of)),
            months: months(&watch.months),
            since: registration.from.filter(|_| registered),
        }
    }

    /// For people, and for CSV.
    pub fn document(&self) -> Document {
        let mut document = Document::new();
        document.headline(self.headline());
        if let Some(crossed) = self.crossed_in_words() {
            document.sentence(crossed);
        }
        document.sentence(if self.registered { self.deregistering() } else { self.at_this_rate() });
        if let Some(ahead) = &self.look_ahead {
            document.sentence(format!(
                "{} If so, tell HMRC by {}: you are registered from the day you knew.",
                ahead.question,
                long(ahead.notify_by.0)
            ));
        }
        document.table(self.months.clone());
        document.facts(self.facts());
        document.sentence(if self.registered {
            "`runabout vat` shows the return."
        } else {
            "`runabout month MONTH` shows the sales of a month; `runabout settings set vat-registered-from DATE` \
             records a registration."
        });
        document.note(
            "Turnover is full prices, part-exchanges at their allowance, other sales, deposits kept and cars kept, \
             less sales reversed.",
        );
        document.note("A record, not tax advice: check with HMRC guidance or an accountant.");
        document
    }

    fn headline(&self) -> String {
        let twelve = format!("Twelve months to {}: {}", long(self.twelve_months_to.0), self.turnover_12_months.0);
        match (self.since, self.threshold, self.headroom) {
            (Some(since), ..) => format!("{twelve} of turnover; you are registered for VAT since {}.", long(since)),
            (None, Some(threshold), Some(headroom)) if headroom.0.is_negative() => {
                format!("{twelve} of turnover, {} over the threshold of {}.", headroom.0.abs(), threshold.0)
            }
            (None, Some(threshold), Some(headroom)) if headroom.0.is_zero() => {
                format!("{twelve} of turnover, just at the threshold of {} and not over it.", threshold.0)
            }
            (None, Some(threshold), Some(headroom)) => {
                format!("{twelve} of turnover, {} below the threshold of {}.", headroom.0, threshold.0)
            }
            _ => format!("{twelve} of turnover; no threshold of that day is known."),
        }
    }

    fn crossed_in_words(&self) -> Option<String> {
        let (crossed, notify, from) = (self.crossed_on?, self.notify_by?, self.registered_from?);
        let [crossed, notify_by, from] = [crossed, notify, from].map(|day| long(day.0));
        let overdue = if notify.0 < self.stamp.day() { ", which is past" } else { "" };
        Some(format!(
            "The threshold was crossed on {crossed}: tell HMRC by {notify_by}{overdue}; you are registered from {from}. \
             If it was only for a while, HMRC may grant an exception."
        ))
    }

    fn at_this_rate(&self) -> String {
        match (self.crossed_on, self.monthly_rate, self.crossed_at_present_rate) {
            (Some(_), ..) => "Once over it matters no more that turnover falls again.".to_owned(),
            (None, None, _) => "No month of the book is complete yet, so there is no rate to go by.".to_owned(),
            (None, Some(rate), Some(month)) => {
                format!("At the present rate, {} a month, it would be crossed in {}.", rate.0, month.0)
            }
            (None, Some(rate), None) => {
                format!("At the present rate, {} a month, it would not be crossed within twelve months.", rate.0)
            }
        }
    }

    fn deregistering(&self) -> String {
        match (self.turnover_without_vat, self.deregistration_threshold, self.may_deregister) {
            (Some(net), Some(threshold), Some(may)) => {
                let may = if may { "is below" } else { "is not below" };
                format!(
                    "Without VAT that is {}, which {may} {}: you may ask to be deregistered if you expect less than \
                     that in the next twelve months.",
                    net.0, threshold.0
                )
            }
            _ => "The deregistration threshold of this day is not known.".to_owned(),
        }
    }

    fn facts(&self) -> Vec<(&'static str, Cell)> {
        let mut facts = vec![("This month so far", self.this_month_so_far.into())];
        facts.extend(self.monthly_rate.map(|rate| ("Mean of the last months, three at most", rate.into())));
        facts.extend(self.deregistration_threshold.map(|figure| ("Deregistration threshold", figure.into())));
        facts
    }
}

/// The last twelve months, each with the twelve it ends.
fn months(watched: &[WatchedMonth]) -> Table {
    List::of("months", watched)
        .column("month", "Month", |watched| watched.month)
        .column("turnover", "Turnover", |watched| watched.turnover)
        .column("twelve_months", "Twelve months", |watched| watched.twelve_months)
        .column("threshold", "Threshold", |watched| watched.threshold)
        .column("headroom", "Head-room", WatchedMonth::headroom)
        .table()
}

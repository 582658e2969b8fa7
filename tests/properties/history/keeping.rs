//! The trader's other money: bills, VAT, the owner's, loans, standing costs; hours and prices.

use super::money::SUPPLIERS;
use super::plain::{Every, Pocket, What};
use super::trader::{Standing, Trader, pounds};
use chrono::{Days, Months, NaiveDate};
use std::fmt::Write;

const LENDERS: &[&str] = &["Aunt Wyn", "Pell Bank"];

impl Trader {
    pub fn owes(&mut self, supplier: &'static str, on: NaiveDate, amount: i64) {
        debug_assert!(SUPPLIERS.contains(&supplier));
        match self.bills.iter_mut().find(|(name, _, _)| *name == supplier) {
            Some((_, since, owed)) => {
                *since = on.min(*since);
                *owed += amount;
            }
            None => self.bills.push((supplier, on, amount)),
        }
    }

    pub fn pays_bill(&mut self) {
        let owing: Vec<_> = self.bills.iter().copied().filter(|(_, _, owed)| *owed > 0).collect();
        let Some((supplier, since, owed)) = self.dice.pick_any(&owing) else { return };
        let amount = if self.dice.chance(50) { owed } else { self.dice.between(1, owed) };
        let on = self.some_day(since);
        let (how, pocket) = self.paid(true);
        for (name, _, owed) in &mut self.bills {
            if *name == supplier {
                *owed -= amount;
            }
        }
        let line = format!("spend {} balance --to \"{supplier}\"{how}", pounds(amount));
        self.keep_on(&line, on, What::BillPaid { amount, pocket });
    }

    pub fn settles_vat(&mut self) {
        let on = self.some_day(NaiveDate::MIN);
        let amount = self.dice.amount(300);
        let (how, pocket) = self.paid(true);
        let (command, signed) = if self.dice.chance(65) { ("spend", -amount) } else { ("receive", amount) };
        self.keep_on(&format!("{command} {} vat{how}", pounds(amount)), on, What::Vat { amount: signed, pocket });
    }

    pub fn moves_own_money(&mut self) {
        let on = self.some_day(NaiveDate::MIN);
        let amount = self.dice.amount(1_200);
        let (how, pocket) = self.paid(false);
        let (command, signed) = if self.dice.chance(55) { ("pay-in", amount) } else { ("draw", -amount) };
        self.keep_on(&format!("{command} {}{how}", pounds(amount)), on, What::Owner { amount: signed, pocket });
    }

    pub fn borrows_or_pays_back(&mut self) {
        let on = self.some_day(NaiveDate::MIN);
        let (how, pocket) = self.paid(false);
        let owing: Vec<_> = self.loans.iter().copied().filter(|(_, owed)| *owed > 0).collect();
        let (command, lender, signed) = match self.dice.pick_any(&owing) {
            Some((lender, owed)) if self.dice.chance(65) => ("draw", lender, -self.dice.between(1, owed)),
            _ => ("pay-in", self.dice.pick(LENDERS), self.dice.amount(900)),
        };
        match self.loans.iter_mut().find(|(name, _)| *name == lender) {
            Some((_, owed)) => *owed += signed,
            None => self.loans.push((lender, signed)),
        }
        let line = format!("{command} {} --loan \"{lender}\"{how}", pounds(signed.abs()));
        self.keep_on(&line, on, What::Loan { amount: signed, pocket });
    }

    pub fn moves_between_pockets(&mut self) {
        let on = self.some_day(NaiveDate::MIN);
        let amount = self.dice.amount(400);
        let (line, from, to) = if self.dice.chance(50) {
            (format!("move {} cash bank", pounds(amount)), Pocket::Cash, Pocket::Bank)
        } else {
            (format!("move {} bank cash", pounds(amount)), Pocket::Bank, Pocket::Cash)
        };
        self.keep_on(&line, on, What::Moved { amount, from, to });
    }

    pub fn keeps_standing_costs(&mut self) {
        let running: Vec<Standing> = self.standing.iter().filter(|cost| cost.until.is_none()).cloned().collect();
        let known = self.dice.pick_any(&running);
        match (known, self.dice.between(1, 100)) {
            (Some(cost), 51..=65) => {
                let on = self.around(cost.first_on);
                self.standing(&cost.name).until = Some(on);
                let line = format!("standing stop \"{}\" --on {on}", cost.name);
                self.keep(line, on, What::StandingStopped { name: cost.name });
            }
            (Some(cost), 66..=82) => {
                let on = self.around(cost.first_on);
                let amount = self.dice.amount(130);
                let (vat_words, vat) = self.vat_in(amount);
                let line = format!("standing change \"{}\" {} --from {on}{vat_words}", cost.name, pounds(amount));
                self.keep(line, on, What::StandingChanged { name: cost.name, amount, vat });
            }
            (Some(cost), 83..=100) => {
                let Some(on) = self.due_day(&cost) else { return };
                self.standing(&cost.name).skipped.push(on);
                let line = format!("standing skip \"{}\" --on {on}", cost.name);
                self.keep(line, on, What::StandingSkipped { name: cost.name });
            }
            _ => self.sets_standing_cost(),
        }
    }

    fn sets_standing_cost(&mut self) {
        let name = format!("cost {}", self.standing.len() + 1);
        let amount = self.dice.amount(120);
        let (word, every) = self.dice.pick(&[
            ("week", Every::Week),
            ("month", Every::Months(1)),
            ("month", Every::Months(1)),
            ("quarter", Every::Months(3)),
            ("year", Every::Months(12)),
        ]);
        let mut from = self.around(NaiveDate::MIN);
        if self.dice.chance(40) {
            // The end of a long month, which shorter ones do not have.
            from = "2025-08-31".parse().expect("a day");
        }
        let until =
            self.dice.chance(20).then(|| from + Days::new(u64::try_from(self.dice.between(0, 150)).expect("days")));
        let heading = self.dice.pick(&["rent", "insurance", "phone"]);
        let (vat_words, vat) = self.vat_in(amount);
        let (how, pocket) = self.paid(true);
        let mut line = format!(
            "standing add \"{name}\" {} --every {word} --from {from} --heading {heading}{vat_words}{how}",
            pounds(amount)
        );
        if let Some(until) = until {
            let _ = write!(line, " --until {until}");
        }
        self.standing.push(Standing { name: name.clone(), every, first_on: from, until, skipped: Vec::new() });
        self.keep(line, from, What::StandingSet { name, amount, vat, every, heading, until, pocket });
    }

    /// A day up to six weeks either side of now, not before `earliest`.
    fn around(&mut self, earliest: NaiveDate) -> NaiveDate {
        let shift = u64::try_from(self.dice.between(0, 80)).expect("days");
        (self.now + Days::new(shift) - Days::new(40)).max(earliest)
    }

    /// One of the first due days, not let off yet.
    fn due_day(&mut self, cost: &Standing) -> Option<NaiveDate> {
        let n = u32::try_from(self.dice.between(0, 5)).expect("few");
        let on = match cost.every {
            Every::Week => cost.first_on + Days::new(7 * u64::from(n)),
            Every::Months(months) => cost.first_on + Months::new(months * n),
        };
        (!cost.skipped.contains(&on)).then_some(on)
    }

    fn standing(&mut self, name: &str) -> &mut Standing {
        self.standing.iter_mut().find(|cost| cost.name == name).expect("a standing cost of this history")
    }

    pub fn changes_usual_pocket(&mut self) {
        let (word, pocket) = self.dice.pick(&[("cash", Pocket::Cash), ("bank", Pocket::Bank), ("card", Pocket::Bank)]);
        self.usual_pocket = pocket;
        let on = self.now;
        self.keep(format!("settings set default-paid {word}"), on, What::UsuallyPaid);
    }

    pub fn works(&mut self) {
        let Some(stay) = self.dice.pick_any(&self.stays.clone()) else { return };
        let minutes = self.dice.between(1, 600);
        let on = self.some_day(stay.bought_on);
        let line = format!("hours {} {}h{:02}", stay.no, minutes / 60, minutes % 60);
        self.keep_on(&line, on, What::Worked { car: stay.no, minutes });
    }

    pub fn advertises(&mut self) {
        let Some(stay) = self.dice.pick_any(&self.in_stock()) else { return };
        let amount = self.dice.amount(2_500);
        let lowest = self.dice.chance(50).then(|| self.dice.between(1, amount));
        let on = self.some_day(stay.came_on);
        let mut line = format!("ask {} {}", stay.no, pounds(amount));
        if let Some(lowest) = lowest {
            let _ = write!(line, " --lowest {}", pounds(lowest));
        }
        self.keep_on(&line, on, What::Asked { car: stay.no, amount, lowest });
    }
}

//! A trader with a memory of what is in stock and owed, who does one likely thing after another.

use super::dice::Dice;
use super::plain::{Every, History, Pocket, Step, TakenIn, What};
use chrono::{Days, NaiveDate};

/// How many days the history goes back.
const BACK: u64 = 245;

/// A stay in stock as the trader remembers it.
#[derive(Clone, Debug)]
pub struct Stay {
    pub no: u32,
    pub mark: String,
    pub bought_on: NaiveDate,
    /// The seller, when said.
    pub seller: Option<&'static str>,
    pub owed_to_seller: i64,
    /// The day it came in: bought, or last taken back.
    pub came_on: NaiveDate,
    /// The day of the last deal about it; the next is not before.
    pub dealt_on: NaiveDate,
    /// The day it went out, sold or otherwise; none while in stock.
    pub left_on: Option<NaiveDate>,
    /// Its sale, while it is sold.
    pub sale: Option<Sale>,
    /// The deposit held, and whose it is when said.
    pub deposit: (i64, Option<&'static str>),
    /// The refund owed, to whom when said, since when.
    pub refund: (i64, Option<&'static str>, NaiveDate),
    /// Whether it went for breaking, and its parts may bring money in.
    pub broken: bool,
}

/// A sale as the trader remembers it.
#[derive(Clone, Debug)]
pub struct Sale {
    pub on: NaiveDate,
    pub buyer: Option<&'static str>,
    pub taken_in: Vec<TakenIn>,
    /// Deposit and money received so far.
    pub paid: i64,
    pub owed: i64,
}

impl Sale {
    /// What the cars taken in counted for.
    pub fn credits(&self) -> i64 {
        self.taken_in.iter().map(|taken| taken.allowance - taken.to_lender).sum()
    }
}

/// A standing cost as the trader remembers it.
#[derive(Clone, Debug)]
pub struct Standing {
    pub name: String,
    pub every: Every,
    pub first_on: NaiveDate,
    pub until: Option<NaiveDate>,
    pub skipped: Vec<NaiveDate>,
}

#[derive(Debug)]
pub struct Trader {
    pub dice: Dice,
    pub today: NaiveDate,
    /// The day the trader has come to.
    pub now: NaiveDate,
    pub usual_pocket: Pocket,
    pub stays: Vec<Stay>,
    /// Who is owed for bills, since when, how much.
    pub bills: Vec<(&'static str, NaiveDate, i64)>,
    /// Lenders and what they are owed.
    pub loans: Vec<(&'static str, i64)>,
    pub standing: Vec<Standing>,
    registers_on: Option<NaiveDate>,
    leaves_on: Option<NaiveDate>,
    steps: Vec<Step>,
}

impl Trader {
    pub fn new(seed: u64, today: NaiveDate) -> Self {
        let mut dice = Dice::new(seed);
        let begins = today - Days::new(BACK);
        let ahead = |from: NaiveDate, days: i64| from + Days::new(u64::try_from(days).expect("days ahead"));
        let registers_on = dice.chance(60).then(|| ahead(begins, dice.between(10, 90)));
        let leaves_on = registers_on.filter(|_| dice.chance(30)).map(|from| ahead(from, dice.between(25, 80)));
        Self {
            dice,
            today,
            now: begins,
            usual_pocket: Pocket::Bank,
            stays: Vec::new(),
            bills: Vec::new(),
            loans: Vec::new(),
            standing: Vec::new(),
            registers_on,
            leaves_on,
            steps: Vec::new(),
        }
    }

    pub fn trade(mut self, commands: usize) -> History {
        while self.steps.len() < commands {
            self.now = (self.now + Days::new(u64::try_from(self.dice.between(0, 9)).expect("days"))).min(self.today);
            if !self.registers() {
                self.does_something();
            }
        }
        History { today: self.today, steps: self.steps }
    }

    /// Whether it is the day to register for VAT or to leave, and it was done.
    fn registers(&mut self) -> bool {
        if let Some(from) = self.registers_on.filter(|from| *from <= self.now) {
            self.registers_on = None;
            self.keep(format!("settings set vat-registered-from {from}"), from, What::Registered);
            return true;
        }
        if let Some(until) = self.leaves_on.filter(|until| *until <= self.now) {
            self.leaves_on = None;
            self.keep(format!("settings set vat-registered-until {until}"), until, What::Deregistered);
            return true;
        }
        false
    }

    fn does_something(&mut self) {
        let before = self.steps.len();
        match self.dice.between(1, 155) {
            1..=20 => self.buys(),
            21..=42 => self.spends(),
            43..=62 => self.sells(),
            63..=70 => self.receives(),
            71..=74 => self.pays_seller(),
            75..=78 => self.buyer_pays(),
            79..=82 => self.pays_bill(),
            83..=86 => self.settles_vat(),
            87..=90 => self.moves_own_money(),
            91..=94 => self.borrows_or_pays_back(),
            95..=96 => self.moves_between_pockets(),
            97..=104 => self.keeps_standing_costs(),
            105 => self.changes_usual_pocket(),
            106..=107 => self.works(),
            108..=109 => self.advertises(),
            110..=112 => self.hears_an_offer(),
            113..=120 => self.takes_a_deposit(),
            121..=128 => self.ends_a_deposit(),
            129..=140 => self.takes_back(),
            141..=145 => self.pays_refund(),
            146..=149 => self.writes_off(),
            _ => self.disposes(),
        }
        if self.steps.len() == before {
            if self.stays.len() < 3 { self.buys() } else { self.spends() }
        }
    }

    /// Writes down a command that says its own day, or has none.
    pub fn keep(&mut self, line: String, on: NaiveDate, what: What) {
        self.steps.push(Step { line, on, what });
    }

    /// Writes down a command of a day, said in one of the two ways.
    pub fn keep_on(&mut self, line: &str, on: NaiveDate, what: What) {
        let how = if self.dice.chance(75) { "--on" } else { "--as-of" };
        self.keep(format!("{line} {how} {on}"), on, what);
    }

    /// Today as the trader has come to it, or sometimes a little earlier, never before `earliest`:
    /// recorded late.
    pub fn some_day(&mut self, earliest: NaiveDate) -> NaiveDate {
        if self.dice.chance(80) {
            return self.now.max(earliest);
        }
        let late = Days::new(u64::try_from(self.dice.between(1, 25)).expect("days"));
        (self.now - late).max(earliest)
    }

    /// How it is paid, and the pocket that is; the owner's own only where that can be.
    pub fn paid(&mut self, own: bool) -> (&'static str, Pocket) {
        let way = self.dice.between(1, if own { 9 } else { 8 });
        match way {
            1..=3 => ("", self.usual_pocket),
            4..=5 => (" --paid cash", Pocket::Cash),
            6..=7 => (" --paid bank", Pocket::Bank),
            8 => (" --paid card", Pocket::Bank),
            _ => (" --paid own", Pocket::Own),
        }
    }

    /// Sometimes some VAT in an amount, as the option and as pence.
    pub fn vat_in(&mut self, amount: i64) -> (String, i64) {
        if amount == 0 || !self.dice.chance(35) {
            return (String::new(), 0);
        }
        let vat = if self.dice.chance(70) { amount / 6 } else { self.dice.between(0, amount / 6) };
        (format!(" --vat {}", pounds(vat)), vat)
    }

    pub fn stay(&mut self, no: u32) -> &mut Stay {
        self.stays.iter_mut().find(|stay| stay.no == no).expect("a car of this history")
    }

    pub fn in_stock(&self) -> Vec<Stay> {
        self.stays.iter().filter(|stay| stay.left_on.is_none()).cloned().collect()
    }
}

/// Pence as typed.
pub fn pounds(pence: i64) -> String {
    format!("{}.{:02}", pence / 100, pence % 100)
}

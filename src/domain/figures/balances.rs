//! What is held and owed at the end of a day, and every movement of the float behind it.

use crate::domain::book::claims::{deposit_held, owed_to_seller};
use crate::domain::book::facts::{Car, Facts, Line, Movement};
use crate::domain::book::standing::Falling;
use crate::domain::figures::car_figures::{
    in_stock, net_purchase_price, paid_ahead, stands_in, vat_on_deposit_kept, vat_on_kept_back, vat_on_sale,
};
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Direction, Pocket, Purpose};
use chrono::NaiveDate;

/// What is held and owed at the end of one day.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Balances {
    /// Cash in hand.
    pub cash: Pence,
    /// Money at the bank.
    pub bank: Pence,
    /// What the cars in stock stand in at.
    pub stock_at_cost: Pence,
    /// What buyers of sold cars still owe.
    pub owed_by_buyers: Pence,
    /// What sellers of cars, and lenders of finance on them, are still owed.
    pub owed_to_sellers: Pence,
    /// The part of that which is on cars in stock.
    pub owed_on_stock: Pence,
    /// Deposits held, all of them on cars in stock.
    pub deposits_held: Pence,
    /// Money agreed to go back to buyers of cars taken back, not yet paid.
    pub refunds_owed: Pence,
    /// VAT owed to HMRC; negative when HMRC owes.
    pub vat_owed: Pence,
    /// Costs paid on cars not yet bought.
    pub paid_ahead: Pence,
    /// Bills not yet paid.
    pub bills: Pence,
    /// Money borrowed and not paid back.
    pub loans: Pence,
}

impl Balances {
    /// Cash in hand and bank together.
    pub fn float(&self) -> Pence {
        self.cash + self.bank
    }

    /// Stock at cost less what is still owed for it and deposits held on it.
    pub fn cash_tied_up(&self) -> Pence {
        self.stock_at_cost - self.owed_on_stock - self.deposits_held
    }

    /// Money laid out on cars that has not come back: cash tied up, and what buyers still owe.
    pub fn money_not_yet_back(&self) -> Pence {
        self.cash_tied_up() + self.owed_by_buyers
    }
}

/// Why money moved in or out of a pocket.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MovedFor {
    /// A cost, an overhead or a receipt.
    Line,
    /// A settlement or the owner's money.
    Settling(Purpose),
}

/// Money moving into (positive) or out of a pocket.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Moved {
    /// The day.
    pub on: NaiveDate,
    /// The pocket.
    pub pocket: Pocket,
    /// Signed: into the pocket positive.
    pub amount: Pence,
    /// Why.
    pub why: MovedFor,
}

impl Moved {
    fn of_line(line: &Line) -> Option<Self> {
        let amount = match line.direction {
            Direction::Cost => -line.amount,
            Direction::Receipt => line.amount,
        };
        line.pocket.map(|pocket| Self { on: line.on, pocket, amount, why: MovedFor::Line })
    }

    fn of_movement(movement: &Movement) -> Self {
        Self {
            on: movement.on,
            pocket: movement.pocket,
            amount: movement.amount,
            why: MovedFor::Settling(movement.purpose),
        }
    }

    fn of_standing(due: &Falling<'_>) -> Self {
        Self { on: due.on, pocket: due.standing.pocket, amount: -due.amount, why: MovedFor::Line }
    }
}

impl Facts {
    /// Every line dated on the days covered, on cars and on the yard.
    pub fn lines(&self) -> impl Iterator<Item = &Line> {
        let covered = move |line: &&Line| line.on >= self.from && line.on <= self.to;
        self.cars.iter().flat_map(|car| &car.lines).chain(&self.yard_lines).filter(covered)
    }

    /// Every movement on the days covered, about cars or not.
    pub fn all_movements(&self) -> impl Iterator<Item = &Movement> {
        let covered = move |movement: &&Movement| movement.on >= self.from && movement.on <= self.to;
        self.cars.iter().flat_map(|car| &car.settlements).chain(&self.movements).filter(covered)
    }

    /// Standing costs falling due from `from` to `to`, never after the day they may count to.
    pub fn standing_costs(&self, from: NaiveDate, to: NaiveDate) -> impl Iterator<Item = Falling<'_>> {
        let to = to.min(self.standing_to);
        self.standings.iter().flat_map(move |standing| standing.falling(from, to))
    }

    /// Money moving on the days covered, standing costs included.
    pub fn moved(&self) -> impl Iterator<Item = Moved> {
        self.lines()
            .filter_map(Moved::of_line)
            .chain(self.all_movements().map(Moved::of_movement))
            .chain(self.standing_costs(self.from, self.to).map(|due| Moved::of_standing(&due)))
    }

    /// What is held and owed at the end of `day`, which must not be before the day ahead of the
    /// first day covered, nor after the last.
    pub fn balances(&self, day: NaiveDate) -> Balances {
        let opening = &self.opening;
        let mut balances = Balances {
            cash: opening.cash,
            bank: opening.bank,
            owed_by_buyers: opening.owed_by_buyers,
            owed_to_sellers: opening.owed_to_sellers,
            deposits_held: opening.deposits_held,
            refunds_owed: opening.refunds_owed,
            vat_owed: opening.vat_owed,
            bills: opening.bills,
            loans: opening.loans,
            ..Balances::default()
        };
        self.add_stock(&mut balances, day);
        self.add_moved(&mut balances, day);
        self.add_claims(&mut balances, day);
        balances
    }

    /// What is out in the cars in stock alone at the end of `day`: what they stand in at, what is still
    /// owed for them, and the deposits held, all of which are on them. It needs nothing but the cars.
    pub fn stock_balances(&self, day: NaiveDate) -> Balances {
        let mut balances = Balances::default();
        self.add_stock(&mut balances, day);
        balances.deposits_held = self.cars.iter().map(|car| deposit_held(car, day)).sum();
        balances
    }

    fn add_stock(&self, balances: &mut Balances, day: NaiveDate) {
        for car in &self.cars {
            if in_stock(car, day) {
                balances.stock_at_cost += stands_in(car, day, &self.registration);
                balances.owed_on_stock += owed_to_seller(car, day);
            }
            balances.paid_ahead += paid_ahead(car, day, &self.registration);
        }
    }

    fn add_moved(&self, balances: &mut Balances, day: NaiveDate) {
        let earlier_standing = self.from.pred_opt().map(|eve| {
            self.standing_costs(NaiveDate::MIN, eve.min(day)).map(|due| Moved::of_standing(&due)).collect::<Vec<_>>()
        });
        for moved in earlier_standing.into_iter().flatten().chain(self.moved().filter(|moved| moved.on <= day)) {
            match moved.pocket {
                Pocket::Cash => balances.cash += moved.amount,
                Pocket::Bank => balances.bank += moved.amount,
                Pocket::Own => {}
            }
        }
    }

    fn add_claims(&self, balances: &mut Balances, day: NaiveDate) {
        let counted = |vat, on| self.registration.counted(vat, on);
        let covered = |on: NaiveDate| on >= self.from && on <= day;
        for car in &self.cars {
            if covered(car.bought_on) {
                balances.owed_to_sellers += car.purchase_price - car.taken_in_at.unwrap_or_default();
                balances.vat_owed -= car.purchase_price - net_purchase_price(car, &self.registration);
            }
            self.add_buyers_claims(balances, car, day);
        }
        for line in self.lines().filter(|line| line.on <= day) {
            let vat = counted(line.vat, line.on);
            match line.direction {
                Direction::Cost => balances.vat_owed -= vat,
                Direction::Receipt => balances.vat_owed += vat,
            }
            if line.pocket.is_none() {
                balances.bills += line.amount;
            }
        }
        for due in self.standing_costs(NaiveDate::MIN, day) {
            balances.vat_owed -= counted(due.vat, due.on);
        }
        for movement in self.all_movements().filter(|movement| movement.on <= day) {
            match movement.purpose {
                Purpose::Purchase => balances.owed_to_sellers += movement.amount,
                Purpose::Sale => balances.owed_by_buyers -= movement.amount,
                Purpose::Deposit => balances.deposits_held += movement.amount,
                Purpose::Refund => balances.refunds_owed += movement.amount,
                Purpose::Bill => balances.bills += movement.amount,
                Purpose::Loan => balances.loans += movement.amount,
                Purpose::Vat => balances.vat_owed += movement.amount,
                Purpose::Owner | Purpose::Transfer => {}
            }
        }
    }

    /// What a car's sales, its deposits and its coming back change of what buyers owe and are owed,
    /// and of VAT.
    fn add_buyers_claims(&self, balances: &mut Balances, car: &Car, day: NaiveDate) {
        let registration = &self.registration;
        let covered = |on: NaiveDate| on >= self.from && on <= day;
        for sale in &car.sales {
            let vat = vat_on_sale(car, sale, registration);
            if covered(sale.on) {
                balances.owed_by_buyers += sale.selling_price - sale.credits();
                balances.vat_owed += vat;
            }
            if let Some(back) = sale.taken_back.as_ref().filter(|back| covered(back.on)) {
                balances.owed_by_buyers -= back.lapsed;
                balances.refunds_owed += back.refund;
                balances.vat_owed += vat_on_kept_back(car, back.kept_back, back.on, registration) - vat;
            }
        }
        for end in car.deposit_ends.iter().filter(|end| covered(end.on)) {
            balances.deposits_held -= end.amount;
            match end.sale_no {
                Some(_) => balances.owed_by_buyers -= end.amount,
                None => balances.vat_owed += vat_on_deposit_kept(end.amount, end.on, registration),
            }
        }
        for off in car.write_offs.iter().filter(|off| covered(off.on)) {
            balances.owed_by_buyers -= off.amount;
        }
    }
}

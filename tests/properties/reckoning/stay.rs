//! One stay of a car: when it was in stock, and where its lines belong.

use chrono::NaiveDate;

/// A day and an amount.
pub type Dated = (NaiveDate, i64);

#[derive(Debug)]
pub struct Sale {
    pub on: NaiveDate,
    pub price: i64,
    /// What the cars taken in counted for.
    pub credits: i64,
    /// The deposit that counted towards the price.
    pub deposit: i64,
    /// Money received for it, negative when paid to the buyer.
    pub received: Vec<Dated>,
    pub written_off: Vec<Dated>,
    pub back: Option<Back>,
}

/// A sale undone.
#[derive(Debug)]
pub struct Back {
    pub on: NaiveDate,
    /// What went, or is to go, back in money; negative when the buyer paid it.
    pub refund: i64,
}

#[derive(Debug)]
pub struct Disposal {
    pub on: NaiveDate,
    pub how: &'static str,
    /// Of a car kept or returned.
    pub value: i64,
}

#[derive(Debug)]
pub struct Stay {
    pub no: u32,
    pub bought_on: NaiveDate,
    pub price: i64,
    pub invoice_vat: Option<i64>,
    /// What it counted for when it came as part payment.
    pub credit: i64,
    pub sales: Vec<Sale>,
    pub disposal: Option<Disposal>,
    /// Changes in the deposit held, and in what is owed to buyers who brought it back.
    pub deposits: Vec<Dated>,
    pub refunds: Vec<Dated>,
    pub minutes: Vec<Dated>,
    pub asked: Vec<(NaiveDate, i64, Option<i64>)>,
    pub offers: Vec<(NaiveDate, Option<&'static str>, i64)>,
}

/// What a line is part of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Place {
    Yard,
    /// What the car stands in at, by the number of the stretch in stock.
    Stock(usize),
    AfterSale,
    /// What a disposal brought and cost.
    Disposal,
}

impl Stay {
    /// The stretches in stock: the day each begins and the day it ends.
    pub fn stretches(&self) -> Vec<(NaiveDate, Option<NaiveDate>)> {
        let mut stretches = vec![(self.bought_on, None)];
        for sale in &self.sales {
            stretches.last_mut().expect("one at least").1 = Some(sale.on);
            if let Some(back) = &sale.back {
                stretches.push((back.on, None));
            }
        }
        if let Some(disposal) = &self.disposal {
            stretches.last_mut().expect("one at least").1 = Some(disposal.on);
        }
        stretches
    }

    pub fn in_stock(&self, day: NaiveDate) -> bool {
        let begun = self.stretches().into_iter().rfind(|(begins, _)| *begins <= day);
        begun.is_some_and(|(_, ends)| ends.is_none_or(|ends| ends > day))
    }

    /// Days in stock up to `day`.
    pub fn days(&self, day: NaiveDate) -> i64 {
        let begun = self.stretches().into_iter().filter(|(begins, _)| *begins <= day);
        begun.map(|(begins, ends)| (ends.map_or(day, |ends| ends.min(day)) - begins).num_days()).sum()
    }

    /// Which of its sales it is out of stock by on `day`, if it is.
    pub fn sold_by(&self, day: NaiveDate) -> Option<usize> {
        let last = self.sales.iter().rposition(|sale| sale.on <= day)?;
        self.sales[last].back.as_ref().is_none_or(|back| back.on > day).then_some(last)
    }

    pub fn disposed_by(&self, day: NaiveDate) -> Option<&Disposal> {
        self.disposal.as_ref().filter(|disposal| disposal.on <= day)
    }

    pub fn status(&self, day: NaiveDate) -> &'static str {
        match (self.disposed_by(day), self.sold_by(day)) {
            (Some(disposal), _) => disposal.how,
            (None, Some(_)) => "sold",
            (None, None) => "in-stock",
        }
    }

    pub fn place(&self, on: NaiveDate, receipt: bool) -> Place {
        let stretches = self.stretches();
        let stretch = stretches.iter().rposition(|(begins, _)| *begins <= on).unwrap_or(0);
        let last = stretch + 1 == stretches.len();
        if let Some(disposal) = self.disposal.as_ref().filter(|_| last)
            && (on > disposal.on || (receipt && on == disposal.on))
        {
            return Place::Disposal;
        }
        match self.sales.get(stretch) {
            Some(sale) if on > sale.on => Place::AfterSale,
            _ => Place::Stock(stretch),
        }
    }
}

/// The sum of those dated up to `day`.
pub fn up_to(day: NaiveDate, dated: &[Dated]) -> i64 {
    dated.iter().filter(|(on, _)| *on <= day).map(|(_, amount)| amount).sum()
}

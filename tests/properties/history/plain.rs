//! What a typed command means, told in plain facts: pence, days and stock numbers, nothing of the
//! program's own.

use chrono::NaiveDate;

/// Where money sits; a card is the bank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pocket {
    Cash,
    Bank,
    Own,
}

/// Whose a cost is.
#[derive(Clone, Debug)]
pub enum Whose {
    Car(u32),
    Yard,
    Equally(Vec<u32>),
    /// Stated parts; none is the yard's.
    Parts(Vec<(Option<u32>, i64)>),
}

/// A car taken in as part payment for another.
#[derive(Clone, Copy, Debug)]
pub struct TakenIn {
    pub car: u32,
    /// What was allowed for it, the lender's part included.
    pub allowance: i64,
    /// The part of the allowance that is owed to a lender.
    pub to_lender: i64,
}

/// How a car leaves stock without a sale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    Scrapped,
    Broken,
    Lost,
    /// Kept by the owner, at a value.
    Kept(i64),
}

/// How often a standing cost comes round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Every {
    Week,
    Months(u32),
}

/// What happened. Amounts in pence, stock numbers as given in the order cars come in.
#[derive(Clone, Debug)]
pub enum What {
    /// `charges` are an auction's costs outside the price: amount and VAT, paid from the same pocket.
    Bought {
        car: u32,
        price: i64,
        paid: i64,
        pocket: Pocket,
        invoice_vat: Option<i64>,
        charges: Vec<(i64, i64)>,
    },
    Spent {
        amount: i64,
        usual: Option<i64>,
        vat: i64,
        heading: &'static str,
        whose: Whose,
        pocket: Option<Pocket>,
    },
    Received {
        amount: i64,
        vat: i64,
        car: Option<u32>,
        pocket: Pocket,
    },
    /// `received` is negative when what the buyer gave was worth more than the price. A deposit
    /// held counts towards the price, or was another's and goes back to him from the same pocket.
    Sold {
        car: u32,
        price: i64,
        received: i64,
        pocket: Pocket,
        taken_in: Vec<TakenIn>,
        deposit_used: i64,
        deposit_given_back: i64,
    },
    Offered {
        car: u32,
        by: Option<&'static str>,
        amount: i64,
    },
    DepositTaken {
        car: u32,
        amount: i64,
        pocket: Pocket,
    },
    DepositGivenBack {
        car: u32,
        amount: i64,
        pocket: Pocket,
    },
    DepositKept {
        car: u32,
        amount: i64,
    },
    WrittenOff {
        car: u32,
        amount: i64,
    },
    /// The car comes back from its buyer, who gets `refund` in money, or hands it over when it is
    /// negative; owed to him while there is no pocket. `returned` are the cars that go back to him.
    TakenBack {
        car: u32,
        refund: i64,
        pocket: Option<Pocket>,
        returned: Vec<u32>,
    },
    RefundPaid {
        car: u32,
        amount: i64,
        pocket: Pocket,
    },
    /// `received` is what came in for it the same day.
    Disposed {
        car: u32,
        how: How,
        received: Option<(i64, Pocket)>,
    },
    SellerPaid {
        car: u32,
        amount: i64,
        pocket: Pocket,
    },
    BuyerPaid {
        car: u32,
        amount: i64,
        pocket: Pocket,
    },
    BillPaid {
        amount: i64,
        pocket: Pocket,
    },
    /// Paid to the revenue negative, repaid by it positive.
    Vat {
        amount: i64,
        pocket: Pocket,
    },
    /// The owner's money, in positive.
    Owner {
        amount: i64,
        pocket: Pocket,
    },
    /// A loan, borrowed positive.
    Loan {
        amount: i64,
        pocket: Pocket,
    },
    Moved {
        amount: i64,
        from: Pocket,
        to: Pocket,
    },
    /// First due on the fact's day.
    StandingSet {
        name: String,
        amount: i64,
        vat: i64,
        every: Every,
        heading: &'static str,
        until: Option<NaiveDate>,
        pocket: Pocket,
    },
    /// The fact's day is the last it can fall due.
    StandingStopped {
        name: String,
    },
    StandingChanged {
        name: String,
        amount: i64,
        vat: i64,
    },
    StandingSkipped {
        name: String,
    },
    Worked {
        car: u32,
        minutes: i64,
    },
    Asked {
        car: u32,
        amount: i64,
        lowest: Option<i64>,
    },
    /// Registered for VAT from the fact's day.
    Registered,
    /// The fact's day is the last one registered.
    Deregistered,
    /// How things are paid when not said, from this command on.
    UsuallyPaid,
}

impl What {
    /// Its name, for counting how often each kind comes up.
    pub fn kind(&self) -> String {
        let shown = format!("{self:?}");
        shown.split([' ', '{']).next().unwrap_or_default().to_owned()
    }
}

/// A typed command and what it means.
#[derive(Clone, Debug)]
pub struct Step {
    /// The command line.
    pub line: String,
    /// The day it is dated.
    pub on: NaiveDate,
    pub what: What,
}

/// A history: commands in the order they were typed, and the day they were all typed on.
#[derive(Clone, Debug)]
pub struct History {
    pub today: NaiveDate,
    pub steps: Vec<Step>,
}

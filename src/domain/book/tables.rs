//! Every table of the book and what SQLite cannot say of it: what its rows are, what a row is called where a closed
//! month guards it, and what each column holds. The guard of closed months, `forget` and the export of the whole
//! book all read this one list; a test of the store holds it against the schema, table by table and column by column.

/// What the rows of a table are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rows {
    /// Facts of the trade. Each row belongs to the entry that wrote it, and the history keeps it before and after.
    Fact,
    /// The entries themselves, the cars they are about and the history.
    Entries,
    /// What follows from the facts and can be worked out again.
    Derived,
    /// What says nothing of the trade.
    Aside,
}

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// The number the row goes by.
    Row,
    /// The entry that wrote the row.
    Entry,
    /// The day the row is dated, by which a closed month guards it.
    Day,
    /// Somebody's name and nothing else.
    Name,
    /// The address of whoever the row names.
    Address,
    /// Free text, in which somebody may be mentioned, and what such a text is called.
    Text(&'static str),
    /// Neither a name nor text, and yet no figure is made from it.
    Free,
    /// All else: money, quantities, words of a list, days, marks, which car. A closed month guards it.
    Plain,
}

impl Role {
    /// Whether it may still be put right in a closed month.
    pub fn is_free(self) -> bool {
        matches!(self, Self::Entry | Self::Name | Self::Address | Self::Text(_) | Self::Free)
    }
}

/// A column of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// As SQLite knows it.
    pub name: &'static str,
    /// What it holds.
    pub role: Role,
}

/// A table of the book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Table {
    /// As SQLite knows it.
    pub name: &'static str,
    /// What its rows are.
    pub rows: Rows,
    /// What a row is called where a closed month guards it, up to its day; none where none does.
    pub guarded: Option<&'static str>,
    /// Its columns, in order.
    pub columns: &'static [Column],
}

impl Table {
    /// The name of its first column of a role.
    pub fn column_of(&self, role: Role) -> Option<&'static str> {
        self.columns.iter().find(|column| column.role == role).map(|column| column.name)
    }

    /// What one of its columns holds; none for a column it does not have.
    pub fn role_of(&self, column: &str) -> Option<Role> {
        self.columns.iter().find(|known| known.name == column).map(|known| known.role)
    }
}

/// The table of that name.
pub fn table(name: &str) -> Option<&'static Table> {
    TABLES.iter().find(|table| table.name == name)
}

macro_rules! tables {
    ($($rows:ident $table:ident $(guarded $called:literal)? { $($column:ident $role:ident $($what:literal)?),* $(,)? })*) => {
        &[$(Table {
            name: stringify!($table),
            rows: rows!($rows),
            guarded: guarded!($($called)?),
            columns: &[$(Column { name: stringify!($column), role: role!($role $($what)?) }),*],
        }),*]
    };
}

macro_rules! rows {
    (fact) => {
        Rows::Fact
    };
    (entries) => {
        Rows::Entries
    };
    (derived) => {
        Rows::Derived
    };
    (aside) => {
        Rows::Aside
    };
}

macro_rules! guarded {
    () => {
        None
    };
    ($called:literal) => {
        Some($called)
    };
}

macro_rules! role {
    (row) => {
        Role::Row
    };
    (entry) => {
        Role::Entry
    };
    (day) => {
        Role::Day
    };
    (name) => {
        Role::Name
    };
    (address) => {
        Role::Address
    };
    (text $what:literal) => {
        Role::Text($what)
    };
    (free) => {
        Role::Free
    };
    (plain) => {
        Role::Plain
    };
}

/// Every table, in the order the migrations make them. What is said of a row in a closed month is followed by its
/// day. Parts of a deal without a day of their own come and go with it and are not guarded apart.
pub const TABLES: &[Table] = tables! {
    entries entry {
        entry_no row, recorded_at plain, command plain, typed plain, summary plain, undoes plain, undone_by plain,
    }
    entries entry_car { entry_no entry, stock_no plain }
    entries history { history_no row, entry_no entry, table_name plain, row_no plain, before plain, after plain }
    fact heading { heading_no row, entry_no entry, name plain, direction plain, return_heading plain }
    fact setting { setting_no row, entry_no entry, key plain, value plain }
    fact vehicle {
        vehicle_no row, entry_no entry, kind plain, vin plain, make plain, model plain, year plain, colour plain,
        fuel plain, first_registered plain,
    }
    fact mark { mark_no row, entry_no entry, vehicle_no plain, mark plain, dated day }
    fact reading { reading_no row, entry_no entry, vehicle_no plain, dated day, miles plain, taken_at plain }
    fact mot_certificate { mot_certificate_no row, entry_no entry, vehicle_no plain, dated day, until plain }
    fact car guarded "a car bought on" {
        stock_no row, entry_no entry, vehicle_no plain, mark_at_purchase free, bought_on day, purchase_price plain,
        finance plain, vat plain, vat_invoice plain, via plain, seller name,
        purchase_invoice text "purchase invoice", keys free,
    }
    fact sale guarded "a sale dated" {
        sale_no row, entry_no entry, stock_no plain, sold_on day, selling_price plain, buyer name, address address,
        to_trade plain, delivered_on plain, distance plain,
    }
    fact part_exchange { part_exchange_no row, entry_no entry, sale_no plain, stock_no plain, allowance plain }
    fact line guarded "a cost dated" {
        line_no row, entry_no entry, stock_no plain, direction plain, dated day, heading plain, amount plain,
        usual_price plain, vat plain, pocket plain, shared plain, party name, note text "note on money",
    }
    fact asking_price guarded "an asking price dated" {
        asking_price_no row, entry_no entry, stock_no plain, dated day, amount plain, lowest plain,
    }
    fact note { note_no row, entry_no entry, stock_no plain, dated day, wording text "note" }
    fact own_hours guarded "own hours dated" {
        own_hours_no row, entry_no entry, stock_no plain, dated day, minutes plain, note text "note on hours",
    }
    fact standing guarded "a standing cost first due on" {
        standing_no row, entry_no entry, name text "name of a standing cost", heading plain, every plain,
        first_on day, until free, pocket plain,
    }
    fact standing_amount guarded "an amount of a standing cost dated" {
        standing_amount_no row, entry_no entry, standing_no plain, dated day, amount plain, vat plain,
    }
    fact standing_skip guarded "a standing cost let off on" {
        standing_skip_no row, entry_no entry, standing_no plain, dated day,
    }
    fact mot_test guarded "an MOT test dated" {
        mot_test_no row, entry_no entry, vehicle_no plain, dated day, result plain, until plain, miles free,
    }
    fact mot_defect { mot_defect_no row, entry_no entry, mot_test_no plain, level plain, wording text "MOT defect" }
    fact vehicle_tax guarded "vehicle tax dated" {
        vehicle_tax_no row, entry_no entry, stock_no plain, dated day, status plain, starts plain, until plain,
        annual_rate plain,
    }
    fact car_check {
        car_check_no row, entry_no entry, stock_no plain, dated day, item plain, state plain,
        note text "note on a check",
    }
    fact paper { paper_no row, entry_no entry, name text "name of a paper", until plain, remind_days plain }
    fact dealt_with { dealt_with_no row, entry_no entry, item plain, dated day }
    fact movement guarded "a payment dated" {
        movement_no row, entry_no entry, dated day, pocket plain, amount plain, purpose plain, stock_no plain,
        party name, note text "note on money",
    }
    fact auction_purchase {
        auction_purchase_no row, entry_no entry, stock_no plain, hammer_price plain, buyers_fee plain,
    }
    fact offer guarded "an offer dated" {
        offer_no row, entry_no entry, stock_no plain, dated day, amount plain, party name,
    }
    fact deposit_hold guarded "a deposit dated" {
        deposit_hold_no row, entry_no entry, stock_no plain, dated day, hold_until plain,
    }
    fact deposit_end guarded "the end of a deposit dated" {
        deposit_end_no row, entry_no entry, stock_no plain, dated day, amount plain, sale_no plain,
    }
    fact write_off guarded "an amount written off on" {
        write_off_no row, entry_no entry, stock_no plain, dated day, amount plain,
    }
    fact take_back guarded "a take-back dated" {
        take_back_no row, entry_no entry, sale_no plain, dated day, refund plain, lapsed plain, returned plain,
        kept_back plain, reason text "reason of a take-back",
    }
    fact disposal guarded "a disposal dated" {
        disposal_no row, entry_no entry, stock_no plain, dated day, how plain, value plain, party name,
        certificate text "certificate",
    }
    fact receipt {
        receipt_no row, entry_no entry, of_entry plain, sha256 plain, extension plain, bytes plain,
        file_name text "name of a receipt",
    }
    fact closed_month { closed_month_no row, entry_no entry, month plain, figures plain }
    derived open_departure { stock_no plain }
    fact programme { programme_no row, entry_no entry, from_month plain, cars plain, budget plain, multiple plain }
    fact journey guarded "a journey dated" {
        journey_no row, entry_no entry, dated day, tenths plain, purpose text "purpose of a journey",
    }
    aside backup_made { backup_made_no row, made_at plain, file plain, last_entry plain }
    derived line_total { month plain, pocket plain, lines plain, amount plain, vat plain }
    derived movement_total { month plain, pocket plain, purpose plain, movements plain, amount plain }
    derived whereabouts { stock_no plain, left_on plain }
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_is_named_once_and_a_column_once_in_it() {
        for (at, table) in TABLES.iter().enumerate() {
            assert!(TABLES[..at].iter().all(|other| other.name != table.name), "{}", table.name);
            for (at, column) in table.columns.iter().enumerate() {
                assert!(table.columns[..at].iter().all(|other| other.name != column.name), "{}", column.name);
            }
        }
    }

    #[test]
    fn what_is_asked_of_a_table_by_role_is_there_once() {
        for table in TABLES {
            let count = |role| table.columns.iter().filter(|column| column.role == role).count();
            let is_fact = table.rows == Rows::Fact;
            assert_eq!(count(Role::Row) == 1 && count(Role::Entry) == 1, is_fact || table.name == "history");
            assert!(!is_fact || table.columns[0].role == Role::Row, "{}: its number comes first", table.name);
            assert!(count(Role::Day) <= 1, "{}", table.name);
            assert!(table.guarded.is_none() || (is_fact && count(Role::Day) == 1), "{}", table.name);
            // A name is found with its day and its car, an address with its name.
            assert!(count(Role::Name) <= 1 && count(Role::Address) <= count(Role::Name), "{}", table.name);
            if count(Role::Name) == 1 {
                assert!(count(Role::Day) == 1 && table.role_of("stock_no").is_some(), "{}", table.name);
            }
        }
    }
}

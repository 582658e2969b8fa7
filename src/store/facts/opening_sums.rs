//! What is owed and held before the first day of a slice of facts, as plain sums.

use crate::domain::book::facts::Opening;
use crate::domain::days::day::LAST_DAY;
use crate::domain::days::month::Month;
use crate::domain::figures::car_figures::vat_on_deposit_kept;
use crate::domain::law::registration::Registration;
use crate::domain::value::pence::Pence;
use crate::domain::value::words::{Pocket, Purpose};
use crate::store::book::Reader;
use crate::store::book_error::BookError;
use crate::store::schema::derived::{LINE_TOTALS, MOVEMENT_TOTALS, WHEREABOUTS};
use crate::store::values::day;
use chrono::NaiveDate;
use rusqlite::params;

/// Sales on registered days; the third parameter, the first day not summed, is theirs by their last.
const SALES_MADE: &str = "
    SELECT c.purchase_price, s.selling_price, c.vat_invoice, s.sold_on FROM sale s JOIN car c USING (stock_no)
    WHERE s.sold_on BETWEEN ?1 AND ?2 AND s.sold_on < ?3";

/// Those of them reversed before the third parameter, whatever the day of the reversal.
const SALES_REVERSED: &str = "
    SELECT c.purchase_price, s.selling_price, c.vat_invoice, s.sold_on
    FROM take_back t JOIN sale s USING (sale_no) JOIN car c USING (stock_no)
    WHERE s.sold_on BETWEEN ?1 AND ?2 AND t.dated < ?3";

/// Deposits kept on registered days.
const DEPOSITS_KEPT: &str = "SELECT amount, dated FROM deposit_end WHERE sale_no IS NULL AND dated BETWEEN ?1 AND ?2";

/// What was kept back of refunds on registered days.
const KEPT_BACK: &str = "
    SELECT c.purchase_price, t.kept_back, c.vat_invoice, t.dated
    FROM take_back t JOIN sale s USING (sale_no) JOIN car c USING (stock_no)
    WHERE t.kept_back > 0 AND t.dated BETWEEN ?1 AND ?2 AND t.dated < ?3";

/// What movements dated before the second parameter come to by pocket and purpose: whole months from their
/// totals, the days of the month it is in, whose first day is the third, from the movements.
const MOVED_BEFORE: &str = "
    SELECT pocket, purpose, sum(amount) FROM (
        SELECT pocket, purpose, amount FROM movement_total WHERE month < ?1
        UNION ALL SELECT pocket, purpose, amount FROM movement WHERE dated >= ?3 AND dated < ?2
    ) GROUP BY pocket, purpose";

impl Reader<'_> {
    /// The sums of everything dated before `from`.
    pub(crate) fn opening(&self, from: NaiveDate, registration: &Registration) -> Result<Opening, BookError> {
        let sum = |sql: &str| -> Result<Pence, BookError> {
            Ok(self
                .connection
                .prepare_cached(sql)?
                .query_row([from], |row| row.get::<_, Option<Pence>>(0))?
                .unwrap_or_default())
        };
        let moved = self.moved_before(from)?;
        let pocket = |pocket: Pocket| -> Result<Pence, BookError> {
            let moved: Pence = moved.iter().filter(|(of, ..)| *of == pocket).map(|(.., amount)| *amount).sum();
            Ok(self.lines_before(from, pocket.word())? + moved)
        };
        let settled = |purpose: Purpose| -> Pence {
            moved.iter().filter(|(_, of, _)| *of == purpose).map(|(.., amount)| *amount).sum()
        };
        let sold = sum("SELECT sum(selling_price) FROM sale WHERE sold_on < ?1")?;
        let credited = sum("SELECT sum(p.allowance - c.finance) FROM part_exchange p JOIN sale s USING (sale_no)
             JOIN car c ON c.stock_no = p.stock_no WHERE s.sold_on < ?1")?;
        let used = sum("SELECT sum(amount) FROM deposit_end WHERE sale_no IS NOT NULL AND dated < ?1")?;
        let written_off = sum("SELECT sum(amount) FROM write_off WHERE dated < ?1")?;
        let lapsed = sum("SELECT sum(lapsed) FROM take_back WHERE dated < ?1")?;
        let bought = sum("SELECT sum(purchase_price) FROM car WHERE bought_on < ?1")?;
        let taken_in = sum("SELECT sum(p.allowance - c.finance) FROM part_exchange p JOIN car c USING (stock_no)
             WHERE c.bought_on < ?1")?;
        Ok(Opening {
            cash: pocket(Pocket::Cash)?,
            bank: pocket(Pocket::Bank)?,
            owed_by_buyers: sold - credited - used - settled(Purpose::Sale) - written_off - lapsed,
            deposits_held: settled(Purpose::Deposit) - sum("SELECT sum(amount) FROM deposit_end WHERE dated < ?1")?,
            refunds_owed: settled(Purpose::Refund) + sum("SELECT sum(refund) FROM take_back WHERE dated < ?1")?,
            owed_to_sellers: bought - taken_in + settled(Purpose::Purchase),
            bills: settled(Purpose::Bill) - self.lines_before(from, "")?,
            loans: settled(Purpose::Loan),
            vat_owed: self.vat_before(from, registration)? + settled(Purpose::Vat),
        })
    }

    /// What the lines and movements dated up to `day` leave in each pocket; standing costs are not among them.
    pub fn recorded_in<const N: usize>(&self, pockets: [Pocket; N], day: NaiveDate) -> Result<[Pence; N], BookError> {
        let after = day.succ_opt().unwrap_or(day);
        let moved = self.moved_before(after)?;
        let mut held = [Pence::ZERO; N];
        for (held, pocket) in held.iter_mut().zip(pockets) {
            let moved: Pence = moved.iter().filter(|(of, ..)| *of == pocket).map(|(.., amount)| *amount).sum();
            *held = self.lines_before(after, pocket.word())? + moved;
        }
        Ok(held)
    }

    /// What lines dated before `from` came to in one pocket (an empty name: bills not paid), money in
    /// positive: whole months from their totals, the days of the month `from` is in from its lines.
    fn lines_before(&self, from: NaiveDate, pocket: &str) -> Result<Pence, BookError> {
        let month = Month::containing(from);
        let found: Option<Pence> = self
            .connection
            .prepare_cached(
                "SELECT (SELECT coalesce(sum(amount), 0) FROM line_total WHERE month < ?1 AND pocket = ?2)
                     + (SELECT coalesce(sum(CASE direction WHEN 'cost' THEN -amount ELSE amount END), 0) FROM line
                        WHERE dated >= ?3 AND dated < ?4 AND coalesce(pocket, '') = ?2)",
            )?
            .query_row(params![month.iso(), pocket, month.first_day(), from], |row| row.get(0))?;
        Ok(found.unwrap_or_default())
    }

    /// What movements dated before `from` came to.
    fn moved_before(&self, from: NaiveDate) -> Result<Vec<(Pocket, Purpose, Pence)>, BookError> {
        let month = Month::containing(from);
        let mut found = self.connection.prepare_cached(MOVED_BEFORE)?;
        let sums = found
            .query_map(params![month.iso(), from, month.first_day()], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?))
            })?
            .collect::<Result<_, _>>()?;
        Ok(sums)
    }

    /// The VAT on receipts less that on costs of lines dated from `from` to `to`: whole months from their
    /// totals, what is left at either end from the lines.
    fn line_vat(&self, from: NaiveDate, to: NaiveDate) -> Result<Pence, BookError> {
        let first = if from == Month::containing(from).first_day() {
            Month::containing(from)
        } else {
            Month::containing(from).next()
        };
        let last = if to == Month::containing(to).last_day() {
            Month::containing(to)
        } else {
            Month::containing(to).previous()
        };
        let lines =
            "SELECT coalesce(sum(CASE direction WHEN 'cost' THEN -vat ELSE vat END), 0) FROM line WHERE vat > 0";
        let mut vat = Pence::ZERO;
        if first > last {
            let sql = format!("{lines} AND dated BETWEEN ?1 AND ?2");
            return Ok(self.connection.prepare_cached(&sql)?.query_row([from, to], |row| row.get(0))?);
        }
        for (sql, ends) in [
            (format!("{lines} AND dated >= ?1 AND dated < ?2"), [from, first.first_day()]),
            (format!("{lines} AND dated > ?1 AND dated <= ?2"), [last.last_day(), to]),
        ] {
            vat += self.connection.prepare_cached(&sql)?.query_row(ends, |row| row.get::<_, Pence>(0))?;
        }
        vat += self
            .connection
            .prepare_cached("SELECT coalesce(sum(vat), 0) FROM line_total WHERE month BETWEEN ?1 AND ?2")?
            .query_row([first.iso(), last.iso()], |row| row.get::<_, Pence>(0))?;
        Ok(vat)
    }

    /// What is kept beside the facts and is not what they come to, in words.
    pub fn wrong_totals(&self) -> Result<Vec<String>, BookError> {
        let [lines, moved, places] = [
            ("line_total", "month, pocket, lines, amount, vat", LINE_TOTALS),
            ("movement_total", "month, pocket, purpose, movements, amount", MOVEMENT_TOTALS),
            ("whereabouts", "stock_no, left_on", WHEREABOUTS),
        ]
        .map(|(table, columns, anew)| self.differing(table, columns, anew));
        let not_so = |what: &str, found: Vec<String>| {
            found.into_iter().map(|which| format!("what is kept of {what} {which} is not so")).collect::<Vec<_>>()
        };
        let mut wrong = not_so("the lines of", lines?);
        wrong.extend(not_so("the movements of", moved?));
        wrong.extend(not_so("where car", places?));
        Ok(wrong)
    }

    /// The first column of every row that a table has and should not, or should have and has not: the table,
    /// its columns, and the statement that makes its rows from the facts.
    fn differing(&self, table: &str, columns: &str, anew: &str) -> Result<Vec<String>, BookError> {
        let first = columns.split(',').next().unwrap_or_default();
        let mut found = self.connection.prepare(&format!(
            "SELECT DISTINCT CAST({first} AS TEXT) FROM (
                 SELECT * FROM (SELECT {columns} FROM {table} EXCEPT {anew})
                 UNION ALL SELECT * FROM ({anew} EXCEPT SELECT {columns} FROM {table}))
             ORDER BY 1"
        ))?;
        let rows = found.query_map([], |row| row.get(0))?.collect::<Result<_, _>>()?;
        Ok(rows)
    }

    /// VAT on sales and receipts less VAT reclaimed, on registered days before `from`.
    fn vat_before(&self, from: NaiveDate, registration: &Registration) -> Result<Pence, BookError> {
        let Some(registered) = registration.from.filter(|registered| *registered < from) else {
            return Ok(Pence::ZERO);
        };
        let until = registration.until.unwrap_or(LAST_DAY).min(from.pred_opt().unwrap_or(from));
        let span = params![registered, until];
        let mut vat = self.line_vat(registered, until)?;
        vat -= self
            .connection
            .prepare_cached("SELECT sum(vat) FROM car WHERE vat_invoice = 1 AND bought_on BETWEEN ?1 AND ?2")?
            .query_row(span, |row| row.get::<_, Option<Pence>>(0))?
            .unwrap_or_default();
        vat += self.vat_by_sale(SALES_MADE, [registered, until, from], registration)?;
        vat -= self.vat_by_sale(SALES_REVERSED, [registered, until, from], registration)?;
        vat += self.vat_by_sale(KEPT_BACK, [registered, until, from], registration)?;
        let mut kept = self.connection.prepare_cached(DEPOSITS_KEPT)?;
        let mut rows = kept.query(span)?;
        while let Some(row) = rows.next()? {
            vat += vat_on_deposit_kept(row.get(0)?, row.get(1)?, registration);
        }
        Ok(vat)
    }

    /// VAT worked out sale by sale: each row has the price bought at, the amount, whether it came on
    /// a VAT invoice, and the day that decides.
    fn vat_by_sale(&self, sql: &str, span: [NaiveDate; 3], registration: &Registration) -> Result<Pence, BookError> {
        let mut found = self.connection.prepare_cached(sql)?;
        let mut rows = found.query(span)?;
        let mut vat = Pence::ZERO;
        while let Some(row) = rows.next()? {
            vat += registration.on_sale(row.get(0)?, row.get(1)?, row.get(2)?, day(row, 3)?);
        }
        Ok(vat)
    }
}

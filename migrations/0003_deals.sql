-- Why: deals as they really happen: offers, deposits, cars taken back, cars that leave without a
-- sale, auction fees, balances written off, receipts, closed months.

-- Money that settles something or moves the owner's money: as before, with two more purposes. A
-- deposit is taken (positive) or given back; a refund goes to the buyer of a car taken back. SQLite
-- cannot widen a CHECK, so the table is made anew; its numbers and their sequence stay.
CREATE TABLE movement_anew (
    movement_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no    INTEGER NOT NULL REFERENCES entry (entry_no),
    dated       TEXT NOT NULL CHECK (dated IS date(dated)),
    pocket      TEXT NOT NULL CHECK (pocket IN ('cash', 'bank', 'own')),
    amount      INTEGER NOT NULL CHECK (amount <> 0),
    purpose     TEXT NOT NULL CHECK (purpose IN
        ('purchase', 'sale', 'deposit', 'refund', 'bill', 'owner', 'loan', 'transfer', 'vat')),
    stock_no    INTEGER REFERENCES car (stock_no),
    party       TEXT,
    note        TEXT,
    CHECK ((purpose IN ('purchase', 'sale', 'deposit', 'refund')) = (stock_no IS NOT NULL)),
    CHECK ((purpose IN ('bill', 'loan')) <= (party IS NOT NULL))
) STRICT;
INSERT INTO movement_anew (movement_no, entry_no, dated, pocket, amount, purpose, stock_no, party, note)
    SELECT movement_no, entry_no, dated, pocket, amount, purpose, stock_no, party, note FROM movement;
DELETE FROM sqlite_sequence WHERE name = 'movement_anew';
INSERT INTO sqlite_sequence (name, seq) SELECT 'movement_anew', seq FROM sqlite_sequence WHERE name = 'movement';
DROP TABLE movement;
ALTER TABLE movement_anew RENAME TO movement;
CREATE INDEX movement_by_car ON movement (stock_no, dated);
CREATE INDEX movement_by_day ON movement (dated);
CREATE INDEX movement_by_entry ON movement (entry_no);
CREATE INDEX movement_with_party ON movement (party COLLATE NOCASE, dated) WHERE party IS NOT NULL;

-- What was paid for a car under the hammer, and the part of the purchase price that is the
-- auctioneer's own fee, charged without VAT shown.
CREATE TABLE auction_purchase (
    auction_purchase_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no            INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no            INTEGER NOT NULL REFERENCES car (stock_no),
    hammer_price        INTEGER NOT NULL CHECK (hammer_price >= 0),
    buyers_fee          INTEGER NOT NULL CHECK (buyers_fee >= 0)
) STRICT;
CREATE UNIQUE INDEX auction_purchase_by_car ON auction_purchase (stock_no);

CREATE TABLE offer (
    offer_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no INTEGER NOT NULL REFERENCES car (stock_no),
    dated    TEXT NOT NULL CHECK (dated IS date(dated)),
    amount   INTEGER NOT NULL CHECK (amount > 0),
    party    TEXT
) STRICT;
CREATE INDEX offer_by_car ON offer (stock_no, dated);

-- Until when a car is kept for whoever paid a deposit, if a day was agreed; the money itself is a
-- movement. The latest word counts.
CREATE TABLE deposit_hold (
    deposit_hold_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no        INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no        INTEGER NOT NULL REFERENCES car (stock_no),
    dated           TEXT NOT NULL CHECK (dated IS date(dated)),
    hold_until      TEXT CHECK (hold_until IS date(hold_until))
) STRICT;
CREATE INDEX deposit_hold_by_car ON deposit_hold (stock_no, dated);

-- Deposit money that is held no more and was not given back: counted towards a sale, or kept.
CREATE TABLE deposit_end (
    deposit_end_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no       INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no       INTEGER NOT NULL REFERENCES car (stock_no),
    dated          TEXT NOT NULL CHECK (dated IS date(dated)),
    amount         INTEGER NOT NULL CHECK (amount > 0),
    sale_no        INTEGER REFERENCES sale (sale_no)
) STRICT;
CREATE INDEX deposit_end_by_car ON deposit_end (stock_no, dated);
CREATE INDEX deposit_end_by_sale ON deposit_end (sale_no) WHERE sale_no IS NOT NULL;
CREATE INDEX deposit_kept ON deposit_end (dated) WHERE sale_no IS NULL;

-- Part of what a buyer owes that will never come.
CREATE TABLE write_off (
    write_off_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no     INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no     INTEGER NOT NULL REFERENCES car (stock_no),
    dated        TEXT NOT NULL CHECK (dated IS date(dated)),
    amount       INTEGER NOT NULL CHECK (amount > 0)
) STRICT;
CREATE INDEX write_off_by_car ON write_off (stock_no, dated);
CREATE INDEX write_off_by_day ON write_off (dated);

-- A sale undone by the buyer's return. `refund`: money agreed to go back, negative when he hands
-- money over; `lapsed`: what he still owed; `returned`: allowances of cars that went back to him;
-- `kept_back`: what he gave and does not get back.
CREATE TABLE take_back (
    take_back_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no     INTEGER NOT NULL REFERENCES entry (entry_no),
    sale_no      INTEGER NOT NULL REFERENCES sale (sale_no),
    dated        TEXT NOT NULL CHECK (dated IS date(dated)),
    refund       INTEGER NOT NULL,
    lapsed       INTEGER NOT NULL CHECK (lapsed >= 0),
    returned     INTEGER NOT NULL CHECK (returned >= 0),
    kept_back    INTEGER NOT NULL CHECK (kept_back >= 0),
    reason       TEXT
) STRICT;
CREATE UNIQUE INDEX take_back_by_sale ON take_back (sale_no);
CREATE INDEX take_back_by_day ON take_back (dated);

-- A car that left stock without a sale. `value`: what one kept was worth to the owner, or the
-- allowance at which one taken in went back to its giver.
CREATE TABLE disposal (
    disposal_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no    INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no    INTEGER NOT NULL REFERENCES car (stock_no),
    dated       TEXT NOT NULL CHECK (dated IS date(dated)),
    how         TEXT NOT NULL CHECK (how IN ('scrapped', 'broken', 'lost', 'kept', 'returned')),
    value       INTEGER NOT NULL CHECK (value >= 0),
    party       TEXT,
    certificate TEXT,
    CHECK (how IN ('kept', 'returned') OR value = 0)
) STRICT;
CREATE UNIQUE INDEX disposal_by_car ON disposal (stock_no);
CREATE INDEX disposal_by_day ON disposal (dated);

-- A photo or PDF kept with an entry; the file itself lies beside the book under its SHA-256.
CREATE TABLE receipt (
    receipt_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no   INTEGER NOT NULL REFERENCES entry (entry_no),
    of_entry   INTEGER NOT NULL REFERENCES entry (entry_no),
    sha256     TEXT NOT NULL CHECK (length(sha256) = 64),
    extension  TEXT NOT NULL,
    bytes      INTEGER NOT NULL CHECK (bytes > 0),
    file_name  TEXT NOT NULL
) STRICT;
CREATE INDEX receipt_of_entry ON receipt (of_entry);

-- A month closed, and its figures as they were then, as JSON.
CREATE TABLE closed_month (
    closed_month_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no        INTEGER NOT NULL REFERENCES entry (entry_no),
    month           TEXT NOT NULL UNIQUE CHECK (month GLOB '????-??'),
    figures         TEXT NOT NULL CHECK (json_valid(figures))
) STRICT;

-- Every time a car left stock, and the day it came back if it did.
CREATE VIEW departure (stock_no, left_on, back_on) AS
    SELECT s.stock_no, s.sold_on, t.dated FROM sale s LEFT JOIN take_back t USING (sale_no)
    UNION ALL SELECT stock_no, dated, NULL FROM disposal;

-- Cars out of stock that something is still open on; it was kept for sales alone.
DROP TABLE open_sale;
CREATE TABLE open_departure (
    stock_no INTEGER PRIMARY KEY
) STRICT;
INSERT INTO open_departure (stock_no) SELECT DISTINCT stock_no FROM sale;

-- The history, as for the tables before.
CREATE TRIGGER movement_added AFTER INSERT ON movement BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'movement', NEW.movement_no,
        NULL,
        json_object(
            'movement_no', NEW.movement_no, 'entry_no', NEW.entry_no, 'dated', NEW.dated,
            'pocket', NEW.pocket, 'amount', NEW.amount, 'purpose', NEW.purpose,
            'stock_no', NEW.stock_no, 'party', NEW.party, 'note', NEW.note));
END;
CREATE TRIGGER movement_changed AFTER UPDATE ON movement BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'movement', NEW.movement_no,
        json_object(
            'movement_no', OLD.movement_no, 'entry_no', OLD.entry_no, 'dated', OLD.dated,
            'pocket', OLD.pocket, 'amount', OLD.amount, 'purpose', OLD.purpose,
            'stock_no', OLD.stock_no, 'party', OLD.party, 'note', OLD.note),
        json_object(
            'movement_no', NEW.movement_no, 'entry_no', NEW.entry_no, 'dated', NEW.dated,
            'pocket', NEW.pocket, 'amount', NEW.amount, 'purpose', NEW.purpose,
            'stock_no', NEW.stock_no, 'party', NEW.party, 'note', NEW.note));
END;
CREATE TRIGGER movement_removed AFTER DELETE ON movement BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'movement', OLD.movement_no,
        json_object(
            'movement_no', OLD.movement_no, 'entry_no', OLD.entry_no, 'dated', OLD.dated,
            'pocket', OLD.pocket, 'amount', OLD.amount, 'purpose', OLD.purpose,
            'stock_no', OLD.stock_no, 'party', OLD.party, 'note', OLD.note),
        NULL);
END;
CREATE TRIGGER auction_purchase_added AFTER INSERT ON auction_purchase BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'auction_purchase', NEW.auction_purchase_no,
        NULL,
        json_object(
            'auction_purchase_no', NEW.auction_purchase_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'hammer_price', NEW.hammer_price,
            'buyers_fee', NEW.buyers_fee));
END;
CREATE TRIGGER auction_purchase_changed AFTER UPDATE ON auction_purchase BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'auction_purchase', NEW.auction_purchase_no,
        json_object(
            'auction_purchase_no', OLD.auction_purchase_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'hammer_price', OLD.hammer_price,
            'buyers_fee', OLD.buyers_fee),
        json_object(
            'auction_purchase_no', NEW.auction_purchase_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'hammer_price', NEW.hammer_price,
            'buyers_fee', NEW.buyers_fee));
END;
CREATE TRIGGER auction_purchase_removed AFTER DELETE ON auction_purchase BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'auction_purchase', OLD.auction_purchase_no,
        json_object(
            'auction_purchase_no', OLD.auction_purchase_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'hammer_price', OLD.hammer_price,
            'buyers_fee', OLD.buyers_fee),
        NULL);
END;
CREATE TRIGGER offer_added AFTER INSERT ON offer BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'offer', NEW.offer_no,
        NULL,
        json_object(
            'offer_no', NEW.offer_no, 'entry_no', NEW.entry_no, 'stock_no', NEW.stock_no,
            'dated', NEW.dated, 'amount', NEW.amount, 'party', NEW.party));
END;
CREATE TRIGGER offer_changed AFTER UPDATE ON offer BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'offer', NEW.offer_no,
        json_object(
            'offer_no', OLD.offer_no, 'entry_no', OLD.entry_no, 'stock_no', OLD.stock_no,
            'dated', OLD.dated, 'amount', OLD.amount, 'party', OLD.party),
        json_object(
            'offer_no', NEW.offer_no, 'entry_no', NEW.entry_no, 'stock_no', NEW.stock_no,
            'dated', NEW.dated, 'amount', NEW.amount, 'party', NEW.party));
END;
CREATE TRIGGER offer_removed AFTER DELETE ON offer BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'offer', OLD.offer_no,
        json_object(
            'offer_no', OLD.offer_no, 'entry_no', OLD.entry_no, 'stock_no', OLD.stock_no,
            'dated', OLD.dated, 'amount', OLD.amount, 'party', OLD.party),
        NULL);
END;
CREATE TRIGGER deposit_hold_added AFTER INSERT ON deposit_hold BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'deposit_hold', NEW.deposit_hold_no,
        NULL,
        json_object(
            'deposit_hold_no', NEW.deposit_hold_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'hold_until', NEW.hold_until));
END;
CREATE TRIGGER deposit_hold_changed AFTER UPDATE ON deposit_hold BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'deposit_hold', NEW.deposit_hold_no,
        json_object(
            'deposit_hold_no', OLD.deposit_hold_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'hold_until', OLD.hold_until),
        json_object(
            'deposit_hold_no', NEW.deposit_hold_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'hold_until', NEW.hold_until));
END;
CREATE TRIGGER deposit_hold_removed AFTER DELETE ON deposit_hold BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'deposit_hold', OLD.deposit_hold_no,
        json_object(
            'deposit_hold_no', OLD.deposit_hold_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'hold_until', OLD.hold_until),
        NULL);
END;
CREATE TRIGGER deposit_end_added AFTER INSERT ON deposit_end BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'deposit_end', NEW.deposit_end_no,
        NULL,
        json_object(
            'deposit_end_no', NEW.deposit_end_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'amount', NEW.amount,
            'sale_no', NEW.sale_no));
END;
CREATE TRIGGER deposit_end_changed AFTER UPDATE ON deposit_end BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'deposit_end', NEW.deposit_end_no,
        json_object(
            'deposit_end_no', OLD.deposit_end_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'amount', OLD.amount,
            'sale_no', OLD.sale_no),
        json_object(
            'deposit_end_no', NEW.deposit_end_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'amount', NEW.amount,
            'sale_no', NEW.sale_no));
END;
CREATE TRIGGER deposit_end_removed AFTER DELETE ON deposit_end BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'deposit_end', OLD.deposit_end_no,
        json_object(
            'deposit_end_no', OLD.deposit_end_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'amount', OLD.amount,
            'sale_no', OLD.sale_no),
        NULL);
END;
CREATE TRIGGER write_off_added AFTER INSERT ON write_off BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'write_off', NEW.write_off_no,
        NULL,
        json_object(
            'write_off_no', NEW.write_off_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'amount', NEW.amount));
END;
CREATE TRIGGER write_off_changed AFTER UPDATE ON write_off BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'write_off', NEW.write_off_no,
        json_object(
            'write_off_no', OLD.write_off_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'amount', OLD.amount),
        json_object(
            'write_off_no', NEW.write_off_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'amount', NEW.amount));
END;
CREATE TRIGGER write_off_removed AFTER DELETE ON write_off BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'write_off', OLD.write_off_no,
        json_object(
            'write_off_no', OLD.write_off_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'amount', OLD.amount),
        NULL);
END;
CREATE TRIGGER take_back_added AFTER INSERT ON take_back BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'take_back', NEW.take_back_no,
        NULL,
        json_object(
            'take_back_no', NEW.take_back_no, 'entry_no', NEW.entry_no,
            'sale_no', NEW.sale_no, 'dated', NEW.dated, 'refund', NEW.refund,
            'lapsed', NEW.lapsed, 'returned', NEW.returned, 'kept_back', NEW.kept_back,
            'reason', NEW.reason));
END;
CREATE TRIGGER take_back_changed AFTER UPDATE ON take_back BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'take_back', NEW.take_back_no,
        json_object(
            'take_back_no', OLD.take_back_no, 'entry_no', OLD.entry_no,
            'sale_no', OLD.sale_no, 'dated', OLD.dated, 'refund', OLD.refund,
            'lapsed', OLD.lapsed, 'returned', OLD.returned, 'kept_back', OLD.kept_back,
            'reason', OLD.reason),
        json_object(
            'take_back_no', NEW.take_back_no, 'entry_no', NEW.entry_no,
            'sale_no', NEW.sale_no, 'dated', NEW.dated, 'refund', NEW.refund,
            'lapsed', NEW.lapsed, 'returned', NEW.returned, 'kept_back', NEW.kept_back,
            'reason', NEW.reason));
END;
CREATE TRIGGER take_back_removed AFTER DELETE ON take_back BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'take_back', OLD.take_back_no,
        json_object(
            'take_back_no', OLD.take_back_no, 'entry_no', OLD.entry_no,
            'sale_no', OLD.sale_no, 'dated', OLD.dated, 'refund', OLD.refund,
            'lapsed', OLD.lapsed, 'returned', OLD.returned, 'kept_back', OLD.kept_back,
            'reason', OLD.reason),
        NULL);
END;
CREATE TRIGGER disposal_added AFTER INSERT ON disposal BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'disposal', NEW.disposal_no,
        NULL,
        json_object(
            'disposal_no', NEW.disposal_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'how', NEW.how,
            'value', NEW.value, 'party', NEW.party, 'certificate', NEW.certificate));
END;
CREATE TRIGGER disposal_changed AFTER UPDATE ON disposal BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'disposal', NEW.disposal_no,
        json_object(
            'disposal_no', OLD.disposal_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'how', OLD.how,
            'value', OLD.value, 'party', OLD.party, 'certificate', OLD.certificate),
        json_object(
            'disposal_no', NEW.disposal_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'how', NEW.how,
            'value', NEW.value, 'party', NEW.party, 'certificate', NEW.certificate));
END;
CREATE TRIGGER disposal_removed AFTER DELETE ON disposal BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'disposal', OLD.disposal_no,
        json_object(
            'disposal_no', OLD.disposal_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'how', OLD.how,
            'value', OLD.value, 'party', OLD.party, 'certificate', OLD.certificate),
        NULL);
END;
CREATE TRIGGER receipt_added AFTER INSERT ON receipt BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'receipt', NEW.receipt_no,
        NULL,
        json_object(
            'receipt_no', NEW.receipt_no, 'entry_no', NEW.entry_no,
            'of_entry', NEW.of_entry, 'sha256', NEW.sha256, 'extension', NEW.extension,
            'bytes', NEW.bytes, 'file_name', NEW.file_name));
END;
CREATE TRIGGER receipt_changed AFTER UPDATE ON receipt BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'receipt', NEW.receipt_no,
        json_object(
            'receipt_no', OLD.receipt_no, 'entry_no', OLD.entry_no,
            'of_entry', OLD.of_entry, 'sha256', OLD.sha256, 'extension', OLD.extension,
            'bytes', OLD.bytes, 'file_name', OLD.file_name),
        json_object(
            'receipt_no', NEW.receipt_no, 'entry_no', NEW.entry_no,
            'of_entry', NEW.of_entry, 'sha256', NEW.sha256, 'extension', NEW.extension,
            'bytes', NEW.bytes, 'file_name', NEW.file_name));
END;
CREATE TRIGGER receipt_removed AFTER DELETE ON receipt BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'receipt', OLD.receipt_no,
        json_object(
            'receipt_no', OLD.receipt_no, 'entry_no', OLD.entry_no,
            'of_entry', OLD.of_entry, 'sha256', OLD.sha256, 'extension', OLD.extension,
            'bytes', OLD.bytes, 'file_name', OLD.file_name),
        NULL);
END;
CREATE TRIGGER closed_month_added AFTER INSERT ON closed_month BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'closed_month', NEW.closed_month_no,
        NULL,
        json_object(
            'closed_month_no', NEW.closed_month_no, 'entry_no', NEW.entry_no,
            'month', NEW.month, 'figures', NEW.figures));
END;
CREATE TRIGGER closed_month_changed AFTER UPDATE ON closed_month BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'closed_month', NEW.closed_month_no,
        json_object(
            'closed_month_no', OLD.closed_month_no, 'entry_no', OLD.entry_no,
            'month', OLD.month, 'figures', OLD.figures),
        json_object(
            'closed_month_no', NEW.closed_month_no, 'entry_no', NEW.entry_no,
            'month', NEW.month, 'figures', NEW.figures));
END;
CREATE TRIGGER closed_month_removed AFTER DELETE ON closed_month BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'closed_month', OLD.closed_month_no,
        json_object(
            'closed_month_no', OLD.closed_month_no, 'entry_no', OLD.entry_no,
            'month', OLD.month, 'figures', OLD.figures),
        NULL);
END;

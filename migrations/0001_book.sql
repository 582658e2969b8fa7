-- Why: the book, as version 7 has it: entries and their history, vehicles and their stays as cars, money, deals,
-- dates, papers and settings, and what is kept beside the facts so that a report need not read them all.
-- Money is whole pence, days are ISO dates, times are UTC. Row numbers are never used again (AUTOINCREMENT), so
-- that what an undo took away can come back.

-- What the trader recorded, one row a command that changed the book. `undone_by` is set while
-- an undo stands against the entry.
CREATE TABLE entry (
    entry_no    INTEGER PRIMARY KEY AUTOINCREMENT,
    recorded_at TEXT NOT NULL CHECK (recorded_at GLOB '????-??-??T??:??:??Z'),
    command     TEXT NOT NULL,
    typed       TEXT NOT NULL,
    summary     TEXT NOT NULL,
    undoes      INTEGER REFERENCES entry (entry_no),
    undone_by   INTEGER REFERENCES entry (entry_no)
) STRICT;
CREATE INDEX entry_undoes ON entry (undoes) WHERE undoes IS NOT NULL;
CREATE INDEX entry_undone_by ON entry (undone_by) WHERE undone_by IS NOT NULL;

-- Which cars an entry was about. No foreign key: an undone purchase leaves its number here,
-- so that the stock book can explain the gap.
CREATE TABLE entry_car (
    entry_no INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no INTEGER NOT NULL,
    PRIMARY KEY (entry_no, stock_no)
) STRICT, WITHOUT ROWID;
CREATE INDEX entry_car_by_car ON entry_car (stock_no, entry_no);

-- Every row's before and after under the latest entry. The triggers that write it are made by the program from
-- each table's own columns (src/store/schema/history_triggers.rs), three a table whose rows have an `entry_no`.
CREATE TABLE history (
    history_no INTEGER PRIMARY KEY,
    entry_no   INTEGER NOT NULL REFERENCES entry (entry_no),
    table_name TEXT NOT NULL,
    row_no     INTEGER NOT NULL,
    before     TEXT,
    after      TEXT
) STRICT;
CREATE INDEX history_by_entry ON history (entry_no);

CREATE TRIGGER history_never_changes BEFORE UPDATE ON history
    BEGIN SELECT RAISE(ABORT, 'the history is never rewritten'); END;

CREATE TRIGGER history_never_goes BEFORE DELETE ON history
    BEGIN SELECT RAISE(ABORT, 'the history is never rewritten'); END;

-- What a cost, an overhead or a receipt was for. `entry_no` is empty for those that came with
-- the program. `return_heading` is the self-employment page's heading it belongs under.
CREATE TABLE heading (
    heading_no     INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no       INTEGER REFERENCES entry (entry_no),
    name           TEXT NOT NULL UNIQUE,
    direction      TEXT NOT NULL CHECK (direction IN ('cost', 'receipt')),
    return_heading TEXT NOT NULL
) STRICT;

-- The headings a book starts with. return_heading follows the expense names of HMRC's
-- self-employment pages (SA103).
INSERT INTO heading (name, direction, return_heading) VALUES
    ('mot', 'cost', 'goods'),
    ('parts', 'cost', 'goods'),
    ('labour', 'cost', 'goods'),
    ('tyres', 'cost', 'goods'),
    ('bodywork', 'cost', 'goods'),
    ('glass', 'cost', 'goods'),
    ('service', 'cost', 'goods'),
    ('valet', 'cost', 'goods'),
    ('keys', 'cost', 'goods'),
    ('transport', 'cost', 'goods'),
    ('auction-fee', 'cost', 'goods'),
    ('history-check', 'cost', 'goods'),
    ('inspection', 'cost', 'goods'),
    ('warranty', 'cost', 'goods'),
    ('goodwill', 'cost', 'goods'),
    ('fuel', 'cost', 'travel'),
    ('vehicle-tax', 'cost', 'travel'),
    ('truck', 'cost', 'travel'),
    ('rent', 'cost', 'premises'),
    ('rates', 'cost', 'premises'),
    ('power', 'cost', 'premises'),
    ('insurance', 'cost', 'premises'),
    ('storage', 'cost', 'premises'),
    ('repairs', 'cost', 'repairs'),
    ('tools', 'cost', 'repairs'),
    ('wages', 'cost', 'wages'),
    ('phone', 'cost', 'office'),
    ('stationery', 'cost', 'office'),
    ('advertising', 'cost', 'advertising'),
    ('interest', 'cost', 'interest'),
    ('bank-charges', 'cost', 'bank-charges'),
    ('accountant', 'cost', 'professional'),
    ('trade-licence', 'cost', 'other-expenses'),
    ('waste', 'cost', 'other-expenses'),
    ('training', 'cost', 'other-expenses'),
    ('other', 'cost', 'other-expenses'),
    ('parts-sold', 'receipt', 'sales'),
    ('wheels-sold', 'receipt', 'sales'),
    ('scrap-sold', 'receipt', 'sales'),
    ('work-done', 'receipt', 'sales'),
    ('insurance-paid', 'receipt', 'other-income'),
    ('refund', 'receipt', 'other-income'),
    ('other-income', 'receipt', 'other-income');

-- What the trader set for the whole yard: a name, whether VAT counts, what is paid from where if nothing is said.
CREATE TABLE setting (
    setting_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no   INTEGER NOT NULL REFERENCES entry (entry_no),
    key        TEXT NOT NULL UNIQUE,
    value      TEXT NOT NULL
) STRICT;

-- The thing itself. It may be a car in the book more than once.
CREATE TABLE vehicle (
    vehicle_no       INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no         INTEGER NOT NULL REFERENCES entry (entry_no),
    kind             TEXT NOT NULL CHECK (kind IN ('car', 'van', 'motorcycle')),
    vin              TEXT,
    make             TEXT,
    model            TEXT,
    year             INTEGER CHECK (year BETWEEN 1885 AND 2100),
    colour           TEXT,
    fuel             TEXT,
    first_registered TEXT CHECK (first_registered IS date(first_registered))
) STRICT;
-- A vehicle is looked for by its VIN with every purchase that gives one.
CREATE INDEX vehicle_by_vin ON vehicle (vin) WHERE vin IS NOT NULL;

-- The marks a vehicle has carried; the one from the latest day is on it now.
CREATE TABLE mark (
    mark_no    INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no   INTEGER NOT NULL REFERENCES entry (entry_no),
    vehicle_no INTEGER NOT NULL REFERENCES vehicle (vehicle_no),
    mark       TEXT NOT NULL,
    dated      TEXT NOT NULL CHECK (dated IS date(dated))
) STRICT;
CREATE INDEX mark_by_mark ON mark (mark);
CREATE INDEX mark_by_vehicle ON mark (vehicle_no, dated);

-- Odometer readings, oldest claim to newest.
CREATE TABLE reading (
    reading_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no   INTEGER NOT NULL REFERENCES entry (entry_no),
    vehicle_no INTEGER NOT NULL REFERENCES vehicle (vehicle_no),
    dated      TEXT NOT NULL CHECK (dated IS date(dated)),
    miles      INTEGER NOT NULL CHECK (miles >= 0),
    taken_at   TEXT NOT NULL CHECK (taken_at IN ('purchase', 'sale', 'mot'))
) STRICT;
CREATE INDEX reading_by_vehicle ON reading (vehicle_no, dated);

-- MOT certificates known: `dated` is the day it became known to the book.
CREATE TABLE mot_certificate (
    mot_certificate_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no           INTEGER NOT NULL REFERENCES entry (entry_no),
    vehicle_no         INTEGER NOT NULL REFERENCES vehicle (vehicle_no),
    dated              TEXT NOT NULL CHECK (dated IS date(dated)),
    until              TEXT NOT NULL CHECK (until IS date(until))
) STRICT;
CREATE INDEX mot_certificate_by_vehicle ON mot_certificate (vehicle_no, dated);

-- One stay of one vehicle in stock. A stock number is never given twice, not even after an
-- undo. `finance` is the part of the price owed to a lender, not the seller.
CREATE TABLE car (
    stock_no         INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no         INTEGER NOT NULL REFERENCES entry (entry_no),
    vehicle_no       INTEGER NOT NULL REFERENCES vehicle (vehicle_no),
    mark_at_purchase TEXT,
    bought_on        TEXT NOT NULL CHECK (bought_on IS date(bought_on)),
    purchase_price   INTEGER NOT NULL CHECK (purchase_price >= 0),
    finance          INTEGER NOT NULL CHECK (finance BETWEEN 0 AND purchase_price),
    vat              INTEGER NOT NULL CHECK (vat BETWEEN 0 AND purchase_price),
    vat_invoice      INTEGER NOT NULL CHECK (vat_invoice IN (0, 1)),
    via              TEXT NOT NULL CHECK (via IN ('private', 'auction', 'trade', 'own', 'part-exchange')),
    seller           TEXT,
    purchase_invoice TEXT,
    keys             INTEGER CHECK (keys >= 0)
) STRICT;
CREATE INDEX car_by_vehicle ON car (vehicle_no);
CREATE INDEX car_by_day ON car (bought_on, purchase_price);

-- A car sold. `delivered_on` and `distance` are for what the law gives a buyer at a distance.
CREATE TABLE sale (
    sale_no       INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no      INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no      INTEGER NOT NULL REFERENCES car (stock_no),
    sold_on       TEXT NOT NULL CHECK (sold_on IS date(sold_on)),
    selling_price INTEGER NOT NULL CHECK (selling_price >= 0),
    buyer         TEXT,
    address       TEXT,
    to_trade      INTEGER NOT NULL CHECK (to_trade IN (0, 1)),
    delivered_on  TEXT CHECK (delivered_on IS date(delivered_on)),
    distance      INTEGER NOT NULL CHECK (distance IN (0, 1))
) STRICT;
CREATE INDEX sale_by_car ON sale (stock_no);
CREATE INDEX sale_by_day ON sale (sold_on, selling_price);

-- A car taken in as part payment: `stock_no` is the one taken in, for `sale_no`.
CREATE TABLE part_exchange (
    part_exchange_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no         INTEGER NOT NULL REFERENCES entry (entry_no),
    sale_no          INTEGER NOT NULL REFERENCES sale (sale_no),
    stock_no         INTEGER NOT NULL REFERENCES car (stock_no),
    allowance        INTEGER NOT NULL CHECK (allowance >= 0)
) STRICT;
CREATE INDEX part_exchange_by_sale ON part_exchange (sale_no);
CREATE INDEX part_exchange_by_car ON part_exchange (stock_no);

-- Money spent or received, on a car or (stock_no empty) on the yard. `pocket` empty: a bill
-- not paid when it was recorded. `shared`: how the amount came to be this car's part.
CREATE TABLE line (
    line_no     INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no    INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no    INTEGER REFERENCES car (stock_no),
    direction   TEXT NOT NULL CHECK (direction IN ('cost', 'receipt')),
    dated       TEXT NOT NULL CHECK (dated IS date(dated)),
    heading     TEXT NOT NULL REFERENCES heading (name),
    amount      INTEGER NOT NULL CHECK (amount >= 0),
    usual_price INTEGER CHECK (usual_price >= 0),
    vat         INTEGER NOT NULL CHECK (vat BETWEEN 0 AND amount),
    pocket      TEXT CHECK (pocket IN ('cash', 'bank', 'own')),
    shared      TEXT NOT NULL CHECK (shared IN ('whole', 'equally', 'split')),
    party       TEXT,
    note        TEXT
) STRICT;
CREATE INDEX line_by_car ON line (stock_no, dated);
CREATE INDEX line_by_day ON line (dated);
CREATE INDEX line_by_entry ON line (entry_no);
CREATE INDEX line_by_heading ON line (heading);
CREATE INDEX line_unpaid ON line (party, dated) WHERE pocket IS NULL;
CREATE INDEX line_with_vat ON line (dated) WHERE vat > 0;

-- What is asked for a car from a day on, and the lowest the trader would take.
CREATE TABLE asking_price (
    asking_price_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no        INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no        INTEGER NOT NULL REFERENCES car (stock_no),
    dated           TEXT NOT NULL CHECK (dated IS date(dated)),
    amount          INTEGER NOT NULL CHECK (amount > 0),
    lowest          INTEGER CHECK (lowest BETWEEN 0 AND amount)
) STRICT;
CREATE INDEX asking_price_by_car ON asking_price (stock_no, dated);

-- What the trader wrote down about a car for themself.
CREATE TABLE note (
    note_no  INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no INTEGER NOT NULL REFERENCES car (stock_no),
    dated    TEXT NOT NULL CHECK (dated IS date(dated)),
    wording  TEXT NOT NULL
) STRICT;
CREATE INDEX note_by_car ON note (stock_no, dated);

-- The trader's own hours on a car, which cost nothing and are counted beside the profit.
CREATE TABLE own_hours (
    own_hours_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no     INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no     INTEGER NOT NULL REFERENCES car (stock_no),
    dated        TEXT NOT NULL CHECK (dated IS date(dated)),
    minutes      INTEGER NOT NULL CHECK (minutes > 0),
    note         TEXT
) STRICT;
CREATE INDEX own_hours_by_car ON own_hours (stock_no, dated);

-- An overhead that comes round by itself. Its due days are worked out, never stored.
CREATE TABLE standing (
    standing_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no    INTEGER NOT NULL REFERENCES entry (entry_no),
    name        TEXT NOT NULL,
    heading     TEXT NOT NULL REFERENCES heading (name),
    every       TEXT NOT NULL CHECK (every IN ('week', 'month', 'quarter', 'year')),
    first_on    TEXT NOT NULL CHECK (first_on IS date(first_on)),
    until       TEXT CHECK (until IS date(until)),
    pocket      TEXT NOT NULL CHECK (pocket IN ('cash', 'bank', 'own')),
    CHECK (until IS NULL OR until >= first_on)
) STRICT;
CREATE INDEX standing_by_name ON standing (name);
CREATE INDEX standing_by_heading ON standing (heading);

-- What a standing cost comes to from a day on.
CREATE TABLE standing_amount (
    standing_amount_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no           INTEGER NOT NULL REFERENCES entry (entry_no),
    standing_no        INTEGER NOT NULL REFERENCES standing (standing_no),
    dated              TEXT NOT NULL CHECK (dated IS date(dated)),
    amount             INTEGER NOT NULL CHECK (amount > 0),
    vat                INTEGER NOT NULL CHECK (vat BETWEEN 0 AND amount)
) STRICT;
CREATE INDEX standing_amount_by_standing ON standing_amount (standing_no, dated);

-- One due day let off.
CREATE TABLE standing_skip (
    standing_skip_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no         INTEGER NOT NULL REFERENCES entry (entry_no),
    standing_no      INTEGER NOT NULL REFERENCES standing (standing_no),
    dated            TEXT NOT NULL CHECK (dated IS date(dated)),
    UNIQUE (standing_no, dated)
) STRICT;

-- MOT tests. A pass also adds an mot_certificate with its last day.
CREATE TABLE mot_test (
    mot_test_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no    INTEGER NOT NULL REFERENCES entry (entry_no),
    vehicle_no  INTEGER NOT NULL REFERENCES vehicle (vehicle_no),
    dated       TEXT NOT NULL CHECK (dated IS date(dated)),
    result      TEXT NOT NULL CHECK (result IN ('pass', 'fail')),
    until       TEXT CHECK (until IS date(until)),
    miles       INTEGER CHECK (miles >= 0),
    CHECK ((result = 'pass') = (until IS NOT NULL))
) STRICT;
CREATE INDEX mot_test_by_vehicle ON mot_test (vehicle_no, dated);

-- What an MOT test found, one row a defect.
CREATE TABLE mot_defect (
    mot_defect_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no      INTEGER NOT NULL REFERENCES entry (entry_no),
    mot_test_no   INTEGER NOT NULL REFERENCES mot_test (mot_test_no),
    level         TEXT NOT NULL CHECK (level IN ('dangerous', 'major', 'minor', 'advisory')),
    wording       TEXT NOT NULL
) STRICT;
CREATE INDEX mot_defect_by_test ON mot_defect (mot_test_no);

-- Vehicle tax as the trader took it out, declared the car off the road, or said it has neither.
CREATE TABLE vehicle_tax (
    vehicle_tax_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no       INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no       INTEGER NOT NULL REFERENCES car (stock_no),
    dated          TEXT NOT NULL CHECK (dated IS date(dated)),
    status         TEXT NOT NULL CHECK (status IN ('taxed', 'sorn', 'none')),
    starts         TEXT NOT NULL CHECK (starts IS date(starts)),
    until          TEXT CHECK (until IS date(until)),
    annual_rate    INTEGER CHECK (annual_rate >= 0),
    CHECK ((status = 'taxed') = (until IS NOT NULL))
) STRICT;
CREATE INDEX vehicle_tax_by_car ON vehicle_tax (stock_no, dated);

-- The pre-sale list, an item at a time; the latest word on an item counts.
CREATE TABLE car_check (
    car_check_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no     INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no     INTEGER NOT NULL REFERENCES car (stock_no),
    dated        TEXT NOT NULL CHECK (dated IS date(dated)),
    item         TEXT NOT NULL,
    state        TEXT NOT NULL CHECK (state IN ('done', 'not-needed', 'not-done')),
    note         TEXT
) STRICT;
CREATE INDEX car_check_by_car ON car_check (stock_no, dated);

-- Dated documents of the business.
CREATE TABLE paper (
    paper_no    INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no    INTEGER NOT NULL REFERENCES entry (entry_no),
    name        TEXT NOT NULL,
    until       TEXT NOT NULL CHECK (until IS date(until)),
    remind_days INTEGER CHECK (remind_days >= 0)
) STRICT;

-- Dates dealt with: what `due` listed and the trader said is done.
CREATE TABLE dealt_with (
    dealt_with_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no      INTEGER NOT NULL REFERENCES entry (entry_no),
    item          INTEGER NOT NULL,
    dated         TEXT NOT NULL CHECK (dated IS date(dated))
) STRICT;
CREATE INDEX dealt_with_by_item ON dealt_with (item);

-- Money that settles something or moves the owner's money: into a pocket positive, out of it
-- negative. Costs and receipts are lines and carry their own pocket.
CREATE TABLE movement (
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

-- What somebody offered for a car.
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

-- A sale undone by the buyer's return. `refund`: money agreed to go back, negative when the buyer hands
-- money over; `lapsed`: what was still owed; `returned`: allowances of cars that went back to the buyer;
-- `kept_back`: what was given and does not go back.
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

-- Cars that have left stock but still have an open item. Brought up to date with every entry; it follows
-- from the facts and is no part of the history.
CREATE TABLE open_departure (
    stock_no INTEGER PRIMARY KEY
) STRICT;

-- The programme from a month on: slots, the purchase price of one, the multiple each car is to reach
-- (a decimal number as text). The later of two for one month holds.
CREATE TABLE programme (
    programme_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no     INTEGER NOT NULL REFERENCES entry (entry_no),
    from_month   TEXT NOT NULL CHECK (from_month GLOB '????-??'),
    cars         INTEGER NOT NULL CHECK (cars >= 0),
    budget       INTEGER CHECK (budget > 0),
    multiple     TEXT NOT NULL
) STRICT;
CREATE INDEX programme_by_month ON programme (from_month);

-- Business miles driven in the owner's own vehicle, in tenths of a mile, for the flat rate.
CREATE TABLE journey (
    journey_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no   INTEGER NOT NULL REFERENCES entry (entry_no),
    dated      TEXT NOT NULL CHECK (dated IS date(dated)),
    tenths     INTEGER NOT NULL CHECK (tenths > 0),
    purpose    TEXT NOT NULL
) STRICT;
CREATE INDEX journey_by_day ON journey (dated);

-- A copy made. No fact of the trade: no entry, and no part of the history.
CREATE TABLE backup_made (
    backup_made_no INTEGER PRIMARY KEY AUTOINCREMENT,
    made_at        TEXT NOT NULL CHECK (made_at GLOB '????-??-??T??:??:??Z'),
    file           TEXT NOT NULL,
    last_entry     INTEGER NOT NULL
) STRICT;

-- What the lines of each month come to by pocket ('' for bills not paid), money in positive, so that a
-- month's report need not read all that went before. It follows from the lines, is kept by the triggers
-- below in the same transaction, and is no part of the history.
CREATE TABLE line_total (
    month  TEXT NOT NULL,
    pocket TEXT NOT NULL,
    lines  INTEGER NOT NULL CHECK (lines >= 0),
    amount INTEGER NOT NULL,
    vat    INTEGER NOT NULL,
    PRIMARY KEY (month, pocket)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER line_total_added AFTER INSERT ON line BEGIN
    INSERT INTO line_total (month, pocket, lines, amount, vat)
    VALUES (substr(NEW.dated, 1, 7), coalesce(NEW.pocket, ''), 1,
        CASE NEW.direction WHEN 'cost' THEN -NEW.amount ELSE NEW.amount END,
        CASE NEW.direction WHEN 'cost' THEN -NEW.vat ELSE NEW.vat END)
    ON CONFLICT (month, pocket) DO UPDATE SET
        lines = lines + 1, amount = amount + excluded.amount, vat = vat + excluded.vat;
END;

CREATE TRIGGER line_total_changed AFTER UPDATE ON line BEGIN
    UPDATE line_total SET
        lines = lines - 1,
        amount = amount - CASE OLD.direction WHEN 'cost' THEN -OLD.amount ELSE OLD.amount END,
        vat = vat - CASE OLD.direction WHEN 'cost' THEN -OLD.vat ELSE OLD.vat END
    WHERE month = substr(OLD.dated, 1, 7) AND pocket = coalesce(OLD.pocket, '');
    DELETE FROM line_total
    WHERE month = substr(OLD.dated, 1, 7) AND pocket = coalesce(OLD.pocket, '') AND lines = 0;
    INSERT INTO line_total (month, pocket, lines, amount, vat)
    VALUES (substr(NEW.dated, 1, 7), coalesce(NEW.pocket, ''), 1,
        CASE NEW.direction WHEN 'cost' THEN -NEW.amount ELSE NEW.amount END,
        CASE NEW.direction WHEN 'cost' THEN -NEW.vat ELSE NEW.vat END)
    ON CONFLICT (month, pocket) DO UPDATE SET
        lines = lines + 1, amount = amount + excluded.amount, vat = vat + excluded.vat;
END;

CREATE TRIGGER line_total_removed AFTER DELETE ON line BEGIN
    UPDATE line_total SET
        lines = lines - 1,
        amount = amount - CASE OLD.direction WHEN 'cost' THEN -OLD.amount ELSE OLD.amount END,
        vat = vat - CASE OLD.direction WHEN 'cost' THEN -OLD.vat ELSE OLD.vat END
    WHERE month = substr(OLD.dated, 1, 7) AND pocket = coalesce(OLD.pocket, '');
    DELETE FROM line_total
    WHERE month = substr(OLD.dated, 1, 7) AND pocket = coalesce(OLD.pocket, '') AND lines = 0;
END;

-- What money that settled something comes to each month by pocket and purpose; kept like the lines' totals.
CREATE TABLE movement_total (
    month     TEXT NOT NULL,
    pocket    TEXT NOT NULL,
    purpose   TEXT NOT NULL,
    movements INTEGER NOT NULL CHECK (movements >= 0),
    amount    INTEGER NOT NULL,
    PRIMARY KEY (month, pocket, purpose)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER movement_total_added AFTER INSERT ON movement BEGIN
    INSERT INTO movement_total (month, pocket, purpose, movements, amount)
    VALUES (substr(NEW.dated, 1, 7), NEW.pocket, NEW.purpose, 1, NEW.amount)
    ON CONFLICT (month, pocket, purpose) DO UPDATE SET
        movements = movements + 1, amount = amount + excluded.amount;
END;

CREATE TRIGGER movement_total_changed AFTER UPDATE ON movement BEGIN
    UPDATE movement_total SET movements = movements - 1, amount = amount - OLD.amount
    WHERE month = substr(OLD.dated, 1, 7) AND pocket = OLD.pocket AND purpose = OLD.purpose;
    DELETE FROM movement_total
    WHERE month = substr(OLD.dated, 1, 7) AND pocket = OLD.pocket AND purpose = OLD.purpose AND movements = 0;
    INSERT INTO movement_total (month, pocket, purpose, movements, amount)
    VALUES (substr(NEW.dated, 1, 7), NEW.pocket, NEW.purpose, 1, NEW.amount)
    ON CONFLICT (month, pocket, purpose) DO UPDATE SET
        movements = movements + 1, amount = amount + excluded.amount;
END;

CREATE TRIGGER movement_total_removed AFTER DELETE ON movement BEGIN
    UPDATE movement_total SET movements = movements - 1, amount = amount - OLD.amount
    WHERE month = substr(OLD.dated, 1, 7) AND pocket = OLD.pocket AND purpose = OLD.purpose;
    DELETE FROM movement_total
    WHERE month = substr(OLD.dated, 1, 7) AND pocket = OLD.pocket AND purpose = OLD.purpose AND movements = 0;
END;

-- The day each car left for good, empty for one that is here, so that the cars of a few days are found
-- without a look at every car there ever was. It follows from sales, take-backs and disposals.
CREATE TABLE whereabouts (
    stock_no INTEGER PRIMARY KEY,
    left_on  TEXT
) STRICT;
CREATE INDEX whereabouts_by_day ON whereabouts (left_on);

-- Every time a car left stock, and the day it came back if it did.
CREATE VIEW departure (stock_no, left_on, back_on) AS
    SELECT s.stock_no, s.sold_on, t.dated FROM sale s LEFT JOIN take_back t USING (sale_no)
    UNION ALL SELECT stock_no, dated, CAST(NULL AS TEXT) FROM disposal;

CREATE TRIGGER whereabouts_of_car AFTER INSERT ON car BEGIN
    INSERT INTO whereabouts (stock_no, left_on)
    VALUES (NEW.stock_no, (SELECT d.left_on FROM departure d
        WHERE d.stock_no = NEW.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1));
END;

CREATE TRIGGER whereabouts_of_no_car AFTER DELETE ON car BEGIN
    DELETE FROM whereabouts WHERE stock_no = OLD.stock_no;
END;

CREATE TRIGGER whereabouts_sale_added AFTER INSERT ON sale BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = NEW.stock_no;
END;

CREATE TRIGGER whereabouts_sale_changed AFTER UPDATE ON sale BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = OLD.stock_no;
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = NEW.stock_no;
END;

CREATE TRIGGER whereabouts_sale_removed AFTER DELETE ON sale BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = OLD.stock_no;
END;

CREATE TRIGGER whereabouts_disposal_added AFTER INSERT ON disposal BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = NEW.stock_no;
END;

CREATE TRIGGER whereabouts_disposal_changed AFTER UPDATE ON disposal BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = OLD.stock_no;
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = NEW.stock_no;
END;

CREATE TRIGGER whereabouts_disposal_removed AFTER DELETE ON disposal BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = OLD.stock_no;
END;

CREATE TRIGGER whereabouts_take_back_added AFTER INSERT ON take_back BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = NEW.sale_no);
END;

CREATE TRIGGER whereabouts_take_back_changed AFTER UPDATE ON take_back BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = OLD.sale_no);
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = NEW.sale_no);
END;

CREATE TRIGGER whereabouts_take_back_removed AFTER DELETE ON take_back BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = OLD.sale_no);
END;

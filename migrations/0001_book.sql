-- Why: the first book: entries and their history, vehicles and their stays as cars, money, sales,
-- standing costs and settings. Money is whole pence, days are ISO dates, times are UTC.
-- Row numbers are never used again (AUTOINCREMENT), so that what an undo took away can come back.

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

-- Every row's before and after, written by the triggers below under the latest entry.
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
CREATE INDEX car_by_day ON car (bought_on);

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
CREATE INDEX sale_by_day ON sale (sold_on);

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

-- Money that settles something or moves the owner's money: into a pocket positive, out of it
-- negative. Costs and receipts are lines and carry their own pocket.
CREATE TABLE movement (
    movement_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no    INTEGER NOT NULL REFERENCES entry (entry_no),
    dated       TEXT NOT NULL CHECK (dated IS date(dated)),
    pocket      TEXT NOT NULL CHECK (pocket IN ('cash', 'bank', 'own')),
    amount      INTEGER NOT NULL CHECK (amount <> 0),
    purpose     TEXT NOT NULL
        CHECK (purpose IN ('purchase', 'sale', 'bill', 'owner', 'loan', 'transfer', 'vat')),
    stock_no    INTEGER REFERENCES car (stock_no),
    party       TEXT,
    note        TEXT,
    CHECK ((purpose IN ('purchase', 'sale')) = (stock_no IS NOT NULL)),
    CHECK ((purpose IN ('bill', 'loan')) <= (party IS NOT NULL))
) STRICT;
CREATE INDEX movement_by_car ON movement (stock_no, dated);
CREATE INDEX movement_by_day ON movement (dated);
CREATE INDEX movement_by_entry ON movement (entry_no);

CREATE TABLE asking_price (
    asking_price_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no        INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no        INTEGER NOT NULL REFERENCES car (stock_no),
    dated           TEXT NOT NULL CHECK (dated IS date(dated)),
    amount          INTEGER NOT NULL CHECK (amount > 0),
    lowest          INTEGER CHECK (lowest BETWEEN 0 AND amount)
) STRICT;
CREATE INDEX asking_price_by_car ON asking_price (stock_no, dated);

CREATE TABLE note (
    note_no  INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no INTEGER NOT NULL REFERENCES entry (entry_no),
    stock_no INTEGER NOT NULL REFERENCES car (stock_no),
    dated    TEXT NOT NULL CHECK (dated IS date(dated)),
    wording  TEXT NOT NULL
) STRICT;
CREATE INDEX note_by_car ON note (stock_no, dated);

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

-- The history: three triggers a table, each naming every column; a test compares them with the
-- tables. The entry row is always written first, so the latest entry is the one at work.
CREATE TRIGGER heading_added AFTER INSERT ON heading BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'heading', NEW.heading_no,
        NULL,
        json_object(
            'heading_no', NEW.heading_no, 'entry_no', NEW.entry_no, 'name', NEW.name,
            'direction', NEW.direction, 'return_heading', NEW.return_heading));
END;
CREATE TRIGGER heading_changed AFTER UPDATE ON heading BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'heading', NEW.heading_no,
        json_object(
            'heading_no', OLD.heading_no, 'entry_no', OLD.entry_no, 'name', OLD.name,
            'direction', OLD.direction, 'return_heading', OLD.return_heading),
        json_object(
            'heading_no', NEW.heading_no, 'entry_no', NEW.entry_no, 'name', NEW.name,
            'direction', NEW.direction, 'return_heading', NEW.return_heading));
END;
CREATE TRIGGER heading_removed AFTER DELETE ON heading BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'heading', OLD.heading_no,
        json_object(
            'heading_no', OLD.heading_no, 'entry_no', OLD.entry_no, 'name', OLD.name,
            'direction', OLD.direction, 'return_heading', OLD.return_heading),
        NULL);
END;
CREATE TRIGGER setting_added AFTER INSERT ON setting BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'setting', NEW.setting_no,
        NULL,
        json_object(
            'setting_no', NEW.setting_no, 'entry_no', NEW.entry_no, 'key', NEW.key,
            'value', NEW.value));
END;
CREATE TRIGGER setting_changed AFTER UPDATE ON setting BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'setting', NEW.setting_no,
        json_object(
            'setting_no', OLD.setting_no, 'entry_no', OLD.entry_no, 'key', OLD.key,
            'value', OLD.value),
        json_object(
            'setting_no', NEW.setting_no, 'entry_no', NEW.entry_no, 'key', NEW.key,
            'value', NEW.value));
END;
CREATE TRIGGER setting_removed AFTER DELETE ON setting BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'setting', OLD.setting_no,
        json_object(
            'setting_no', OLD.setting_no, 'entry_no', OLD.entry_no, 'key', OLD.key,
            'value', OLD.value),
        NULL);
END;
CREATE TRIGGER vehicle_added AFTER INSERT ON vehicle BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'vehicle', NEW.vehicle_no,
        NULL,
        json_object(
            'vehicle_no', NEW.vehicle_no, 'entry_no', NEW.entry_no, 'kind', NEW.kind,
            'vin', NEW.vin, 'make', NEW.make, 'model', NEW.model, 'year', NEW.year,
            'colour', NEW.colour, 'fuel', NEW.fuel,
            'first_registered', NEW.first_registered));
END;
CREATE TRIGGER vehicle_changed AFTER UPDATE ON vehicle BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'vehicle', NEW.vehicle_no,
        json_object(
            'vehicle_no', OLD.vehicle_no, 'entry_no', OLD.entry_no, 'kind', OLD.kind,
            'vin', OLD.vin, 'make', OLD.make, 'model', OLD.model, 'year', OLD.year,
            'colour', OLD.colour, 'fuel', OLD.fuel,
            'first_registered', OLD.first_registered),
        json_object(
            'vehicle_no', NEW.vehicle_no, 'entry_no', NEW.entry_no, 'kind', NEW.kind,
            'vin', NEW.vin, 'make', NEW.make, 'model', NEW.model, 'year', NEW.year,
            'colour', NEW.colour, 'fuel', NEW.fuel,
            'first_registered', NEW.first_registered));
END;
CREATE TRIGGER vehicle_removed AFTER DELETE ON vehicle BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'vehicle', OLD.vehicle_no,
        json_object(
            'vehicle_no', OLD.vehicle_no, 'entry_no', OLD.entry_no, 'kind', OLD.kind,
            'vin', OLD.vin, 'make', OLD.make, 'model', OLD.model, 'year', OLD.year,
            'colour', OLD.colour, 'fuel', OLD.fuel,
            'first_registered', OLD.first_registered),
        NULL);
END;
CREATE TRIGGER mark_added AFTER INSERT ON mark BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mark', NEW.mark_no,
        NULL,
        json_object(
            'mark_no', NEW.mark_no, 'entry_no', NEW.entry_no, 'vehicle_no', NEW.vehicle_no,
            'mark', NEW.mark, 'dated', NEW.dated));
END;
CREATE TRIGGER mark_changed AFTER UPDATE ON mark BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mark', NEW.mark_no,
        json_object(
            'mark_no', OLD.mark_no, 'entry_no', OLD.entry_no, 'vehicle_no', OLD.vehicle_no,
            'mark', OLD.mark, 'dated', OLD.dated),
        json_object(
            'mark_no', NEW.mark_no, 'entry_no', NEW.entry_no, 'vehicle_no', NEW.vehicle_no,
            'mark', NEW.mark, 'dated', NEW.dated));
END;
CREATE TRIGGER mark_removed AFTER DELETE ON mark BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mark', OLD.mark_no,
        json_object(
            'mark_no', OLD.mark_no, 'entry_no', OLD.entry_no, 'vehicle_no', OLD.vehicle_no,
            'mark', OLD.mark, 'dated', OLD.dated),
        NULL);
END;
CREATE TRIGGER reading_added AFTER INSERT ON reading BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'reading', NEW.reading_no,
        NULL,
        json_object(
            'reading_no', NEW.reading_no, 'entry_no', NEW.entry_no,
            'vehicle_no', NEW.vehicle_no, 'dated', NEW.dated, 'miles', NEW.miles,
            'taken_at', NEW.taken_at));
END;
CREATE TRIGGER reading_changed AFTER UPDATE ON reading BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'reading', NEW.reading_no,
        json_object(
            'reading_no', OLD.reading_no, 'entry_no', OLD.entry_no,
            'vehicle_no', OLD.vehicle_no, 'dated', OLD.dated, 'miles', OLD.miles,
            'taken_at', OLD.taken_at),
        json_object(
            'reading_no', NEW.reading_no, 'entry_no', NEW.entry_no,
            'vehicle_no', NEW.vehicle_no, 'dated', NEW.dated, 'miles', NEW.miles,
            'taken_at', NEW.taken_at));
END;
CREATE TRIGGER reading_removed AFTER DELETE ON reading BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'reading', OLD.reading_no,
        json_object(
            'reading_no', OLD.reading_no, 'entry_no', OLD.entry_no,
            'vehicle_no', OLD.vehicle_no, 'dated', OLD.dated, 'miles', OLD.miles,
            'taken_at', OLD.taken_at),
        NULL);
END;
CREATE TRIGGER mot_certificate_added AFTER INSERT ON mot_certificate BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mot_certificate', NEW.mot_certificate_no,
        NULL,
        json_object(
            'mot_certificate_no', NEW.mot_certificate_no, 'entry_no', NEW.entry_no,
            'vehicle_no', NEW.vehicle_no, 'dated', NEW.dated, 'until', NEW.until));
END;
CREATE TRIGGER mot_certificate_changed AFTER UPDATE ON mot_certificate BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mot_certificate', NEW.mot_certificate_no,
        json_object(
            'mot_certificate_no', OLD.mot_certificate_no, 'entry_no', OLD.entry_no,
            'vehicle_no', OLD.vehicle_no, 'dated', OLD.dated, 'until', OLD.until),
        json_object(
            'mot_certificate_no', NEW.mot_certificate_no, 'entry_no', NEW.entry_no,
            'vehicle_no', NEW.vehicle_no, 'dated', NEW.dated, 'until', NEW.until));
END;
CREATE TRIGGER mot_certificate_removed AFTER DELETE ON mot_certificate BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mot_certificate', OLD.mot_certificate_no,
        json_object(
            'mot_certificate_no', OLD.mot_certificate_no, 'entry_no', OLD.entry_no,
            'vehicle_no', OLD.vehicle_no, 'dated', OLD.dated, 'until', OLD.until),
        NULL);
END;
CREATE TRIGGER car_added AFTER INSERT ON car BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'car', NEW.stock_no,
        NULL,
        json_object(
            'stock_no', NEW.stock_no, 'entry_no', NEW.entry_no,
            'vehicle_no', NEW.vehicle_no, 'mark_at_purchase', NEW.mark_at_purchase,
            'bought_on', NEW.bought_on, 'purchase_price', NEW.purchase_price,
            'finance', NEW.finance, 'vat', NEW.vat, 'vat_invoice', NEW.vat_invoice,
            'via', NEW.via, 'seller', NEW.seller, 'purchase_invoice', NEW.purchase_invoice,
            'keys', NEW.keys));
END;
CREATE TRIGGER car_changed AFTER UPDATE ON car BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'car', NEW.stock_no,
        json_object(
            'stock_no', OLD.stock_no, 'entry_no', OLD.entry_no,
            'vehicle_no', OLD.vehicle_no, 'mark_at_purchase', OLD.mark_at_purchase,
            'bought_on', OLD.bought_on, 'purchase_price', OLD.purchase_price,
            'finance', OLD.finance, 'vat', OLD.vat, 'vat_invoice', OLD.vat_invoice,
            'via', OLD.via, 'seller', OLD.seller, 'purchase_invoice', OLD.purchase_invoice,
            'keys', OLD.keys),
        json_object(
            'stock_no', NEW.stock_no, 'entry_no', NEW.entry_no,
            'vehicle_no', NEW.vehicle_no, 'mark_at_purchase', NEW.mark_at_purchase,
            'bought_on', NEW.bought_on, 'purchase_price', NEW.purchase_price,
            'finance', NEW.finance, 'vat', NEW.vat, 'vat_invoice', NEW.vat_invoice,
            'via', NEW.via, 'seller', NEW.seller, 'purchase_invoice', NEW.purchase_invoice,
            'keys', NEW.keys));
END;
CREATE TRIGGER car_removed AFTER DELETE ON car BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'car', OLD.stock_no,
        json_object(
            'stock_no', OLD.stock_no, 'entry_no', OLD.entry_no,
            'vehicle_no', OLD.vehicle_no, 'mark_at_purchase', OLD.mark_at_purchase,
            'bought_on', OLD.bought_on, 'purchase_price', OLD.purchase_price,
            'finance', OLD.finance, 'vat', OLD.vat, 'vat_invoice', OLD.vat_invoice,
            'via', OLD.via, 'seller', OLD.seller, 'purchase_invoice', OLD.purchase_invoice,
            'keys', OLD.keys),
        NULL);
END;
CREATE TRIGGER sale_added AFTER INSERT ON sale BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'sale', NEW.sale_no,
        NULL,
        json_object(
            'sale_no', NEW.sale_no, 'entry_no', NEW.entry_no, 'stock_no', NEW.stock_no,
            'sold_on', NEW.sold_on, 'selling_price', NEW.selling_price, 'buyer', NEW.buyer,
            'address', NEW.address, 'to_trade', NEW.to_trade,
            'delivered_on', NEW.delivered_on, 'distance', NEW.distance));
END;
CREATE TRIGGER sale_changed AFTER UPDATE ON sale BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'sale', NEW.sale_no,
        json_object(
            'sale_no', OLD.sale_no, 'entry_no', OLD.entry_no, 'stock_no', OLD.stock_no,
            'sold_on', OLD.sold_on, 'selling_price', OLD.selling_price, 'buyer', OLD.buyer,
            'address', OLD.address, 'to_trade', OLD.to_trade,
            'delivered_on', OLD.delivered_on, 'distance', OLD.distance),
        json_object(
            'sale_no', NEW.sale_no, 'entry_no', NEW.entry_no, 'stock_no', NEW.stock_no,
            'sold_on', NEW.sold_on, 'selling_price', NEW.selling_price, 'buyer', NEW.buyer,
            'address', NEW.address, 'to_trade', NEW.to_trade,
            'delivered_on', NEW.delivered_on, 'distance', NEW.distance));
END;
CREATE TRIGGER sale_removed AFTER DELETE ON sale BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'sale', OLD.sale_no,
        json_object(
            'sale_no', OLD.sale_no, 'entry_no', OLD.entry_no, 'stock_no', OLD.stock_no,
            'sold_on', OLD.sold_on, 'selling_price', OLD.selling_price, 'buyer', OLD.buyer,
            'address', OLD.address, 'to_trade', OLD.to_trade,
            'delivered_on', OLD.delivered_on, 'distance', OLD.distance),
        NULL);
END;
CREATE TRIGGER part_exchange_added AFTER INSERT ON part_exchange BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'part_exchange', NEW.part_exchange_no,
        NULL,
        json_object(
            'part_exchange_no', NEW.part_exchange_no, 'entry_no', NEW.entry_no,
            'sale_no', NEW.sale_no, 'stock_no', NEW.stock_no, 'allowance', NEW.allowance));
END;
CREATE TRIGGER part_exchange_changed AFTER UPDATE ON part_exchange BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'part_exchange', NEW.part_exchange_no,
        json_object(
            'part_exchange_no', OLD.part_exchange_no, 'entry_no', OLD.entry_no,
            'sale_no', OLD.sale_no, 'stock_no', OLD.stock_no, 'allowance', OLD.allowance),
        json_object(
            'part_exchange_no', NEW.part_exchange_no, 'entry_no', NEW.entry_no,
            'sale_no', NEW.sale_no, 'stock_no', NEW.stock_no, 'allowance', NEW.allowance));
END;
CREATE TRIGGER part_exchange_removed AFTER DELETE ON part_exchange BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'part_exchange', OLD.part_exchange_no,
        json_object(
            'part_exchange_no', OLD.part_exchange_no, 'entry_no', OLD.entry_no,
            'sale_no', OLD.sale_no, 'stock_no', OLD.stock_no, 'allowance', OLD.allowance),
        NULL);
END;
CREATE TRIGGER line_added AFTER INSERT ON line BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'line', NEW.line_no,
        NULL,
        json_object(
            'line_no', NEW.line_no, 'entry_no', NEW.entry_no, 'stock_no', NEW.stock_no,
            'direction', NEW.direction, 'dated', NEW.dated, 'heading', NEW.heading,
            'amount', NEW.amount, 'usual_price', NEW.usual_price, 'vat', NEW.vat,
            'pocket', NEW.pocket, 'shared', NEW.shared, 'party', NEW.party,
            'note', NEW.note));
END;
CREATE TRIGGER line_changed AFTER UPDATE ON line BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'line', NEW.line_no,
        json_object(
            'line_no', OLD.line_no, 'entry_no', OLD.entry_no, 'stock_no', OLD.stock_no,
            'direction', OLD.direction, 'dated', OLD.dated, 'heading', OLD.heading,
            'amount', OLD.amount, 'usual_price', OLD.usual_price, 'vat', OLD.vat,
            'pocket', OLD.pocket, 'shared', OLD.shared, 'party', OLD.party,
            'note', OLD.note),
        json_object(
            'line_no', NEW.line_no, 'entry_no', NEW.entry_no, 'stock_no', NEW.stock_no,
            'direction', NEW.direction, 'dated', NEW.dated, 'heading', NEW.heading,
            'amount', NEW.amount, 'usual_price', NEW.usual_price, 'vat', NEW.vat,
            'pocket', NEW.pocket, 'shared', NEW.shared, 'party', NEW.party,
            'note', NEW.note));
END;
CREATE TRIGGER line_removed AFTER DELETE ON line BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'line', OLD.line_no,
        json_object(
            'line_no', OLD.line_no, 'entry_no', OLD.entry_no, 'stock_no', OLD.stock_no,
            'direction', OLD.direction, 'dated', OLD.dated, 'heading', OLD.heading,
            'amount', OLD.amount, 'usual_price', OLD.usual_price, 'vat', OLD.vat,
            'pocket', OLD.pocket, 'shared', OLD.shared, 'party', OLD.party,
            'note', OLD.note),
        NULL);
END;
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
CREATE TRIGGER asking_price_added AFTER INSERT ON asking_price BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'asking_price', NEW.asking_price_no,
        NULL,
        json_object(
            'asking_price_no', NEW.asking_price_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'amount', NEW.amount,
            'lowest', NEW.lowest));
END;
CREATE TRIGGER asking_price_changed AFTER UPDATE ON asking_price BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'asking_price', NEW.asking_price_no,
        json_object(
            'asking_price_no', OLD.asking_price_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'amount', OLD.amount,
            'lowest', OLD.lowest),
        json_object(
            'asking_price_no', NEW.asking_price_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'amount', NEW.amount,
            'lowest', NEW.lowest));
END;
CREATE TRIGGER asking_price_removed AFTER DELETE ON asking_price BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'asking_price', OLD.asking_price_no,
        json_object(
            'asking_price_no', OLD.asking_price_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'amount', OLD.amount,
            'lowest', OLD.lowest),
        NULL);
END;
CREATE TRIGGER note_added AFTER INSERT ON note BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'note', NEW.note_no,
        NULL,
        json_object(
            'note_no', NEW.note_no, 'entry_no', NEW.entry_no, 'stock_no', NEW.stock_no,
            'dated', NEW.dated, 'wording', NEW.wording));
END;
CREATE TRIGGER note_changed AFTER UPDATE ON note BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'note', NEW.note_no,
        json_object(
            'note_no', OLD.note_no, 'entry_no', OLD.entry_no, 'stock_no', OLD.stock_no,
            'dated', OLD.dated, 'wording', OLD.wording),
        json_object(
            'note_no', NEW.note_no, 'entry_no', NEW.entry_no, 'stock_no', NEW.stock_no,
            'dated', NEW.dated, 'wording', NEW.wording));
END;
CREATE TRIGGER note_removed AFTER DELETE ON note BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'note', OLD.note_no,
        json_object(
            'note_no', OLD.note_no, 'entry_no', OLD.entry_no, 'stock_no', OLD.stock_no,
            'dated', OLD.dated, 'wording', OLD.wording),
        NULL);
END;
CREATE TRIGGER own_hours_added AFTER INSERT ON own_hours BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'own_hours', NEW.own_hours_no,
        NULL,
        json_object(
            'own_hours_no', NEW.own_hours_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'minutes', NEW.minutes,
            'note', NEW.note));
END;
CREATE TRIGGER own_hours_changed AFTER UPDATE ON own_hours BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'own_hours', NEW.own_hours_no,
        json_object(
            'own_hours_no', OLD.own_hours_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'minutes', OLD.minutes,
            'note', OLD.note),
        json_object(
            'own_hours_no', NEW.own_hours_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'minutes', NEW.minutes,
            'note', NEW.note));
END;
CREATE TRIGGER own_hours_removed AFTER DELETE ON own_hours BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'own_hours', OLD.own_hours_no,
        json_object(
            'own_hours_no', OLD.own_hours_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'minutes', OLD.minutes,
            'note', OLD.note),
        NULL);
END;
CREATE TRIGGER standing_added AFTER INSERT ON standing BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'standing', NEW.standing_no,
        NULL,
        json_object(
            'standing_no', NEW.standing_no, 'entry_no', NEW.entry_no, 'name', NEW.name,
            'heading', NEW.heading, 'every', NEW.every, 'first_on', NEW.first_on,
            'until', NEW.until, 'pocket', NEW.pocket));
END;
CREATE TRIGGER standing_changed AFTER UPDATE ON standing BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'standing', NEW.standing_no,
        json_object(
            'standing_no', OLD.standing_no, 'entry_no', OLD.entry_no, 'name', OLD.name,
            'heading', OLD.heading, 'every', OLD.every, 'first_on', OLD.first_on,
            'until', OLD.until, 'pocket', OLD.pocket),
        json_object(
            'standing_no', NEW.standing_no, 'entry_no', NEW.entry_no, 'name', NEW.name,
            'heading', NEW.heading, 'every', NEW.every, 'first_on', NEW.first_on,
            'until', NEW.until, 'pocket', NEW.pocket));
END;
CREATE TRIGGER standing_removed AFTER DELETE ON standing BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'standing', OLD.standing_no,
        json_object(
            'standing_no', OLD.standing_no, 'entry_no', OLD.entry_no, 'name', OLD.name,
            'heading', OLD.heading, 'every', OLD.every, 'first_on', OLD.first_on,
            'until', OLD.until, 'pocket', OLD.pocket),
        NULL);
END;
CREATE TRIGGER standing_amount_added AFTER INSERT ON standing_amount BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'standing_amount', NEW.standing_amount_no,
        NULL,
        json_object(
            'standing_amount_no', NEW.standing_amount_no, 'entry_no', NEW.entry_no,
            'standing_no', NEW.standing_no, 'dated', NEW.dated, 'amount', NEW.amount,
            'vat', NEW.vat));
END;
CREATE TRIGGER standing_amount_changed AFTER UPDATE ON standing_amount BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'standing_amount', NEW.standing_amount_no,
        json_object(
            'standing_amount_no', OLD.standing_amount_no, 'entry_no', OLD.entry_no,
            'standing_no', OLD.standing_no, 'dated', OLD.dated, 'amount', OLD.amount,
            'vat', OLD.vat),
        json_object(
            'standing_amount_no', NEW.standing_amount_no, 'entry_no', NEW.entry_no,
            'standing_no', NEW.standing_no, 'dated', NEW.dated, 'amount', NEW.amount,
            'vat', NEW.vat));
END;
CREATE TRIGGER standing_amount_removed AFTER DELETE ON standing_amount BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'standing_amount', OLD.standing_amount_no,
        json_object(
            'standing_amount_no', OLD.standing_amount_no, 'entry_no', OLD.entry_no,
            'standing_no', OLD.standing_no, 'dated', OLD.dated, 'amount', OLD.amount,
            'vat', OLD.vat),
        NULL);
END;
CREATE TRIGGER standing_skip_added AFTER INSERT ON standing_skip BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'standing_skip', NEW.standing_skip_no,
        NULL,
        json_object(
            'standing_skip_no', NEW.standing_skip_no, 'entry_no', NEW.entry_no,
            'standing_no', NEW.standing_no, 'dated', NEW.dated));
END;
CREATE TRIGGER standing_skip_changed AFTER UPDATE ON standing_skip BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'standing_skip', NEW.standing_skip_no,
        json_object(
            'standing_skip_no', OLD.standing_skip_no, 'entry_no', OLD.entry_no,
            'standing_no', OLD.standing_no, 'dated', OLD.dated),
        json_object(
            'standing_skip_no', NEW.standing_skip_no, 'entry_no', NEW.entry_no,
            'standing_no', NEW.standing_no, 'dated', NEW.dated));
END;
CREATE TRIGGER standing_skip_removed AFTER DELETE ON standing_skip BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'standing_skip', OLD.standing_skip_no,
        json_object(
            'standing_skip_no', OLD.standing_skip_no, 'entry_no', OLD.entry_no,
            'standing_no', OLD.standing_no, 'dated', OLD.dated),
        NULL);
END;

-- Why: dates that lapse: MOT tests and their defects, vehicle tax, the pre-sale list, papers of the
-- business, and what was marked as dealt with.

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

-- Cars sold that something is still open on: a notice to send, money owing, a refund to come. It
-- follows from the facts and is kept with each entry, so that what falls due need not be looked for
-- among every car ever sold. No part of the history.
CREATE TABLE open_sale (
    stock_no INTEGER PRIMARY KEY
) STRICT;

-- The history, as for the tables before.
CREATE TRIGGER mot_test_added AFTER INSERT ON mot_test BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mot_test', NEW.mot_test_no,
        NULL,
        json_object(
            'mot_test_no', NEW.mot_test_no, 'entry_no', NEW.entry_no,
            'vehicle_no', NEW.vehicle_no, 'dated', NEW.dated, 'result', NEW.result,
            'until', NEW.until, 'miles', NEW.miles));
END;
CREATE TRIGGER mot_test_changed AFTER UPDATE ON mot_test BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mot_test', NEW.mot_test_no,
        json_object(
            'mot_test_no', OLD.mot_test_no, 'entry_no', OLD.entry_no,
            'vehicle_no', OLD.vehicle_no, 'dated', OLD.dated, 'result', OLD.result,
            'until', OLD.until, 'miles', OLD.miles),
        json_object(
            'mot_test_no', NEW.mot_test_no, 'entry_no', NEW.entry_no,
            'vehicle_no', NEW.vehicle_no, 'dated', NEW.dated, 'result', NEW.result,
            'until', NEW.until, 'miles', NEW.miles));
END;
CREATE TRIGGER mot_test_removed AFTER DELETE ON mot_test BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mot_test', OLD.mot_test_no,
        json_object(
            'mot_test_no', OLD.mot_test_no, 'entry_no', OLD.entry_no,
            'vehicle_no', OLD.vehicle_no, 'dated', OLD.dated, 'result', OLD.result,
            'until', OLD.until, 'miles', OLD.miles),
        NULL);
END;
CREATE TRIGGER mot_defect_added AFTER INSERT ON mot_defect BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mot_defect', NEW.mot_defect_no,
        NULL,
        json_object(
            'mot_defect_no', NEW.mot_defect_no, 'entry_no', NEW.entry_no,
            'mot_test_no', NEW.mot_test_no, 'level', NEW.level, 'wording', NEW.wording));
END;
CREATE TRIGGER mot_defect_changed AFTER UPDATE ON mot_defect BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mot_defect', NEW.mot_defect_no,
        json_object(
            'mot_defect_no', OLD.mot_defect_no, 'entry_no', OLD.entry_no,
            'mot_test_no', OLD.mot_test_no, 'level', OLD.level, 'wording', OLD.wording),
        json_object(
            'mot_defect_no', NEW.mot_defect_no, 'entry_no', NEW.entry_no,
            'mot_test_no', NEW.mot_test_no, 'level', NEW.level, 'wording', NEW.wording));
END;
CREATE TRIGGER mot_defect_removed AFTER DELETE ON mot_defect BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'mot_defect', OLD.mot_defect_no,
        json_object(
            'mot_defect_no', OLD.mot_defect_no, 'entry_no', OLD.entry_no,
            'mot_test_no', OLD.mot_test_no, 'level', OLD.level, 'wording', OLD.wording),
        NULL);
END;
CREATE TRIGGER vehicle_tax_added AFTER INSERT ON vehicle_tax BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'vehicle_tax', NEW.vehicle_tax_no,
        NULL,
        json_object(
            'vehicle_tax_no', NEW.vehicle_tax_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'status', NEW.status,
            'starts', NEW.starts, 'until', NEW.until, 'annual_rate', NEW.annual_rate));
END;
CREATE TRIGGER vehicle_tax_changed AFTER UPDATE ON vehicle_tax BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'vehicle_tax', NEW.vehicle_tax_no,
        json_object(
            'vehicle_tax_no', OLD.vehicle_tax_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'status', OLD.status,
            'starts', OLD.starts, 'until', OLD.until, 'annual_rate', OLD.annual_rate),
        json_object(
            'vehicle_tax_no', NEW.vehicle_tax_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'status', NEW.status,
            'starts', NEW.starts, 'until', NEW.until, 'annual_rate', NEW.annual_rate));
END;
CREATE TRIGGER vehicle_tax_removed AFTER DELETE ON vehicle_tax BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'vehicle_tax', OLD.vehicle_tax_no,
        json_object(
            'vehicle_tax_no', OLD.vehicle_tax_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'status', OLD.status,
            'starts', OLD.starts, 'until', OLD.until, 'annual_rate', OLD.annual_rate),
        NULL);
END;
CREATE TRIGGER car_check_added AFTER INSERT ON car_check BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'car_check', NEW.car_check_no,
        NULL,
        json_object(
            'car_check_no', NEW.car_check_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'item', NEW.item,
            'state', NEW.state, 'note', NEW.note));
END;
CREATE TRIGGER car_check_changed AFTER UPDATE ON car_check BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'car_check', NEW.car_check_no,
        json_object(
            'car_check_no', OLD.car_check_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'item', OLD.item,
            'state', OLD.state, 'note', OLD.note),
        json_object(
            'car_check_no', NEW.car_check_no, 'entry_no', NEW.entry_no,
            'stock_no', NEW.stock_no, 'dated', NEW.dated, 'item', NEW.item,
            'state', NEW.state, 'note', NEW.note));
END;
CREATE TRIGGER car_check_removed AFTER DELETE ON car_check BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'car_check', OLD.car_check_no,
        json_object(
            'car_check_no', OLD.car_check_no, 'entry_no', OLD.entry_no,
            'stock_no', OLD.stock_no, 'dated', OLD.dated, 'item', OLD.item,
            'state', OLD.state, 'note', OLD.note),
        NULL);
END;
CREATE TRIGGER paper_added AFTER INSERT ON paper BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'paper', NEW.paper_no,
        NULL,
        json_object(
            'paper_no', NEW.paper_no, 'entry_no', NEW.entry_no, 'name', NEW.name,
            'until', NEW.until, 'remind_days', NEW.remind_days));
END;
CREATE TRIGGER paper_changed AFTER UPDATE ON paper BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'paper', NEW.paper_no,
        json_object(
            'paper_no', OLD.paper_no, 'entry_no', OLD.entry_no, 'name', OLD.name,
            'until', OLD.until, 'remind_days', OLD.remind_days),
        json_object(
            'paper_no', NEW.paper_no, 'entry_no', NEW.entry_no, 'name', NEW.name,
            'until', NEW.until, 'remind_days', NEW.remind_days));
END;
CREATE TRIGGER paper_removed AFTER DELETE ON paper BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'paper', OLD.paper_no,
        json_object(
            'paper_no', OLD.paper_no, 'entry_no', OLD.entry_no, 'name', OLD.name,
            'until', OLD.until, 'remind_days', OLD.remind_days),
        NULL);
END;
CREATE TRIGGER dealt_with_added AFTER INSERT ON dealt_with BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'dealt_with', NEW.dealt_with_no,
        NULL,
        json_object(
            'dealt_with_no', NEW.dealt_with_no, 'entry_no', NEW.entry_no, 'item', NEW.item,
            'dated', NEW.dated));
END;
CREATE TRIGGER dealt_with_changed AFTER UPDATE ON dealt_with BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'dealt_with', NEW.dealt_with_no,
        json_object(
            'dealt_with_no', OLD.dealt_with_no, 'entry_no', OLD.entry_no, 'item', OLD.item,
            'dated', OLD.dated),
        json_object(
            'dealt_with_no', NEW.dealt_with_no, 'entry_no', NEW.entry_no, 'item', NEW.item,
            'dated', NEW.dated));
END;
CREATE TRIGGER dealt_with_removed AFTER DELETE ON dealt_with BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'dealt_with', OLD.dealt_with_no,
        json_object(
            'dealt_with_no', OLD.dealt_with_no, 'entry_no', OLD.entry_no, 'item', OLD.item,
            'dated', OLD.dated),
        NULL);
END;

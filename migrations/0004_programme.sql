-- Why: the programme: how many cars a month, for how much, to make what of them.

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

-- The history, as for the tables before.
CREATE TRIGGER programme_added AFTER INSERT ON programme BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'programme', NEW.programme_no,
        NULL,
        json_object(
            'programme_no', NEW.programme_no, 'entry_no', NEW.entry_no,
            'from_month', NEW.from_month, 'cars', NEW.cars, 'budget', NEW.budget,
            'multiple', NEW.multiple));
END;
CREATE TRIGGER programme_changed AFTER UPDATE ON programme BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'programme', NEW.programme_no,
        json_object(
            'programme_no', OLD.programme_no, 'entry_no', OLD.entry_no,
            'from_month', OLD.from_month, 'cars', OLD.cars, 'budget', OLD.budget,
            'multiple', OLD.multiple),
        json_object(
            'programme_no', NEW.programme_no, 'entry_no', NEW.entry_no,
            'from_month', NEW.from_month, 'cars', NEW.cars, 'budget', NEW.budget,
            'multiple', NEW.multiple));
END;
CREATE TRIGGER programme_removed AFTER DELETE ON programme BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'programme', OLD.programme_no,
        json_object(
            'programme_no', OLD.programme_no, 'entry_no', OLD.entry_no,
            'from_month', OLD.from_month, 'cars', OLD.cars, 'budget', OLD.budget,
            'multiple', OLD.multiple),
        NULL);
END;

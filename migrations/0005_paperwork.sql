-- Why: paperwork: business miles for the tax year's figures.

-- Business miles driven in the owner's own vehicle, in tenths of a mile, for the flat rate.
CREATE TABLE journey (
    journey_no INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_no   INTEGER NOT NULL REFERENCES entry (entry_no),
    dated      TEXT NOT NULL CHECK (dated IS date(dated)),
    tenths     INTEGER NOT NULL CHECK (tenths > 0),
    purpose    TEXT NOT NULL
) STRICT;
CREATE INDEX journey_by_day ON journey (dated);

-- The history, as for the tables before.
CREATE TRIGGER journey_added AFTER INSERT ON journey BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'journey', NEW.journey_no,
        NULL,
        json_object(
            'journey_no', NEW.journey_no, 'entry_no', NEW.entry_no, 'dated', NEW.dated,
            'tenths', NEW.tenths, 'purpose', NEW.purpose));
END;
CREATE TRIGGER journey_changed AFTER UPDATE ON journey BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'journey', NEW.journey_no,
        json_object(
            'journey_no', OLD.journey_no, 'entry_no', OLD.entry_no, 'dated', OLD.dated,
            'tenths', OLD.tenths, 'purpose', OLD.purpose),
        json_object(
            'journey_no', NEW.journey_no, 'entry_no', NEW.entry_no, 'dated', NEW.dated,
            'tenths', NEW.tenths, 'purpose', NEW.purpose));
END;
CREATE TRIGGER journey_removed AFTER DELETE ON journey BEGIN
    INSERT INTO history (entry_no, table_name, row_no, before, after)
    VALUES ((SELECT max(entry_no) FROM entry), 'journey', OLD.journey_no,
        json_object(
            'journey_no', OLD.journey_no, 'entry_no', OLD.entry_no, 'dated', OLD.dated,
            'tenths', OLD.tenths, 'purpose', OLD.purpose),
        NULL);
END;

-- Why: copies of the book: when the last was made, so that the next is not forgotten.

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
    amount INTEGER NOT NULL,
    vat    INTEGER NOT NULL,
    PRIMARY KEY (month, pocket)
) STRICT, WITHOUT ROWID;
INSERT INTO line_total (month, pocket, amount, vat)
    SELECT substr(dated, 1, 7), coalesce(pocket, ''),
        sum(CASE direction WHEN 'cost' THEN -amount ELSE amount END),
        sum(CASE direction WHEN 'cost' THEN -vat ELSE vat END)
    FROM line GROUP BY 1, 2;
CREATE TRIGGER line_total_added AFTER INSERT ON line BEGIN
    INSERT INTO line_total (month, pocket, amount, vat)
    VALUES (substr(NEW.dated, 1, 7), coalesce(NEW.pocket, ''),
        CASE NEW.direction WHEN 'cost' THEN -NEW.amount ELSE NEW.amount END,
        CASE NEW.direction WHEN 'cost' THEN -NEW.vat ELSE NEW.vat END)
    ON CONFLICT (month, pocket) DO UPDATE SET amount = amount + excluded.amount, vat = vat + excluded.vat;
END;
CREATE TRIGGER line_total_removed AFTER DELETE ON line BEGIN
    UPDATE line_total SET
        amount = amount - CASE OLD.direction WHEN 'cost' THEN -OLD.amount ELSE OLD.amount END,
        vat = vat - CASE OLD.direction WHEN 'cost' THEN -OLD.vat ELSE OLD.vat END
    WHERE month = substr(OLD.dated, 1, 7) AND pocket = coalesce(OLD.pocket, '');
END;
CREATE TRIGGER line_total_changed AFTER UPDATE ON line BEGIN
    UPDATE line_total SET
        amount = amount - CASE OLD.direction WHEN 'cost' THEN -OLD.amount ELSE OLD.amount END,
        vat = vat - CASE OLD.direction WHEN 'cost' THEN -OLD.vat ELSE OLD.vat END
    WHERE month = substr(OLD.dated, 1, 7) AND pocket = coalesce(OLD.pocket, '');
    INSERT INTO line_total (month, pocket, amount, vat)
    VALUES (substr(NEW.dated, 1, 7), coalesce(NEW.pocket, ''),
        CASE NEW.direction WHEN 'cost' THEN -NEW.amount ELSE NEW.amount END,
        CASE NEW.direction WHEN 'cost' THEN -NEW.vat ELSE NEW.vat END)
    ON CONFLICT (month, pocket) DO UPDATE SET amount = amount + excluded.amount, vat = vat + excluded.vat;
END;

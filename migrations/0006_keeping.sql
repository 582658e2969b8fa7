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
    lines  INTEGER NOT NULL CHECK (lines >= 0),
    amount INTEGER NOT NULL,
    vat    INTEGER NOT NULL,
    PRIMARY KEY (month, pocket)
) STRICT, WITHOUT ROWID;
INSERT INTO line_total (month, pocket, lines, amount, vat)
    SELECT substr(dated, 1, 7), coalesce(pocket, ''), count(*),
        sum(CASE direction WHEN 'cost' THEN -amount ELSE amount END),
        sum(CASE direction WHEN 'cost' THEN -vat ELSE vat END)
    FROM line GROUP BY 1, 2;
CREATE TRIGGER line_total_added AFTER INSERT ON line BEGIN
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

-- What money that settled something comes to each month by pocket and purpose; kept like the lines' totals.
CREATE TABLE movement_total (
    month     TEXT NOT NULL,
    pocket    TEXT NOT NULL,
    purpose   TEXT NOT NULL,
    movements INTEGER NOT NULL CHECK (movements >= 0),
    amount    INTEGER NOT NULL,
    PRIMARY KEY (month, pocket, purpose)
) STRICT, WITHOUT ROWID;
INSERT INTO movement_total (month, pocket, purpose, movements, amount)
    SELECT substr(dated, 1, 7), pocket, purpose, count(*), sum(amount) FROM movement GROUP BY 1, 2, 3;
CREATE TRIGGER movement_total_added AFTER INSERT ON movement BEGIN
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

-- The day each car left for good, empty for one that is here, so that the cars of a few days are found
-- without a look at every car there ever was. It follows from sales, take-backs and disposals.
CREATE TABLE whereabouts (
    stock_no INTEGER PRIMARY KEY,
    left_on  TEXT
) STRICT;
CREATE INDEX whereabouts_by_day ON whereabouts (left_on);
INSERT INTO whereabouts (stock_no, left_on)
    SELECT stock_no, (SELECT min(d.left_on) FROM departure d WHERE d.stock_no = c.stock_no AND d.back_on IS NULL)
    FROM car c;
CREATE TRIGGER whereabouts_of_car AFTER INSERT ON car BEGIN
    INSERT INTO whereabouts (stock_no, left_on)
    VALUES (NEW.stock_no,
        (SELECT min(left_on) FROM departure WHERE stock_no = NEW.stock_no AND back_on IS NULL));
END;
CREATE TRIGGER whereabouts_of_no_car AFTER DELETE ON car BEGIN
    DELETE FROM whereabouts WHERE stock_no = OLD.stock_no;
END;
CREATE TRIGGER whereabouts_sale_added AFTER INSERT ON sale BEGIN
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = NEW.stock_no;
END;
CREATE TRIGGER whereabouts_sale_changed AFTER UPDATE ON sale BEGIN
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = OLD.stock_no;
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = NEW.stock_no;
END;
CREATE TRIGGER whereabouts_sale_removed AFTER DELETE ON sale BEGIN
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = OLD.stock_no;
END;
CREATE TRIGGER whereabouts_disposal_added AFTER INSERT ON disposal BEGIN
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = NEW.stock_no;
END;
CREATE TRIGGER whereabouts_disposal_changed AFTER UPDATE ON disposal BEGIN
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = OLD.stock_no;
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = NEW.stock_no;
END;
CREATE TRIGGER whereabouts_disposal_removed AFTER DELETE ON disposal BEGIN
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = OLD.stock_no;
END;
CREATE TRIGGER whereabouts_take_back_added AFTER INSERT ON take_back BEGIN
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = NEW.sale_no);
END;
CREATE TRIGGER whereabouts_take_back_changed AFTER UPDATE ON take_back BEGIN
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = OLD.sale_no);
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = NEW.sale_no);
END;
CREATE TRIGGER whereabouts_take_back_removed AFTER DELETE ON take_back BEGIN
    UPDATE whereabouts SET left_on = (SELECT min(d.left_on) FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = OLD.sale_no);
END;

-- Prices summed up to a day are read from the index alone.
DROP INDEX sale_by_day;
CREATE INDEX sale_by_day ON sale (sold_on, selling_price);
DROP INDEX car_by_day;
CREATE INDEX car_by_day ON car (bought_on, purchase_price);

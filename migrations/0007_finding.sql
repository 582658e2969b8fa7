-- Why: finding: what is asked of one car costs the same however many cars there have been.

-- Every time a car left stock, and the day it came back if it did. A bare NULL has no affinity and the day of a
-- take-back has; while they differed SQLite went through the whole view for each car asked about.
DROP VIEW departure;
CREATE VIEW departure (stock_no, left_on, back_on) AS
    SELECT s.stock_no, s.sold_on, t.dated FROM sale s LEFT JOIN take_back t USING (sale_no)
    UNION ALL SELECT stock_no, dated, CAST(NULL AS TEXT) FROM disposal;

-- A vehicle is looked for by its VIN with every purchase that gives one.
CREATE INDEX vehicle_by_vin ON vehicle (vin) WHERE vin IS NOT NULL;

-- Where each car is, kept as before; the first day is asked for by order, because for min() SQLite would again
-- go through the whole view.
DROP TRIGGER whereabouts_of_car;
CREATE TRIGGER whereabouts_of_car AFTER INSERT ON car BEGIN
    INSERT INTO whereabouts (stock_no, left_on)
    VALUES (NEW.stock_no, (SELECT d.left_on FROM departure d
        WHERE d.stock_no = NEW.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1));
END;
DROP TRIGGER whereabouts_sale_added;
CREATE TRIGGER whereabouts_sale_added AFTER INSERT ON sale BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = NEW.stock_no;
END;
DROP TRIGGER whereabouts_sale_changed;
CREATE TRIGGER whereabouts_sale_changed AFTER UPDATE ON sale BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = OLD.stock_no;
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = NEW.stock_no;
END;
DROP TRIGGER whereabouts_sale_removed;
CREATE TRIGGER whereabouts_sale_removed AFTER DELETE ON sale BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = OLD.stock_no;
END;
DROP TRIGGER whereabouts_disposal_added;
CREATE TRIGGER whereabouts_disposal_added AFTER INSERT ON disposal BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = NEW.stock_no;
END;
DROP TRIGGER whereabouts_disposal_changed;
CREATE TRIGGER whereabouts_disposal_changed AFTER UPDATE ON disposal BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = OLD.stock_no;
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = NEW.stock_no;
END;
DROP TRIGGER whereabouts_disposal_removed;
CREATE TRIGGER whereabouts_disposal_removed AFTER DELETE ON disposal BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = OLD.stock_no;
END;
DROP TRIGGER whereabouts_take_back_added;
CREATE TRIGGER whereabouts_take_back_added AFTER INSERT ON take_back BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = NEW.sale_no);
END;
DROP TRIGGER whereabouts_take_back_changed;
CREATE TRIGGER whereabouts_take_back_changed AFTER UPDATE ON take_back BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = OLD.sale_no);
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = NEW.sale_no);
END;
DROP TRIGGER whereabouts_take_back_removed;
CREATE TRIGGER whereabouts_take_back_removed AFTER DELETE ON take_back BEGIN
    UPDATE whereabouts SET left_on = (SELECT d.left_on FROM departure d
        WHERE d.stock_no = whereabouts.stock_no AND d.back_on IS NULL ORDER BY d.left_on LIMIT 1)
    WHERE stock_no = (SELECT stock_no FROM sale WHERE sale_no = OLD.sale_no);
END;

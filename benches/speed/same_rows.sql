WITH today(day) AS (VALUES ('2026-11-25')),
money AS (
    SELECT c.stock_no, c.vehicle_no, c.bought_on, c.purchase_price,
        coalesce(sum(l.amount) FILTER (WHERE l.direction = 'cost'), 0) AS costs,
        coalesce(sum(l.amount) FILTER (WHERE l.direction = 'receipt'), 0) AS income
    FROM today JOIN car c LEFT JOIN line l ON l.stock_no = c.stock_no AND l.dated <= day
    WHERE c.bought_on <= day
        AND NOT EXISTS (SELECT 1 FROM sale s LEFT JOIN take_back t USING (sale_no)
            WHERE s.stock_no = c.stock_no AND s.sold_on <= day AND (t.dated IS NULL OR t.dated > day))
        AND NOT EXISTS (SELECT 1 FROM disposal d WHERE d.stock_no = c.stock_no AND d.dated <= day)
    GROUP BY c.stock_no),
seen AS (
    SELECT money.*, v.make || ' ' || v.model || coalesce(' ' || v.year, '') || coalesce(', ' || v.colour, '') AS description,
        CAST(julianday(day) - julianday(bought_on) AS INTEGER) AS days,
        (SELECT mark FROM mark m WHERE m.vehicle_no = money.vehicle_no AND m.dated <= day
            ORDER BY m.dated DESC, mark_no DESC LIMIT 1) AS mark,
        a.amount AS asking, a.lowest,
        (SELECT miles FROM reading r WHERE r.vehicle_no = money.vehicle_no AND r.dated <= day
            ORDER BY r.dated DESC, reading_no DESC LIMIT 1) AS miles,
        (SELECT until FROM mot_certificate m WHERE m.vehicle_no = money.vehicle_no AND m.dated <= day
            ORDER BY m.dated DESC, mot_certificate_no DESC LIMIT 1) AS mot_until,
        (SELECT mot_test_no FROM mot_test t WHERE t.vehicle_no = money.vehicle_no AND t.dated <= day
            ORDER BY t.dated DESC, mot_test_no DESC LIMIT 1) AS test,
        coalesce((SELECT CASE WHEN x.status = 'taxed' AND x.until < day THEN 'none' ELSE x.status END FROM vehicle_tax x
            WHERE x.stock_no = money.stock_no AND x.dated <= day ORDER BY x.dated DESC, vehicle_tax_no DESC LIMIT 1), 'none') AS tax,
        (SELECT x.until FROM vehicle_tax x WHERE x.stock_no = money.stock_no AND x.dated <= day AND x.until >= day
            ORDER BY x.dated DESC, vehicle_tax_no DESC LIMIT 1) AS tax_until,
        coalesce((SELECT sum(amount) FROM movement p WHERE p.stock_no = money.stock_no AND p.purpose = 'deposit' AND p.dated <= day), 0)
        - coalesce((SELECT sum(amount) FROM deposit_end e WHERE e.stock_no = money.stock_no AND e.dated <= day), 0) AS deposit
    FROM today JOIN money JOIN vehicle v USING (vehicle_no)
        LEFT JOIN asking_price a ON a.asking_price_no = (SELECT asking_price_no FROM asking_price o
            WHERE o.stock_no = money.stock_no AND o.dated <= day ORDER BY o.dated DESC, asking_price_no DESC LIMIT 1)),
left_of AS (
    SELECT seen.*, CAST(julianday(mot_until) - julianday(day) AS INTEGER) AS mot_left,
        (SELECT min(CASE level WHEN 'dangerous' THEN 1 WHEN 'major' THEN 2 ELSE 3 END) FROM mot_defect d WHERE d.mot_test_no = test) AS worst,
        (SELECT result FROM mot_test t WHERE t.mot_test_no = test) AS result
    FROM today JOIN seen)
SELECT stock_no, substr(mark, 1, 4) || ' ' || substr(mark, 5) AS mark, description, bought_on, days AS days_in_stock,
    printf('%.2f', purchase_price / 100.0) AS purchase_price, printf('%.2f', costs / 100.0) AS costs,
    printf('%.2f', income / 100.0) AS income, printf('%.2f', (purchase_price + costs - income) / 100.0) AS stands_in,
    printf('%.2f', asking / 100.0) AS asking_price, iif(lowest IS NULL, NULL, printf('%.2f', lowest / 100.0)) AS lowest_price,
    miles AS mileage, mot_until, mot_left AS mot_days_left, tax_until, tax AS tax_status,
    printf('%.2f', deposit / 100.0) AS deposit_held,
    trim(CASE worst WHEN 1 THEN 'dangerous-defect ' WHEN 2 THEN 'major-defect ' ELSE '' END
        || CASE WHEN mot_left IS NULL AND result = 'fail' THEN 'no-mot ' WHEN mot_left IS NULL THEN 'mot-unknown '
            WHEN mot_left < 0 THEN 'mot-lapsed ' WHEN mot_left <= 30 THEN 'mot-soon ' ELSE '' END
        || CASE WHEN days > 90 THEN 'over-90 ' WHEN days > 60 THEN 'over-60 ' WHEN days > 30 THEN 'over-30 ' ELSE '' END
        || iif(deposit > 0, 'deposit ', '') || iif(asking IS NULL, 'no-asking-price ', '')
        || iif(tax = 'none', 'untaxed', '')) AS flags
FROM left_of ORDER BY stock_no

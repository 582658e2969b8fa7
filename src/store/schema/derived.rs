//! What the tables that are worked out from the facts should hold.

/// What the totals of the lines should be.
pub(crate) const LINE_TOTALS: &str = "
    SELECT substr(dated, 1, 7), coalesce(pocket, ''), count(*), sum(CASE direction WHEN 'cost' THEN -amount ELSE amount END),
        sum(CASE direction WHEN 'cost' THEN -vat ELSE vat END) FROM line GROUP BY 1, 2";

/// What the totals of the movements should be.
pub(crate) const MOVEMENT_TOTALS: &str =
    "SELECT substr(dated, 1, 7), pocket, purpose, count(*), sum(amount) FROM movement GROUP BY 1, 2, 3";

/// Where each car should be; with `min()` for the first day, the whole view would be gone through for each car.
pub(crate) const WHEREABOUTS: &str = "
    SELECT stock_no, (SELECT d.left_on FROM departure d WHERE d.stock_no = c.stock_no AND d.back_on IS NULL
        ORDER BY d.left_on LIMIT 1)
    FROM car c";

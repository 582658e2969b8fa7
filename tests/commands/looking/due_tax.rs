//! The days of income tax in `due`.

use crate::common::Yard;

fn kinds(yard: &Yard, line: &str) -> Vec<String> {
    let told = yard.json(line);
    let items = told["items"].as_array().unwrap();
    items
        .iter()
        .map(|item| format!("{} {}", item["due_on"].as_str().unwrap(), item["subject"].as_str().unwrap()))
        .collect()
}

#[test]
fn a_tax_year_has_its_days_until_they_are_marked_as_done() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 430 --on 1/3/2026");
    let line = "due --kind tax-return --within 800";
    let all = [
        "2026-10-05 registering for income tax",
        "2027-01-31 tax return 2025-26",
        "2027-01-31 payment on account 2026-27",
        "2027-07-31 payment on account 2026-27",
        "2028-01-31 tax return 2026-27",
    ];
    assert_eq!(kinds(&yard, line), all);
    assert_eq!(yard.run("due --check --kind tax-return").code, 3);
    yard.ok("done 3220251 --on 1/9/2026");
    assert_eq!(kinds(&yard, line), all[1..]);
    assert_eq!(yard.run("due --check --kind tax-return").code, 0);
    assert_eq!(Yard::new("2026-11-25").run("due").code, 4);
}

/// Over £50,000 in 2024-25, part-exchange in it, less what was refunded; VAT can bring it under.
#[test]
fn quarterly_updates_are_asked_for_by_income() {
    let yard = Yard::new("2026-11-25");
    yard.ok("buy KX42RTO 20000 --on 1/5/2024");
    yard.ok("sell 1 45000 --on 2/5/2024 --part-exchange AB91CDE=5000");
    yard.ok("receive 5000 work-done --other --on 3/5/2024");
    let updates = |yard: &Yard| {
        kinds(yard, "due --kind tax-return --within 800").iter().filter(|item| item.contains("quarterly")).count()
    };
    assert_eq!(updates(&yard), 0);
    yard.ok("receive 0.01 work-done --other --on 3/5/2024");
    assert_eq!(updates(&yard), 4);
    assert_eq!(yard.json("tax-year 2024-25")["cash_basis"]["income"], "50000.01");
    yard.ok("settings set vat-registered-from 2024-05-02");
    assert_eq!(updates(&yard), 0);
}

//! Every parser of a typed value that `values.rs` does not cover, and files: nothing typed makes one panic, a
//! refusal is one line no terminal acts on, and what is accepted and printed reads back as the same value.

use chrono::NaiveDate;
use proptest::prelude::*;
use std::fmt::{Debug, Display};
use std::str::FromStr;

use crate::common::Yard;
use runabout::domain::book::fee_scale::FeeScale;
use runabout::domain::book::import_sheet::{Layout, Rows, SheetRow};
use runabout::domain::book::journey::Distance;
use runabout::domain::book::settings::{KEYS, Settings, auction_key, normalised};
use runabout::domain::days::day::{WrittenDay, long};
use runabout::domain::days::month::WrittenMonth;
use runabout::domain::days::tax_year::TaxYear;
use runabout::domain::days::vat_quarter::QuarterEnd;
use runabout::domain::law::mot::{Defect, Region};
use runabout::domain::law::own_rates;
use runabout::domain::law::vehicle_tax::TaxMonths;
use runabout::domain::value::car_ref::{CarRef, StockNo};
use runabout::domain::value::control_chars::is_unseen;
use runabout::domain::value::heading::heading_name;
use runabout::domain::value::hours::Hours;
use runabout::domain::value::invoice_number::PaperNumber;
use runabout::domain::value::mark::Mark;
use runabout::domain::value::pence::Pence;
use runabout::domain::value::percent::FeePercent;
use runabout::domain::value::target::{BoughtMark, Miles, ModelYear, Multiple, SplitPart, TakenIn, Target, Whole};
use runabout::domain::value::value_error::ValueError;
use runabout::domain::value::vin::Vin;
use runabout::domain::value::wording::Wording;
use runabout::domain::value::words::{Direction, PaidBy, Pocket, Via};

fn today() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 11, 25).unwrap()
}

/// Words made of pieces of the values there are, so that each parser accepts some of them.
fn pieces() -> impl Strategy<Value = String> {
    let piece = prop::sample::select(vec![
        "£",
        ",",
        ".",
        "-",
        "/",
        ":",
        " ",
        "#",
        "=",
        "+",
        "%",
        "0",
        "1",
        "2",
        "6",
        "12",
        "27",
        "30",
        "250",
        "2026",
        "2026-27",
        "1,200",
        "0=75",
        "500=5%+25",
        "plus-vat",
        "KX42RTO",
        "mark:1",
        "7",
        "overhead",
        "none",
        "S",
        "C",
        "mar",
        "nov",
        "major:",
        "advisory:",
        "worn",
        "GB",
        "cash",
        "bank",
        "h",
        "m",
        "\u{202E}",
        "\u{1B}",
        "\0",
        "\n",
        "\t",
        "é",
        "日",
        "٣",
        "\u{2212}",
        "e3",
        "K",
    ]);
    prop::collection::vec(piece, 0..6).prop_map(|pieces| pieces.concat())
}

/// Forms close to what is accepted.
fn shaped() -> impl Strategy<Value = String> {
    prop_oneof![
        "[0-9]{1,3}(,[0-9]{3}){0,2}(\\.[0-9]{1,2})?",
        "[0-9]{1,7}",
        "£?[0-9]{1,6}(\\.[0-9]{2})?",
        "(19|20)[0-9]{2}[-/]([0-9]{2}|20[0-9]{2})",
        "[0-3]?[0-9][-/.][01]?[0-9]([-/.](19|20)?[0-9]{2})?",
        "[0-3]?[0-9] (jan|February|nov|Sept) ?(20[0-9]{2})?",
        "(20[0-9]{2}-[01][0-9]|(jan|march|nov|this|last)( 20[0-9]{2})?)",
        "[0-9]{1,3}h([0-5]?[0-9]m?)?|[0-9]{1,2}:[0-5][0-9]|[0-9]{1,2}\\.[0-9]{1,2}",
        "0=[0-9]{1,4}( [0-9]{3,4}=([0-9]{1,2}%|[0-9]{1,3}\\+[0-9]{1,2}(\\.5)?%)){0,3}( plus-vat)?",
        "[0-9]{1,3}(\\.[0-9]{1,2})? ?%?",
        "[SsCc][0-9]{1,20}",
        "(mark:)?(overhead|none|[A-Za-z0-9]{1,4} ?[A-Za-z0-9-]{1,4})",
        "[A-HJ-NPR-Z0-9]{5,18}",
        "(major|MINOR|advisory|dangerous):[a-z:é ]{0,12}",
        "([A-Z]{2}[0-9]{2}[A-Z]{3}|overhead|none|[0-9]{1,4})=[0-9]{0,5}(\\.[0-9]{2})?",
    ]
}

fn any_words() -> impl Strategy<Value = String> {
    prop_oneof![2 => shaped(), 1 => pieces(), 1 => any::<String>()]
}

/// The refusal is safe to show; what is accepted is handed on.
fn read<T: FromStr<Err = ValueError>>(words: &str) -> Result<Option<T>, TestCaseError> {
    match words.parse::<T>() {
        Ok(value) => Ok(Some(value)),
        Err(error) => {
            let said = error.to_string();
            prop_assert!(!said.contains(is_unseen), "{said:?}");
            prop_assert!(said.len() < 1_000, "{said:?}");
            Ok(None)
        }
    }
}

/// What is accepted reads back as itself in the form `printed` gives it.
fn reads_back<T>(words: &str, printed: impl Fn(&T) -> String) -> Result<(), TestCaseError>
where
    T: FromStr<Err = ValueError> + PartialEq + Debug,
{
    if let Some(value) = read::<T>(words)? {
        let printed = printed(&value);
        prop_assert_eq!(printed.parse::<T>(), Ok(value), "{:?} printed {:?}", words, &printed);
    }
    Ok(())
}

fn shown_reads_back<T: FromStr<Err = ValueError> + PartialEq + Debug + Display>(
    words: &str,
) -> Result<(), TestCaseError> {
    reads_back::<T>(words, T::to_string)
}

fn target(target: &Target) -> String {
    match target {
        Target::Car(car) => car.to_string(),
        Target::Overhead => "overhead".into(),
    }
}

/// Texts that own rates are read from live as long as the program.
fn kept(text: &str) -> &'static str {
    Box::leak(text.to_owned().into_boxed_str())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn a_value_accepted_and_printed_reads_back(words in any_words()) {
        shown_reads_back::<Pence>(&words)?;
        reads_back::<Pence>(&words, |amount| amount.plain())?;
        reads_back::<Mark>(&words, |mark| CarRef::Mark(mark.clone()).to_string())?;
        shown_reads_back::<Vin>(&words)?;
        shown_reads_back::<CarRef>(&words)?;
        shown_reads_back::<StockNo>(&words)?;
        shown_reads_back::<Hours>(&words)?;
        shown_reads_back::<TaxYear>(&words)?;
        shown_reads_back::<QuarterEnd>(&words)?;
        shown_reads_back::<FeePercent>(&words)?;
        shown_reads_back::<FeeScale>(&words)?;
        shown_reads_back::<PaperNumber>(&words)?;
        shown_reads_back::<TaxMonths>(&words)?;
        shown_reads_back::<Defect>(&words)?;
        shown_reads_back::<Wording>(&words)?;
        shown_reads_back::<Region>(&words)?;
        shown_reads_back::<PaidBy>(&words)?;
        shown_reads_back::<Pocket>(&words)?;
        shown_reads_back::<Via>(&words)?;
        shown_reads_back::<Direction>(&words)?;
        let without = |printed: &dyn Display, unit: &str| {
            let printed = printed.to_string();
            printed.trim_end_matches('s').trim_end_matches(unit).to_owned()
        };
        reads_back::<Distance>(&words, |miles| without(miles, " mile"))?;
        reads_back::<Miles>(&words, |miles| without(miles, " mile"))?;
        reads_back::<Whole>(&words, |number| format!("#{}", number.0))?;
        reads_back::<Multiple>(&words, |multiple| multiple.0.to_string())?;
        reads_back::<ModelYear>(&words, |year| year.0.to_string())?;
        reads_back::<Target>(&words, target)?;
        reads_back::<SplitPart>(&words, |part| format!("{}={}", target(&part.target), part.amount))?;
        reads_back::<TakenIn>(&words, |taken| format!("{}={}", CarRef::Mark(taken.mark.clone()), taken.allowance))?;
        reads_back::<BoughtMark>(&words, |mark| match mark {
            BoughtMark::Mark(mark) => CarRef::Mark(mark.clone()).to_string(),
            BoughtMark::None => "none".into(),
        })?;
    }

    #[test]
    fn a_day_accepted_reads_back_in_the_form_it_is_shown_in(words in any_words()) {
        if let Some(day) = read::<WrittenDay>(&words)?
            && let Ok(resolved) = day.resolve_any(today())
        {
            for printed in [long(resolved), resolved.to_string()] {
                prop_assert_eq!(printed.parse::<WrittenDay>()?.resolve_any(today()), Ok(resolved));
            }
            // As typed it means the same again.
            prop_assert_eq!(day.to_string().parse::<WrittenDay>()?.resolve_any(today()), Ok(resolved));
        }
        if let Some(month) = read::<WrittenMonth>(&words)? {
            let resolved = month.resolve_any(today());
            for printed in [resolved.to_string(), resolved.iso(), month.to_string()] {
                prop_assert_eq!(printed.parse::<WrittenMonth>()?.resolve_any(today()), resolved);
            }
        }
    }

    #[test]
    fn a_setting_kept_is_a_setting_that_can_be_kept(
        words in any_words(),
        key in prop::sample::select(KEYS.iter().map(|(key, ..)| *key).chain(["auction:marl-cross"]).collect::<Vec<_>>()),
    ) {
        match normalised(key, &words, today()) {
            Some(Ok(Some(kept))) => {
                prop_assert!(!kept.contains(is_unseen), "{kept:?}");
                prop_assert_eq!(normalised(key, &kept, today()), Some(Ok(Some(kept.clone()))), "{} of {:?}", key, words);
                prop_assert!(Settings::read([(key, kept.as_str())]).is_ok(), "{key} {kept:?}");
            }
            Some(Ok(None)) => prop_assert!(words.trim().eq_ignore_ascii_case("none")),
            Some(Err(error)) => prop_assert!(!error.to_string().contains(is_unseen)),
            None => prop_assert!(false, "{key} is not known"),
        }
        if let Ok(name) = heading_name(&words) {
            prop_assert_eq!(heading_name(&name), Ok(name.clone()));
        }
        let named = auction_key(&words);
        prop_assert_eq!(auction_key(named.trim_start_matches("auction:")), named);
    }
}

proptest! {
    #[test]
    fn a_file_of_own_figures_is_read_or_refused_by_its_line(
        lines in prop::collection::vec(
            prop_oneof![
                "(vat-standard-rate|vat-threshold|mileage-rate|wheels) (2027-04-01|1/4/2027|1/4|soon) [0-9.=+,%]{1,8}( .{0,12})?( # .*)?",
                any_words(),
            ],
            0..4,
        ),
    ) {
        match own_rates::read(kept(&lines.join("\n"))) {
            Ok(read) => prop_assert!(read.len() <= lines.iter().map(|line| line.lines().count().max(1)).sum()),
            Err(error) => {
                let said = error.to_string();
                prop_assert!(said.starts_with("line ") && !said.contains(is_unseen), "{said:?}");
            }
        }
    }

    #[test]
    fn a_row_of_a_sheet_is_read_or_refused_by_its_line(
        cells in prop::collection::vec(prop_oneof![2 => any_words(), 1 => Just(String::new())], 0..20),
        header in prop::collection::vec(any_words(), 0..5),
    ) {
        let (cars, money) = (
            "mark,bought_on,purchase_price,sold_on,selling_price,from,year,miles,vin,mot_until,paid,via,to,note",
            "on,amount,heading,car,direction,party,note,paid,vat,usual",
        );
        for (columns, rows) in [(cars, Rows::Cars), (money, Rows::Money)] {
            let named: Vec<String> = columns.split(',').map(str::to_owned).collect();
            let layout = Layout::from_header(&named, None, false).map_err(|bad| TestCaseError::fail(bad.to_string()))?;
            prop_assert_eq!(layout.rows(), rows);
            let row = SheetRow { line: 7, cells: cells.clone() };
            let car = layout.cells(&row).and_then(|cells| cells.car(today()));
            let money = layout.cells(&row).and_then(|cells| cells.money(today()));
            let bad = [car.err(), money.err()];
            prop_assert!(bad.into_iter().flatten().all(|bad| bad.line == 7));
        }
        for rows in [None, Some(Rows::Cars), Some(Rows::Money)] {
            if let Err(bad) = Layout::from_header(&header, rows, header.len() % 2 == 0) {
                prop_assert_eq!(bad.line, 1);
            }
        }
    }
}

/// A row whose every cell could be right is read, and as what it says.
#[test]
fn a_row_that_is_right_is_accepted() {
    let header = ["mark", "bought_on", "purchase_price", "miles"].map(str::to_owned);
    let cells = ["KX42RTO", "1/10/2026", "£1,450.50", "82,000"].map(str::to_owned).to_vec();
    let layout = Layout::from_header(&header, None, false).unwrap();
    let car = layout.cells(&SheetRow { line: 2, cells }).unwrap().car(today()).unwrap();
    assert_eq!((car.purchase_price, car.miles), (Pence::new(145_050), Some(Miles(82_000))));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever bytes a file holds, importing it or pricing by it is carried out or refused: never a fault of
    /// ours, and a refusal leaves no book.
    #[test]
    fn any_file_is_imported_or_refused(
        bytes in prop_oneof![
            prop::collection::vec(any::<u8>(), 0..300),
            prop::collection::vec(any_words(), 0..12).prop_map(|rows| rows.join("\n").into_bytes()),
            prop::collection::vec(any_words(), 0..9).prop_map(|cells| {
                format!("mark,bought_on,purchase_price\r\nKX42RTO,1/10/2026,465\r\n{}", cells.join(",")).into_bytes()
            }),
        ],
    ) {
        let yard = Yard::new("2026-11-25");
        let file = yard.folder().join("sheet.csv");
        std::fs::write(&file, bytes).unwrap();
        let ran = yard.run(&format!("import {}", file.display()));
        prop_assert!(ran.code <= 1, "{}: {}", ran.code, ran.err);
        prop_assert_eq!(yard.book().exists(), ran.code == 0);
        prop_assert!(!ran.err.contains(|c| c != '\n' && is_unseen(c)), "{:?}", ran.err);
        for option in ["bid --sells-for 1275 --prep 140 --profit 385 --fees", "stock --rates"] {
            let ran = yard.run(&format!("{option} {}", file.display()));
            prop_assert!(matches!(ran.code, 0 | 1 | 4), "{option} {}: {}", ran.code, ran.err);
            prop_assert!(!ran.err.contains(|c| c != '\n' && is_unseen(c)), "{:?}", ran.err);
        }
    }
}

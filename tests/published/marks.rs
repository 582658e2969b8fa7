//! Registration marks against published tables: shapes, and the first and last day of every
//! age identifier and year letter.
//!
//! Sources:
//! * DVLA, leaflet INF104 "Vehicle registration numbers and number plates", as reproduced at
//!   <https://zbook.org/read/25b2c_vehicle-registration-numbers-and-number-plates.html> and, for
//!   its SR60 example, <http://www.premier-number-plate.co.uk/news-articles/displaying-your-registration-number/>
//! * "Number plates" (age identifier table), wevalue.it, <http://wevalue.it/number-plates.php>
//! * "Different number plate formats explained" (prefix letters), Platinum Plates,
//!   <https://www.platinumplates.co.uk/different-number-plate-formats-explained>
//! * "GB number plates" (Y from 1 March 2001, written on 2 March 2001), everything2,
//!   <https://everything2.com/user/e-troon/writeups/GB+number+plates>
//! * "United Kingdom licence plates" (suffix letters),
//!   <https://philseed.com/united-kingdom-licence-plates/>; "Registration information",
//!   drivearchive.co.uk, <https://www.drivearchive.co.uk/reginfo.htm>
//! * "Number plate area codes from Sept 2001", privateplate.net,
//!   <https://www.privateplate.net/number-plate-area-codes-from-sept-2001>
//! * "Number plates", ultimatecarcheck.co.uk, <https://ultimatecarcheck.co.uk/number-plates>
//! * "uk-plate-age" documentation, <https://docs.racket-lang.org/uk-plate-age/index.html>

use chrono::NaiveDate;

use runabout::domain::days::mark_period::{issued, newer_than};
use runabout::domain::value::mark::{Mark, MarkShape};

fn mark(text: &str) -> Result<Mark, String> {
    text.parse::<Mark>().map_err(|error| error.to_string())
}

/// First and last day, or nothing for a mark that tells no date.
fn span(text: &str) -> Vec<String> {
    let period = mark(text).ok().and_then(|mark| issued(&mark));
    period.map(|p| vec![p.from().to_string(), p.to().to_string()]).unwrap_or_default()
}

/// One example of each style: current, prefix, suffix and dateless from INF104; Northern
/// Ireland from "Vehicle registration plates of Northern Ireland", a copy of the encyclopaedia
/// article at <https://wikimili.com/en/Vehicle_registration_plates_of_Northern_Ireland>; Q and
/// diplomatic from the suffix page above.
#[test]
fn styles() {
    for (text, shape, shown) in [
        ("AB12CDE", MarkShape::Current, "AB12 CDE"),
        ("A123ABC", MarkShape::Prefix, "A123 ABC"),
        ("ABC123A", MarkShape::Suffix, "ABC 123A"),
        ("ABC123", MarkShape::Dateless, "ABC 123"),
        ("1234AB", MarkShape::Dateless, "1234 AB"),
        ("AAZ1234", MarkShape::NorthernIreland, "AAZ 1234"),
        ("MIB1234", MarkShape::NorthernIreland, "MIB 1234"),
        ("Q123ABC", MarkShape::Q, "Q123 ABC"),
        ("123D456", MarkShape::Diplomatic, "123D456"),
    ] {
        let read = mark(text).map(|mark| (mark.shape(), mark.to_string()));
        assert_eq!(read, Ok((shape, shown.to_owned())), "{text}");
    }
}

/// INF104's rule for every pair of digits, written out rather than computed the program's way:
/// the year's last two digits from 1 March, the same plus 50 from 1 September.
#[test]
fn every_age_identifier() {
    let leap = |year: i32| NaiveDate::from_ymd_opt(year, 2, 29).is_some();
    for year in 2001..=2050 {
        let digits = year - 2000;
        if digits >= 2 {
            assert_eq!(
                span(&format!("AB{digits:02}CDE")),
                [format!("{year}-03-01"), format!("{year}-08-31")],
                "{digits}"
            );
        }
        // 2050's autumn is written 00, the last of the series.
        let digits = (digits + 50) % 100;
        let last = if leap(year + 1) { 29 } else { 28 };
        assert_eq!(
            span(&format!("AB{digits:02}CDE")),
            [format!("{year}-09-01"), format!("{}-02-{last}", year + 1)],
            "{digits}"
        );
    }
}

/// Single identifiers as the sources print them.
#[test]
fn age_identifiers_as_printed() {
    for (text, from, to) in [
        ("SR60BMD", "2010-09-01", "2011-02-28"), // INF104: 60 is September 2010
        ("AB51CDE", "2001-09-01", "2002-02-28"), // wevalue.it
        ("AB53CDE", "2003-09-01", "2004-02-29"), // drivearchive.co.uk
        ("AB03CDE", "2003-03-01", "2003-08-31"), // drivearchive.co.uk
        ("AB24CDE", "2024-03-01", "2024-08-31"), // uk-plate-age
        ("AB16CDE", "2016-03-01", "2016-08-31"), // privateplate.net
    ] {
        assert_eq!(span(text), [from, to], "{text}");
    }
    // ultimatecarcheck.co.uk: registered on 10 August 2021 is 21, on 8 November 2021 is 71.
    for (text, day) in [("AB21CDE", (2021, 8, 10)), ("AB71CDE", (2021, 11, 8))] {
        let day = NaiveDate::from_ymd_opt(day.0, day.1, day.2).unwrap_or_default();
        let issued = mark(text).ok().and_then(|mark| issued(&mark));
        assert!(issued.is_some_and(|period| period.contains(day)), "{text}");
    }
    // uk-plate-age: 01 has never been issued.
    assert_eq!(mark("AB01CDE").map(|mark| mark.shape()), Ok(MarkShape::Unknown));
    assert_eq!(span("AB01CDE"), [""; 0]);
}

/// uk-plate-age: a 74 mark on a car registered in May 2019 is impossible, and an older mark on
/// it is not.
#[test]
fn a_mark_never_makes_a_car_look_newer() {
    let registered = NaiveDate::from_ymd_opt(2019, 5, 1).unwrap_or_default();
    assert_eq!(mark("AB74CDE").map(|mark| newer_than(&mark, registered)), Ok(true));
    assert_eq!(mark("AB19CDE").map(|mark| newer_than(&mark, registered)), Ok(false));
    assert_eq!(mark("A123ABC").map(|mark| newer_than(&mark, registered)), Ok(false));
}

/// Platinum Plates and everything2. The exact days of V, W and X are derived from the rule
/// that from 1999 a letter began every March and September.
#[test]
fn every_prefix_letter() {
    let published = [
        ('A', "1983-08-01", "1984-07-31"),
        ('B', "1984-08-01", "1985-07-31"),
        ('C', "1985-08-01", "1986-07-31"),
        ('D', "1986-08-01", "1987-07-31"),
        ('E', "1987-08-01", "1988-07-31"),
        ('F', "1988-08-01", "1989-07-31"),
        ('G', "1989-08-01", "1990-07-31"),
        ('H', "1990-08-01", "1991-07-31"),
        ('J', "1991-08-01", "1992-07-31"),
        ('K', "1992-08-01", "1993-07-31"),
        ('L', "1993-08-01", "1994-07-31"),
        ('M', "1994-08-01", "1995-07-31"),
        ('N', "1995-08-01", "1996-07-31"),
        ('P', "1996-08-01", "1997-07-31"),
        ('R', "1997-08-01", "1998-07-31"),
        ('S', "1998-08-01", "1999-02-28"),
        ('T', "1999-03-01", "1999-08-31"),
        ('V', "1999-09-01", "2000-02-29"),
        ('W', "2000-03-01", "2000-08-31"),
        ('X', "2000-09-01", "2001-02-28"),
        ('Y', "2001-03-01", "2001-08-31"),
    ];
    for (letter, from, to) in published {
        for text in [format!("{letter}1ABC"), format!("{letter}123ABC")] {
            assert_eq!(span(&text), [from, to], "{text}");
        }
    }
    for letter in "IOQUZ".chars() {
        assert_eq!(span(&format!("{letter}123ABC")), [""; 0], "{letter}");
    }
}

/// philseed.com. A began in February 1963 in the first counties and was not used everywhere;
/// C was the first that all had to use.
#[test]
fn every_suffix_letter() {
    let published = [
        ('A', "1963-01-01", "1963-12-31"),
        ('B', "1964-01-01", "1964-12-31"),
        ('C', "1965-01-01", "1965-12-31"),
        ('D', "1966-01-01", "1966-12-31"),
        ('E', "1967-01-01", "1967-07-31"),
        ('F', "1967-08-01", "1968-07-31"),
        ('G', "1968-08-01", "1969-07-31"),
        ('H', "1969-08-01", "1970-07-31"),
        ('J', "1970-08-01", "1971-07-31"),
        ('K', "1971-08-01", "1972-07-31"),
        ('L', "1972-08-01", "1973-07-31"),
        ('M', "1973-08-01", "1974-07-31"),
        ('N', "1974-08-01", "1975-07-31"),
        ('P', "1975-08-01", "1976-07-31"),
        ('R', "1976-08-01", "1977-07-31"),
        ('S', "1977-08-01", "1978-07-31"),
        ('T', "1978-08-01", "1979-07-31"),
        ('V', "1979-08-01", "1980-07-31"),
        ('W', "1980-08-01", "1981-07-31"),
        ('X', "1981-08-01", "1982-07-31"),
        ('Y', "1982-08-01", "1983-07-31"),
    ];
    for (letter, from, to) in published {
        for text in [format!("ABC1{letter}"), format!("ABC123{letter}")] {
            assert_eq!(span(&text), [from, to], "{text}");
        }
    }
    for letter in "IOQUZ".chars() {
        assert_eq!(span(&format!("ABC123{letter}")), [""; 0], "{letter}");
    }
}

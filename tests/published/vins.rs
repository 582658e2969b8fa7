//! VIN check digits against published samples.
//!
//! Sources:
//! * 49 CFR 565.15 "Content requirements", Code of Federal Regulations, title 49, 2011, as filed at
//!   <https://omb.report/icr/202202-2127-008/doc/118986400>: values, weights and remainder. Its worked sample is from
//!   memory.
//! * "Outline for New Manufacturer Information", page 18, National Highway Traffic Safety Administration, as copied at
//!   <https://www.yumpu.com/en/document/view/7275978/outline-for-new-manufacturer-information-nhtsa/18>: a worked number
//! * "Mathematics in action: Vehicle Identification Numbers", Scientific Gems, 27 April 2018,
//!   <https://scientificgems.wordpress.com/2018/04/27/mathematics-in-action-vehicle-identifications-numbers/>: a worked
//!   number
//! * that the check digit is advisory outside North America and China: common practice
//! * numbers seen in the tests of several open-source validators, and two from memory; which
//!   is said beside each. The sums given beside them were worked out apart from this program.

use runabout::domain::value::vin::Vin;

/// Position 9 as it should be and as it is, and whether the program has a note about it.
fn check(text: &str) -> Result<(char, char, bool), String> {
    let vin = text.parse::<Vin>().map_err(|error| error.to_string())?;
    let digit = vin.check_digit().ok_or_else(|| "no check digit".to_owned())?;
    Ok((digit.expected, digit.found, vin.check_note().is_some()))
}

#[test]
fn the_regulations_own_sample() {
    // The sum is 411, and 411 mod 11 is 4. Printed there with position 9 left blank, so any other
    // digit in it must be noted.
    assert_eq!(check("1G4AH59H45G118341"), Ok(('4', '4', false)));
    assert_eq!(check("1G4AH59H55G118341"), Ok(('4', '5', true)));
}

/// The agency's outline: the sum is 314, 314 mod 11 is 6. Scientific Gems: 186, of which 10 is left, written X.
#[test]
fn numbers_worked_out_in_print() {
    assert_eq!(check("1J9RP1A36A1644345"), Ok(('6', '6', false)));
    assert_eq!(check("LJCPCBLCX11000237"), Ok(('X', 'X', false)));
}

#[test]
fn widely_published_numbers() {
    // Open-source tests; sums derived: 351 and 89.
    assert_eq!(check("1M8GDM9AXKP042788"), Ok(('X', 'X', false)));
    assert_eq!(check("11111111111111111"), Ok(('1', '1', false)));
    // From memory, an encyclopaedia's example of a misread 5; sums computed: 408 and 384.
    assert_eq!(check("5GZCZ43D13S812715"), Ok(('1', '1', false)));
    assert_eq!(check("SGZCZ43D13S812715"), Ok(('X', '1', true)));
}

#[test]
fn a_european_filler_is_no_fault() {
    // From memory; sum computed: 459. Position 9 is Z, so there is no check digit to fail.
    assert_eq!(check("WP0ZZZ99ZTS392124"), Ok(('8', 'Z', false)));
}

#[test]
fn numbers_that_are_no_vin() {
    // Open-source tests: contains an I.
    assert!(check("1M8GDM9AIKP042788").is_err_and(|error| error.contains("has the letter I")));
    // Sixteen characters are no VIN: at most an older chassis number (from memory), which has
    // no check digit and carries a note about its length.
    let short = "1M8GDM9AXKP04278";
    assert_eq!(check(short), Err("no check digit".to_owned()));
    let noted = short.parse::<Vin>().map(|vin| vin.is_short() && vin.length_note().is_some());
    assert_eq!(noted, Ok(true));
    assert!("1M8GDM9AXKP0427888".parse::<Vin>().is_err());
}

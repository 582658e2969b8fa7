//! Values as typed, checked and shown: marks, amounts, numbers, words. They stand on nothing else.

pub mod bad_row;
pub mod car_ref;
pub mod checklist;
pub mod control_chars;
pub mod count;
pub mod digits;
pub mod heading;
pub mod hours;
pub mod invoice_number;
pub mod label;
pub mod made;
pub mod mark;
pub mod numbers;
pub mod pence;
pub mod percent;
pub mod ratio;
pub mod share;
pub mod target;
pub mod value_error;
pub mod vin;
pub mod wording;
pub mod words;

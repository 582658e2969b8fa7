//! The trade itself: values, facts and rules. Pure: no clock, no files, no SQL, no printing, and
//! no binary floating point outside `annual_return`. It imports no other room.

pub mod book;
pub mod days;
pub mod due;
pub mod figures;
pub mod law;
pub mod plan;
pub mod refusal;
pub mod tax;
pub mod value;

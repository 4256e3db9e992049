//! The computing held against published values. Each table in `tests/data/reference` carries its source and how it is
//! known in every row; a value from memory is marked so and proves nothing of a standard.

mod allowed_current;
mod awg;
mod examples;
mod iec60228;
mod k_factors;
mod potentiometer;
mod reference;
mod shipped;
mod wire_cases;

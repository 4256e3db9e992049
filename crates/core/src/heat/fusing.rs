//! Old formulas for the current that melts a bare wire. They decide nothing here; they are held against published
//! examples, two of which are misprinted.

/// Onderdonk: current in A that melts a copper wire in `time_s`: A·√(log10((1083 − Ta)/(234 + Ta) + 1)/(33·t)), A in
/// circular mils. Much-copied pages have 234 − Ta there, which is 5 % on the unsafe side at 25 °C.
pub fn onderdonk_current_a(circular_mils: f64, time_s: f64, ambient_c: f64) -> f64 {
    let share = ((1083.0 - ambient_c) / (234.0 + ambient_c) + 1.0).log10();
    circular_mils * (share / (33.0 * time_s)).sqrt()
}

/// Preece: current in A that melts a long bare wire in still air for ever: C·d^1.5, d in inches; C is 10244 for
/// copper, 7585 for aluminium.
pub fn preece_current_a(constant: f64, diameter_in: f64) -> f64 {
    constant * diameter_in.powf(1.5)
}

/// Preece's formula turned round: diameter in inches that melts at this current.
pub fn preece_diameter_in(constant: f64, current_a: f64) -> f64 {
    (current_a / constant).powf(2.0 / 3.0)
}

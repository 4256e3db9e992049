//! Cavities: number, bridge, wires against the decision, the manual's figures.

use super::figure::{Bounds, Figures};
use super::{Refusal, bad};
use crate::{
    Book,
    model::{Candidate, Cavity, Decision},
};

/// Longest number of a cavity, in characters; a face takes the same.
const LONGEST_NUMBER: usize = 12;

pub(super) fn check(book: &Book, row: &Cavity) -> Result<(), Refusal> {
    number(book, row)?;
    bridge(book, row)?;
    wires(book, row)?;
    limits(book, row)
}

fn number(book: &Book, row: &Cavity) -> Result<(), Refusal> {
    let fits = |c: char| c.is_alphanumeric() || "+-./_".contains(c);
    if row.number.is_empty() {
        return bad(book, row, "has no number; give it the one moulded beside it");
    }
    if row.number.chars().count() > LONGEST_NUMBER || !row.number.chars().all(fits) {
        let problem = format!(
            "its number {:?} must be at most {LONGEST_NUMBER} letters, digits and + - . / _",
            row.number
        );
        return bad(book, row, problem);
    }
    Ok(())
}

fn bridge(book: &Book, row: &Cavity) -> Result<(), Refusal> {
    let Decision::Bridged { to } = row.decision else {
        return Ok(());
    };
    if to == row.id {
        return bad(
            book,
            row,
            "is bridged to itself; name another cavity of its connector",
        );
    }
    let Some(other) = book.get(to) else { return Ok(()) };
    if other.connector != row.connector {
        let problem = format!(
            "is bridged to {}, which is in another connector; a bridge stays within one, so make it a wire",
            book.cavity_name(to)
        );
        return bad(book, row, problem);
    }
    // Two that name each other are one link; more than two in a ring have no cavity that the link starts from.
    let mut at = other;
    for hops in 1..=book.index().cavities_of.of(&row.connector).len() {
        match at.decision {
            Decision::Bridged { to } if to == row.id && hops == 1 => break,
            Decision::Bridged { to } if to == row.id => {
                let problem = format!(
                    "is bridged to {}, which leads round in a circle back to it; decide one of them otherwise",
                    book.cavity_name(other.id)
                );
                return bad(book, row, problem);
            }
            Decision::Bridged { to } => match book.get(to) {
                Some(next) => at = next,
                None => break,
            },
            _ => break,
        }
    }
    Ok(())
}

fn wires(book: &Book, row: &Cavity) -> Result<(), Refusal> {
    match book.index().wires_at_cavity.of(&row.id).first() {
        Some((wire, _)) => match no_wire_ends(row.decision, &book.label_of(*wire)) {
            Some(problem) => bad(book, row, problem),
            None => Ok(()),
        },
        None => Ok(()),
    }
}

/// Why a wire of this label cannot end in a cavity that is decided so; none: it can.
pub fn no_wire_ends(decision: Decision, wire: &str) -> Option<String> {
    match decision {
        Decision::Bridged { .. } | Decision::Blank | Decision::Reserved | Decision::NotOurs => Some(format!(
            "is {}, but wire {wire} ends there; move the wire first, or decide it as wired",
            decision.words()
        )),
        Decision::Wired | Decision::Undecided => None,
    }
}

fn limits(book: &Book, row: &Cavity) -> Result<(), Refusal> {
    let (figures, limits) = (Figures { book, row }, &row.limits);
    let volts = Bounds::Between(-1000.0, 1000.0);
    for (what, value) in [
        ("on above", limits.on_above_v),
        ("off below", limits.off_below_v),
        ("on below", limits.on_below_v),
        ("off above", limits.off_above_v),
        ("highest voltage", limits.most_v),
        ("value at rest", limits.rest_v),
        ("value at full", limits.full_v),
    ] {
        figures.any(what, value, volts, " V")?;
    }
    for (what, value) in [
        ("continuous current", limits.most_a),
        ("peak current", limits.peak_a),
        ("least current", limits.least_a),
    ] {
        figures.any(what, value, Bounds::From0To(1000.0), " A")?;
    }
    figures.any("length of the peak", limits.peak_s, Bounds::From0To(3600.0), " s")?;
    figures.any("release delay", limits.release_s, Bounds::From0To(86_400.0), " s")?;
    figures.any("sensor's resistance", limits.sensor_ohm, Bounds::UpTo(1e7), " Ω")?;
    figures.any(
        "sensor's temperature",
        limits.sensor_at_c,
        Bounds::Between(-40.0, 150.0),
        " °C",
    )?;
    figures.any(
        "sensor's tolerance",
        limits.sensor_tolerance_pct,
        Bounds::Between(0.0, 50.0),
        " %",
    )?;
    figures.any(
        "sensor's change a kelvin",
        limits.sensor_pct_per_k,
        Bounds::Between(-20.0, 20.0),
        " %",
    )?;
    let pull = limits.pull.and_then(|pull| pull.ohm);
    figures.any("pull", pull, Bounds::UpTo(1e9), " Ω")?;
    figures.order(
        ("off below", limits.off_below_v),
        ("on above", limits.on_above_v),
        " V",
    )?;
    figures.order(
        ("on below", limits.on_below_v),
        ("off above", limits.off_above_v),
        " V",
    )?;
    figures.order(
        ("least current", limits.least_a),
        ("continuous current", limits.most_a),
        " A",
    )
}

pub(super) fn candidate(book: &Book, row: &Candidate) -> Result<(), Refusal> {
    if row.source == Some(row.sink) {
        return bad(
            book,
            row,
            format!(
                "{} cannot be its own source; name another cavity",
                book.cavity_name(row.sink)
            ),
        );
    }
    Ok(())
}

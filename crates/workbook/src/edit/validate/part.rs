//! Inside parts.

use super::figure::{Bounds, Figures, MOST_V};
use super::{Refusal, bad};
use crate::{
    Book,
    model::{Driver, LoadMode, Part, PartKind, Terminal},
};

pub(super) fn check(book: &Book, row: &Part) -> Result<(), Refusal> {
    ends(book, row)?;
    if let PartKind::Contact { driver, .. } = &row.kind {
        moved_by(book, row, driver)?;
    }
    figures(book, row)
}

fn ends(book: &Book, row: &Part) -> Result<(), Refusal> {
    let roles = row.kind.roles();
    if row.ends.len() != roles.len() {
        let problem = format!(
            "a {} has {} ends ({}), not {}",
            row.kind.words(),
            roles.len(),
            roles.join(", "),
            row.ends.len()
        );
        return bad(book, row, problem);
    }
    for (end, role) in row.ends.iter().zip(roles) {
        let unit = match end {
            Terminal::Cavity(id) => book.get(*id).and_then(|c| book.get(c.connector)).map(|c| c.unit),
            Terminal::Inner { unit, node } => {
                if node.trim().is_empty() || node.chars().count() > 40 {
                    let problem = format!("its {role} end needs a node's name of 1 to 40 characters");
                    return bad(book, row, problem);
                }
                Some(*unit)
            }
            Terminal::Junction(_) => None,
        };
        if unit.is_some_and(|unit| unit != row.unit) {
            let problem = format!(
                "its {role} end is at {}, which is not of {}; an inside part stays within its unit",
                book.terminal_name(end),
                book.label_of(row.unit)
            );
            return bad(book, row, problem);
        }
    }
    Ok(())
}

fn moved_by(book: &Book, row: &Part, driver: &Driver) -> Result<(), Refusal> {
    match driver {
        Driver::StateOnly => Ok(()),
        Driver::Coil { part } => match book.get(*part) {
            Some(coil) if !matches!(coil.kind, PartKind::Coil { .. }) => bad(
                book,
                row,
                format!(
                    "is moved by {}, which is a {}, not a coil",
                    coil.label,
                    coil.kind.words()
                ),
            ),
            _ => Ok(()),
        },
        Driver::Switch { switch, operated_in } => {
            let Some(switch) = book.get(*switch) else {
                return Ok(());
            };
            match operated_in.iter().find(|p| !switch.positions.contains(p)) {
                None => Ok(()),
                Some(position) => bad(
                    book,
                    row,
                    format!(
                        "is operated in {position:?}, but {} has only {}",
                        switch.label,
                        switch.positions.join(", ")
                    ),
                ),
            }
        }
    }
}

fn figures(book: &Book, row: &Part) -> Result<(), Refusal> {
    let f = Figures { book, row };
    let (ohms, amps, volts) = (
        Bounds::UpTo(1e9),
        Bounds::From0To(10_000.0),
        Bounds::Between(-MOST_V, MOST_V),
    );
    let seconds = Bounds::From0To(3600.0);
    match &row.kind {
        PartKind::Source {
            volts_v,
            ohm,
            limit_a,
            ..
        } => {
            f.any("voltage", *volts_v, volts, " V")?;
            f.one("inner resistance", *ohm, Bounds::From0To(1e9), " Ω")?;
            f.any("current limit", *limit_a, amps, " A")
        }
        PartKind::Resistor { ohm } | PartKind::Terminator { ohm } | PartKind::Potentiometer { ohm } => {
            f.one("resistance", *ohm, ohms, " Ω")
        }
        PartKind::Load {
            mode,
            least_v,
            inrush_a,
            inrush_s,
            asleep_a,
        } => {
            match mode {
                LoadMode::Current { current_a } => f.one("current", *current_a, amps, " A")?,
                LoadMode::Resistance { ohm } => f.one("resistance", *ohm, ohms, " Ω")?,
                LoadMode::Power { power_w } => f.one("power", *power_w, Bounds::From0To(1e5), " W")?,
            }
            f.any("least voltage", *least_v, Bounds::From0To(MOST_V), " V")?;
            f.any("inrush", *inrush_a, amps, " A")?;
            f.any("length of the inrush", *inrush_s, seconds, " s")?;
            f.any("current asleep", *asleep_a, amps, " A")
        }
        PartKind::Lamp {
            hot_ohm,
            cold_ohm,
            rated_v,
        } => {
            f.one("hot resistance", *hot_ohm, ohms, " Ω")?;
            f.any("cold resistance", *cold_ohm, ohms, " Ω")?;
            f.any("rated voltage", *rated_v, Bounds::UpTo(MOST_V), " V")
        }
        PartKind::Coil {
            ohm,
            pull_in_v,
            drop_out_v,
            hold_a,
            pull_in_s,
            ..
        } => {
            f.one("resistance", *ohm, ohms, " Ω")?;
            f.any("pull-in voltage", *pull_in_v, Bounds::UpTo(MOST_V), " V")?;
            f.any("drop-out voltage", *drop_out_v, Bounds::From0To(MOST_V), " V")?;
            f.order(
                ("drop-out voltage", *drop_out_v),
                ("pull-in voltage", *pull_in_v),
                " V",
            )?;
            f.any("hold current", *hold_a, amps, " A")?;
            f.any("length of the pull-in", *pull_in_s, seconds, " s")
        }
        PartKind::Contact {
            ohm, most_a, least_a, ..
        } => {
            f.one("resistance", *ohm, Bounds::From0To(1000.0), " Ω")?;
            f.any("highest current", *most_a, amps, " A")?;
            f.any("least current", *least_a, amps, " A")?;
            f.order(("least current", *least_a), ("highest current", *most_a), " A")
        }
        PartKind::Output {
            ohm,
            most_a,
            peak_a,
            peak_s,
            ..
        } => {
            f.one("resistance", *ohm, Bounds::From0To(1e6), " Ω")?;
            f.any("continuous limit", *most_a, amps, " A")?;
            f.any("short limit", *peak_a, amps, " A")?;
            f.any("length of the short limit", *peak_s, seconds, " s")
        }
        PartKind::Diode { forward_v } => f.one("forward voltage", *forward_v, Bounds::UpTo(5.0), " V"),
        PartKind::FuseWay { .. } => Ok(()),
        PartKind::Reference {
            volts_v,
            ohm,
            limit_a,
        } => {
            f.one("voltage", *volts_v, volts, " V")?;
            f.one("inner resistance", *ohm, Bounds::From0To(1e6), " Ω")?;
            f.any("current limit", *limit_a, amps, " A")
        }
        PartKind::Ratiometric { a, b, ohm, draws_a } => {
            f.one("share at rest", *a, Bounds::Between(-2.0, 2.0), "")?;
            f.one("share added at full travel", *b, Bounds::Between(-2.0, 2.0), "")?;
            f.one("output resistance", *ohm, Bounds::From0To(1e6), " Ω")?;
            f.one("draw", *draws_a, amps, " A")
        }
    }
}

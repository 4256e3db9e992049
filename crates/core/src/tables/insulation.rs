//! What the plastic around a wire bears, and how it takes up and passes on heat.

use super::Source;
#[cfg(test)]
use super::TableError;
use super::embedded::{Embedded, Row, read, rows};
use std::borrow::Cow;

/// One kind of insulation.
#[derive(Debug, Clone, PartialEq)]
pub struct InsulationRow {
    /// Kind and class, such as `pvc-105`.
    pub name: Cow<'static, str>,
    /// Conductor temperature that it bears for ever, in °C.
    pub class_c: f64,
    /// Conductor temperature that it bears for less than 5 s, in °C.
    pub short_circuit_c: f64,
    /// Thermal resistivity in K·m/W.
    pub thermal_resistivity_k_m_per_w: f64,
    /// Heat per volume in J/(K·m³).
    pub volumetric_heat_j_per_k_m3: f64,
    /// Where it comes from.
    pub source: Source,
}

static INSULATIONS: Embedded<InsulationRow> = Embedded::new(|| {
    let text = include_str!("../../../../assets/insulations.csv");
    read("insulations.csv", text, |r: &Row<'_>| {
        Ok(InsulationRow {
            name: r.text("name")?,
            class_c: r.number("class_c")?,
            short_circuit_c: r.number("short_circuit_c")?,
            thermal_resistivity_k_m_per_w: r.number("thermal_resistivity_k_m_per_w")?,
            volumetric_heat_j_per_k_m3: r.number("volumetric_heat_j_per_k_m3")?,
            source: r.source()?,
        })
    })
});

/// All kinds; the first is the usual one for vehicles.
pub fn insulations() -> &'static [InsulationRow] {
    rows(&INSULATIONS)
}

/// The kind of this name.
pub fn insulation(name: &str) -> Option<&'static InsulationRow> {
    insulations().iter().find(|r| r.name == name)
}

#[cfg(test)]
pub(super) fn faults() -> Option<TableError> {
    INSULATIONS.as_ref().err().cloned()
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_short_circuit_limit_is_above_the_class() {
        assert!(super::insulations().iter().all(|r| r.short_circuit_c > r.class_c));
    }
}

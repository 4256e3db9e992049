//! Refuses values with which no solution means anything.

use super::{Element, ElementId, NetworkError};

/// Checks one element's values.
///
/// # Errors
/// A sentence that names the element, the value and what it must be.
pub(crate) fn usable(part: &Element, element: ElementId, tag: usize) -> Result<(), NetworkError> {
    let finite = |what, value: f64| {
        if value.is_finite() {
            Ok(())
        } else {
            Err(NetworkError::NotFinite { element, tag, what })
        }
    };
    let positive = |what, value: f64| {
        finite(what, value)?;
        if value > 0.0 {
            Ok(())
        } else {
            Err(NetworkError::NotPositive {
                element,
                tag,
                what,
                value,
            })
        }
    };
    let between = |what, value: f64, least: f64, most: f64| {
        finite(what, value)?;
        if (least..=most).contains(&value) {
            Ok(())
        } else {
            Err(NetworkError::OutOfRange {
                element,
                tag,
                what,
                value,
                least,
                most,
            })
        }
    };
    match *part {
        Element::Resistance { ohms, .. } | Element::Contact { ohms, .. } => positive("resistance", ohms),
        Element::Source { emf_v, ohms, .. } => {
            finite("voltage", emf_v)?;
            positive("resistance", ohms)
        }
        Element::LimitedSource {
            emf_v, ohms, limit_a, ..
        } => {
            finite("voltage", emf_v)?;
            positive("resistance", ohms)?;
            positive("greatest current", limit_a)
        }
        Element::Emf { emf_v, .. } => finite("voltage", emf_v),
        Element::Current { current_a, .. } => finite("current", current_a),
        Element::CurrentLoad {
            current_a, least_v, ..
        } => {
            positive("current", current_a)?;
            positive("least voltage", least_v)
        }
        Element::PowerLoad { power_w, least_v, .. } => {
            positive("power", power_w)?;
            positive("least voltage", least_v)
        }
        Element::Lamp {
            cold_ohms,
            hot_ohms,
            rated_v,
            ..
        } => {
            positive("cold resistance", cold_ohms)?;
            between("hot resistance", hot_ohms, cold_ohms, f64::MAX)?;
            positive("rated voltage", rated_v)
        }
        Element::Diode {
            saturation_a,
            slope_v,
            ..
        } => {
            positive("saturation current", saturation_a)?;
            positive("slope voltage", slope_v)
        }
        Element::Coil {
            ohms,
            pull_in_v,
            drop_out_v,
            ..
        } => {
            positive("resistance", ohms)?;
            positive("pull-in voltage", pull_in_v)?;
            positive("drop-out voltage", drop_out_v)?;
            between("drop-out voltage", drop_out_v, 0.0, pull_in_v)
        }
        Element::Ratiometric { share, ohms, .. } => {
            between("share of the supply", share, -0.5, 1.5)?;
            positive("resistance", ohms)
        }
    }
}

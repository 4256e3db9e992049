use super::add_sources;
use super::fuse_in_hand::Fuse;
use super::grade::{EDGE, Grade, on_the_edge};
use super::wire_below::WireBelow;
use crate::heat::Bears;
use crate::tables::Source;

/// What happens when the far end of a wire touches the return.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FarEndOutcome {
    /// The fuse opens before the wire is hurt.
    OpensInTime,
    /// The wire bears the current for ever; the fuse may stay whole.
    WireBearsIt,
    /// The fuse may stay whole, and the wire ends between its class and its overload limit (or on the edge of it).
    WireAges,
    /// The wire may be hurt before the fuse opens.
    WireIsHurt,
    /// The fault current or a figure of the wire or fuse is missing.
    CannotCheck {
        /// What is missing.
        missing: &'static str,
    },
}

/// The verdict on one wire's far-end fault.
#[derive(Debug, Clone, PartialEq)]
pub struct FarEnd {
    /// What it weighs.
    pub grade: Grade,
    /// A limit 3 % lower or higher would turn the verdict: never a stop.
    pub on_the_edge: bool,
    /// What happens.
    pub outcome: FarEndOutcome,
    /// The fault current in A.
    pub fault_a: f64,
    /// The fault current ÷ the fuse's rating.
    pub multiple: f64,
    /// When the fuse has certainly opened, in s; infinite where nothing is promised.
    pub fuse_longest_s: f64,
    /// How long the wire bears the current, and which limit that is.
    pub wire: Option<Bears>,
    /// What it rests on.
    pub basis: Vec<Source>,
}

/// Holds the far-end fault of a wire against its fuse: the fuse opens within the wire's time, or the wire bears the
/// current for ever. No multiple of the rating is asked for.
pub fn far_end(fuse: &Fuse, wire: &WireBelow) -> FarEnd {
    let mut basis = fuse.band.basis().to_vec();
    add_sources(&mut basis, &wire.basis);
    let cannot = |missing, basis| FarEnd {
        grade: Grade::CannotCheck,
        on_the_edge: false,
        outcome: FarEndOutcome::CannotCheck { missing },
        fault_a: f64::NAN,
        multiple: f64::NAN,
        fuse_longest_s: f64::NAN,
        wire: None,
        basis,
    };
    if !fuse.is_sound() || !wire.is_sound() {
        return cannot("a figure of the fuse or the wire", basis);
    }
    let Some(fault_a) = wire.far_end_fault_a.filter(|a| a.is_finite() && *a >= 0.0) else {
        return cannot("the fault current at the far end", basis);
    };
    let fuse_longest_s = fuse.longest_s(fault_a);
    let bears = wire.bears(fault_a);
    // Whether it turns out well does not hang on 3 % of a limit.
    let well = |factor| {
        let bears = wire
            .heat
            .bears(fault_a, wire.state_before(), &wire.limits.scaled(factor));
        bears.time_s.is_infinite() || fuse_longest_s <= bears.time_s
    };
    let edge = well(1.0 - EDGE) != well(1.0 + EDGE);
    let ends_c = wire.heat.steady(fault_a).conductor_c();
    let ages = ends_c <= wire.limits.overload_c * (1.0 + EDGE);
    let edge = edge || (fuse_longest_s.is_infinite() && on_the_edge(ends_c, wire.limits.overload_c));
    let (outcome, grade) = if bears.time_s.is_infinite() {
        (
            FarEndOutcome::WireBearsIt,
            if edge { Grade::Note } else { Grade::Good },
        )
    } else if fuse_longest_s <= bears.time_s {
        (
            FarEndOutcome::OpensInTime,
            if edge { Grade::Note } else { Grade::Good },
        )
    } else if ages {
        (FarEndOutcome::WireAges, Grade::Warning)
    } else {
        (
            FarEndOutcome::WireIsHurt,
            if edge { Grade::Warning } else { Grade::Stop },
        )
    };
    let multiple = fault_a / fuse.rating_a;
    FarEnd {
        grade,
        on_the_edge: edge,
        outcome,
        fault_a,
        multiple,
        fuse_longest_s,
        wire: Some(bears),
        basis,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conductor::ConductorTable;
    use crate::heat::ThermalWire;
    use crate::tables::fuses::FuseKind;
    use crate::tables::insulation::insulation;

    fn wire(size: &str, fault_a: Option<f64>) -> WireBelow {
        let pvc = insulation("pvc-105").unwrap();
        let wire = ThermalWire::from_tables(&size.parse().unwrap(), ConductorTable::Iso6722, pvc, 40.0, 1.0);
        WireBelow {
            far_end_fault_a: fault_a,
            ..WireBelow::new(wire, 1.0)
        }
    }

    #[test]
    fn a_strong_fault_opens_the_fuse_in_time() {
        let fuse = Fuse::of(FuseKind::Blade, 5.0, 40.0);
        let verdict = far_end(&fuse, &wire("0.5", Some(60.0)));
        assert_eq!(verdict.outcome, FarEndOutcome::OpensInTime);
        assert_eq!(verdict.multiple, 12.0);
        assert!((verdict.fuse_longest_s - 0.025).abs() < 1e-9);
    }

    #[test]
    fn a_weak_fault_that_the_wire_bears_needs_no_fuse() {
        let fuse = Fuse::of(FuseKind::Blade, 5.0, 40.0);
        let verdict = far_end(&fuse, &wire("0.5", Some(0.14)));
        assert_eq!(verdict.outcome, FarEndOutcome::WireBearsIt);
        assert_eq!(verdict.fuse_longest_s, f64::INFINITY);
    }

    /// 0.35 mm² under 30 A with a fault of 35 A: no opening is promised below 40.5 A, and the wire cannot bear it.
    #[test]
    fn a_fault_below_the_gate_hurts_a_thin_wire() {
        let fuse = Fuse::of(FuseKind::Blade, 30.0, 40.0);
        let verdict = far_end(&fuse, &wire("0.35", Some(35.0)));
        assert_eq!(
            (verdict.outcome, verdict.grade),
            (FarEndOutcome::WireIsHurt, Grade::Stop)
        );
    }

    #[test]
    fn between_class_and_overload_limit_without_an_opening_the_wire_ages() {
        let fuse = Fuse::of(FuseKind::Blade, 15.0, 40.0);
        let verdict = far_end(&fuse, &wire("0.75", Some(20.0)));
        assert_eq!(
            (verdict.outcome, verdict.grade),
            (FarEndOutcome::WireAges, Grade::Warning),
            "{verdict:?}"
        );
    }

    /// Without an opening the wire's own end temperature decides: as the fault current grows the verdict only gets worse,
    /// and the last one before a stop is on the edge.
    #[test]
    fn on_the_edge_is_never_a_stop() {
        let fuse = Fuse::of(FuseKind::Blade, 40.0, 40.0);
        let verdicts: Vec<FarEnd> = (60..250)
            .map(|i| far_end(&fuse, &wire("1", Some(f64::from(i) / 5.0))))
            .collect();
        assert!(verdicts.iter().all(|v| v.fuse_longest_s.is_infinite()));
        assert!(verdicts.windows(2).all(|p| p[0].grade <= p[1].grade));
        let first_stop = verdicts.iter().position(|v| v.grade == Grade::Stop).unwrap();
        assert!(verdicts[first_stop - 1].on_the_edge && !verdicts[first_stop].on_the_edge);
    }

    #[test]
    fn a_missing_fault_current_is_said() {
        let fuse = Fuse::of(FuseKind::Blade, 5.0, 40.0);
        let verdict = far_end(&fuse, &wire("0.5", None));
        assert_eq!(verdict.grade, Grade::CannotCheck);
        assert!(
            matches!(verdict.outcome, FarEndOutcome::CannotCheck { missing } if missing.contains("fault current"))
        );
    }
}

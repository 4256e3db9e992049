use super::fuse_in_hand::{Fuse, Melting};
use super::grade::{Grade, on_the_edge};
use crate::tables::{HowKnown, Source};

/// Share of the re-rated rating that may flow all the time.
pub const CONTINUOUS_SHARE: f64 = 0.75;
/// Share of the melting I²t that a pulse at switch-on may have.
const INRUSH_SHARE: f64 = 0.30;

/// Whether a fuse carries its load all the time without ageing.
#[derive(Debug, Clone, PartialEq)]
pub struct Running {
    /// What it weighs.
    pub grade: Grade,
    /// Within 3 % of the limit.
    pub on_the_edge: bool,
    /// The load in A.
    pub load_a: f64,
    /// The rating in A in the warmth around the fuse.
    pub rerated_a: f64,
    /// Three quarters of that, in A.
    pub allowed_a: f64,
    /// What it rests on.
    pub basis: Vec<Source>,
}

/// Holds a continuous current in A against 75 % of the re-rated rating.
pub fn running(fuse: &Fuse, continuous_a: f64) -> Running {
    let rerated_a = fuse.rerated_a();
    let allowed_a = CONTINUOUS_SHARE * rerated_a;
    let edge = on_the_edge(continuous_a, allowed_a);
    let grade = match (continuous_a <= allowed_a, edge) {
        (true, false) => Grade::Good,
        (true, true) => Grade::Note,
        (false, _) => Grade::Warning,
    };
    let rule = Source::fixed(
        "continuous current at most 75 % of the rating",
        HowKnown::CommonPractice,
    );
    let basis = vec![rule, fuse.rerate_source.clone()];
    let known = fuse.is_sound() && continuous_a.is_finite();
    let grade = if known { grade } else { Grade::CannotCheck };
    Running {
        grade,
        on_the_edge: edge,
        load_a: continuous_a,
        rerated_a,
        allowed_a,
        basis,
    }
}

/// Whether a fuse bears a pulse at switch-on again and again.
#[derive(Debug, Clone, PartialEq)]
pub struct Inrush {
    /// What it weighs.
    pub grade: Grade,
    /// Within 3 % of the limit.
    pub on_the_edge: bool,
    /// I²t of the pulse in A²s.
    pub pulse_a2s: f64,
    /// What melts the fuse, and whether that is its own figure.
    pub melting: Melting,
    /// 30 % of that, in A²s.
    pub allowed_a2s: f64,
    /// The pulse is no more than the fuse carries for hours: its I²t does not matter.
    pub carried_for_hours: bool,
    /// What it rests on.
    pub basis: Vec<Source>,
}

/// Holds a pulse of so many A for so many s against 30 % of the melting I²t.
pub fn inrush(fuse: &Fuse, current_a: f64, time_s: f64) -> Inrush {
    let melting = fuse.melting();
    let pulse_a2s = current_a * current_a * time_s;
    let allowed_a2s = INRUSH_SHARE * melting.a2s;
    let carried_for_hours = current_a <= fuse.rerated_a() * fuse.band.carries_to();
    let edge = on_the_edge(pulse_a2s, allowed_a2s) && !carried_for_hours;
    let grade = match (pulse_a2s <= allowed_a2s || carried_for_hours, edge) {
        (true, false) => Grade::Good,
        (true, true) => Grade::Note,
        (false, _) => Grade::Warning,
    };
    let rule = Source::fixed("inrush at most 30 % of the melting I²t", HowKnown::CommonPractice);
    let mut basis = vec![rule, melting.source.clone()];
    if !melting.own_data || carried_for_hours {
        super::add_sources(&mut basis, fuse.band.basis());
    }
    let known = fuse.is_sound() && pulse_a2s.is_finite();
    let grade = if known { grade } else { Grade::CannotCheck };
    Inrush {
        grade,
        on_the_edge: edge,
        pulse_a2s,
        melting,
        allowed_a2s,
        carried_for_hours,
        basis,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tables::fuses::FuseKind;

    /// 9 A under 15 A at 60 °C: 0.75·15·(1 − 0.0015·35) = 10.66 A.
    #[test]
    fn three_quarters_of_the_rerated_rating_may_flow() {
        let fuse = Fuse::of(FuseKind::Blade, 15.0, 60.0);
        let verdict = running(&fuse, 9.0);
        assert_eq!(verdict.grade, Grade::Good);
        assert!((verdict.allowed_a - 10.659).abs() < 1e-3);
        assert_eq!(running(&fuse, 10.7).grade, Grade::Warning);
        assert!(running(&fuse, 10.7).on_the_edge);
        assert_eq!(running(&fuse, 10.6).grade, Grade::Note);
        assert_eq!(running(&fuse, f64::NAN).grade, Grade::CannotCheck);
    }

    /// 28 A for 100 ms are 78.4 A²s: 23 % of a fuse's own 340 A²s, and far too much for the band's 0.49·15² = 110 A²s.
    #[test]
    fn a_pulse_is_held_against_the_fuses_own_figure_where_there_is_one() {
        let mut fuse = Fuse::of(FuseKind::Blade, 15.0, 40.0);
        let by_band = inrush(&fuse, 28.0, 0.1);
        assert_eq!(by_band.grade, Grade::Warning);
        assert!(!by_band.melting.own_data && by_band.basis.iter().any(|s| s.how_known.is_from_memory()));
        fuse.melting_a2s = Some(340.0);
        let by_sheet = inrush(&fuse, 28.0, 0.1);
        assert_eq!(by_sheet.grade, Grade::Good);
        assert!(by_sheet.melting.own_data && !by_sheet.basis.iter().any(|s| s.how_known.is_from_memory()));
        assert!((by_sheet.pulse_a2s / by_sheet.melting.a2s - 0.2306).abs() < 1e-4);
    }

    #[test]
    fn a_long_pulse_below_what_the_fuse_carries_for_hours_is_no_pulse() {
        let fuse = Fuse::of(FuseKind::Blade, 10.0, 25.0);
        assert!(inrush(&fuse, 10.9, 60.0).carried_for_hours);
        assert_eq!(inrush(&fuse, 10.9, 60.0).grade, Grade::Good);
        assert_eq!(inrush(&fuse, 11.1, 60.0).grade, Grade::Warning);
    }
}

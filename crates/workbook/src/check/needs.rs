//! What many checks need alike, asked for once on behalf of all of them.

use std::collections::{BTreeMap, HashSet};

use super::{CHECKS, Check, Out, common::words::list};
use crate::{
    analysis::Snapshot,
    book::{InOrder, natural},
    circuit::never_told,
    model::{About, Cavity, Decision, Fuse, Id, Key, Part, PartKind, State, Unit, Wire},
    question::{Ask, fields},
};

/// A need that many checks share; those that have it name it in their inputs.
#[derive(Debug, Clone, Copy)]
pub(super) enum Need {
    /// How things stand in operating states.
    States,
    /// What each wired cavity is.
    Kinds,
    /// What feeds each fuse.
    Feeds,
}

impl Need {
    /// The checks that have it.
    pub fn checks(self) -> impl Iterator<Item = &'static &'static Check> {
        CHECKS.iter().filter(move |check| match self {
            Self::States => check.inputs.contains("operating state"),
            Self::Kinds => check.inputs.contains("kinds of cavities"),
            Self::Feeds => check.name.starts_with("fuse-"),
        })
    }
}

/// Says for every check what it misses of what many need.
pub(super) fn ask(see: &Snapshot, out: &mut Out) {
    states(see, out);
    kinds(see, out);
    feeds(see, out);
}

/// Says for every check that judges operating states what it cannot see of them: that there are none, that one has no
/// solution or none that settles, or that nobody says how a part stands in any.
fn states(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let mut missing = |place: Key, words: &str, asks: Vec<Ask>| {
        for check in Need::States.checks() {
            out.cannot_at(check.name, place, words, asks.iter().cloned());
        }
    };
    let about = book.all::<About>().values().next();
    if let Some(about) = about.filter(|_| book.all::<State>().is_empty() && !book.all::<Wire>().is_empty()) {
        let words =
            "operating states: which switches and parts are on when the vehicle stands, charges, drives";
        missing(Key::of(about.id), words, Vec::new());
    }
    for (state, trouble) in see.unsolved() {
        let words = format!("a solution of it ({})", trouble.words(book));
        missing(Key::of(*state), &words, Vec::new());
    }
    for of in see.states() {
        if let Some(trouble) = of.operated.trouble.first() {
            let words = format!("a settled solution of it ({})", trouble.words(book));
            missing(Key::of(of.state), &words, Vec::new());
        }
    }
    for part in never_told(book) {
        let words = format!("how {} stands in the operating states", book.label_of(part));
        missing(Key::of(part), &words, Vec::new());
    }
}

/// Wired cavities of which nobody says what they are, named together at their unit.
fn kinds(see: &Snapshot, out: &mut Out) {
    let book = see.book();
    let mut missing: BTreeMap<Id<Unit>, Vec<Id<Cavity>>> = BTreeMap::new();
    for cavity in book.all::<Cavity>().values() {
        if cavity.kind.is_none()
            && cavity.decision == Decision::Wired
            && let Some(unit) = see.unit_of(cavity.id)
        {
            missing.entry(unit).or_default().push(cavity.id);
        }
    }
    for (unit, cavities) in missing {
        let mut names: Vec<String> = cavities.iter().map(|id| book.cavity_name(*id)).collect();
        names.order_by(|name| natural(name));
        let words = format!("the kind of {}", list(&names));
        for check in Need::Kinds.checks() {
            let asks = cavities.iter().map(|id| Ask::of(*id, &fields::CAVITY_KIND));
            out.cannot(check.name, unit, words.as_str(), asks);
        }
    }
}

/// Fuses in a way that no source reaches: nothing is known of what they must carry and break.
fn feeds(see: &Snapshot, out: &mut Out) {
    let reached: HashSet<Id<Fuse>> = see.protection().zones.iter().map(|zone| zone.fuse).collect();
    for part in see.book().all::<Part>().values() {
        if let PartKind::FuseWay { fuse } = part.kind
            && !reached.contains(&fuse)
        {
            for check in Need::Feeds.checks() {
                out.cannot(check.name, fuse, "what feeds it", []);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{check::run_without_mends, model::*, testing::Bench};

    /// The checks that say a fact is missing at a place.
    fn asking(see: &Snapshot, missing: &str) -> Vec<&'static str> {
        let report = run_without_mends(see);
        let found = report
            .cannot_check
            .into_iter()
            .find(|c| c.missing.starts_with(missing));
        found.map(|c| c.checks).unwrap_or_default()
    }

    fn blind() -> Vec<&'static str> {
        Need::States.checks().map(|check| check.name).collect()
    }

    #[test]
    fn a_wired_cavity_without_a_kind_is_asked_for_by_all_that_judge_kinds() {
        let mut bench = Bench::new();
        bench.wire("W1", "MC-A1", "XA-A1", 1.0, 1.0);
        let of_kinds: Vec<&str> = Need::Kinds.checks().map(|check| check.name).collect();
        assert!(
            of_kinds.contains(&"input-level") && !of_kinds.contains(&"wire-hot"),
            "{of_kinds:?}"
        );
        assert_eq!(asking(&bench.snapshot(), "the kind of MC-A1"), of_kinds);
        let cavity = bench.cavity("MC-A", "1");
        bench.edit(cavity, |c: &mut Cavity| c.kind = Some(SignalKind::Ground));
        assert_eq!(asking(&bench.snapshot(), "the kind of MC-A1"), [""; 0]);
    }

    #[test]
    fn without_operating_states_no_check_of_them_is_silent() {
        let mut bench = Bench::new();
        bench.battery();
        bench.wire("W1", "BP", "XA-A1", 1.0, 1.0);
        assert_eq!(asking(&bench.snapshot(), "operating states"), blind());
        assert!(blind().contains(&"input-level"), "{:?}", blind());
        bench.state("DRIVE");
        assert_eq!(asking(&bench.snapshot(), "operating states"), [""; 0]);
    }

    #[test]
    fn a_part_that_no_state_tells_is_asked_for() {
        let mut bench = Bench::new();
        bench.battery();
        bench.wire("W1", "BP", "XA-A1", 1.0, 1.0);
        let state = bench.state("DRIVE");
        let output = bench.part("run output", Bench::low_side(0.1), &["XA-A1", "BN"]);
        assert_eq!(asking(&bench.snapshot(), "how run output stands"), blind());
        bench.set(state, output, PartPosition::On);
        assert_eq!(asking(&bench.snapshot(), "how run output stands"), [""; 0]);
    }

    #[test]
    fn a_fuse_that_nothing_feeds_is_told_by_all_checks_of_fuses() {
        let mut bench = Bench::new();
        bench.battery();
        bench.state("DRIVE");
        bench.fuse_way("F1", 5.0, "PB-A1", "PB-A2");
        let of_fuses: Vec<&str> = Need::Feeds.checks().map(|check| check.name).collect();
        assert!(of_fuses.contains(&"fuse-breaking"), "{of_fuses:?}");
        assert_eq!(asking(&bench.snapshot(), "what feeds it"), of_fuses);
        bench.wire("W1", "BP", "PB-A1", 1.0, 1.0);
        assert_eq!(asking(&bench.snapshot(), "what feeds it"), [""; 0]);
    }

    #[test]
    fn a_state_without_a_solution_is_named() {
        let mut bench = Bench::new();
        bench.state("DRIVE");
        bench.wire("W1", "BP", "XA-A1", 1.0, 1.0);
        let see = bench.snapshot();
        assert_eq!(see.unsolved().len(), 1);
        assert_eq!(
            asking(&see, "a solution of it (no stud is named as battery negative)"),
            blind()
        );
    }
}

//! What an edit touches: so that what hangs on nothing of it is kept.
//!
//! A field counts for everything unless it is named here as one that does not: a new field is safe by default.

use std::collections::BTreeSet;

use crate::{
    Book,
    model::{
        About, Acceptance, Bundle, Candidate, Cavity, ChassisPath, ColourUse, Connector, ContactFamily,
        Decision, Drum, Expression, FaultFinding, FileNote, FirstRun, Fuse, Junction, Key, Kind, Limits,
        Part, Reading, Row, Rule, Setting, SignalKind, State, StepDone, StockLine, Switch, TemporaryLink,
        TerminalNumber, Trial, Unit, Wire, Zone,
    },
};

/// Fields of kinds of records; where no field is named, all of the record.
pub(crate) type Reads = &'static [(Kind, &'static [&'static str])];

/// Stands for all fields of a record.
const WHOLE: &str = "";

/// What is not the same in two books.
#[derive(Debug, Default, PartialEq)]
pub(crate) struct Touched {
    /// Currents, volts, warmth or fuses may be others.
    pub figures: bool,
    /// Something beside lengths and sizes of wires is another, which every check of the plan may read.
    plan: bool,
    /// Records for which nets, or what they carry, may be others.
    pub nets: Vec<Key>,
    /// Records of the plan, which every check may read, that are others, or that only one book has.
    pub changed: Vec<Key>,
    /// Fields beside these, and measures, which only those read that say so.
    beside: BTreeSet<(Kind, &'static str)>,
}

impl Touched {
    /// What an edit touched that made `other` of `one`.
    pub fn between(one: &Book, other: &Book) -> Self {
        let mut touched = Self::default();
        touched.circuit(one, other);
        touched.outside(one, other);
        touched
    }

    /// Whether something that reads these fields beside the plan, but no figures, stays as it was.
    pub fn leaves(&self, reads: Reads) -> bool {
        !self.figures && self.changed.is_empty() && self.leaves_beside(reads)
    }

    /// Whether what rests on no figure and no measure stays as it was, but for these fields: checks of the plan.
    pub fn leaves_plan(&self, reads: Reads) -> bool {
        !self.plan && self.leaves_beside(reads)
    }

    fn leaves_beside(&self, reads: Reads) -> bool {
        let read = |(kind, field): &(Kind, &str)| {
            let of_kind = reads.iter().filter(|(of, _)| of == kind);
            of_kind.into_iter().any(|(_, fields)| {
                fields.is_empty() || *field == WHOLE || fields.iter().any(|name| name == field)
            })
        };
        !self.beside.iter().any(read)
    }
}

/// The kinds that the circuit is made of. `beside` are fields that neither figures nor checks read, but those that name them
/// in their `reads`. `measures` are fields that make no other nets; of checks that rest on no figure, only those read them that
/// name them. `still` gives a record another's fields that every check may read, but that move no figure; `carried` those of them
/// that make no other nets either, nor what nets carry.
macro_rules! circuit {
    ($($kind:ident: beside [$($beside:ident)*], $(measures [$($measure:ident)*],)? still $still:expr, carried $carried:expr;)*) => {
        impl Touched {
            fn circuit(&mut self, one: &Book, other: &Book) {
                $(
                    $kind::table(one.tables()).differences($kind::table(other.tables()), &mut |was, is| {
                        let (Some(was), Some(is)) = (was, is) else {
                            (self.figures, self.plan) = (true, true);
                            let key = was.or(is).map(|row| Key::of(row.id));
                            self.changed.extend(key);
                            self.nets.extend(key);
                            return;
                        };
                        let mut like = was.clone();
                        $(
                            if like.$beside != is.$beside {
                                self.beside.insert((Kind::$kind, stringify!($beside)));
                                like.$beside.clone_from(&is.$beside);
                            }
                        )*
                        if like == *is {
                            return;
                        }
                        self.changed.push(Key::of(is.id));
                        #[allow(unused_mut, reason = "not every kind has measures")]
                        let mut measured = like.clone();
                        $($(
                            if measured.$measure != is.$measure {
                                self.beside.insert((Kind::$kind, stringify!($measure)));
                                measured.$measure.clone_from(&is.$measure);
                            }
                        )*)?
                        self.plan |= measured != *is;
                        let carried: fn(&mut $kind, &$kind) = $carried;
                        carried(&mut measured, is);
                        if measured != *is {
                            self.nets.push(Key::of(is.id));
                        }
                        let still: fn(&mut $kind, &$kind) = $still;
                        still(&mut like, is);
                        self.figures |= like != *is;
                    });
                )*
            }
        }
    };
}

circuit! {
    About: beside [vehicle purpose colour_custom service_note service], still |_, _| (), carried |_, _| ();
    Zone: beside [wet plan note], still |to, of| to.label.clone_from(&of.label), carried |to, of| *to = of.clone();
    Bundle: beside [traction_m note],
        still |to, of| to.label.clone_from(&of.label), carried |to, of| *to = of.clone();
    ContactFamily: beside [seal_least_mm seal_most_mm plating most_a strip_mm note],
        still |to, of| {
            to.label.clone_from(&of.label);
            (to.least_mm2, to.most_mm2) = (of.least_mm2, of.most_mm2);
        },
        carried |to, of| *to = of.clone();
    Unit: beside [name manual serial firmware supply_note note],
        still |to, of| to.label.clone_from(&of.label), carried |to, of| to.label.clone_from(&of.label);
    Connector: beside [name sealed face pin_plating keying single_steps note],
        still |_, _| (), carried |to, of| to.label.clone_from(&of.label);
    Cavity: beside [name unit_number why plug page note],
        still |to, of| {
            to.limits = Limits { pull: to.limits.pull, ..of.limits };
            to.decision = if joins(to.decision) || joins(of.decision) { to.decision } else { of.decision };
            to.kind = if places(to.kind) || places(of.kind) { to.kind } else { of.kind };
        },
        carried |to, of| {
            to.limits = Limits { release_s: to.limits.release_s, most_a: to.limits.most_a, ..of.limits };
            to.decision = if joins(to.decision) || joins(of.decision) { to.decision } else { of.decision };
        };
    Junction: beside [sleeve_least_mm2 sleeve_most_mm2 clear_m sealed flexes torque_nm place note],
        still |to, of| to.label.clone_from(&of.label), carried |to, of| to.label.clone_from(&of.label);
    ChassisPath: beside [note], still |_, _| (), carried |_, _| ();
    Fuse: beside [feeds holder note],
        still |to, of| {
            to.label.clone_from(&of.label);
            (to.rated_v, to.breaking_a) = (of.rated_v, of.breaking_a);
        },
        carried |to, of| *to = of.clone();
    Switch: beside [note],
        still |to, of| to.label.clone_from(&of.label), carried |to, of| to.label.clone_from(&of.label);
    Part: beside [drop_limit_v note], still |_, _| (), carried |to, of| to.label.clone_from(&of.label);
    Wire: beside [signal colour pair note],
        measures [area_mm2 size_written size_table insulation_class_c length_m bundle],
        still |to, of| {
            to.label.clone_from(&of.label);
            to.fuse = of.fuse;
            (to.typical_a, to.peak_a, to.nominal_v, to.drop_limit_v) = (of.typical_a, of.peak_a, of.nominal_v, of.drop_limit_v);
        },
        carried |to, of| {
            to.label.clone_from(&of.label);
            to.fuse = of.fuse;
            (to.typical_a, to.peak_a, to.drop_limit_v) = (of.typical_a, of.peak_a, of.drop_limit_v);
        };
    State: beside [words], still |_, _| (), carried |to, of| *to = of.clone();
}

/// Whether a cavity decided so is joined to another.
fn joins(decision: Decision) -> bool {
    matches!(decision, Decision::Bridged { .. })
}

/// Whether a cavity of this kind has a part in the figures: as its unit's ground or supply, or as what draws much.
fn places(kind: Option<SignalKind>) -> bool {
    use SignalKind::{Ground, Lamp, LogicSupply, Motor, SupplyIn, SupplyOut};
    matches!(
        kind,
        Some(Ground | Lamp | LogicSupply | Motor | SupplyIn | SupplyOut)
    )
}

macro_rules! outside {
    ($($kind:ident)*) => {
        /// Kinds whose records only those read that say so.
        #[cfg(test)]
        pub(crate) const OUTSIDE: &[Kind] = &[$(Kind::$kind),*];

        impl Touched {
            fn outside(&mut self, one: &Book, other: &Book) {
                $(
                    if $kind::table(one.tables()) != $kind::table(other.tables()) {
                        self.beside.insert((Kind::$kind, WHOLE));
                    }
                )*
                // What a unit does with what it reads may come to drive its outputs.
                let (plan, nets, changed) = (&mut self.plan, &mut self.nets, &mut self.changed);
                Expression::table(one.tables()).differences(Expression::table(other.tables()), &mut |was, is| {
                    *plan = true;
                    let key = was.or(is).map(|row| Key::of(row.id));
                    changed.extend(key);
                    nets.extend(key);
                });
                Rule::table(one.tables()).differences(Rule::table(other.tables()), &mut |was, is| {
                    *plan = true;
                    changed.extend(was.or(is).map(|row| Key::of(row.id)));
                });
            }
        }
    };
}

outside! {
    Setting Trial FirstRun Candidate StepDone Reading Acceptance TemporaryLink FileNote Drum StockLine ColourUse
    TerminalNumber FaultFinding
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{model::End, testing::Bench};

    const NOTHING: Touched = Touched {
        figures: false,
        plan: false,
        nets: Vec::new(),
        changed: Vec::new(),
        beside: BTreeSet::new(),
    };

    /// What an edit touches, as figures, plan, and fields beside.
    fn touched(bench: &mut Bench, edit: impl FnOnce(&mut Bench)) -> (bool, bool, Vec<(Kind, &'static str)>) {
        let before = bench.book();
        edit(bench);
        let touched = Touched::between(&before, &bench.book());
        (
            touched.figures,
            !touched.changed.is_empty(),
            touched.beside.into_iter().collect(),
        )
    }

    #[test]
    fn words_and_colours_leave_figures_and_plan() {
        let mut bench = Bench::new();
        let wire = bench.wire("W1", "MC-A1", "SP1", 1.0, 1.0);
        let cavity = bench.cavity("MC-A", "2");
        assert_eq!(Touched::between(&bench.book(), &bench.book()), NOTHING);
        let beside = touched(&mut bench, |bench| {
            bench.edit(wire, |w: &mut Wire| {
                w.colour = "RD".parse().ok();
                w.note = "seen".to_owned();
            });
            bench.edit(cavity, |c: &mut Cavity| c.page = "4".to_owned());
        });
        let fields = vec![
            (Kind::Cavity, "page"),
            (Kind::Wire, "colour"),
            (Kind::Wire, "note"),
        ];
        assert_eq!(beside, (false, false, fields));
    }

    #[test]
    fn labels_and_decisions_leave_figures_and_what_conducts_does_not() {
        let mut bench = Bench::new();
        let wire = bench.wire("W1", "MC-A1", "SP1", 1.0, 1.0);
        let cavity = bench.cavity("MC-A", "2");
        let other = bench.cavity("MC-A", "3");
        let plan = (false, true, Vec::new());
        let figures = (true, true, Vec::new());
        let mut decide = |decision| {
            touched(&mut bench, |bench| {
                bench.edit(cavity, |c: &mut Cavity| c.decision = decision);
            })
        };
        assert_eq!(decide(Decision::Blank), plan);
        assert_eq!(decide(Decision::Bridged { to: other }), figures);
        assert_eq!(decide(Decision::Blank), figures);
        let mut change = |edit: fn(&mut Wire)| {
            touched(&mut bench, |bench| {
                bench.edit(wire, edit);
            })
        };
        assert_eq!(change(|w| w.label = "W2".to_owned()), plan);
        let measure = (true, true, vec![(Kind::Wire, "length_m")]);
        assert_eq!(change(|w| w.length_m = Some(2.0)), measure);
        let made = touched(&mut bench, |bench| {
            bench.wire("W3", "MC-A3", "SP1", 1.0, 1.0);
        });
        assert!(made.0);
    }

    #[test]
    fn lengths_labels_and_plain_decisions_make_no_other_nets_and_all_else_may() {
        let mut bench = Bench::new();
        let wire = bench.wire("W1", "MC-A1", "SP1", 1.0, 1.0);
        let mut nets = |edit: fn(&mut Wire)| {
            let before = bench.book();
            bench.edit(wire, edit);
            let touched = Touched::between(&before, &bench.book());
            (touched.figures, touched.leaves_plan(&[]), touched.nets.is_empty())
        };
        assert_eq!(nets(|w| w.length_m = Some(2.0)), (true, true, true));
        assert_eq!(nets(|w| w.area_mm2 = Some(2.5)), (true, true, true));
        assert_eq!(nets(|w| w.to = End::Free), (true, false, false));
        assert_eq!(nets(|w| w.label = "W2".to_owned()), (false, false, true));
        assert_eq!(nets(|w| w.signal = "lamp".to_owned()), (false, true, true));
        assert_eq!(nets(|w| w.nominal_v = Some(5.0)), (false, false, false));
        let (cavity, other) = (bench.cavity("MC-A", "2"), bench.cavity("MC-A", "3"));
        let mut decide = |decision| {
            let before = bench.book();
            bench.edit(cavity, |c: &mut Cavity| c.decision = decision);
            let touched = Touched::between(&before, &bench.book());
            (touched.leaves_plan(&[]), touched.nets.is_empty())
        };
        assert_eq!(decide(Decision::Reserved), (false, true));
        assert_eq!(decide(Decision::Bridged { to: other }), (false, false));
        assert_eq!(decide(Decision::Blank), (false, false));
    }

    #[test]
    fn only_who_reads_a_field_is_touched_by_it() {
        let mut bench = Bench::new();
        let wire = bench.wire("W1", "MC-A1", "SP1", 1.0, 1.0);
        let before = bench.book();
        bench.edit(wire, |w: &mut Wire| w.colour = "RD".parse().ok());
        let touched = Touched::between(&before, &bench.book());
        assert!(touched.leaves(&[]) && touched.leaves(&[(Kind::Wire, &["pair"]), (Kind::Cavity, &["page"])]));
        assert!(
            !touched.leaves(&[(Kind::Wire, &["pair", "colour"])]) && !touched.leaves(&[(Kind::Wire, &[])])
        );
    }
}

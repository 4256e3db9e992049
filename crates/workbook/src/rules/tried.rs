//! Faults tried one by one: where each ends, and which rules it breaks there.

use crimpbook_core::rule::{FALSE, Function};

use super::{
    fault::{Class, Does, Fault},
    proof::Broken,
    run::{Case, From, Run, Settled},
    unnoticed, words,
};
use crate::{circuit::Node, model::Wire};

/// A fault that breaks a rule.
#[derive(Debug, Clone)]
pub(super) struct Tried {
    /// Place among the model's rules.
    pub rule: usize,
    pub broken: Broken,
    /// In no usual state does anything else change.
    pub unnoticed: bool,
}

/// Where each rule is broken, in any position of what is not sure how it stands.
pub(super) fn violations(run: &mut Run<'_>, settled: &Settled) -> Vec<Function> {
    let plant = run.plant;
    let (movers, reads) = settled.each();
    let named = run.named(movers, reads);
    let broken = |proved: &super::model::Proved| {
        let on = run.term(&proved.never, movers, reads, &named).on;
        run.diagrams.some(on, plant.model.choices)
    };
    plant.model.rules.iter().map(broken).collect()
}

/// What was found of some faults.
#[derive(Debug, Default)]
pub(super) struct Answers {
    pub tried: Vec<Tried>,
    /// Faults and rules of which it is not proven.
    pub unproven: Vec<(usize, usize)>,
}

/// Where a fault ends, and whether only until a fuse opens.
type Ends = Vec<(Settled, bool)>;

fn cases(run: &mut Run<'_>, fault: &Fault) -> Vec<Case> {
    match &fault.does {
        Does::Gone(gone) => vec![run.case(gone.clone(), None)],
        Does::Stuck(..) => vec![run.case(Vec::new(), None)],
        Does::Touches(pairs) => {
            // It changes nothing that it touches what it is joined to.
            let others: Vec<_> = pairs.iter().filter(|pair| !run.is_one(pair.0, pair.1)).collect();
            let case = |pair: &&(Node, Node)| run.case(Vec::new(), Some(**pair));
            others.iter().map(case).collect()
        }
    }
}

fn ends_of(run: &mut Run<'_>, cases: &mut [Case], fault: &Fault) -> Ends {
    let mut ends = Ends::new();
    let (stuck, fused) = match fault.does {
        Does::Gone(_) => (None, false),
        Does::Stuck(mover, on) => (Some((mover, on)), false),
        Does::Touches(_) => (None, true),
    };
    for case in cases {
        for from in [From::Service, From::SwitchOn] {
            case.intact(run);
            let first = run.settle(case, from, stuck, false);
            if fused && run.overloads(case, &first) {
                let lasting = run.settle(case, From::Here(&first), stuck, true);
                ends.push((lasting, false));
                ends.push((first, true));
            } else {
                ends.push((first, false));
            }
        }
    }
    ends
}

/// Tries one.
pub(super) fn try_fault(
    run: &mut Run<'_>,
    healthy: &[Function],
    (at, fault): (usize, &Fault),
    states: &[Vec<bool>],
    out: &mut Answers,
) {
    // What too many movers decide counts as not sure at first, and is not solved.
    (run.met_rough, run.fuses_unsure, run.doubtful) = (run.wary.is_some(), false, false);
    run.rough_reads.fill(false);
    let mut known = cases(run, fault);
    let wary = run.warily(|run| ends_of(run, &mut known, fault));
    if !run.met_rough {
        judge(run, healthy, (at, fault), wary, &[], states, out);
        return;
    }
    let unsure = violations_in(run, &wary);
    let fuses_unsure = run.fuses_unsure;
    // Only where a rule may be broken it is looked at once more, and then at all that decides.
    let mut open = FALSE;
    for (may, well) in unsure.iter().zip(healthy) {
        let fresh = run.diagrams.without(*may, *well);
        open = run.diagrams.or(open, fresh);
    }
    if run.wary.is_none() {
        if fuses_unsure || run.doubtful {
            open = run.domain;
        }
        if open == FALSE {
            return;
        }
        let rough = run.rough_reads.clone();
        known.iter_mut().for_each(|case| case.again(run.plant, &rough));
        let is_sure = run.closely(open, |run| {
            let exact = ends_of(run, &mut known, fault);
            let is_sure = !run.met_rough;
            if is_sure {
                judge(run, healthy, (at, fault), exact, &[], &[], out);
            }
            is_sure
        });
        if is_sure {
            return;
        }
    }
    run.doubtful |= fuses_unsure;
    let mut anew = cases(run, fault);
    let ends = ends_of(run, &mut anew, fault);
    judge(run, healthy, (at, fault), ends, &unsure, states, out);
}

/// Where each rule is broken in any of these ends.
fn violations_in(run: &mut Run<'_>, ends: &Ends) -> Vec<Function> {
    let mut all = vec![FALSE; run.plant.model.rules.len()];
    for (settled, _) in ends {
        for (sum, now) in all.iter_mut().zip(violations(run, settled)) {
            *sum = run.diagrams.or(*sum, now);
        }
    }
    all
}

/// What a fault breaks; `unsure`: where each rule may be broken as far as it is known, if too many movers decide. Without
/// `states` nothing is said of who notices.
fn judge(
    run: &mut Run<'_>,
    healthy: &[Function],
    (at, fault): (usize, &Fault),
    mut ends: Ends,
    unsure: &[Function],
    states: &[Vec<bool>],
    out: &mut Answers,
) {
    let before = run.settled.clone();
    // What lasts is told before what a fuse ends.
    ends.sort_by_key(|(_, until_fuse)| *until_fuse);
    let mut all: Vec<(Function, Option<(Function, usize)>)> = vec![(FALSE, None); healthy.len()];
    for (number, (settled, _)) in ends.iter().enumerate() {
        for ((sum, first), (now, well)) in all
            .iter_mut()
            .zip(violations(run, settled).into_iter().zip(healthy))
        {
            let now = run.diagrams.and(now, run.domain);
            let fresh = run.diagrams.without(now, *well);
            if fresh != FALSE {
                *sum = run.diagrams.or(*sum, fresh);
                first.get_or_insert((fresh, number));
            }
        }
    }
    for (rule, (sum, first)) in all.into_iter().enumerate() {
        let Some((fresh, number)) = first else {
            let well = healthy.get(rule).copied().unwrap_or(FALSE);
            let may = unsure.get(rule).copied().unwrap_or(FALSE);
            let shorted = matches!(fault.class, Class::Chassis | Class::Supply);
            if run.diagrams.without(may, well) != FALSE
                || shorted && (run.plant.loads_unknown || run.doubtful)
            {
                out.unproven.push((at, rule));
            }
            continue;
        };
        let Some((settled, until_fuse)) = ends.get(number) else {
            continue;
        };
        let unnoticed = !states.is_empty()
            && matches!((&fault.does, fault.class), (Does::Gone(_), Class::Open))
            && fault.at.as_id::<Wire>().is_some()
            && unnoticed::is(run, fault, sum, &before, settled, states);
        out.tried.push(Tried {
            rule,
            broken: Broken {
                fault: at,
                combinations: run.diagrams.count(sum, run.plant.model.choices),
                example: words::example(run, rule, fresh, settled, *until_fuse),
            },
            unnoticed,
        });
    }
}

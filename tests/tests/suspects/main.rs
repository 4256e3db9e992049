//! Fault finding on the demonstration vehicle: what every single fault would show, against each of them solved anew; and a
//! trial with faults by seed.

mod trial;

use crimpbook_tests::{demo, state};
use crimpbook_workbook::{
    analysis::{
        Snapshot, StateResult,
        suppose::{Failing, Touch},
        suspects::{Ruin, Volt},
    },
    model::{End, Id, Wire},
};

/// What a meter would show between the two leads in a solved circuit.
fn volts(
    see: &Snapshot,
    of: &StateResult,
    at: Id<crimpbook_workbook::model::Cavity>,
    against: End,
) -> Option<f64> {
    let nodes = &see.wiring().nodes;
    let side = |id| nodes.wire_side(id).or_else(|| nodes.unit_side(id));
    let ground = match against {
        End::Cavity(id) => side(id),
        End::Junction(id) => nodes.junction(id),
        End::Free => see.wiring().reference,
    };
    of.operated.between(side(at)?, ground?)
}

/// Every fault in several states: one of its looks is what the fault solved anew shows, at first and lasting.
#[test]
fn what_faults_show_is_what_they_show_solved_anew() {
    let see = demo();
    let (mut compared, mut off) = (0, Vec::new());
    for label in ["OFF", "DRIVE", "BRAKE"] {
        let of = state(&see, label);
        let all = see.signatures(of, Some(of.supply_v)).expect("it is computed");
        for signature in &all.faults {
            let name = signature.failing.typed(&see);
            let supposed = match see.suppose(of, signature.failing) {
                Ok(supposed) => supposed,
                Err(why) => {
                    assert!(
                        signature.cannot.is_some(),
                        "{label} {name}: {}",
                        why.words(see.book())
                    );
                    continue;
                }
            };
            if signature.looks.is_empty() {
                off.push(format!("{label} {name}: cannot {:?}", signature.cannot));
                continue;
            }
            for (when, moment) in [("first", &supposed.first), ("lasting", &supposed.lasting)] {
                let holds = |look| {
                    (0..).zip(&all.places).all(|(at, place)| {
                        let anew = volts(&see, &moment.result, place.at, place.against);
                        let window = all.window(Some(look), at);
                        match (anew, all.volt(Some(look), at)) {
                            (Some(v), Some(Volt::At(w))) if when == "first" => {
                                (v - f64::from(w)).abs() < 0.01
                            }
                            (Some(v), Some(Volt::At(_))) => window.is_none_or(|w| w.holds(v)),
                            (None, Some(Volt::Floats)) => true,
                            _ => false,
                        }
                    })
                };
                compared += 1;
                if !signature.looks.iter().any(holds) {
                    off.push(format!(
                        "{label} {name} {when} {:?}",
                        moment.result.operated.trouble
                    ));
                }
            }
        }
    }
    assert!(compared > 1500, "{compared}");
    assert!(off.is_empty(), "{} of {compared}: {off:#?}", off.len());
}

/// A wire that carries too much for good burns through before anybody reads a voltage: what is left of it still fits.
#[test]
fn a_sensor_wire_that_touches_supply_and_burns_is_never_ruled_out() {
    let plan = trial::plan();
    let mut all = trial::All::default();
    for label in ["W35", "W70"] {
        let wire = plan.book().index().labelled::<Wire>(label).expect("a wire");
        let at = plan.wiring().wire_at(wire).expect("it is in the circuit");
        let failing = Failing::Wire(at, Touch::Supply);
        for seed in 1..=6 {
            let mut case = trial::noticed(&plan, &mut all, failing, &mut trial::Draw::new(seed))
                .expect("somebody notices it");
            let of = all.of(&plan, case.state, None);
            let signature = of
                .faults
                .iter()
                .find(|f| f.failing == failing)
                .expect("it is a fault");
            assert!(
                matches!(signature.ruins(), Some(Ruin::Wire(..))),
                "{label} ruins {:?}",
                signature.ruins()
            );
            for battery in [true, false] {
                let went = trial::look_for(&plan, &mut all, &mut case, 3, battery, false);
                let name = &case.name;
                assert!(
                    went.ranks.iter().all(Option::is_some),
                    "{name}, seed {seed}: {went:?}"
                );
            }
        }
    }
}

/// 40 faults by seed in a vehicle that is not quite as planned; suspects that no reading tells apart stand on one line.
/// `cargo bench -p crimpbook-workbook --bench suspects` prints the figures, and how many readings a choice by lot needs.
#[test]
fn after_three_readings_the_true_fault_is_on_the_first_three_lines_and_never_ruled_out() {
    let plan = trial::plan();
    let (mut all, mut tally) = (trial::All::default(), trial::Tally::default());
    for mut case in trial::cases(&plan, &mut all, 40, 1) {
        let went = trial::look_for(&plan, &mut all, &mut case, 3, true, false);
        assert!(
            went.ranks.iter().all(Option::is_some),
            "{} is ruled out: {went:?}",
            case.name
        );
        tally.add(&went);
    }
    assert_eq!(tally.cases, 40);
    assert!(tally.lines >= 36, "{tally}");
}

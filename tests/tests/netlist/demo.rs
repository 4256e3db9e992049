//! The demonstration vehicle as exported.

use crimpbook_record::netlist::{Names, write};
use crimpbook_workbook::{
    analysis::{
        Snapshot, StateResult,
        suppose::{Failing, Touch},
    },
    model::Wire,
};

use super::kept::{FAULT_V, HEALTHY_V, agree, state, vehicle, wrote};

fn hold(see: &Snapshot, of: &StateResult, name: &str, within_v: f64) {
    let deck = write(see, of).expect("it can be exported");
    if wrote(name, &deck) {
        return;
    }
    let names = Names::of(see);
    let ours = of
        .operated
        .solution()
        .held()
        .map(|(node, volts)| (names.at(node), volts));
    agree(name, ours, within_v, 250);
}

#[test]
fn every_operating_state_agrees_within_a_microvolt() {
    let see = vehicle();
    assert_eq!(see.unsolved(), []);
    assert_eq!(see.states().len(), 13);
    for of in see.states() {
        let label = see.book().label_of(of.state).replace(' ', "_");
        hold(&see, of, &format!("demo/{label}"), HEALTHY_V);
    }
}

/// In the moment they happen, before a fuse opens, and then in what lasts.
#[test]
fn faults_agree_within_ten_microvolts() {
    let see = vehicle();
    for (label, wire, touch) in [
        ("DRIVE", "W24", Touch::Off),
        ("BRAKE", "W78", Touch::Off),
        ("DRIVE", "W09", Touch::Off),
        ("KEY", "W19", Touch::Chassis),
        ("BRAKE", "W76", Touch::Chassis),
        ("DRIVE", "W13", Touch::Chassis),
        ("KEY+PLUGGED", "W54", Touch::Supply),
        ("DRIVE", "W31", Touch::Supply),
    ] {
        let id = see.book().index().labelled::<Wire>(wire).expect("a wire");
        let at = see.wiring().wire_at(id).expect("it is in the circuit");
        let supposed = see
            .suppose(state(&see, label), Failing::Wire(at, touch))
            .expect("it is computed");
        let name = format!("demo/{label}.{wire}-{}", touch.name());
        hold(&see, &supposed.first.result, &format!("{name}.first"), FAULT_V);
        if !supposed.opened.is_empty() {
            hold(
                &see,
                &supposed.lasting.result,
                &format!("{name}.lasting"),
                FAULT_V,
            );
        }
    }
}

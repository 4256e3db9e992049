//! What faults of the demonstration vehicle's wires do, against what was reasoned by hand.

use crimpbook_tests::{demo, state};
use crimpbook_workbook::{
    analysis::{
        Snapshot, StateResult,
        suppose::{Failing, FunctionVerdict, Supposed, Touch, Turn, WireVerdict},
    },
    model::Wire,
};

fn suppose(see: &Snapshot, label: &str, wire: &str, touch: Touch) -> Supposed {
    let id = see.book().index().labelled::<Wire>(wire).expect("a wire");
    let at = see.wiring().wire_at(id).expect("it is in the circuit");
    see.suppose(state(see, label), Failing::Wire(at, touch))
        .expect("it is computed")
}

/// The parts that turn so, in the moment that lasts.
fn turned(see: &Snapshot, supposed: &Supposed, turn: Turn) -> Vec<String> {
    let parts = supposed.lasting.changes.parts.iter().filter(|p| p.turn == turn);
    let mut labels: Vec<String> = parts
        .map(|p| see.book().label_of(see.wiring().parts[p.part].part))
        .collect();
    labels.sort();
    labels
}

/// W19 sits behind the coil of MAIN +: a short to chassis is no danger to the wire, and closes the contactor with the
/// precharge coil released.
#[test]
fn a_short_of_w19_is_safe_for_the_wire_and_not_for_the_function() {
    let see = demo();
    let key = state(&see, "KEY");
    let supposed = suppose(&see, "KEY", "W19", Touch::Chassis);
    assert_eq!(supposed.opened, []);
    assert_eq!(turned(&see, &supposed, Turn::PullsIn), ["MAIN+ coil"]);
    assert_eq!(supposed.wires(&see, key), WireVerdict::Safe);
    assert_eq!(supposed.function(), FunctionVerdict::ActsByItself);
}

/// The feed of the vacuum pump: 15 A against some hundred.
#[test]
fn a_short_of_the_pumps_feed_opens_its_fuse() {
    let see = demo();
    let supposed = suppose(&see, "BRAKE", "W76", Touch::Chassis);
    let opened: Vec<String> = supposed
        .opened
        .iter()
        .map(|o| see.book().label_of(o.fuse))
        .collect();
    assert_eq!(opened, ["F4"]);
    assert_eq!(turned(&see, &supposed, Turn::Stops), ["vacuum pump motor"]);
}

/// No wire that comes off opens a fuse, and all of them together change something.
#[test]
fn every_wire_can_come_off_in_drive() {
    let see = demo();
    let of = state(&see, "DRIVE");
    let mut changed = 0;
    for at in 0..see.wiring().wires.len() {
        let supposed = see
            .suppose(of, Failing::Wire(at, Touch::Off))
            .expect("it is computed");
        assert_eq!(supposed.opened, []);
        changed += supposed.lasting.changes.cavities.len();
    }
    assert!(changed > 0);
}

#[test]
fn every_single_fault_has_a_name_of_its_own_and_is_computed() {
    let see = demo();
    let of = state(&see, "DRIVE");
    let all = Failing::all(&see);
    let mut names: Vec<String> = all.iter().map(|failing| failing.typed(&see)).collect();
    for (kind, some) in [
        ("wires", "W19:chassis"),
        ("fuses", "F6:open"),
        ("plugs", "MC-A:open"),
        ("contacts", "brake NO contact:closed"),
    ] {
        assert!(
            names.iter().any(|name| name == some),
            "{kind}: {some} in {names:?}"
        );
    }
    assert!(
        names.iter().any(|name| name.contains(" to ")),
        "ground paths: {names:?}"
    );
    names.sort();
    let count = names.len();
    names.dedup();
    assert_eq!(names.len(), count, "two faults with one name");
    let mut changed = 0;
    for failing in all.iter().filter(|failing| !failing.is_touch()) {
        let supposed = see.suppose(of, *failing).expect("it is computed");
        changed += usize::from(supposed.function() != FunctionVerdict::Unchanged);
    }
    assert!(changed > 40, "{changed}");
}

#[test]
fn a_fuse_a_plug_a_ground_and_a_contact_do_what_they_do_when_they_fail() {
    let see = demo();
    let failing = |typed: &str| {
        let all = Failing::all(&see);
        let found = all.into_iter().find(|f| f.typed(&see) == typed);
        found.unwrap_or_else(|| panic!("{typed} is not in the list"))
    };
    let volts = |of: &StateResult, cavity: &str| {
        let id = see.book().find_cavity(cavity).expect("a cavity");
        see.cavity_volts(of, id).own_ground_v
    };
    let drive = state(&see, "DRIVE");
    // F6 feeds the brake switch; its normally closed side is what MC-A17 reads.
    let blown = see.suppose(drive, failing("F6:open")).unwrap();
    assert!(volts(drive, "MC-A17").unwrap() > 10.0);
    assert!(volts(&blown.lasting.result, "MC-A17").unwrap() < 0.5);
    // A welded brake switch says braking while nobody brakes.
    let welded = see.suppose(drive, failing("brake NO contact:closed")).unwrap();
    assert!(volts(drive, "MC-A16").unwrap() < 1.0);
    assert!(volts(&welded.lasting.result, "MC-A16").unwrap() > 10.0);
    // With its plug off the controller has nothing on its own side, and the wire side keeps what feeds it.
    let off = see.suppose(drive, failing("MC-A:open")).unwrap();
    assert!(volts(&off.lasting.result, "MC-A17").unwrap_or(0.0) < 0.5);
}

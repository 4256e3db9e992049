//! `volts`, `suppose` and `export --netlist` on the demonstration vehicle.

use serde_json::Value;

use crate::harness::Home;

fn demo() -> Home {
    let home = Home::new();
    home.well(&["demo", "d.crimpbook"]);
    home
}

#[test]
fn a_state_is_printed_and_its_figures_agree_with_the_json() {
    let home = demo();
    let page = home.well(&["volts", "d.crimpbook", "--state", "drive"]);
    let json: Value =
        serde_json::from_str(&home.well(&["volts", "d.crimpbook", "--state", "DRIVE", "--json"])).unwrap();
    assert_eq!(json["state"], "DRIVE");
    let cavities = json["cavities"].as_array().unwrap();
    let key = cavities.iter().find(|c| c["cavity"] == "MC-A2").unwrap();
    let volts = key["own_ground_v"].as_f64().unwrap();
    assert!((12.0..14.0).contains(&volts), "{volts}");
    assert!(page.contains(&format!("{volts:.2}")), "{page}");
    assert!(
        page.contains("cannot compute: voltages against the own ground of these units"),
        "{page}"
    );
    assert_eq!(json["wires"].as_array().unwrap().len(), 90);
}

#[test]
fn without_a_state_or_with_a_wrong_one_the_states_are_listed() {
    let home = demo();
    assert!(
        home.well(&["volts", "d.crimpbook"])
            .lines()
            .any(|l| l.starts_with("BRAKE "))
    );
    let ran = home.run(&["volts", "d.crimpbook", "--state", "FLY"]);
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("there is no state called FLY"), "{}", ran.err);
    assert!(ran.err.contains("states: OFF, CHARGE"), "{}", ran.err);
}

#[test]
fn a_fault_marks_what_it_changes_and_names_the_fuse_it_opens() {
    let home = demo();
    let page = home.well(&[
        "volts",
        "d.crimpbook",
        "--state",
        "BRAKE",
        "--fault",
        "W76:chassis",
    ]);
    assert!(page.contains("F4 opens"), "{page}");
    assert!(
        page.lines()
            .any(|l| l.contains("W76") && l.contains('*') && l.contains("was 9.00")),
        "{page}"
    );
    for (fault, words) in [
        ("W76", "does not say how it fails"),
        ("W76:melts", "W76 cannot fail as melts"),
        (
            "W999:open",
            "there is no wire, fuse, plug, ground path or contact called W999",
        ),
    ] {
        let ran = home.run(&["volts", "d.crimpbook", "--state", "BRAKE", "--fault", fault]);
        assert_eq!(ran.code, 2);
        assert!(ran.err.contains(words), "{}", ran.err);
    }
}

#[test]
fn what_floats_is_said_to_float() {
    let home = demo();
    let args = ["volts", "d.crimpbook", "--state", "KEY", "--fault", "W19:open"];
    let page = home.well(&args);
    assert!(page.contains("floats        floats   was 12.95"), "{page}");
    let json: Value = serde_json::from_str(&home.well(&[&args[..], &["--json"]].concat())).unwrap();
    let cavities = json["cavities"].as_array().unwrap();
    let out = cavities.iter().find(|c| c["cavity"] == "MC-A22").unwrap();
    assert_eq!(
        (&out["potential"], &out["negative_v"]),
        (&"floating".into(), &Value::Null)
    );
    assert_eq!(out["without_fault"]["potential"], "held");
    assert_eq!(json["fault"]["how"], "open");
}

#[test]
fn what_coils_get_and_outputs_carry_stands_beside_what_they_need_and_may() {
    let home = demo();
    let args = ["volts", "d.crimpbook", "--state", "12 V LOW"];
    let page = home.well(&args);
    assert!(
        page.contains(
            "MAIN+ coil: 8.90 V of 10.41 V at 60 °C, TOO LITTLE; 8.70 V of 9.00 V at 20 °C, TOO LITTLE"
        ),
        "{page}"
    );
    assert!(
        page.contains("MC OUT1                      2.434           4  6 for 0.2 s"),
        "{page}"
    );
    assert!(page.contains("furthest apart: WP stands"), "{page}");
    let json: Value = serde_json::from_str(&home.well(&[&args[..], &["--json"]].concat())).unwrap();
    let units = json["grounds"].as_array().unwrap().len();
    assert_eq!(
        json["ground_offsets"].as_array().unwrap().len(),
        units * (units - 1) / 2
    );
    let coils = json["coils"].as_array().unwrap();
    let coil = coils.iter().find(|c| c["coil"] == "MAIN+ coil").unwrap();
    assert!(
        (coil["cold"]["gets_v"].as_f64().unwrap() - 8.70).abs() < 0.05,
        "{coil}"
    );
    let wires = json["wires"].as_array().unwrap();
    let w13 = wires.iter().find(|w| w["wire"] == "W13").unwrap();
    assert_eq!(
        (
            &w13["bundle"],
            &w13["bundle_factor"],
            &w13["ambient_c"],
            &w13["class_c"]
        ),
        (&"tunnel".into(), &0.7.into(), &60.0.into(), &105.0.into())
    );
}

#[test]
fn w19_to_chassis_is_two_verdicts() {
    let home = demo();
    let page = home.well(&["suppose", "d.crimpbook", "w19"]);
    let chassis = page
        .split("touches chassis\n")
        .nth(1)
        .unwrap()
        .split("\nIf ")
        .next()
        .unwrap();
    let key = chassis.split("  KEY+PLUGGED, KEY\n").nth(1).unwrap();
    let key: Vec<&str> = key.lines().take_while(|l| l.starts_with("    ")).collect();
    assert!(key.iter().any(|l| l.contains("MAIN+ coil pulls in")), "{page}");
    assert!(key.iter().any(|l| l.contains("wire      safe")), "{page}");
    assert!(key.iter().any(|l| l.contains("function  NOT safe")), "{page}");
    assert!(page.contains("is not an approval"), "{page}");
    let args = ["volts", "d.crimpbook", "--state", "KEY", "--fault", "W19:chassis"];
    let page = home.well(&args);
    assert!(
        page.contains("\nwire: safe") && page.contains("\nfunction: NOT safe"),
        "{page}"
    );
    let json: Value = serde_json::from_str(&home.well(&[&args[..], &["--json"]].concat())).unwrap();
    assert_eq!(json["fault"]["wire_verdict"], "safe");
    assert_eq!(json["fault"]["function_verdict"], "acts_by_itself");
}

#[test]
fn a_workbook_without_states_says_so() {
    let home = Home::new();
    home.well(&["new", "e.crimpbook"]);
    assert_eq!(
        home.well(&["volts", "e.crimpbook"]),
        "The workbook has no operating state yet.\n"
    );
    let ran = home.run(&["suppose", "e.crimpbook", "W1"]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err
            .contains("there is no wire, fuse, plug, ground path or contact called W1"),
        "{}",
        ran.err
    );
}

#[test]
fn a_netlist_is_one_state() {
    let home = demo();
    let deck = home.well(&["export", "--netlist", "--state", "DRIVE", "d.crimpbook"]);
    assert!(
        deck.contains("state DRIVE") && deck.contains("*   coil K1 coil: on"),
        "{deck}"
    );
    assert!(deck.trim_end().ends_with(".end"), "{deck}");
    let said = home.well(&[
        "export",
        "--netlist",
        "--state",
        "DRIVE",
        "d.crimpbook",
        "-o",
        "drive.cir",
    ]);
    assert_eq!(said, "Wrote drive.cir\n");
    assert_eq!(
        String::from_utf8(home.bytes("drive.cir")).unwrap().trim_end(),
        deck.trim_end()
    );
    let ran = home.run(&["export", "--netlist", "d.crimpbook"]);
    assert_eq!(ran.code, 2, "{}", ran.err);
}

#[test]
fn what_a_sensor_reads_wrong_is_told_for_the_state() {
    let home = Home::new();
    home.well(&["demo", "pipit.crimpbook"]);
    let page = home.well(&["volts", "pipit.crimpbook", "--state", "LIMP"]);
    assert!(
        page.contains("  pedal track 2 at MC-A11: 131.4 and 81.7 mV, 7.46 % of span; "),
        "{page}"
    );
    // With the pump standing still the shared ground carries next to nothing.
    let page = home.well(&["volts", "pipit.crimpbook", "--state", "KEY", "--json"]);
    let state: serde_json::Value = serde_json::from_str(&page).unwrap();
    let sensors = state["sensors"].as_array().unwrap();
    let track = sensors.iter().find(|s| s["sensor"] == "pedal track 2").unwrap();
    assert!(track["error_percent"].as_f64().unwrap() < 5.0, "{track}");
}

#[test]
fn a_fuse_a_plug_and_a_contact_can_be_supposed_to_fail() {
    let home = demo();
    let page = home.well(&["suppose", "d.crimpbook", "f6"]);
    assert!(page.starts_with("If F6 is blown\n"), "{page}");
    let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("MC-A17 BRAKE NC reads off instead of on"), "{page}");
    let page = home.well(&["suppose", "d.crimpbook", "K1 contact"]);
    assert!(
        page.contains("If K1 contact is stuck closed") && page.contains("If K1 contact is stuck open"),
        "{page}"
    );
    let page = home.well(&["volts", "d.crimpbook", "--state", "DRIVE", "--fault", "MC-A:open"]);
    assert!(page.contains("plug MC-A is off."), "{page}");
    let ran = home.run(&[
        "volts",
        "d.crimpbook",
        "--state",
        "DRIVE",
        "--fault",
        "F6:chassis",
    ]);
    assert_eq!(ran.code, 2);
    assert!(
        ran.err.contains("F6 cannot fail as chassis\n  write F6:open"),
        "{}",
        ran.err
    );
}

#[test]
fn a_netlist_can_have_a_fault() {
    let home = demo();
    let args = ["export", "--netlist", "--state", "DRIVE", "d.crimpbook"];
    let whole = home.well(&args);
    let off = home.well(&[&args[..], &["--fault", "W24:open"]].concat());
    assert!(
        off.contains("* In the moment this fault happens: W24 comes off."),
        "{off}"
    );
    let joins = |deck: &str| deck.lines().any(|line| line.starts_with("Rw24 "));
    assert!(joins(&whole) && !joins(&off), "the wire is gone");
}

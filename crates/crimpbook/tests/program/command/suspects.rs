//! `suspects` on the demonstration vehicle.

use serde_json::Value;

use crate::harness::Home;

fn demo() -> Home {
    let home = Home::new();
    home.well(&["demo", "d.crimpbook"]);
    home
}

const DRIVE: &[&str] = &["suspects", "d.crimpbook", "--state", "drive"];

#[test]
fn without_anything_seen_it_lists_what_can_be_watched() {
    let page = demo().well(DRIVE);
    assert!(page.contains("\n  MC.ready: on\n"), "{page}");
    assert!(page.contains("\n  coolant pump motor: on\n"), "{page}");
    assert!(page.contains("assumed in this state: encoder A out"), "{page}");
}

#[test]
fn a_wire_that_is_off_is_found_with_two_readings_and_the_page_says_where_to_measure() {
    let home = demo();
    let seen = ["--symptom", "MC.forward off", "--else-usual", "--battery", "12.6"];
    let first = home.well(&[DRIVE, &seen[..], &["--reading", "MC-A14=0.02"]].concat());
    assert!(first.contains("W47 comes off"), "{first}");
    assert!(
        first.contains("Measure next") && first.contains("the unit's own"),
        "{first}"
    );
    assert!(
        first.contains("caution: Measure control wiring up to 60 V DC only"),
        "{first}"
    );
    let readings = ["--reading", "MC-A14=0.02", "--reading", "DI-A5=12,9", "--json"];
    let json: Value = serde_json::from_str(&home.well(&[DRIVE, &seen[..], &readings[..]].concat())).unwrap();
    assert_eq!(json["lines"][0]["suspects"][0]["fault"], "W47:open");
    assert_eq!(json["lines"].as_array().unwrap().len(), 1);
    assert_eq!(json["cannot_compute"], Value::Array(Vec::new()));
}

#[test]
fn what_is_said_of_a_state_by_name_counts_whichever_it_is() {
    let home = demo();
    let of = |args: &[&str]| home.well(&[&["suspects", "d.crimpbook"], args].concat());
    let off = "brake lamps: off";
    let here = of(&["--state", "BRAKE", "--symptom", "BRAKE: brake lamps off"]);
    assert_eq!(here, of(&["--state", "BRAKE", "--symptom", off]));
    assert!(here.contains(&format!("Seen and read\n  {off}\n")), "{here}");
    let drive = &["--state", "DRIVE", "--symptom", "BRAKE: brake lamps off"];
    assert!(of(drive).contains(&format!("Seen and read\n  in BRAKE: {off}\n")));
    let both = of(&[&drive[..], &["--reading", "MC-A16=0.02"]].concat());
    let words = format!("Seen and read\n  MC-A16 reads 0.02 V\n  in BRAKE: {off}\n");
    assert!(both.contains(&words), "{both}");
}

#[test]
fn what_no_single_fault_shows_is_named_and_two_are_suspected() {
    let home = demo();
    let seen = [
        "--symptom",
        "MC.forward off",
        "--symptom",
        "coolant pump motor off",
        "--symptom",
        "MC.key on",
    ];
    let page = home.well(
        &[
            DRIVE,
            &seen[..],
            &["--battery", "12.6", "--reading", "MC-A20=12.4"],
        ]
        .concat(),
    );
    assert!(page.contains("No single fault shows all of this."), "{page}");
    assert!(
        page.contains("not together: MC.forward: off; coolant pump motor: off"),
        "{page}"
    );
    assert!(page.contains("Two faults at once would"), "{page}");
}

#[test]
fn what_is_typed_wrong_says_what_to_do() {
    let home = demo();
    let ran = home.run(&[DRIVE, &["--symptom", "MC.redy off"]].concat());
    assert_eq!((ran.code, ran.out.as_str()), (2, ""));
    assert!(ran.err.contains("MC.redy"), "{}", ran.err);
    let ran = home.run(&[DRIVE, &["--reading", "MC-A99=1"]].concat());
    assert!(
        ran.code == 2 && ran.err.contains("near it: MC-A1, "),
        "{}",
        ran.err
    );
    let ran = home.run(&["suspects", "d.crimpbook", "--state", "FLY"]);
    assert!(ran.code == 2 && ran.err.contains("states: "), "{}", ran.err);
}

#[test]
fn wires_without_a_size_are_named_as_not_weighed() {
    let home = demo();
    let asked = |file: &str| -> Value {
        let args = ["--state", "drive", "--symptom", "MC.ready off", "--json"];
        serde_json::from_str(&home.well(&[&["suspects", file], &args[..]].concat())).unwrap()
    };
    assert_eq!(asked("d.crimpbook")["burning_untold"], Value::Array(Vec::new()));
    let mut book: Value = serde_json::from_str(&home.well(&["export", "d.crimpbook", "--json"])).unwrap();
    for of_the_log in ["log", "head"] {
        book.as_object_mut().unwrap().remove(of_the_log);
    }
    let wires = book["records"]["wires"].as_array_mut().unwrap();
    let wire = wires.iter_mut().find(|wire| wire["label"] == "W47").unwrap();
    wire["area_mm2"] = Value::Null;
    home.make("e.crimpbook", &book.to_string());
    assert_eq!(asked("e.crimpbook")["burning_untold"], serde_json::json!(["W47"]));
}

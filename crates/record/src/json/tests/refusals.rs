//! What is wrong is told in one sentence with its place.

use crate::{
    json::{FollowError, ReadError, read, write},
    sample,
};

fn refused(text: &str) -> String {
    read(text).unwrap_err().to_string()
}

fn changed(from: &str, to: &str) -> String {
    assert!(sample::BOOK.contains(from), "{from}");
    sample::BOOK.replacen(from, to, 1)
}

#[test]
fn misfits_name_line_column_path_and_what_was_expected() {
    let cases = [
        changed("\"area_mm2\": 0.5", "\"area_mm2\": \"thick\""),
        changed("\"signal\": \"MC keep-alive\"", "\"signl\": \"x\""),
        changed("\"label\": \"W04\", ", ""),
        changed("\"label\": \"W04\"", "\"label\": \"W04\", \"label\": \"W05\""),
        changed("\"RD/WH\"", "\"mauve\""),
        changed("\"id\": \"w4\"", "\"id\": \"W4\""),
        changed("\"logic_supply\"", "\"logic\""),
        changed("\"wires\"", "\"wyres\""),
        changed("\"positions\": [\"off\", \"run\"]", "\"positions\": 2"),
        changed("\"unit\": \"mc\"", "\"unit\": null"),
        changed("\"wet\": true", "\"wet\": \"yes\""),
        changed("\"rating_a\": 5.0", "\"rating_a\": 1e999"),
        changed("\"at\": \"2031-05-04T09:30:00Z\"", "\"at\": \"yesterday\""),
        changed("\"zones\": [", "\"zones\": [,"),
        sample::BOOK.chars().take(1086).collect(),
        format!("{} and more", sample::BOOK.trim_end()),
        String::new(),
    ];
    let told: Vec<String> = cases.iter().map(|text| refused(text)).collect();
    insta::assert_snapshot!(told.join("\n"), @r#"
    line 72, column 135, at records.wires[0].area_mm2: found the text "thick", expected a number
    line 72, column 42, at records.wires[0].signl: there is no field `signl` here; expected one of `id`, `label`, `signal`, `from`, `to`, `area_mm2`, `size_written`, `size_table`, `insulation_class_c`, `colour`, `length_m`, `bundle`, `pair`, `inline_fuse`, `fuse`, `nominal_v`, `typical_a`, `peak_a`, `drop_limit_v`, `note`
    line 72, column 216, at records.wires[0]: the field `label` is missing
    line 72, column 42, at records.wires[0]: the field `label` stands twice
    line 72, column 150, at records.wires[0].colour: `mauve` is no colour known here. Use BK (black), BN (brown), RD (red), OG (orange), YE (yellow), GN (green), BU (blue), VT (violet), GY (grey), WH (white), PK (pink), GD (gold), TQ (turquoise) or SR (silver); base before tracer, as in `GN/WH`.
    line 72, column 17, at records.wires[0].id: "W4" is not an id: expected 1 to 26 of the digits 0-9 and letters a-z without i, l, o, u
    line 37, column 93, at records.cavities[0].kind: found `logic`, expected one of `supply_in`, `logic_supply`, `supply_out`, `ground`, `sensor_supply`, `sensor_return`, `analogue_in`, `analogue_out`, `pot_end`, `pot_wiper`, `resistance_in`, `digital_in_high`, `digital_in_low`, `digital_in_bare`, `pwm_in`, `pwm_out`, `low_side_out`, `open_collector`, `high_side_out`, `switch_feed`, `switch_contact`, `coil`, `clamp_supply`, `lamp`, `motor`, `sensor_feed`, `can_high`, `can_low`, `serial_tx`, `serial_rx`, `encoder_out`, `encoder_in`, `temperature_sensor`, `shield`, `interlock_out`, `interlock_in`, `interlock_loop`, `control_pilot`, `proximity`, `not_connected`, `do_not_use`
    line 71, column 11, at records.wyres: there is no field `wyres` here; expected one of `about`, `zones`, `bundles`, `contact_families`, `units`, `connectors`, `cavities`, `junctions`, `chassis_paths`, `fuses`, `switches`, `parts`, `wires`, `states`, `expressions`, `rules`, `settings`, `trials`, `first_runs`, `candidates`, `steps_done`, `readings`, `acceptances`, `temporary_links`, `file_notes`, `drums`, `stock_lines`, `colour_uses`, `terminal_numbers`, `fault_findings`
    line 64, column 67, at records.switches[0].positions: found the number 2, expected a list
    line 32, column 32, at records.connectors[0].unit: found null, expected a text
    line 18, column 67, at records.zones[1].wet: found the text "yes", expected true or false
    line 60, column 51, at records.fuses[0].rating_a: the number is too large to be kept
    line 100, column 92, at records.steps_done[0].at: found no moment; expected one in UTC, as in 2031-05-04T09:30:00Z
    line 16, column 15, at records.zones[0]: found a character that begins no value; expected one, as a text in quotes or a number
    line 24, column 61, at records.contact_families[0]: the file ends in the middle; is it whole?
    line 117, column 3: found more after the end of the document; expected nothing
    line 1, column 0: the file ends in the middle; is it whole?
    "#);
}

#[test]
fn foreign_and_newer_files_are_told_apart() {
    assert_eq!(
        read("{\"name\": \"x\", \"records\": {}}"),
        Err(ReadError::Foreign)
    );
    assert_eq!(read("[1, 2]"), Err(ReadError::Foreign));
    assert_eq!(read("{\"crimpbook_format\": \"1\"}"), Err(ReadError::Foreign));
    assert_eq!(
        read("{\"crimpbook_format\": 2, \"records\": {\"planets\": []}}"),
        Err(ReadError::Newer { found: 2, known: 1 })
    );
    assert!(read("\u{feff}{\"crimpbook_format\": 1, \"records\": {}}").is_ok());
}

fn does_not_follow(text: &str) -> FollowError {
    read(text).unwrap().into_entries(sample::stamp(0)).unwrap_err()
}

#[test]
fn rows_that_make_no_book_are_refused() {
    let told = [
        changed("\"bundle\": \"b1\"", "\"bundle\": \"b9\""),
        changed("\"label\": \"W24\"", "\"label\": \"w04\""),
        changed("\"id\": \"w24\"", "\"id\": \"w4\""),
    ]
    .map(|text| does_not_follow(&text).to_string());
    insta::assert_snapshot!(told.join("\n"), @r#"
    wire W04: its bundle names a bundle that is not in the workbook
    wire W04: the label is taken; choose another
    wire W24 stands twice in "records" with the id w4: give one of them another id
    "#);
}

#[test]
fn a_log_that_does_not_lead_to_the_rows_is_refused() {
    let (book, entries) = sample::logged();
    let text = write(&book, &entries);
    let mut lost = entries.clone();
    lost.remove(1);
    let mut twice = entries.clone();
    twice.push(entries[3].clone());
    let mut retitled = entries.clone();
    retitled[1].title = "something else".to_owned();
    let head = |text: &str| text.lines().nth(2).unwrap().to_owned();
    let other_head = write(&book, &retitled).replace(&head(&write(&book, &retitled)), &head(&text));
    let told = [
        text.replacen("\"area_mm2\": 0.5", "\"area_mm2\": 0.75", 1),
        write(&book, &lost),
        write(&book, &twice),
        other_head,
    ]
    .map(|text| does_not_follow(&text).to_string());
    insta::assert_snapshot!(told.join("\n"), @r#"
    wire W04 is not in "records" as "log" leaves it: export again, or take out "log" and "head" to begin a new log with these rows
    entry 2 of "log" (W44: size 0.1 → 0.35 mm²) does not fit on the ones before it: wire W44 was not so before
    entry 7 of "log" (revision A released for building) does not fit on the ones before it: its id zb stood before
    "log" does not lead to the hash in "head": an entry was altered, added or lost
    "#);
}

//! Part files: saved, read, used, saved again.

use crimpbook_workbook::{
    Book,
    model::{Connector, Expression, Fuse, IdMaker, Part, PartKind, Setting, Unit},
    rules,
};

use proptest::prelude::*;

use super::{PartFile, adopt, generic, read, save};
use crate::sample;

fn with(book: &Book, file: &PartFile, label: Option<&str>) -> Book {
    let edit = adopt(book, &mut IdMaker::new(77), file, label).unwrap();
    let mut book = book.clone();
    let entry = book.prepare(edit.because("a part"), sample::stamp(60)).unwrap();
    book.apply(&entry).unwrap();
    book
}

fn saved(book: &Book, unit: &str, about: &str) -> PartFile {
    save(book, book.index().labelled::<Unit>(unit).unwrap(), about).unwrap()
}

#[test]
fn a_unit_saved_and_used_in_another_workbook_is_saved_as_the_same_file() {
    let book = sample::replay(&crate::demo::entries().unwrap());
    let mut whole = 0;
    for unit in book.all::<Unit>().values() {
        // One whose inside hangs on something outside says so.
        let Ok(file) = save(&book, unit.id, "seen") else {
            continue;
        };
        let text = file.text();
        assert_eq!(read(&text).unwrap(), file, "{}", unit.label);
        let other = with(&Book::default(), &file, None);
        // What was left out is not there to be left out once more.
        let mut bare = file.clone();
        bare.left_out.clear();
        assert_eq!(saved(&other, &unit.label, "seen"), bare, "{}", unit.label);
        assert_eq!(saved(&other, &unit.label, "seen").text(), bare.text());
        whole += 1;
    }
    assert!(whole > 3, "{whole} units were saved");
}

#[test]
fn what_belongs_to_one_vehicle_stays_behind() {
    let book = sample::book();
    let file = saved(&book, "MC", "");
    let text = file.text();
    for word in ["H96-0012", "memory and clock", "rear", "\"wired\"", "W04"] {
        assert!(!text.contains(word), "{word}");
    }
    assert!(text.contains("KEEP ALIVE") && text.contains("rows 3 3 staggered") && text.contains("\"S\""));
}

#[test]
fn labels_follow_the_unit_and_what_is_taken_is_numbered_on() {
    let book = sample::book();
    let file = saved(&book, "PB", "");
    let twice = with(&book, &file, Some("PD"));
    let label = |book: &Book, label: &str| book.index().labelled::<Connector>(label).is_some();
    assert!(label(&twice, "PD-A") && label(&twice, "PB-A"));
    assert!(twice.index().labelled::<Fuse>("F2").is_some(), "F1 is taken");
    let way = twice
        .index()
        .labelled::<Part>("F1 way PD")
        .and_then(|id| twice.get(id).cloned())
        .unwrap();
    let PartKind::FuseWay { fuse } = way.kind else {
        panic!("{way:?}")
    };
    assert_eq!(twice.label_of(fuse), "F2");
    let taken = adopt(&book, &mut IdMaker::new(1), &file, None).unwrap_err();
    assert_eq!(
        taken.to_string(),
        "a unit is called PB already; give this one another label"
    );
    // The contact family is there already.
    let mc = with(&book, &saved(&book, "MC", ""), Some("MD"));
    assert_eq!(mc.all::<crimpbook_workbook::model::ContactFamily>().len(), 1);
}

#[test]
fn generic_parts_are_whole_and_fit_into_any_workbook() {
    for part in generic() {
        let file = read(part.text).unwrap_or_else(|e| panic!("{}: {e}", part.name));
        let book = with(&sample::book(), &file, None);
        let label = &file.records.units[0].label;
        assert_eq!(
            saved(&book, label, &file.about).records,
            file.records,
            "{}",
            part.name
        );
        assert!(file.about.contains("common practice"), "{}", part.name);
        for connector in &file.records.connectors {
            let id = book.index().labelled::<Connector>(&connector.label).unwrap();
            let face = book.face_of(id);
            assert_eq!(face.len(), book.cavities_of(id).len());
            assert_eq!(
                face.to_string(),
                connector.face,
                "{}: the face is understood",
                part.name
            );
        }
    }
}

#[test]
fn what_is_no_part_file_is_refused() {
    let says = |text: &str, words: &str| {
        let error = read(text).unwrap_err().to_string();
        assert!(error.contains(words), "{error}");
    };
    says("pins", "no JSON");
    says("{\"crimpbook_format\": 1}", "crimpbook_part is missing");
    says("{\"crimpbook_part\": 9}", "newer program");
    says(
        "{\"crimpbook_part\": 1, \"title\": \"x\", \"records\": {}}",
        "holds 0 units",
    );
    says(
        "{\"crimpbook_part\": 1, \"title\": \"x\", \"records\": {\"unit\": []}}",
        "unknown field `unit`",
    );
    let relay = generic()[0].text.replace(
        "\"units\"",
        "\"wires\": [{\"id\": \"w\", \"label\": \"W\", \"from\": \"free\", \"to\": \"free\"}], \"units\"",
    );
    says(&relay, "holds a wire");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Whatever happens to a part file, it is read or refused in a sentence; what is read fits or is refused by the door.
    #[test]
    fn a_mangled_part_file_is_read_or_refused(
        which in 0usize..32, at in 0.0..1.0f64, length in 0usize..40, piece in "[{}\\[\\],:\"0-9eE+.a-z-]{0,6}",
    ) {
        let file = &generic()[which % generic().len()];
        let chars: Vec<char> = file.text.chars().collect();
        let from = (chars.len() as f64 * at) as usize;
        let rest = chars.iter().skip(from + length);
        let mangled: String = chars.iter().take(from).copied().chain(piece.chars()).chain(rest.copied()).collect();
        match read(&mangled) {
            Ok(file) => drop(adopt(&sample::book(), &mut IdMaker::new(77), &file, None)),
            Err(error) => prop_assert!(error.to_string().len() > 8),
        }
    }

    #[test]
    fn any_text_is_no_part_file(text in any::<String>()) {
        prop_assert!(read(&text).is_err());
    }
}

#[test]
fn a_unit_that_hangs_on_another_is_refused() {
    let mut file = read(generic()[0].text).unwrap();
    file.records.parts.retain(|p| p.label != "KX coil");
    let edit = adopt(&sample::book(), &mut IdMaker::new(7), &file, None).unwrap();
    assert!(
        sample::book().prepare(edit, sample::stamp(1)).is_err(),
        "a contact without its coil"
    );
}

#[test]
fn behaviour_and_settings_go_with_the_unit_under_new_names() {
    let book = sample::replay(&crate::demo::entries().unwrap());
    let file = saved(&book, "MC", "");
    // The pedal is another unit's switch, so that torque cannot be told of the controller alone.
    assert_eq!(
        file.left_out,
        ["MC.torque: it needs switch pedal, which belongs to no part of this unit"]
    );
    let other = with(&book, &file, Some("MD"));
    let shown = |label: &str| {
        let id = other.index().labelled::<Expression>(label).unwrap();
        rules::shown(&other, &other.get(id).unwrap().text)
    };
    assert_eq!(shown("MD.brake"), "MD-A16 or not MD-A17");
    assert_eq!(shown("MC.brake"), "MC-A16 or not MC-A17");
    let out = other.index().labelled::<Part>("MD OUT1").unwrap();
    let PartKind::Output { when, .. } = &other.get(out).unwrap().kind else {
        panic!("no output")
    };
    assert_eq!(rules::shown(&other, when), "MD.out1");
    // Settings are as the unit comes, not as this vehicle has them.
    let settings = |label: &str| -> Vec<Setting> {
        let unit = other.index().labelled::<Unit>(label).unwrap();
        let all = other.all::<Setting>().values().filter(|s| s.unit == unit);
        let mut all: Vec<Setting> = all.cloned().collect();
        all.sort_by(|a, b| a.label.cmp(&b.label));
        all
    };
    let (old, new) = (settings("MC"), settings("MD"));
    assert!(old.len() > 5 && old.len() == new.len());
    for (old, new) in old.iter().zip(&new) {
        assert_eq!(
            (&new.label, &new.value, new.least),
            (&old.label, &old.default_value, old.least)
        );
        assert!(new.note.is_empty() && new.cavities.len() == old.cavities.len());
        let own = |id: &_| other.cavity_name(*id).starts_with("MD-");
        assert!(new.cavities.iter().all(own), "{}", new.label);
    }
}

#[test]
fn an_output_that_hangs_on_another_unit_is_left_to_the_states_and_that_is_said() {
    let book = sample::replay(&crate::demo::entries().unwrap());
    let file = saved(&book, "CH", "");
    assert!(
        file.left_out
            .iter()
            .any(|s| s.starts_with("CH.plugged: it needs switch charge_lead")),
        "{:?}",
        file.left_out
    );
    assert!(
        file.left_out
            .iter()
            .any(|s| s.starts_with("CH.charging: it needs expression CH.plugged, which stays behind")),
        "{:?}",
        file.left_out
    );
    assert!(
        file.left_out
            .iter()
            .any(|s| s.starts_with("when CH plugged is on: it needs")),
        "{:?}",
        file.left_out
    );
    assert_eq!(read(&file.text()).unwrap(), file);
}

#[test]
fn behaviour_that_names_what_is_not_in_the_file_is_refused() {
    let book = sample::replay(&crate::demo::entries().unwrap());
    let text = saved(&book, "DC", "").text();
    for wrong in ["@cavity:zzzz ", "DC-A2 or @cavity:", "( @cavity:"] {
        let spoiled = text.replacen("@cavity:", wrong, 1);
        assert_ne!(spoiled, text);
        let error = read(&spoiled).unwrap_err().to_string();
        assert!(
            error.contains("cannot be read, or names a record that the file does not hold"),
            "{error}"
        );
    }
}

/// Texts that mean harm in every field that a person types.
const HOSTILE: &str =
    "</td><script>alert(1)</script>\u{202e}=cmd|' /C calc'!A0 \"quotes' \\ { } \u{2066}\u{0}\u{1b}[31m";

#[test]
fn hostile_texts_come_back_unchanged_in_meaning() {
    let book = sample::replay(&crate::demo::entries().unwrap());
    let mut file = saved(&book, "MC", HOSTILE);
    file.title = HOSTILE.to_owned();
    for cavity in &mut file.records.cavities {
        cavity.name = format!("{HOSTILE}{}", cavity.number);
        cavity.note = format!("{}{HOSTILE}", "x".repeat(10_000));
    }
    for setting in &mut file.records.settings {
        setting.page = HOSTILE.to_owned();
    }
    let text = file.text();
    assert!(
        !text.contains(|c: char| c.is_control() && c != '\n'),
        "no control character stands in the file"
    );
    assert_eq!(read(&text).unwrap(), file);
}

//! Part files: saved, read, used, saved again.

use crimpbook_workbook::{
    Book,
    model::{Connector, Fuse, IdMaker, Part, PartKind, Unit},
};

use super::{PartFile, adopt, generic, read, save};
use crate::sample;

fn with(book: &Book, file: &PartFile, label: Option<&str>) -> Book {
    let edit = adopt(book, &mut IdMaker::new(77), file, label).unwrap();
    let mut book = book.clone();
    let entry = book.prepare(edit, sample::stamp(60)).unwrap();
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
        assert_eq!(saved(&other, &unit.label, "seen"), file, "{}", unit.label);
        assert_eq!(saved(&other, &unit.label, "seen").text(), text);
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

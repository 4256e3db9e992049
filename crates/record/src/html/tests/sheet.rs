//! The glovebox sheet: what stands on it is what the workbook holds.

use crimpbook_workbook::{
    Book,
    model::{About, Cavity, Connector, Decision, End, Fuse, Wire},
};
use roxmltree::Node;

use super::{by_id, cells, complete::DEMONSTRATION, sheet_of, text, tree};
use crate::sample;

fn compare(book: &Book) {
    let page = sheet_of(book);
    let tree = tree(&page);
    for fuse in book.all::<Fuse>().values() {
        let cells = cells(by_id(&tree, &format!("fuse-{}", fuse.id)));
        assert_eq!(cells["Fuse"], fuse.label);
        assert_eq!(cells["Rating"], format!("{} A", fuse.rating_a));
        assert_eq!(cells["Feeds"], fuse.feeds);
    }
    let most = book
        .all::<Connector>()
        .keys()
        .map(|id| book.cavities_of(*id).len())
        .max()
        .unwrap();
    let shown: Vec<&Cavity> = book
        .all::<Cavity>()
        .values()
        .filter(|c| page.contains(&format!("cavity-{}", c.id)))
        .collect();
    assert_eq!(shown.len(), most);
    for cavity in shown {
        let cells = cells(by_id(&tree, &format!("cavity-{}", cavity.id)));
        assert_eq!(
            (&cells["No."], &cells["Function"]),
            (&cavity.number, &cavity.name)
        );
        let at = |w: &&Wire| [w.from, w.to].contains(&End::Cavity(cavity.id));
        for wire in book.all::<Wire>().values().filter(at) {
            assert!(cells["Wire"].contains(&wire.label), "{}", cavity.number);
        }
        if matches!(cavity.decision, Decision::Blank | Decision::Undecided) {
            assert_eq!(cells["Wire"], cavity.decision.words());
        }
    }
    for about in book.all::<About>().values() {
        assert!(text(tree.root()).contains(&about.service_note));
    }
}

#[test]
fn fuses_and_the_largest_plug_stand_on_it() {
    compare(&DEMONSTRATION.0);
    compare(&sample::book());
}

#[test]
fn it_has_cautions_its_code_and_nothing_that_runs() {
    let page = sheet_of(&sample::book());
    let tree = tree(&page);
    let told = text(tree.root());
    assert!(told.contains("Orange cables") && told.contains("manuals"));
    assert!(told.contains("verification code begins"));
    let names: Vec<&str> = tree
        .descendants()
        .filter(Node::is_element)
        .map(|n| n.tag_name().name())
        .collect();
    assert!(
        !names
            .iter()
            .any(|n| matches!(*n, "script" | "link" | "img" | "a"))
    );
    assert_eq!(names.iter().filter(|n| **n == "section").count(), 2);
    let empty = sheet_of(&Book::default());
    assert!(empty.contains("Nobody has written this yet"));
}

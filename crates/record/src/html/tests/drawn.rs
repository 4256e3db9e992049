//! What is drawn and traced: the supply tree, trunks, proofs, what changed.

use std::collections::BTreeMap;

use crimpbook_workbook::{
    Book,
    analysis::{
        Snapshot,
        protect::{far_ends, picture},
    },
    check::{Report, words::number},
    model::{Fuse, Id, Rule, Wire, Zone},
    reckon::pedal_curves,
    rules::Verdict,
};
use roxmltree::{Document, Node};

use super::{by_id, cells, complete::DEMONSTRATION, made, text, tree};
use crate::{
    draw::{place_words, zone_of},
    sample,
};

/// Rows of the only table of a class.
fn rows<'a, 'i>(tree: &'a Document<'i>, class: &str) -> Vec<Node<'a, 'i>> {
    let table = tree
        .descendants()
        .find(|n| n.has_tag_name("table") && n.attribute("class") == Some(class))
        .unwrap_or_else(|| panic!("no table {class}"));
    let body = table.children().find(|n| n.has_tag_name("tbody")).unwrap();
    body.children().filter(Node::is_element).collect()
}

fn drawings<'a, 'i>(node: Node<'a, 'i>) -> Vec<Node<'a, 'i>> {
    let drawn = |n: &Node<'_, '_>| n.attribute("class") == Some("drawing");
    node.descendants().filter(drawn).collect()
}

/// Each trunk holds the wires that are said to run in it, between the zones of their ends, and no wire stands twice.
fn compare_trunks(book: &Book, page: &str) {
    let tree = tree(page);
    let mut found: BTreeMap<String, (String, String)> = BTreeMap::new();
    for row in rows(&tree, "trunks") {
        let cells = cells(row);
        let wires: Vec<String> = row
            .descendants()
            .filter(|n| n.has_tag_name("a"))
            .map(text)
            .collect();
        assert_eq!(cells["Wires"], wires.len().to_string());
        for wire in wires {
            let twice = found.insert(wire.clone(), (cells["Trunk"].clone(), cells["Between"].clone()));
            assert_eq!(twice, None, "{wire}");
        }
    }
    assert_eq!(found.len(), book.all::<Wire>().len());
    for wire in book.all::<Wire>().values() {
        let (trunk, between) = &found[&wire.label];
        let said = wire
            .bundle
            .map_or("in no trunk".to_owned(), |id| book.label_of(id));
        assert_eq!(*trunk, said, "{}", wire.label);
        for end in [wire.from, wire.to] {
            let place = place_words(book, zone_of(book, end));
            assert!(
                between.contains(&place),
                "{}: {between} lacks {place}",
                wire.label
            );
        }
    }
}

#[test]
fn every_wire_stands_in_its_trunk_once() {
    let (book, page) = &*DEMONSTRATION;
    compare_trunks(book, page);
    let (book, entries) = sample::logged();
    compare_trunks(&book, &made(&book, &entries, &Report::default()));
}

/// The counts on the map are those of the wires: of the demonstration's tunnel, 32 pass between splash and cabin.
#[test]
fn the_map_counts_what_passes() {
    let (book, page) = &*DEMONSTRATION;
    let tree = tree(page);
    let map = drawings(by_id(&tree, "loom"));
    assert_eq!(map.len(), 1);
    let told = text(map[0]);
    for zone in ["cabin", "dry box", "splash", "wet", "rear wing", "underbody"] {
        assert!(told.contains(zone), "{zone}");
    }
    let tunnel = book.all::<Wire>().values().filter(|w| {
        let reaches = |end| zone_of(book, end).map(|id| book.label_of(id));
        let of = w.bundle.map(|id| book.label_of(id));
        of.as_deref() == Some("tunnel") && reaches(w.from) != reaches(w.to)
    });
    let tunnel = tunnel.count();
    assert!(told.contains(&format!("trunk tunnel: {tunnel} wires")), "{told}");
}

#[test]
fn every_fuse_that_a_source_reaches_is_drawn_with_what_it_feeds() {
    let (book, page) = &*DEMONSTRATION;
    let tree = tree(page);
    let see = Snapshot::of(book);
    let section = by_id(&tree, "supply");
    let drawn = drawings(section);
    let pictures: Vec<_> = drawn
        .iter()
        .filter(|n| text(**n).contains("Supply tree"))
        .map(|n| text(*n))
        .collect();
    assert_eq!(pictures.len(), 1);
    let mut curves = 0;
    for fuse in book.all::<Fuse>().values() {
        let name = format!("{} {} A", fuse.label, fuse.rating_a);
        let reached = see.protection().zone(fuse.id).is_some();
        assert_eq!(pictures[0].contains(&name), reached, "{name}");
        let plot = drawn
            .iter()
            .any(|n| text(*n).contains(&format!("{name}: time over current")));
        assert_eq!(plot, picture(&see, fuse.id).is_ok(), "{name}");
        curves += usize::from(plot);
    }
    assert!(curves > 10);
    let tree_rows = rows(&tree, "tree");
    assert_eq!(tree_rows.len(), see.tree().rows.len());
    assert_eq!(rows(&tree, "far").len(), far_ends(&see).len());
}

#[test]
fn rules_stand_with_what_was_proven_of_them_and_when() {
    let (book, page) = &*DEMONSTRATION;
    let tree = tree(page);
    let see = Snapshot::of(book);
    let proof = see.proof();
    assert!(text(by_id(&tree, "rules")).contains("Worked out on 2031-06-23"));
    let mut kinds = [0; 3];
    for rule in book.all::<Rule>().values() {
        let cells = cells(by_id(&tree, &format!("rule-{}", rule.id)));
        let healthy = &cells["Without a fault"];
        match &proof.of_rule(rule.id).unwrap().verdict {
            Verdict::Proven {
                without_fault,
                classes,
            } => {
                assert_eq!(
                    healthy.contains("✗ broken"),
                    without_fault.is_some(),
                    "{}",
                    rule.label
                );
                let faults = &cells["With each single fault"];
                let broken = classes.iter().any(|class| !class.broken.is_empty());
                assert_eq!(faults.contains("✗ broken"), broken, "{}", rule.label);
                kinds[usize::from(broken)] += 1;
            }
            Verdict::RestsOn(_) | Verdict::Cannot(_) => {
                assert!(healthy.starts_with("not proven"), "{}", rule.label);
                kinds[2] += 1;
            }
        }
    }
    assert!(kinds.iter().all(|n| *n > 0), "{kinds:?}");
}

#[test]
fn what_changed_since_the_release_stands_with_its_why() {
    let (book, entries) = sample::logged();
    let page = made(&book, &entries, &Report::default());
    let tree = tree(&page);
    let told = text(by_id(&tree, "since"));
    assert!(told.contains("From revision A to now"), "{told}");
    let row = rows(&tree, "since")
        .into_iter()
        .map(cells)
        .find(|c| c["What"] == "wire W44")
        .unwrap();
    assert_eq!((row["Was"].as_str(), row["Is"].as_str()), ("0.35", "0.5"));
    assert!(row["Why"].contains("F6 is too big for 0.35"), "{row:?}");
    let unreleased = made(&book, &[], &Report::default());
    assert!(unreleased.contains("Nothing to compare"));
}

#[test]
fn settings_stand_as_they_were_left_at_each_release() {
    let entries = crate::demo::entries().unwrap();
    let mut book = Book::default();
    for entry in &entries {
        book.apply(entry).unwrap();
    }
    let page = made(&book, &entries, &Report::default());
    let tree = tree(&page);
    let row = rows(&tree, "settings-left")
        .into_iter()
        .map(cells)
        .find(|c| c["Setting"] == "REGEN_COAST_MAX")
        .unwrap();
    assert_eq!(
        (row["Revision A"].as_str(), row["Now"].as_str()),
        ("18 %", "10 %")
    );
}

#[test]
fn every_drawing_is_told_in_words_too() {
    let (_, page) = &*DEMONSTRATION;
    let tree = tree(page);
    let drawn = drawings(tree.root());
    assert!(drawn.len() > 12);
    for svg in drawn {
        assert_eq!(svg.attribute("role"), Some("img"));
        let named = svg.attribute("aria-labelledby").unwrap().split_whitespace();
        for id in named {
            assert!(!text(by_id(&tree, id)).is_empty(), "{id}");
        }
        assert!(!text(svg).contains("NaN"));
        for part in svg.descendants() {
            for attribute in part.attributes() {
                assert!(
                    !attribute.value().contains("NaN") && !attribute.value().contains("inf"),
                    "{part:?}"
                );
            }
        }
    }
}

#[test]
fn the_first_page_names_where_the_supply_begins() {
    let (_, page) = &*DEMONSTRATION;
    let tree = tree(page);
    let cover = text(tree.descendants().find(|n| n.has_tag_name("header")).unwrap());
    assert!(cover.contains("Where the 12 V supply begins"));
    for part in ["first fuse F0, 60 A", "Orange cables"] {
        assert!(cover.contains(part), "{part}: {cover}");
    }
}

/// Where a zone's name stands on the map.
fn drawn_at(map: Node<'_, '_>, zone: Id<Zone>) -> (f64, f64) {
    let group = map
        .descendants()
        .find(|n| n.attribute("id") == Some(format!("plan-{zone}").as_str()))
        .unwrap();
    let outline = group.children().find(|n| n.has_tag_name("rect")).unwrap();
    let of = |name| outline.attribute(name).unwrap().parse::<f64>().unwrap();
    (of("x"), of("y"))
}

#[test]
fn zones_lie_on_the_plan_as_the_workbook_says_and_cover_nothing() {
    let (book, page) = &*DEMONSTRATION;
    let tree = tree(page);
    let map = drawings(by_id(&tree, "loom"))[0];
    assert!(text(map).contains("on the vehicle's plan"));
    let zones: Vec<&Zone> = book.all::<Zone>().values().collect();
    for one in &zones {
        for other in zones.iter().filter(|z| z.id != one.id) {
            let (a, b) = (one.plan.unwrap(), other.plan.unwrap());
            let (at, of) = (drawn_at(map, one.id), drawn_at(map, other.id));
            if a.from_front_pct < b.from_front_pct {
                assert!(at.1 <= of.1, "{} is before {}", one.label, other.label);
            }
            if a.from_left_pct < b.from_left_pct {
                assert!(at.0 < of.0, "{} is left of {}", one.label, other.label);
            }
            assert!((at.0 - of.0).abs() > 196.0 || (at.1 - of.1).abs() > 40.0);
        }
    }
    // Whatever runs between two zones is drawn on the way between them, so that counts of a trunk of two zones are its own.
    let front = book.all::<Wire>().values().filter(|w| {
        w.bundle.is_some_and(|id| book.label_of(id) == "front")
            && zone_of(book, w.from) != zone_of(book, w.to)
    });
    assert!(text(map).contains(&format!("front {}", front.count())));
}

#[test]
fn without_places_the_zones_stand_in_order_and_the_page_says_so() {
    let (book, entries) = sample::logged();
    let page = made(&book, &entries, &Report::default());
    let tree = tree(&page);
    let loom = by_id(&tree, "loom");
    assert!(text(loom).contains("Not written: where in the vehicle each zone lies"));
    assert_eq!(drawings(loom).len(), 1);
}

/// Every track with a reader is drawn from rest to full, or says what is missing.
#[test]
fn pedals_are_drawn_with_what_they_rest_on() {
    let (book, page) = &*DEMONSTRATION;
    let tree = tree(page);
    let settings = by_id(&tree, "settings");
    let curves = pedal_curves(&Snapshot::of(book));
    assert!(curves.len() >= 3, "{curves:?}");
    let drawn = drawings(settings);
    let known = curves.iter().filter(|c| c.pedal.is_some()).count();
    assert_eq!(drawn.len(), known);
    for curve in &curves {
        let Some(pedal) = curve.pedal else {
            let said = format!("{}: cannot draw demand over volts: missing", curve.label);
            assert!(text(settings).contains(&said), "{said}");
            continue;
        };
        let svg = drawn
            .iter()
            .find(|svg| text(**svg).contains(&curve.label))
            .unwrap();
        // Lines of a drawing are texts of their own.
        let close = |text: &str| text.replace(' ', "");
        let words = close(&text(*svg));
        assert!(
            words.contains(&close(&format!("full from {}", number(pedal.ends_at_v())))),
            "{words}"
        );
        for (what, value, _) in &curve.known {
            assert!(
                words.contains(&close(&format!("{what} {value}"))),
                "{what}: {words}"
            );
        }
        for missing in &curve.missing {
            assert!(words.contains(&close(missing)), "{missing}: {words}");
        }
    }
}

/// 0.75 to 4.25 V, bands of 5 and 4 %, exponent 1.5: half way between 0.925 and 4.11 V demand is 0.5^1.5 = 35.4 %.
#[test]
fn the_curve_of_a_pedal_by_hand() {
    let (book, page) = &*DEMONSTRATION;
    let curves = pedal_curves(&Snapshot::of(book));
    let first = curves.iter().find(|c| c.label.starts_with("MC-A10")).unwrap();
    assert!(
        (first.demand(2.5175).unwrap() - 0.353_553).abs() < 1e-4,
        "{first:?}"
    );
    assert!(page.contains("Half way between, demand is 35.4 %."));
    let known: Vec<&str> = first.known.iter().map(|(what, ..)| *what).collect();
    assert_eq!(known.len() + first.missing.len(), 8, "{first:?}");
}

/// Where nobody said rest and full there is no picture, and no usual figure in its place.
#[test]
fn a_pedal_without_rest_and_full_says_so() {
    let (book, _) = &*DEMONSTRATION;
    let mut tables = book.tables().clone();
    let settings: Vec<_> = book
        .all::<crimpbook_workbook::model::Setting>()
        .values()
        .cloned()
        .collect();
    for setting in settings {
        tables.remove(crimpbook_workbook::model::Key::of(setting.id));
    }
    let readings: Vec<_> = book
        .all::<crimpbook_workbook::model::Reading>()
        .values()
        .cloned()
        .collect();
    for reading in readings {
        tables.remove(crimpbook_workbook::model::Key::of(reading.id));
    }
    for cavity in book.all::<crimpbook_workbook::model::Cavity>().values() {
        let mut bare = cavity.clone();
        (bare.limits.rest_v, bare.limits.full_v) = (None, None);
        tables.put(crimpbook_workbook::model::Row::into_record(bare));
    }
    let bare = Book::from_tables(tables, None);
    let page = made(&bare, &[], &Report::default());
    let tree = tree(&page);
    let said = text(by_id(&tree, "settings"));
    assert!(
        said.contains("MC-A10 (PEDAL 1): cannot draw demand over volts: missing at rest, at full"),
        "{said}"
    );
    assert!(drawings(by_id(&tree, "settings")).is_empty());
}

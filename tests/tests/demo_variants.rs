//! The demo with one thing changed: the finding that must come comes, what follows hangs under it, nothing else appears.

use crimpbook_tests::tables;
use crimpbook_workbook::{
    Book,
    analysis::Snapshot,
    check::{Finding, Level, Report, run_without_mends},
    model::{
        Bundle, Cavity, Connector, Decision, End, Fuse, Id, Junction, Key, Part, PartKind, Plating, Setting,
        Suppression, Tables, Terminal, Wire,
    },
};
use std::{
    collections::BTreeSet,
    sync::{Arc, OnceLock},
};

/// The demo's tables, and its records by name.
struct Plan {
    tables: Tables,
    book: Book,
}

impl Plan {
    fn wire(&mut self, label: &str) -> &mut Wire {
        let id: Id<Wire> = self.book.index().labelled(label).expect("a wire");
        self.tables.wires.get_mut(&id).expect("a wire")
    }

    fn part(&mut self, label: &str) -> &mut Part {
        let id: Id<Part> = self.book.index().labelled(label).expect("a part");
        self.tables.parts.get_mut(&id).expect("a part")
    }

    fn fuse(&mut self, label: &str) -> &mut Fuse {
        let id: Id<Fuse> = self.book.index().labelled(label).expect("a fuse");
        self.tables.fuses.get_mut(&id).expect("a fuse")
    }

    fn connector(&mut self, label: &str) -> &mut Connector {
        let id: Id<Connector> = self.book.index().labelled(label).expect("a connector");
        self.tables.connectors.get_mut(&id).expect("a connector")
    }

    fn junction(&mut self, label: &str) -> &mut Junction {
        let id: Id<Junction> = self.book.index().labelled(label).expect("a junction");
        self.tables.junctions.get_mut(&id).expect("a junction")
    }

    fn bundle(&mut self, label: &str) -> &mut Bundle {
        let id: Id<Bundle> = self.book.index().labelled(label).expect("a bundle");
        self.tables.bundles.get_mut(&id).expect("a bundle")
    }

    fn cavity(&mut self, name: &str) -> &mut Cavity {
        let id = self.pin(name);
        self.tables.cavities.get_mut(&id).expect("a cavity")
    }

    fn pin(&self, name: &str) -> Id<Cavity> {
        self.book.find_cavity(name).expect("a cavity")
    }

    fn end(&self, name: &str) -> End {
        self.book.find_end(name).expect("an end")
    }

    fn setting(&mut self, unit: &str, label: &str) -> &mut Setting {
        let book = &self.book;
        let found = book
            .all::<Setting>()
            .values()
            .find(|s| s.label == label && book.label_of(s.unit) == unit);
        let id = found.expect("a setting").id;
        self.tables.settings.get_mut(&id).expect("a setting")
    }
}

/// One edit of the plan.
type Change = fn(&mut Plan);

type Said = BTreeSet<(&'static str, Option<Key>)>;

fn said(report: &Report) -> Said {
    report.findings.iter().map(|f| (f.check, f.place())).collect()
}

fn base() -> &'static Said {
    static BASE: OnceLock<Said> = OnceLock::new();
    BASE.get_or_init(|| {
        said(&run_without_mends(&Snapshot::new(Arc::new(Book::from_tables(
            tables(),
            None,
        )))))
    })
}

/// Makes the change; gives the book, its report, and the findings that were not there before.
fn with(change: impl FnOnce(&mut Plan)) -> (Snapshot, Report, Vec<Finding>) {
    let tables = tables();
    let book = Book::from_tables(tables.clone(), None);
    let mut plan = Plan { tables, book };
    change(&mut plan);
    let see = Snapshot::new(Arc::new(Book::from_tables(plan.tables, None)));
    let report = run_without_mends(&see);
    let new = report
        .findings
        .iter()
        .filter(|f| !base().contains(&(f.check, f.place())))
        .cloned()
        .collect();
    (see, report, new)
}

/// A change, and the finding that must come of it: check, level, place as its sentence names it first.
struct Variant {
    what: &'static str,
    change: Change,
    check: &'static str,
    level: Level,
    begins: &'static str,
}

const VARIANTS: &[Variant] = &[
    Variant {
        what: "a plug's pins plated with gold",
        change: |plan| plan.connector("PD-A").pin_plating = Some(Plating::Gold),
        check: "contact-plating",
        level: Level::Warning,
        begins: "PD-A: contact ",
    },
    Variant {
        what: "two plugs of one shape keyed alike",
        change: |plan| plan.connector("DC-A").keying = "key A, grey".to_owned(),
        check: "alike-plugs",
        level: Level::Warning,
        begins: "DC-A and MC-B are alike, in one zone (splash)",
    },
    Variant {
        what: "a splice left open where it is wet",
        change: |plan| plan.junction("SP3").sealed = Some(false),
        check: "splice-placed",
        level: Level::Warning,
        begins: "SP3 is not sealed",
    },
    Variant {
        what: "a splice moved next to a plug",
        change: |plan| plan.wire("W40").length_m = Some(0.1),
        check: "splice-placed",
        level: Level::Warning,
        begins: "SP6 lies 100 mm from a plug, at W40",
    },
    Variant {
        what: "a sleeve that is too small",
        change: |plan| plan.junction("SP3").sleeve_most_mm2 = Some(4.0),
        check: "splice-sleeve",
        level: Level::Warning,
        begins: "SP3 joins 5.5 mm²",
    },
    Variant {
        what: "the tunnel laid beside the traction cables",
        change: |plan| plan.bundle("tunnel").traction_m = Some(0.03),
        check: "near-traction",
        level: Level::Warning,
        begins: "tunnel runs 30 mm from traction cables",
    },
    Variant {
        what: "the coolant pump allowed next to nothing",
        change: |plan| plan.part("coolant pump motor").drop_limit_v = Some(0.1),
        check: "load-drop",
        level: Level::Warning,
        begins: "coolant pump motor loses ",
    },
    Variant {
        what: "the main fuse left out",
        change: |plan| plan.wire("W01").inline_fuse = None,
        check: "unfused-wire",
        level: Level::Stop,
        begins: "W01 runs 1.1 m from AB+ without a fuse",
    },
    Variant {
        what: "a contactor's coil connected the wrong way round",
        change: |plan| plan.part("precharge coil").ends.reverse(),
        check: "coil-reversed",
        level: Level::Stop,
        begins: "precharge coil is the wrong way round",
    },
    Variant {
        what: "a CAN wire laid outside its pair",
        change: |plan| plan.wire("W62").pair.clear(),
        check: "pair-split",
        level: Level::Warning,
        begins: "W62 is CAN and in no pair",
    },
    Variant {
        what: "the brake's sense set the other way",
        change: |plan| plan.setting("MC", "BRK_NO_SENSE").value = "active-low".to_owned(),
        check: "setting-against-wiring",
        level: Level::Stop,
        begins: "BRK_NO_SENSE says active-low of MC-A16",
    },
    Variant {
        what: "the pedal's rest set wrong",
        change: |plan| plan.setting("MC", "PED1_REST").value = "1.20".to_owned(),
        check: "setting-against-wiring",
        level: Level::Warning,
        begins: "PED1_REST 1.2 V at MC-A10",
    },
    Variant {
        what: "both pedal tracks returned through one splice",
        change: |plan| plan.wire("W35").to = plan.end("SP5"),
        check: "common-cause",
        level: Level::Stop,
        begins: "pedal track 1 and pedal track 2 share SP5",
    },
    Variant {
        what: "the charger at another CAN rate",
        change: |plan| plan.setting("CH", "CAN_RATE").value = "500".to_owned(),
        check: "can-rate",
        level: Level::Stop,
        begins: "CAN of BM, CH, MC and SV",
    },
    Variant {
        what: "a plug forgotten",
        change: |plan| plan.cavity("MC-A13").plug = false,
        check: "unplugged-cavity",
        level: Level::Warning,
        begins: "MC-A13 (ANALOGUE 4) has no sealing plug",
    },
    Variant {
        what: "a 12 V wire in the hole of an analogue input",
        change: |plan| {
            plan.wire("W47").to = plan.end("MC-A13");
            plan.cavity("MC-A13").decision = Decision::Wired;
            plan.cavity("MC-A14").decision = Decision::Blank;
            plan.cavity("MC-A14").plug = true;
        },
        check: "kind-mismatch",
        level: Level::Stop,
        begins: "MC-A13 (ANALOGUE 4) gets switch contact to supply of DI-A5",
    },
    Variant {
        what: "H and L swapped at the charger",
        change: |plan| {
            let (high, low) = (plan.end("CH-A3"), plan.end("CH-A4"));
            plan.wire("W61").to = low;
            plan.wire("W62").to = high;
        },
        check: "can-terminators",
        level: Level::Stop,
        begins: "",
    },
    Variant {
        what: "a fuse of three times its rating",
        change: |plan| plan.fuse("F5").rating_a = 30.0,
        check: "fuse-above-wire",
        level: Level::Stop,
        begins: "F5 30 A is too big for W80",
    },
    Variant {
        what: "one ground of the controller left out",
        change: |plan| {
            let id = plan.wire("W25").id;
            plan.tables.wires.remove(&id);
            plan.cavity("MC-A5").decision = Decision::Blank;
            plan.cavity("MC-A5").plug = true;
            plan.cavity("MC-A5").why.clear();
        },
        check: "ground-not-wired",
        level: Level::Warning,
        begins: "MC-A5 (GND B) is a ground without a wire",
    },
    Variant {
        what: "a lamp from the permanent feed into the key rail",
        change: |plan| {
            let like = plan.part("charge lamp").clone();
            let (feed, rail) = (
                plan.part("F1 to A1").ends[0].clone(),
                plan.part("F2 to A3").ends[0].clone(),
            );
            let lamp = Part {
                id: "addedpart".parse().expect("an id"),
                label: "glow lamp".to_owned(),
                ends: vec![feed, rail],
                ..like
            };
            plan.tables.parts.insert(lamp.id, lamp);
        },
        check: "back-feed",
        level: Level::Stop,
        begins: "K3 coil gets ",
    },
    Variant {
        what: "the key switch's contact replaced by a relay that stays for ten minutes",
        change: |plan| plan.cavity("DI-A3").limits.release_s = Some(600.0),
        check: "lingering-signal",
        level: Level::Stop,
        begins: "W10 from DI-A3 (KEY RUN) stays up 10 min",
    },
    Variant {
        what: "a wire cut loose",
        change: |plan| {
            plan.wire("W88").to = End::Free;
            plan.cavity("DN-A4").decision = Decision::Blank;
        },
        check: "wire-ends",
        level: Level::Warning,
        begins: "W88 leads from MC-A35 to nowhere yet",
    },
    Variant {
        what: "an output joined to another one",
        change: |plan| {
            plan.cavity("MC-A27").decision = Decision::Bridged {
                to: plan.pin("MC-A34"),
            };
        },
        check: "two-drivers",
        level: Level::Stop,
        begins: "W82 is driven by 2 outputs",
    },
    Variant {
        what: "a fault limit inside the pedal's travel",
        change: |plan| plan.setting("MC", "PED_HIGH_FAULT").value = "4.10".to_owned(),
        check: "setting-against-wiring",
        level: Level::Warning,
        begins: "PED_HIGH_FAULT 4.1 V at MC-A10",
    },
];

#[test]
fn each_change_brings_its_finding_and_nothing_that_does_not_follow_from_it() {
    let faults: Vec<String> = VARIANTS.iter().flat_map(judge).collect();
    assert!(faults.is_empty(), "{faults:#?}");
}

/// What is wrong with what a change brings.
fn judge(variant: &Variant) -> Vec<String> {
    let (_, _, new) = with(variant.change);
    let found = new.iter().find(|f| {
        f.check == variant.check && f.level == variant.level && f.sentence.starts_with(variant.begins)
    });
    let Some(found) = found else {
        let list: Vec<String> = new
            .iter()
            .map(|f| format!("{} {}", f.check, f.sentence))
            .collect();
        return vec![format!("{}: not found among {list:#?}", variant.what)];
    };
    let mut faults = Vec::new();
    if found.follows_from.is_some() {
        faults.push(format!("{}: it hangs under something else", variant.what));
    }
    for other in &new {
        let same = other.place() == found.place() && other.check == found.check;
        let hangs = other
            .follows_from
            .is_some_and(|c| Some(c.place) == found.place() && c.check == found.check);
        if !same && !hangs {
            let text = &other.sentence;
            faults.push(format!(
                "{}: {} does not follow from it: {text}",
                variant.what, other.check
            ));
        }
    }
    faults
}

/// What a change must not bring: neighbours of the ones above.
#[test]
fn harmless_changes_bring_nothing() {
    let harmless: [(&str, Change); 5] = [
        (
            "a coil that no semiconductor drives needs no suppression",
            |plan| {
                if let PartKind::Coil { suppression, .. } = &mut plan.part("K3 coil").kind {
                    *suppression = Some(Suppression::None);
                }
            },
        ),
        ("a thicker wire that its contacts take", |plan| {
            plan.wire("W39").area_mm2 = Some(1.5)
        }),
        ("a coil without polarity the other way round", |plan| {
            plan.part("K3 coil").ends.reverse()
        }),
        ("a fuse of less than its load's double", |plan| {
            plan.fuse("F8").rating_a = 3.0
        }),
        ("a spare cavity kept for later", |plan| {
            plan.cavity("CB-A11").decision = Decision::Reserved
        }),
    ];
    for (what, change) in harmless {
        let (_, _, new) = with(change);
        let list: Vec<String> = new
            .iter()
            .map(|f| format!("{} {}", f.check, f.sentence))
            .collect();
        assert_eq!(list, [""; 0], "{what}");
    }
}

/// The mend of mistake 2: W35 to MC-A9, 2.9 m. It ends both of its findings and brings none.
#[test]
fn the_return_brought_home_ends_what_was_found_of_it() {
    let (_, report, new) = with(|plan| {
        plan.wire("W35").to = plan.end("MC-A9");
        plan.wire("W35").length_m = Some(2.9);
        plan.cavity("MC-A9").decision = Decision::Wired;
        plan.cavity("MC-A9").plug = false;
    });
    assert!(new.is_empty(), "{new:#?}");
    assert_eq!(
        report.of("sensor-return-lift").count() + report.of("sensor-not-of-one-unit").count(),
        0
    );
}

/// Turning INH_SENSE and the input round alone does not mend mistake 4: the setting is then told against the wiring, and
/// the input is let go of as before.
#[test]
fn turning_the_inhibits_sense_alone_is_no_mend() {
    let (_, report, _) =
        with(|plan| plan.setting("MC", "INH_SENSE").value = "active-high = inhibit".to_owned());
    let at = |check: &str| report.of(check).filter(|f| f.level == Level::Stop).count();
    assert_eq!((at("disable-let-go"), at("setting-against-wiring")), (1, 1));
}

/// Every inside part's ends are of the kind that its part names: the variants above build on it.
#[test]
fn the_parts_that_the_variants_change_are_where_they_say() {
    let tables = tables();
    let book = Book::from_tables(tables, None);
    let lamp: Id<Part> = book.index().labelled("F2 to A3").expect("a joint");
    let part: &Part = book.get(lamp).expect("a joint");
    assert!(matches!(part.ends.first(), Some(Terminal::Inner { node, .. }) if node == "key rail"));
}

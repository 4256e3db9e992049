use super::*;
use std::sync::Arc;

use crate::{
    Book,
    edit::Change,
    model::*,
    testing::{Bench, demo},
};

/// A bench with wires and parts by name.
struct Loom(Bench, IdMaker);

impl Loom {
    fn new() -> Self {
        Self(Bench::new(), IdMaker::new(99))
    }
    fn pin(&mut self, name: &str) -> Id<Cavity> {
        let (connector, number) = name.rsplit_once(' ').expect("connector and number");
        self.0.cavity(connector, number)
    }
    fn kind(&mut self, name: &str, kind: SignalKind) -> Id<Cavity> {
        let id = self.pin(name);
        self.0.edit(id, |c| {
            c.kind = Some(kind);
            c.decision = Decision::Wired;
        });
        id
    }
    fn post(&mut self, label: &str, kind: JunctionKind) -> Id<Junction> {
        let id = self.1.make();
        self.0.put(Junction {
            id,
            label: label.to_owned(),
            kind,
            unit: None,
            zone: None,
            joint_ohm: None,
            sleeve_least_mm2: None,
            sleeve_most_mm2: None,
            clear_m: None,
            sealed: None,
            flexes: None,
            torque_nm: None,
            place: String::new(),
            note: String::new(),
        })
    }
    fn wire(&mut self, label: &str, from: End, to: End) -> Id<Wire> {
        let id: Id<Wire> = self.1.make();
        let wire = serde_json::json!({ "id": id, "label": label, "from": from, "to": to });
        self.0.put(serde_json::from_value::<Wire>(wire).expect("a wire"))
    }
    fn part(&mut self, unit: &str, kind: PartKind, ends: Vec<Terminal>) -> Id<Part> {
        let (id, unit) = (self.1.make(), self.0.unit(unit));
        let label = format!("part {id}");
        self.0.put(Part {
            id,
            unit,
            label,
            kind,
            ends,
            drop_limit_v: None,
            note: String::new(),
        })
    }
    fn book(&self) -> Book {
        self.0.book()
    }
}

fn pin(id: Id<Cavity>) -> End {
    End::Cavity(id)
}
fn at(id: Id<Cavity>) -> Terminal {
    Terminal::Cavity(id)
}

#[test]
fn wires_splices_bridges_and_couplings_join() {
    let mut loom = Loom::new();
    let (a, b, c, d) = (
        loom.pin("A-A 1"),
        loom.pin("B-A 1"),
        loom.pin("C-A 1"),
        loom.pin("C-A 2"),
    );
    let splice = loom.post("SP1", JunctionKind::Splice);
    loom.wire("W1", pin(a), End::Junction(splice));
    loom.wire("W2", End::Junction(splice), pin(b));
    let third = loom.wire("W3", End::Junction(splice), pin(c));
    let lone = loom.wire("W4", End::Free, End::Free);
    loom.0.edit(d, |d| d.decision = Decision::Bridged { to: c });
    let (mine, theirs) = (loom.pin("X-P 3"), loom.pin("X-S 3"));
    let unlike = loom.pin("X-S 4");
    let socket = loom.0.connector("X-S");
    let plug = loom.0.connector("X-P");
    loom.0.edit(plug, |p| p.couples_to = Some(socket));
    let book = loom.book();
    let nets = Nets::of(&book);
    let net = nets.at_cavity(a).unwrap();
    for other in [b, c, d] {
        assert_eq!(nets.at_cavity(other), Some(net));
    }
    assert_eq!(nets.of_wire(third), Some(net));
    assert_eq!(
        nets.get(net).map(|n| (n.terminals.len(), n.wires.len())),
        Some((5, 3))
    );
    assert_eq!(nets.at_cavity(mine), nets.at_cavity(theirs));
    assert_ne!(nets.at_cavity(mine), nets.at_cavity(unlike));
    let alone = nets.of_wire(lone).and_then(|id| nets.get(id)).unwrap();
    assert!(alone.terminals.is_empty() && alone.wires == [lone]);
    // A1–B1–C1–C2, the coupling, its fourth cavity, and the wire that flies free.
    assert_eq!(nets.len(), 4);
}

/// Battery → stud → fuse way → switch → input, and a pump that is not passed through.
#[test]
fn a_source_is_traced_through_fuse_and_contact_but_not_through_a_load() {
    let mut loom = Loom::new();
    let (plus, minus) = (
        loom.post("AB+", JunctionKind::Stud),
        loom.post("AB-", JunctionKind::Stud),
    );
    let ends = vec![Terminal::Junction(plus), Terminal::Junction(minus)];
    let volts = PartKind::Source {
        volts_v: None,
        ohm: 0.011,
        limit_a: None,
        switched: false,
        when: String::new(),
    };
    let battery = loom.part("AB", volts, ends);
    let fuse = loom.1.make();
    let fuse_kind = PartKind::FuseWay { fuse };
    let (fed, feed, out) = (
        loom.kind("PB-A 1", SignalKind::SupplyOut),
        loom.kind("DI-A 1", SignalKind::SwitchFeed),
        loom.kind("DI-A 2", SignalKind::SwitchContact),
    );
    let way = loom.part("PB", fuse_kind, vec![Terminal::Junction(plus), at(fed)]);
    let contact = PartKind::Contact {
        ohm: 0.02,
        form: ContactForm::NormallyOpen,
        driver: Driver::StateOnly,
        most_a: None,
        least_a: None,
    };
    let switch = loom.part("DI", contact, vec![at(feed), at(out)]);
    let input = loom.kind("MC-A 14", SignalKind::DigitalInHigh);
    let lonely = loom.kind("MC-A 15", SignalKind::DigitalInHigh);
    let blank = loom.kind("MC-A 16", SignalKind::DigitalInHigh);
    loom.0.edit(blank, |c| c.decision = Decision::Blank);
    let pump = loom.kind("VP-A 1", SignalKind::Motor);
    let load = PartKind::Load {
        mode: LoadMode::Current { current_a: 9.0 },
        least_v: None,
        inrush_a: None,
        inrush_s: None,
        asleep_a: None,
    };
    loom.part("VP", load, vec![at(pump), at(out)]);
    loom.wire("W1", pin(fed), pin(feed));
    loom.wire("W2", pin(out), pin(input));
    let book = loom.book();
    let signals = Signals::of(&book);
    let signal = signals.at_cavity(input).unwrap();
    assert_eq!(
        (signal.sources.as_slice(), signal.sinks.as_slice()),
        (&[out][..], &[input][..])
    );
    let origins: Vec<_> = signal.origins.iter().collect();
    assert_eq!(origins.len(), 1);
    assert_eq!(origins[0].part, battery);
    assert_eq!(origins[0].through[..], [switch, way]);
    assert_eq!(signal.level_v, Some(12.6));
    assert!(signal.has_supply(&book) && !signal.is_ground);
    // From the stud downwards through the fuse there is nothing to trace back to but the battery itself.
    let stud = signals.nets.at(&Terminal::Junction(plus)).unwrap();
    assert_eq!(signals.nets.origins(stud).len(), 1);
    let unsourced: Vec<_> = signals.unsourced(&book).iter().map(|u| u.cavity).collect();
    assert_eq!(unsourced, [lonely, pump]);
}

#[test]
fn ground_reaches_through_chassis_and_joints_and_names_the_reference() {
    let mut loom = Loom::new();
    let (g1, g2) = (
        loom.post("G1", JunctionKind::GroundStud),
        loom.post("SP3", JunctionKind::Splice),
    );
    let path = ChassisPath {
        id: loom.1.make(),
        from: Terminal::Junction(g1),
        to: Terminal::Junction(g2),
        resistance_ohm: 0.002,
        note: String::new(),
    };
    loom.0.put(path);
    let (ground, back) = (
        loom.kind("MC-A 4", SignalKind::Ground),
        loom.kind("MC-A 8", SignalKind::SensorReturn),
    );
    let inner = Terminal::Inner {
        unit: loom.0.unit("MC"),
        node: "star".to_owned(),
    };
    loom.part(
        "MC",
        PartKind::Resistor { ohm: 0.01 },
        vec![at(ground), inner.clone()],
    );
    loom.part(
        "MC",
        PartKind::Resistor { ohm: 10_000.0 },
        vec![at(ground), at(back)],
    );
    loom.wire("W24", pin(ground), End::Junction(g2));
    let supply = loom.kind("MC-A 6", SignalKind::SensorSupply);
    let other = loom.kind("DC-A 2", SignalKind::Ground);
    let book = loom.book();
    let signals = Signals::of(&book);
    let is_ground = |t: &Terminal| signals.get(signals.nets.at(t).unwrap()).unwrap().is_ground;
    assert!(is_ground(&at(ground)) && is_ground(&inner) && is_ground(&at(back)));
    assert!(!is_ground(&at(other)) && !is_ground(&at(supply)));
    assert_eq!(
        signals.at_cavity(supply).unwrap().reference[..],
        [at(back)],
        "a sensor's supply is measured against the sensor's return"
    );
    assert_eq!(
        signals.unsourced(&book),
        [Unsourced {
            cavity: other,
            need: Need::Ground
        }]
    );
}

#[test]
fn a_bus_needs_a_partner() {
    let mut loom = Loom::new();
    let (a, b) = (
        loom.kind("MC-A 28", SignalKind::CanHigh),
        loom.kind("BM-A 6", SignalKind::CanHigh),
    );
    let low = loom.kind("BM-A 7", SignalKind::CanLow);
    let alone = Signals::of(&loom.book()).unsourced(&loom.book());
    assert_eq!(alone.len(), 3);
    loom.wire("W59", pin(a), pin(b));
    let swapped = loom.kind("MC-A 29", SignalKind::CanHigh);
    loom.wire("W60", pin(low), pin(swapped));
    let left: Vec<_> = Signals::of(&loom.book())
        .unsourced(&loom.book())
        .iter()
        .map(|u| u.cavity)
        .collect();
    assert_eq!(left, [low, swapped], "H on L is no partner");
}

/// Wires of the demo come off, are led elsewhere and are added, one edit after the other, and splices are made: what is taken
/// over each time is what would be made anew.
#[test]
fn after_wires_are_edited_signals_are_as_if_made_anew() {
    let demo = demo();
    let mut ends: Vec<End> = demo.all::<Cavity>().keys().map(|id| End::Cavity(*id)).collect();
    ends.extend(demo.all::<Junction>().keys().map(|id| End::Junction(*id)));
    let (mut book, mut signals) = (demo.clone(), Signals::of(&demo));
    let (mut taken_over, mut nth) = (0, 0);
    for wire in demo.all::<Wire>().values() {
        nth += 37;
        let end = |n: usize| ends[n % ends.len()];
        let led = Wire {
            to: end(nth),
            ..wire.clone()
        };
        let added = Wire {
            id: Id::from_bits(nth as u128),
            from: end(nth * 3),
            to: end(nth * 5),
            ..wire.clone()
        };
        let mut splice = demo
            .all::<Junction>()
            .values()
            .next()
            .expect("a junction")
            .clone();
        splice.id = Id::from_bits(nth as u128);
        let onto_it = Wire {
            from: End::Junction(splice.id),
            ..led.clone()
        };
        for changes in [
            vec![Change::replace(wire.clone(), led.clone())],
            vec![
                Change::make(added.clone()),
                Change::make(splice),
                Change::replace(led, onto_it.clone()),
            ],
            vec![Change::remove(onto_it)],
            vec![Change::replace(
                added.clone(),
                Wire {
                    from: End::Free,
                    ..added
                },
            )],
        ] {
            let keys: Vec<Key> = changes.iter().filter_map(Change::key).collect();
            book.follow(&changes);
            let anew = Signals::of(&book);
            let next = signals.next(&book, &keys).expect("wires and splices alone");
            assert!(
                next.all == anew.all && next.nets.all().eq(anew.nets.all()),
                "{keys:?}"
            );
            let alike = signals.all.iter().filter(|of| {
                next.all
                    .iter()
                    .any(|is| Arc::ptr_eq(&is.reference, &of.reference))
            });
            taken_over += usize::from(alike.count() > signals.all.len() / 3);
            signals = next;
        }
    }
    // Were all made anew each time, this could not fail.
    assert!(taken_over > demo.all::<Wire>().len() * 2, "{taken_over}");
}

#[test]
fn after_a_cavity_is_edited_signals_are_made_anew() {
    let book = demo();
    let cavity = book.all::<Cavity>().keys().next().expect("a cavity");
    assert!(Signals::of(&book).next(&book, &[Key::of(*cavity)]).is_none());
}

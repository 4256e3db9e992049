//! Two generated networks of 200 wires, each without a fault and with some: open, to chassis, to supply.

use crimpbook_core::network::{
    Change, Circuit, Condition, Driver, Element, ElementId, Network, NodeId, Start,
};
use crimpbook_record::netlist::lines;

use super::{
    generator::{Generated, generated},
    kept::{FAULT_V, HEALTHY_V, agree, wrote},
};

/// About so many wires each, and the state of their switches. The number also decides which network it is.
const NETWORKS: [(usize, u64); 2] = [(200, 1), (201, 6)];
/// Wires that fail, spread over the loom.
const FAIL: [usize; 3] = [7, 93, 171];

fn faults(made: &Generated) -> Vec<(String, Change)> {
    let mut faults = Vec::new();
    for at in FAIL {
        let (wire, stud) = made.wires[at];
        let (_, far) = made.circuit.elements()[wire.index()].ends();
        let to = |a, b| Change::Bridge { a, b, ohms: 0.001 };
        faults.push((format!("w{at}-open"), Change::Open(wire)));
        faults.push((format!("w{at}-chassis"), to(far, stud)));
        faults.push((format!("w{at}-supply"), to(far, made.supply)));
    }
    faults
}

/// A circuit with the fault written into it.
fn upset(circuit: &Circuit, change: Change) -> Circuit {
    let mut circuit = circuit.clone();
    match change {
        Change::Bridge { a, b, ohms } => {
            circuit.resistance(0, a, b, ohms);
        }
        Change::Open(id) | Change::Closed(id) => {
            let (a, b) = circuit.elements()[id.index()].ends();
            let closed = matches!(change, Change::Closed(_));
            let driver = Driver::Given { closed };
            circuit.replace(
                id,
                Element::Contact {
                    a,
                    b,
                    ohms: 0.001,
                    driver,
                },
            );
        }
    }
    circuit
}

fn node(node: NodeId) -> String {
    // The generator's first node is battery negative.
    match node.index() {
        0 => "0".to_owned(),
        n => format!("n{n}"),
    }
}

/// The deck of a circuit, from where its relays stand.
fn deck(title: &str, circuit: Circuit, start: &Start) -> String {
    let network = Network::new(circuit.clone()).expect("it can be solved");
    let solution = network.solve(start).expect("it is solved");
    let mut deck = vec![
        format!("* Generated network, {title}. Node 0 is battery negative; an element's number is its place in the circuit."),
        "* Diodes: Shockley's law, 1e-12 S beside it, 27 deg C. Lamps: r = sqrt(cold^2 + (hot^2 - cold^2) * abs(v) / rated)."
            .to_owned(),
        "* Frozen as found: contacts of relays and switches, loads below their least volts, sources at a limit.".to_owned(),
    ];
    deck.extend(lines(&circuit, &solution, node, |_| (String::new(), false)));
    deck.join("\n") + "\n"
}

#[test]
fn generated_networks_agree_without_and_with_faults() {
    for (wires, switches) in NETWORKS {
        let made = generated(wires, switches);
        let name = format!("generated/wires-{wires}");
        let network = Network::new(made.circuit.clone()).expect("it can be solved");
        let point = network.operate(&Start::Released).expect("it is solved");
        let is_pulled = |id: &ElementId| point.solution().condition(*id) == Condition::PulledIn;
        let pulled: Vec<ElementId> = made
            .circuit
            .numbered()
            .map(|(id, _)| id)
            .filter(is_pulled)
            .collect();
        assert!(!pulled.is_empty(), "{name}: no relay has pulled in");
        let healthy = deck(&format!("{wires} wires"), made.circuit.clone(), &Start::Released);
        if !wrote(&name, &healthy) {
            let ours = point.solution().held().map(|(n, volts)| (node(n), volts));
            agree(&name, ours, HEALTHY_V, 200);
        }
        let faults_of = point.faults();
        let mut updated = 0;
        for (what, change) in faults(&made) {
            let name = format!("{name}.{what}");
            let start = Start::PulledIn(pulled.clone());
            if wrote(
                &name,
                &deck(
                    &format!("{wires} wires, {what}"),
                    upset(&made.circuit, change),
                    &start,
                ),
            ) {
                continue;
            }
            let faulted = faults_of.solve(&[change]).expect("it is solved");
            updated += usize::from(!faulted.is_anew());
            let ours = point
                .solution()
                .held()
                .filter_map(|(n, _)| Some((node(n), faulted.voltage(n).volts()?)));
            agree(&name, ours, FAULT_V, 180);
        }
        let wrote_only = std::env::var_os("CRIMPBOOK_WRITE_DECKS").is_some();
        assert!(
            wrote_only || updated >= 4,
            "{name}: {updated} faults by update of the factorised network"
        );
    }
}

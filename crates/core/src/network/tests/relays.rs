use crate::network::{Circuit, Condition, Driver, Element, ElementId, Network, NodeId, Potential, Start};

struct Bench {
    circuit: Circuit,
    minus: NodeId,
    plus: NodeId,
}

/// A battery of `emf_v` behind `ohms`.
fn bench(emf_v: f64, ohms: f64) -> Bench {
    let mut circuit = Circuit::new();
    let [minus, plus] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    circuit.source(0, minus, plus, emf_v, ohms);
    Bench { circuit, minus, plus }
}

impl Bench {
    fn coil(&mut self, from: NodeId) -> ElementId {
        let coil = Element::Coil {
            from,
            to: self.minus,
            ohms: 80.0,
            pull_in_v: 8.0,
            drop_out_v: 2.0,
        };
        self.circuit.add(10, coil)
    }

    fn contact(&mut self, a: NodeId, b: NodeId, driver: Driver) -> ElementId {
        self.circuit.add(
            20,
            Element::Contact {
                a,
                b,
                ohms: 0.01,
                driver,
            },
        )
    }
}

#[test]
fn a_coil_closes_its_contact_and_opens_the_other() {
    let mut bench = bench(12.0, 0.01);
    let (made, broken) = (bench.circuit.node(), bench.circuit.node());
    let (minus, plus) = (bench.minus, bench.plus);
    let coil = bench.coil(plus);
    bench.contact(plus, made, Driver::ClosedBy(coil));
    let opened = bench.contact(plus, broken, Driver::OpenedBy(coil));
    bench.circuit.resistance(1, made, minus, 10.0);
    let solution = Network::new(bench.circuit)
        .unwrap()
        .solve(&Start::Released)
        .unwrap();
    assert!(solution.voltage(made).volts().unwrap() > 11.9);
    assert_eq!(solution.voltage(broken), Potential::Floating);
    assert_eq!(solution.condition(coil), Condition::PulledIn);
    assert_eq!(solution.condition(opened), Condition::Open);
    assert_eq!(solution.pulled_in(), [coil]);
    assert!(solution.chattering().is_empty());
}

/// A relay that feeds itself through its own contact stays as it was.
#[test]
fn a_holding_contact_remembers_the_start() {
    let mut bench = bench(12.0, 0.01);
    let fed = bench.circuit.node();
    let (plus, minus) = (bench.plus, bench.minus);
    let coil = bench.coil(fed);
    bench.contact(plus, fed, Driver::ClosedBy(coil));
    bench.circuit.resistance(1, fed, minus, 1000.0);
    let network = Network::new(bench.circuit).unwrap();
    assert!(network.solve(&Start::Released).unwrap().pulled_in().is_empty());
    let held = network.solve(&Start::PulledIn(vec![coil])).unwrap();
    assert_eq!(held.pulled_in(), [coil]);
}

/// Between drop-out and pull-in a coil stays as it was: 12 V through 80 Ω leaves it 6 V.
#[test]
fn between_its_two_voltages_a_coil_stays() {
    let mut bench = bench(12.0, 80.0);
    let coil = bench.coil(bench.plus);
    let network = Network::new(bench.circuit).unwrap();
    assert!(network.solve(&Start::Released).unwrap().pulled_in().is_empty());
    assert_eq!(
        network.solve(&Start::PulledIn(vec![coil])).unwrap().pulled_in(),
        [coil]
    );
}

/// A coil fed through its own opening contact buzzes; what it does not touch stays steady.
#[test]
fn a_buzzer_is_named() {
    let mut bench = bench(12.0, 0.01);
    let [fed, aside] = std::array::from_fn(|_| bench.circuit.node());
    let (plus, minus) = (bench.plus, bench.minus);
    let coil = bench.coil(fed);
    bench.contact(plus, fed, Driver::OpenedBy(coil));
    bench.circuit.resistance(1, fed, minus, 1000.0);
    let other = bench.circuit.node();
    bench.circuit.add(
        2,
        Element::Emf {
            minus,
            plus: aside,
            emf_v: 5.0,
        },
    );
    bench.circuit.resistance(3, aside, other, 10.0);
    let network = Network::new(bench.circuit).unwrap();
    let solution = network.solve(&Start::Released).unwrap();
    assert_eq!(solution.chattering(), [coil]);
    assert_eq!(solution.voltage(other), Potential::At(5.0));
    let Potential::Unsteady { least_v, most_v } = solution.voltage(fed) else {
        panic!("steady")
    };
    assert!(least_v.abs() < 1e-9 && most_v > 11.9, "{least_v} {most_v}");
    assert_eq!(solution.between(fed, minus), None);
}

/// A heavy load behind a weak battery pulls the coil's own supply down: it buzzes as well.
#[test]
fn a_load_that_starves_its_own_relay() {
    let mut bench = bench(12.0, 1.0);
    let fed = bench.circuit.node();
    let (plus, minus) = (bench.plus, bench.minus);
    let coil = bench.coil(plus);
    bench.contact(plus, fed, Driver::ClosedBy(coil));
    bench.circuit.resistance(1, fed, minus, 0.1);
    let solution = Network::new(bench.circuit)
        .unwrap()
        .solve(&Start::Released)
        .unwrap();
    assert_eq!(solution.chattering(), [coil]);
}

#[test]
fn a_contact_needs_a_coil() {
    let mut bench = bench(12.0, 1.0);
    let (plus, minus) = (bench.plus, bench.minus);
    let wire = bench.circuit.resistance(1, plus, minus, 1.0);
    bench.contact(plus, minus, Driver::ClosedBy(wire));
    let error = Network::new(bench.circuit).unwrap_err();
    assert_eq!(
        error.to_string(),
        "element 2 (tag 20): the contact is driven by something that is not a coil"
    );
}

/// Two relays that lock each other out: together they buzz, but the faster one wins.
#[test]
fn two_relays_that_lock_each_other_out_race() {
    let mut bench = bench(12.0, 0.01);
    let [feed_a, feed_b] = std::array::from_fn(|_| bench.circuit.node());
    let plus = bench.plus;
    let (a, b) = (bench.coil(feed_a), bench.coil(feed_b));
    bench.contact(plus, feed_a, Driver::OpenedBy(b));
    bench.contact(plus, feed_b, Driver::OpenedBy(a));
    let network = Network::new(bench.circuit).unwrap();
    assert_eq!(network.solve(&Start::Released).unwrap().chattering(), [a, b]);
    assert_eq!(network.racing(&Start::Released).unwrap(), [a, b]);
    assert!(network.racing(&Start::PulledIn(vec![a])).unwrap().is_empty());
}

/// Relays that pull in together and do not disturb each other do not race.
#[test]
fn independent_relays_do_not_race() {
    let mut bench = bench(12.0, 0.01);
    let plus = bench.plus;
    let coils = [bench.coil(plus), bench.coil(plus)];
    let network = Network::new(bench.circuit).unwrap();
    assert_eq!(network.solve(&Start::Released).unwrap().pulled_in(), coils);
    assert!(network.racing(&Start::Released).unwrap().is_empty());
}

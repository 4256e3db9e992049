use crate::network::{Circuit, Condition, Element, NodeId, Solution, solve};

fn near(left: f64, right: f64) {
    assert!(
        (left - right).abs() <= 1e-8 * right.abs().max(1.0),
        "{left} against {right}"
    );
}

fn at(solution: &Solution, node: NodeId) -> f64 {
    solution.voltage(node).volts().expect("the node is held")
}

/// 13.8 V behind 20 mΩ, at most 32 A, into a resistance.
fn converter(ohms: f64) -> (f64, f64, Condition) {
    let mut circuit = Circuit::new();
    let [minus, plus] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    let converter = Element::LimitedSource {
        minus,
        plus,
        emf_v: 13.8,
        ohms: 0.020,
        limit_a: 32.0,
    };
    let converter = circuit.add(0, converter);
    circuit.resistance(1, plus, minus, ohms);
    let solution = solve(&circuit).unwrap();
    (
        at(&solution, plus),
        solution.current_a(converter),
        solution.condition(converter),
    )
}

#[test]
fn a_limited_source_gives_its_greatest_current_and_no_more() {
    let (volts, current, condition) = converter(1.38 - 0.020);
    near(volts, 13.6);
    near(current, 10.0);
    assert_eq!(condition, Condition::Normal);
    let (volts, current, condition) = converter(0.001);
    near(volts, 0.032);
    near(current, 32.0);
    assert_eq!(condition, Condition::Limited);
}

#[test]
fn a_limited_source_takes_nothing_back() {
    let mut circuit = Circuit::new();
    let [minus, plus, battery] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    let reference = Element::LimitedSource {
        minus,
        plus,
        emf_v: 5.0,
        ohms: 1.0,
        limit_a: 0.1,
    };
    let reference = circuit.add(0, reference);
    circuit.source(1, minus, battery, 12.6, 0.011);
    circuit.resistance(2, battery, plus, 0.5);
    let solution = solve(&circuit).unwrap();
    assert!((at(&solution, plus) - 12.6).abs() < 1e-5);
    near(solution.current_a(reference), -7.6e-6);
    assert_eq!(solution.condition(reference), Condition::Blocked);
}

/// A converter at its limit feeds a load that wants more, and nothing else: neither current depends on
/// the voltage but where the load is starved. 40 A above 8 V is 0.2 Ω; 32 A make 6.4 V.
#[test]
fn a_limit_against_a_constant_current() {
    let mut circuit = Circuit::new();
    let [minus, plus] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    circuit.add(
        0,
        Element::LimitedSource {
            minus,
            plus,
            emf_v: 13.8,
            ohms: 0.020,
            limit_a: 32.0,
        },
    );
    let load = circuit.current_load(1, plus, minus, 40.0, 8.0);
    let solution = solve(&circuit).unwrap();
    near(at(&solution, plus), 6.4);
    assert_eq!(solution.condition(load), Condition::Starved);
}

/// `emf_v` behind `ohms` into a power load.
fn powered(emf_v: f64, ohms: f64, power_w: f64, least_v: f64) -> (f64, Condition) {
    let mut circuit = Circuit::new();
    let [minus, plus] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    circuit.source(0, minus, plus, emf_v, ohms);
    let load = circuit.add(
        1,
        Element::PowerLoad {
            from: plus,
            to: minus,
            power_w,
            least_v,
        },
    );
    let solution = solve(&circuit).unwrap();
    let volts = at(&solution, plus);
    near((emf_v - volts) / ohms, solution.current_a(load));
    (volts, solution.condition(load))
}

#[test]
fn a_power_load_takes_the_upper_of_two_voltages() {
    // 12 V behind 1 Ω, 32 W: V² − 12 V + 32 = 0 has 8 V and 4 V.
    let (volts, condition) = powered(12.0, 1.0, 32.0, 3.0);
    near(volts, 8.0);
    assert_eq!(condition, Condition::Normal);
    // Hard by the end: 36 W is the most that 12 V behind 1 Ω can give.
    let (volts, _) = powered(12.0, 1.0, 35.9999, 3.0);
    near(volts, 6.0 + (36.0f64 - 35.9999).sqrt());
}

#[test]
fn a_power_load_collapses_or_never_starts() {
    // 40 W cannot be given; below 5 V it is 25 / 40 Ω.
    let (volts, condition) = powered(12.0, 1.0, 40.0, 5.0);
    near(volts, 12.0 * 0.625 / 1.625);
    assert_eq!(condition, Condition::Collapsed);
    // The upper voltage, 8 V, is below the least one.
    assert_eq!(powered(12.0, 1.0, 32.0, 9.0).1, Condition::Collapsed);
    // Not even the open circuit has it.
    assert_eq!(powered(12.0, 1.0, 32.0, 13.0).1, Condition::Starved);
}

#[test]
fn a_lamp_between_cold_and_hot() {
    let mut circuit = Circuit::new();
    let [minus, plus, lamp] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    circuit.add(
        0,
        Element::Emf {
            minus,
            plus,
            emf_v: 12.0,
        },
    );
    circuit.resistance(1, plus, lamp, 6.0);
    let bulb = Element::Lamp {
        from: lamp,
        to: minus,
        cold_ohms: 0.6,
        hot_ohms: 6.0,
        rated_v: 12.0,
    };
    let bulb = circuit.add(2, bulb);
    let solution = solve(&circuit).unwrap();
    let (volts, current) = (at(&solution, lamp), solution.current_a(bulb));
    near(current, (12.0 - volts) / 6.0);
    near(volts / current, (0.36 + 35.64 * volts / 12.0).sqrt());
}

/// The current that a diode passes solves its own law, forward and backward.
#[test]
fn a_diode_passes_one_way() {
    for (emf_v, forward) in [(12.0, true), (-12.0, false)] {
        let mut circuit = Circuit::new();
        let [minus, plus, cathode] = std::array::from_fn(|_| circuit.node());
        circuit.set_reference(minus);
        circuit.add(0, Element::Emf { minus, plus, emf_v });
        let diode = Element::Diode {
            anode: plus,
            cathode,
            saturation_a: 1e-9,
            slope_v: 0.045,
        };
        let diode = circuit.add(1, diode);
        circuit.resistance(2, cathode, minus, 100.0);
        let solution = solve(&circuit).unwrap();
        let (drop, current) = (emf_v - at(&solution, cathode), solution.current_a(diode));
        let law = 1e-9 * ((drop / 0.045).exp() - 1.0) + 1e-12 * drop;
        assert!(
            (current - law).abs() <= 1e-6 * law.abs() + 1e-12,
            "{current} against {law}"
        );
        assert_eq!(current > 0.1, forward);
    }
}

/// Two supplies over diodes: the higher feeds, the lower is shut off.
#[test]
fn the_higher_of_two_supplies_feeds() {
    let mut circuit = Circuit::new();
    let [minus, high, low, load] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    circuit.source(0, minus, high, 13.8, 0.02);
    circuit.source(1, minus, low, 12.0, 0.02);
    let diode = |anode| Element::Diode {
        anode,
        cathode: load,
        saturation_a: 1e-9,
        slope_v: 0.045,
    };
    let (from_high, from_low) = (circuit.add(2, diode(high)), circuit.add(3, diode(low)));
    circuit.resistance(4, load, minus, 6.0);
    let solution = solve(&circuit).unwrap();
    assert!(solution.current_a(from_high) > 2.0);
    assert!(solution.current_a(from_low).abs() < 1e-8);
}

/// Two loads on a weak feed: the greedy one collapses, the modest one stands without it.
#[test]
fn what_fell_with_a_collapsing_load_stands_without_it() {
    let mut circuit = Circuit::new();
    let [minus, plus] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    circuit.source(0, minus, plus, 12.0, 1.0);
    let load = |power_w, least_v| Element::PowerLoad {
        from: plus,
        to: minus,
        power_w,
        least_v,
    };
    let greedy = circuit.add(1, load(60.0, 8.0));
    let modest = circuit.add(2, load(10.0, 5.0));
    let solution = solve(&circuit).unwrap();
    assert_eq!(solution.condition(greedy), Condition::Collapsed);
    assert_eq!(solution.condition(modest), Condition::Normal);
    let volts = at(&solution, plus);
    near(12.0 - volts, volts * 60.0 / 64.0 + 10.0 / volts);
    assert!(volts > 5.0);
}

/// A load behind a shut diode has no feed at all, yet an operating point is found.
#[test]
fn a_power_load_behind_a_shut_diode() {
    let mut circuit = Circuit::new();
    let [minus, plus, behind, far] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    circuit.source(0, minus, plus, 12.0, 0.01);
    circuit.resistance(1, plus, behind, 47_000.0);
    circuit.add(
        2,
        Element::Diode {
            anode: behind,
            cathode: far,
            saturation_a: 1e-9,
            slope_v: 0.045,
        },
    );
    let load = circuit.add(
        3,
        Element::PowerLoad {
            from: far,
            to: minus,
            power_w: 2.0,
            least_v: 7.0,
        },
    );
    circuit.add(
        4,
        Element::PowerLoad {
            from: behind,
            to: minus,
            power_w: 0.3,
            least_v: 7.0,
        },
    );
    let solution = solve(&circuit).unwrap();
    assert_eq!(solution.condition(load), Condition::Collapsed);
    assert!(at(&solution, far) < 0.1);
}

/// At switch-on neither of two loads in series finds its voltage; the one that starves lets the other have
/// it, and that one starts.
#[test]
fn a_load_that_starts_through_one_that_starves() {
    let mut circuit = Circuit::new();
    let [minus, plus, between] = std::array::from_fn(|_| circuit.node());
    circuit.set_reference(minus);
    circuit.source(0, minus, plus, 8.0, 0.01);
    let load = |from, to, power_w, least_v| Element::PowerLoad {
        from,
        to,
        power_w,
        least_v,
    };
    let starts = circuit.add(1, load(plus, between, 2.0, 6.0));
    let starves = circuit.add(2, load(between, minus, 100.0, 13.0));
    let solution = solve(&circuit).unwrap();
    assert_eq!(solution.condition(starts), Condition::Normal);
    assert_eq!(solution.condition(starves), Condition::Starved);
    let volts = 8.0 - 0.01 * solution.current_a(starts) - at(&solution, between);
    near(solution.current_a(starts), 2.0 / volts);
}

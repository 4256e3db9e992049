//! Networks like a harness, made from a number of wires alone: the same number gives the same network on
//! every machine.
//!
//! Battery, converter, a chain of ground studs, fuses on rails that are permanent or behind relays; units
//! that hang on a rail and a stud by two wires and talk to each other by signal wires, some over splices.
//! Of the elements about 5 % are diodes, power loads and lamps, 3 % coils with their contacts. A *state*
//! sets the switches.

use crimpbook_core::network::{Circuit, Driver, Element, ElementId, NodeId};

/// A network and what a sweep of faults needs to know of it.
#[derive(Debug, Clone)]
pub struct Generated {
    pub circuit: Circuit,
    /// Each wire with the stud nearest to its far end.
    pub wires: Vec<(ElementId, NodeId)>,
    /// The unswitched feed.
    pub supply: NodeId,
}

/// Numbers that look random and are the same everywhere (splitmix64, a published generator).
struct Dice(u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, bound: usize) -> usize {
        (self.next() % bound as u64) as usize
    }

    /// Between two values, evenly on a logarithmic scale.
    fn between(&mut self, least: f64, most: f64) -> f64 {
        let share = (self.next() >> 11) as f64 / (1u64 << 53) as f64;
        least * (most / least).powf(share)
    }

    fn one_in(&mut self, bound: usize) -> bool {
        self.below(bound) == 0
    }
}

struct Maker {
    made: Generated,
    dice: Dice,
    state: u64,
    wanted: usize,
    studs: Vec<NodeId>,
    rails: Vec<NodeId>,
    fused: Vec<NodeId>,
    /// Unit-side nodes that signals can run to, with the unit's supply and ground.
    inputs: Vec<NodeId>,
}

/// A network of about `wires` wires in one of its states.
pub fn generated(wires: usize, state: u64) -> Generated {
    let mut circuit = Circuit::new();
    let negative = circuit.node();
    let supply = circuit.node();
    circuit.set_reference(negative);
    circuit.source(0, negative, supply, 12.6, 0.011);
    let made = Generated {
        circuit,
        wires: Vec::with_capacity(wires),
        supply,
    };
    let dice = Dice(wires as u64);
    let mut maker = Maker {
        made,
        dice,
        state,
        wanted: wires,
        studs: vec![negative],
        rails: vec![supply],
        fused: vec![supply],
        inputs: Vec::new(),
    };
    maker.skeleton();
    while maker.made.wires.len() < wires {
        maker.unit();
    }
    maker.made
}

impl Maker {
    fn add(&mut self, element: Element) -> ElementId {
        self.made.circuit.add(0, element)
    }

    fn node(&mut self) -> NodeId {
        self.made.circuit.node()
    }

    /// One of the things near where the loom has got to; now and then any.
    fn near(&mut self, from: &[NodeId], wires: usize) -> NodeId {
        let count = from.len();
        if self.dice.one_in(20) {
            return from[self.dice.below(count)];
        }
        let here = self.made.wires.len() * count / wires.max(1);
        from[(here + self.dice.below(3)).clamp(1, count) - 1]
    }

    /// A wire from a node to a new unit-side node behind a contact pair.
    fn wire(&mut self, from: NodeId, stud: NodeId) -> NodeId {
        let end = self.node();
        let ohms = self.dice.between(0.003, 0.3);
        let wire = self
            .made
            .circuit
            .resistance(self.made.wires.len(), from, end, ohms);
        self.made.wires.push((wire, stud));
        if !self.dice.one_in(8) {
            return end;
        }
        let cavity = self.node();
        let ohms = self.dice.between(0.001, 0.01);
        self.made.circuit.resistance(0, end, cavity, ohms);
        cavity
    }

    /// A switch whose position the state gives.
    fn switch(&mut self, a: NodeId, b: NodeId) {
        let closed = (self.dice.next() >> (self.state % 64)) & 1 == 1;
        self.add(Element::Contact {
            a,
            b,
            ohms: 0.02,
            driver: Driver::Given { closed },
        });
    }

    fn skeleton(&mut self) {
        let wires = self.wanted;
        for _ in 0..3 + wires / 100 {
            let (last, next) = (*self.studs.last().unwrap_or(&self.studs[0]), self.node());
            let ohms = self.dice.between(0.001, 0.004);
            self.made.circuit.resistance(0, last, next, ohms);
            if self.studs.len().is_multiple_of(8) {
                // A strap of its own.
                self.made.circuit.resistance(0, self.studs[0], next, 0.002);
            }
            self.studs.push(next);
        }
        let converter = self.node();
        let case = self.studs[2];
        self.add(Element::LimitedSource {
            minus: case,
            plus: converter,
            emf_v: 13.8,
            ohms: 0.02,
            limit_a: 32.0,
        });
        let far = self.wire(converter, case);
        self.made.circuit.resistance(0, far, self.made.supply, 0.001);
        for _ in 0..2 + wires / 60 {
            let (supply, fused) = (self.made.supply, self.node());
            let ohms = self.dice.between(0.003, 0.02);
            self.made.circuit.resistance(0, supply, fused, ohms);
            self.rails.push(fused);
            self.fused.push(fused);
        }
    }

    /// A relay: its coil behind a switch from one rail, its contact making another.
    fn relay(&mut self) {
        let (rails, studs) = (self.rails.clone(), self.studs.clone());
        let stud = self.near(&studs, self.wanted);
        let fused = self.fused.clone();
        let (feed, switched) = (self.near(&fused, self.wanted), self.node());
        let fed = self.node();
        self.switch(feed, fed);
        let from = self.wire(fed, stud);
        let ground = self.wire(stud, stud);
        let ohms = self.dice.between(50.0, 120.0);
        let coil = self.add(Element::Coil {
            from,
            to: ground,
            ohms,
            pull_in_v: 7.5,
            drop_out_v: 1.5,
        });
        if self.dice.one_in(2) {
            self.add(Element::Diode {
                anode: ground,
                cathode: from,
                saturation_a: 1e-9,
                slope_v: 0.045,
            });
        }
        let source = if self.dice.one_in(4) {
            self.near(&rails, self.wanted)
        } else {
            self.near(&fused, self.wanted)
        };
        let driver = if self.dice.one_in(6) {
            Driver::OpenedBy(coil)
        } else {
            Driver::ClosedBy(coil)
        };
        self.add(Element::Contact {
            a: source,
            b: switched,
            ohms: 0.01,
            driver,
        });
        let here = self.made.wires.len() * self.rails.len() / self.wanted;
        self.rails.insert(here.clamp(1, self.rails.len()), switched);
    }

    /// A unit: supply and ground wires, what it draws, and signal wires from and to others.
    fn unit(&mut self) {
        if self.dice.one_in(2) {
            self.relay();
        }
        let (rails, studs) = (self.rails.clone(), self.studs.clone());
        let stud = self.near(&studs, self.wanted);
        let rail = self.near(&rails, self.wanted);
        let mut high = self.wire(rail, stud);
        let low = self.wire(stud, stud);
        if self.dice.one_in(3) {
            let inner = self.node();
            self.add(Element::Diode {
                anode: high,
                cathode: inner,
                saturation_a: 1e-9,
                slope_v: 0.045,
            });
            high = inner;
        }
        let draw = self.dice.between(0.01, 0.5);
        match self.dice.below(4) {
            0 => {
                self.made.circuit.current_load(0, high, low, draw, 7.0);
            }
            1 => {
                self.add(Element::PowerLoad {
                    from: high,
                    to: low,
                    power_w: 12.0 * draw,
                    least_v: 7.0,
                });
            }
            2 => {
                let hot_ohms = 12.0 / draw;
                let cold_ohms = hot_ohms / 10.0;
                self.add(Element::Lamp {
                    from: high,
                    to: low,
                    cold_ohms,
                    hot_ohms,
                    rated_v: 12.0,
                });
            }
            _ => {
                self.made.circuit.resistance(0, high, low, 12.0 / draw);
            }
        }
        let splice = self.node();
        self.made.circuit.resistance(0, low, splice, 0.5);
        for _ in 0..2 + self.dice.below(8) {
            self.signal(high, low, splice, stud);
        }
    }

    /// A signal wire: a pull inside this unit, a switch or a divider at the other end.
    fn signal(&mut self, high: NodeId, low: NodeId, splice: NodeId, stud: NodeId) {
        let inside = if self.dice.one_in(3) { splice } else { self.node() };
        let pull = self.dice.between(1000.0, 47_000.0);
        let pulled_up = self.dice.one_in(2);
        self.made
            .circuit
            .resistance(0, inside, if pulled_up { high } else { low }, pull);
        let far = self.wire(inside, stud);
        match self.dice.below(4) {
            0 => self.switch(far, splice),
            1 if inside != splice => self.switch(far, high),
            2 if !self.inputs.is_empty() => {
                // Mostly to a neighbour, as looms run.
                let near = if self.dice.one_in(10) {
                    self.inputs.len()
                } else {
                    self.inputs.len().min(40)
                };
                let other = self.inputs[self.inputs.len() - 1 - self.dice.below(near)];
                let ohms = self.dice.between(100.0, 10_000.0);
                self.made.circuit.resistance(0, far, other, ohms);
            }
            _ => {
                let ohms = self.dice.between(300.0, 10_000.0);
                self.made.circuit.resistance(0, far, splice, ohms);
            }
        }
        self.inputs.push(inside);
    }
}

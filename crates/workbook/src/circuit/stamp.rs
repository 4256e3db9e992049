//! Writing the wiring and the inside parts into a network, as they stand.

use crimpbook_core::{
    conductor::copper_factor,
    network::{Circuit, Driver, Element, ElementId, NodeId},
};

use super::{Node, Stand, Stands, Wiring, ohms::LEAST_OHM};
use crate::{
    Book,
    model::{ContactForm, Id, LoadMode, OutputSide, Part, PartKind, PartPosition, Quick},
};
use std::collections::HashSet;

/// Below so much a coil at 20 °C lets go, V: a tenth of its pull-in where nobody says (common practice, no source).
pub fn drops_out_v(pull_in_v: Option<f64>, drop_out_v: Option<f64>) -> Option<f64> {
    match (drop_out_v, pull_in_v) {
        (Some(v), Some(most)) => Some(v.clamp(0.0, most.max(0.0))),
        (v, most) => v.or(most.map(|most| 0.1 * most)),
    }
}

/// What an element of the network stands for; places in [`Wiring`]'s lists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// A wire, its joints and its inline fuse.
    Wire(usize),
    /// A contact pair.
    Contact(usize),
    /// A link between two cavities.
    Bridge(usize),
    /// Chassis metal.
    Path(usize),
    /// A pull told by a cavity's limits.
    Pull(usize),
    /// An inside part.
    Part(usize),
    /// The short of an [`super::Upset`].
    Short,
}

/// Elements of one inside part: the one whose current is the part's own, and a second where it has two.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Link {
    /// The part's own current, from its first end to its second (for a source: what it delivers).
    pub main: Option<ElementId>,
    /// A sensor's supply current; a potentiometer's upper half.
    pub other: Option<ElementId>,
}

/// Emission coefficient times thermal voltage of a silicon diode, V (common practice).
const DIODE_SLOPE_V: f64 = 0.045;
/// The current a diode's forward voltage is taken to hold at, A (our own).
const DIODE_USUAL_A: f64 = 1.0;
/// A load whose least voltage is not told keeps its current down to here, V (our own).
const LEAST_V: f64 = 0.5;
/// A sensor draws its current from here on, V (our own).
const SENSOR_LEAST_V: f64 = 1.0;
/// A potentiometer never gets nearer to its end than this share (our own; it keeps the network solvable).
const END_OF_TRACK: f64 = 1e-4;

/// The network as it is written, and which element is what.
pub(super) struct Stamped {
    pub circuit: Circuit,
    pub nodes: Vec<NodeId>,
    pub what: Vec<What>,
    pub wires: Vec<ElementId>,
    pub contacts: Vec<ElementId>,
    pub parts: Vec<Link>,
}

pub(super) struct Stamp<'a> {
    pub book: &'a Book,
    pub wiring: &'a Wiring,
    pub stands: &'a Stands,
    /// Coils with an economiser that pulled in: they draw their holding current.
    pub holding: &'a HashSet<Id<Part>>,
    /// Copper's resistance over that at 20 °C, beside [`Wiring::wires`].
    pub copper: &'a [f64],
    /// Voltage of sources that follow the supply, V.
    pub supply_v: f64,
}

impl Stamp<'_> {
    pub(super) fn write(&self) -> Stamped {
        let mut out = Stamped {
            circuit: Circuit::new(),
            nodes: Vec::new(),
            what: Vec::new(),
            wires: Vec::new(),
            contacts: Vec::new(),
            parts: Vec::new(),
        };
        out.nodes = (0..self.wiring.nodes.count())
            .map(|_| out.circuit.node())
            .collect();
        if let Some(reference) = self.wiring.reference {
            out.circuit.set_reference(out.at(reference));
        }
        for (at, run) in self.wiring.wires.iter().enumerate() {
            let factor = self.copper.get(at).copied().unwrap_or(1.0);
            let element = out.ohm(What::Wire(at), run.from, run.to, run.ohm(factor));
            out.wires.push(element);
        }
        for (at, run) in self.wiring.contacts.iter().enumerate() {
            let element = out.ohm(What::Contact(at), run.unit_side, run.wire_side, run.ohm);
            out.contacts.push(element);
        }
        for (at, (_, one, other, ohm)) in self.wiring.bridges.iter().enumerate() {
            out.ohm(What::Bridge(at), *one, *other, *ohm);
        }
        for (at, (_, from, to, ohm)) in self.wiring.paths.iter().enumerate() {
            out.ohm(What::Path(at), *from, *to, *ohm);
        }
        for (at, run) in self.wiring.pulls.iter().enumerate() {
            out.ohm(What::Pull(at), run.from, run.to, run.ohm);
        }
        out.parts = vec![Link::default(); self.wiring.parts.len()];
        // Coils first: a contact names the coil that moves it.
        let mut coils = Quick::default();
        let parts = self.wiring.parts_of(self.book);
        let parts: Vec<(usize, &Part)> = parts.map(|(at, _, part)| (at, part)).collect();
        for coils_now in [true, false] {
            for (at, part) in &parts {
                if matches!(part.kind, PartKind::Coil { .. }) != coils_now {
                    continue;
                }
                let link = self.part(&mut out, *at, part, &coils);
                if link.main.is_none() {
                    out.keep_place(What::Part(*at), part, &self.wiring.parts[*at].ends);
                }
                if let Some(element) = link.main.filter(|_| coils_now) {
                    coils.insert(part.id, element);
                }
                out.parts[*at] = link;
            }
        }
        out
    }

    fn part(&self, out: &mut Stamped, at: usize, part: &Part, coils: &Quick<Id<Part>, ElementId>) -> Link {
        let run = &self.wiring.parts[at];
        let end = |which: usize| run.ends[which];
        let tag = What::Part(at);
        let stand = self.stands.get(part.id);
        let off = stand == Stand::Given(PartPosition::Off);
        let one = |element: Option<ElementId>| Link {
            main: element,
            other: None,
        };
        match &part.kind {
            PartKind::Source {
                volts_v,
                ohm,
                limit_a,
                switched,
                ..
            } => {
                let dead = off || (*switched && stand == Stand::Unknown);
                let volts = volts_v.unwrap_or(self.supply_v);
                one((!dead).then(|| self.source(out, at, volts, *ohm, *limit_a)))
            }
            PartKind::Reference {
                volts_v,
                ohm,
                limit_a,
            } => one((!off).then(|| self.source(out, at, *volts_v, *ohm, *limit_a))),
            PartKind::Resistor { ohm } | PartKind::Terminator { ohm } => {
                one(Some(out.ohm(tag, end(0), end(1), *ohm)))
            }
            PartKind::Lamp {
                hot_ohm,
                cold_ohm,
                rated_v,
            } => one((!off).then(|| match (cold_ohm, rated_v) {
                (Some(cold), Some(rated_v)) if *cold > 0.0 && cold < hot_ohm && *rated_v > 0.0 => {
                    let (from, to) = (out.at(end(0)), out.at(end(1)));
                    out.add(
                        tag,
                        Element::Lamp {
                            from,
                            to,
                            cold_ohms: *cold,
                            hot_ohms: *hot_ohm,
                            rated_v: *rated_v,
                        },
                    )
                }
                _ => out.ohm(tag, end(0), end(1), *hot_ohm),
            })),
            PartKind::FuseWay { .. } => one(Some(out.ohm(tag, end(0), end(1), run.fuse_ohm))),
            PartKind::Load { .. } => one(self.load(out, at, &part.kind, stand)),
            PartKind::Coil { .. } => one(Some(self.coil(out, at, part, stand))),
            PartKind::Contact { ohm, form, .. } => self.contact(out, at, *ohm, *form, stand, coils),
            PartKind::Output { side, ohm, .. } => one(self.output(out, at, *side, *ohm, stand)),
            PartKind::Diode { forward_v } => {
                let (anode, cathode) = (out.at(end(0)), out.at(end(1)));
                one(Some(out.add(
                    tag,
                    Element::Diode {
                        anode,
                        cathode,
                        saturation_a: DIODE_USUAL_A / (forward_v.max(0.1) / DIODE_SLOPE_V).exp(),
                        slope_v: DIODE_SLOPE_V,
                    },
                )))
            }
            PartKind::Potentiometer { ohm } => {
                let x = travel(stand);
                let share = |x: f64| ohm * x.max(END_OF_TRACK);
                Link {
                    main: Some(out.ohm(tag, end(0), end(2), share(x))),
                    other: Some(out.ohm(tag, end(2), end(1), share(1.0 - x))),
                }
            }
            PartKind::Ratiometric { .. } if off => Link::default(),
            PartKind::Ratiometric { a, b, ohm, draws_a } => {
                let (high, low, signal) = (out.at(end(0)), out.at(end(1)), out.at(end(2)));
                let share = (a + b * travel(stand)).clamp(-0.5, 1.5);
                Link {
                    main: Some(out.add(
                        tag,
                        Element::Ratiometric {
                            low,
                            high,
                            out: signal,
                            share,
                            ohms: ohm.max(LEAST_OHM),
                        },
                    )),
                    other: (*draws_a > 0.0).then(|| out.draw(tag, end(0), end(1), *draws_a, SENSOR_LEAST_V)),
                }
            }
        }
    }

    fn source(&self, out: &mut Stamped, at: usize, emf_v: f64, ohm: f64, limit_a: Option<f64>) -> ElementId {
        let run = &self.wiring.parts[at];
        let (plus, minus, ohms) = (out.at(run.ends[0]), out.at(run.ends[1]), ohm.max(LEAST_OHM));
        let element = match limit_a.filter(|a| *a > 0.0) {
            Some(limit_a) => Element::LimitedSource {
                minus,
                plus,
                emf_v,
                ohms,
                limit_a,
            },
            None => Element::Source {
                minus,
                plus,
                emf_v,
                ohms,
            },
        };
        out.add(What::Part(at), element)
    }

    fn coil(&self, out: &mut Stamped, at: usize, part: &Part, stand: Stand) -> ElementId {
        let run = &self.wiring.parts[at];
        let (tag, from, to) = (What::Part(at), run.ends[0], run.ends[1]);
        let PartKind::Coil {
            ohm,
            pull_in_v,
            drop_out_v,
            hold_a,
            ..
        } = part.kind
        else {
            return out.ohm(tag, from, to, LEAST_OHM);
        };
        let holds = stand == Stand::Given(PartPosition::On) || self.holding.contains(&part.id);
        if let Some(hold) = hold_a.filter(|a| holds && *a > 0.0) {
            return out.draw(
                tag,
                from,
                to,
                hold,
                drop_out_v.filter(|v| *v > 0.0).unwrap_or(LEAST_V),
            );
        }
        // Pull-in and drop-out are ampere-turns: ohms and volts rise together with the copper's temperature.
        let hot = copper_factor(run.ambient_c);
        match (stand, pull_in_v.filter(|v| *v > 0.0)) {
            (Stand::Follows(_), Some(pull_in)) => {
                let (from, to) = (out.at(from), out.at(to));
                let drop_out = drops_out_v(Some(pull_in), drop_out_v).unwrap_or(0.0);
                out.add(
                    tag,
                    Element::Coil {
                        from,
                        to,
                        ohms: (ohm * hot).max(LEAST_OHM),
                        pull_in_v: pull_in * hot,
                        drop_out_v: drop_out * hot,
                    },
                )
            }
            _ => out.ohm(tag, from, to, ohm * hot),
        }
    }

    fn contact(
        &self,
        out: &mut Stamped,
        at: usize,
        ohm: f64,
        form: ContactForm,
        stand: Stand,
        coils: &Quick<Id<Part>, ElementId>,
    ) -> Link {
        let end = |which: usize| self.wiring.parts[at].ends[which];
        let operated = match stand {
            Stand::Given(PartPosition::Off) | Stand::Unknown => Some(false),
            Stand::Given(_) => Some(true),
            Stand::Follows(coil) if self.holding.contains(&coil) => Some(true),
            Stand::Follows(_) => None,
        };
        let is_coil =
            |e: &ElementId| matches!(out.circuit.elements().get(e.index()), Some(Element::Coil { .. }));
        let coil = match stand {
            Stand::Follows(coil) if operated.is_none() => coils.get(&coil).copied().filter(is_coil),
            _ => None,
        };
        let mut join = |other: Node, closed_when_operated: bool| {
            let driver = match (operated, coil) {
                (None, Some(coil)) if closed_when_operated => Driver::ClosedBy(coil),
                (None, Some(coil)) => Driver::OpenedBy(coil),
                (operated, _) => Driver::Given {
                    closed: operated.unwrap_or(false) == closed_when_operated,
                },
            };
            let (a, b, ohms) = (out.at(end(0)), out.at(other), ohm.max(LEAST_OHM));
            let element = out.add(What::Part(at), Element::Contact { a, b, ohms, driver });
            (driver != Driver::Given { closed: false }).then_some(element)
        };
        match form {
            ContactForm::NormallyOpen => Link {
                main: join(end(1), true),
                other: None,
            },
            ContactForm::NormallyClosed => Link {
                main: join(end(1), false),
                other: None,
            },
            ContactForm::ChangeOver => Link {
                main: join(end(2), true),
                other: join(end(1), false),
            },
        }
    }

    fn load(&self, out: &mut Stamped, at: usize, kind: &PartKind, stand: Stand) -> Option<ElementId> {
        let PartKind::Load {
            mode,
            least_v,
            inrush_a,
            asleep_a,
            ..
        } = kind
        else {
            return None;
        };
        let run = &self.wiring.parts[at];
        let (tag, from, to) = (What::Part(at), run.ends[0], run.ends[1]);
        let least = least_v.filter(|v| *v > 0.0).unwrap_or(LEAST_V);
        let steady = match stand {
            Stand::Given(PartPosition::Off) => *asleep_a,
            Stand::Given(PartPosition::Starting) if inrush_a.is_some() => *inrush_a,
            _ => match mode {
                LoadMode::Current { current_a } => Some(*current_a),
                LoadMode::Resistance { ohm } => return Some(out.ohm(tag, from, to, *ohm)),
                LoadMode::Power { power_w } if *power_w > 0.0 => {
                    let (from, to) = (out.at(from), out.at(to));
                    return Some(out.add(
                        tag,
                        Element::PowerLoad {
                            from,
                            to,
                            power_w: *power_w,
                            least_v: least,
                        },
                    ));
                }
                LoadMode::Power { .. } => None,
            },
        };
        steady
            .filter(|a| *a > 0.0)
            .map(|current_a| out.draw(tag, from, to, current_a, least))
    }

    fn output(
        &self,
        out: &mut Stamped,
        at: usize,
        side: OutputSide,
        ohm: f64,
        stand: Stand,
    ) -> Option<ElementId> {
        let end = |which: usize| self.wiring.parts[at].ends[which];
        let tag = What::Part(at);
        let on = match stand {
            Stand::Given(PartPosition::On | PartPosition::Starting) => true,
            // A switched line has no average that a resistance could stand for: it is shown as it is most of the time.
            Stand::Given(PartPosition::Travel(duty)) => duty >= 0.5,
            _ => false,
        };
        match side {
            OutputSide::PushPull => match stand {
                Stand::Given(PartPosition::Travel(duty)) => {
                    let (pin, supply, ground) = (out.at(end(0)), out.at(end(1)), out.at(end(2)));
                    Some(out.add(
                        tag,
                        Element::Ratiometric {
                            low: ground,
                            high: supply,
                            out: pin,
                            share: duty.clamp(0.0, 1.0),
                            ohms: ohm.max(LEAST_OHM),
                        },
                    ))
                }
                _ => Some(out.ohm(tag, end(0), if on { end(1) } else { end(2) }, ohm)),
            },
            OutputSide::HighSide | OutputSide::LowSide | OutputSide::OpenCollector => {
                on.then(|| out.ohm(tag, end(0), end(1), ohm))
            }
        }
    }
}

impl Stamped {
    pub(super) fn at(&self, node: Node) -> NodeId {
        self.nodes[node as usize]
    }

    pub(super) fn add(&mut self, what: What, element: Element) -> ElementId {
        self.what.push(what);
        self.circuit.add(self.what.len() - 1, element)
    }

    /// Holds the place of a part that is not there as things stand, so that every state is joined alike.
    fn keep_place(&mut self, what: What, part: &Part, ends: &[Node]) {
        let (one, other) = match (&part.kind, ends) {
            (PartKind::Source { .. } | PartKind::Reference { .. }, [plus, minus]) => (*minus, *plus),
            (PartKind::Load { .. } | PartKind::Lamp { .. } | PartKind::Output { .. }, [one, other]) => {
                (*one, *other)
            }
            _ => return,
        };
        let (a, b) = (self.at(one), self.at(other));
        let driver = Driver::Given { closed: false };
        self.add(
            what,
            Element::Contact {
                a,
                b,
                ohms: 1.0,
                driver,
            },
        );
    }

    fn ohm(&mut self, what: What, one: Node, other: Node, ohm: f64) -> ElementId {
        let (a, b) = (self.at(one), self.at(other));
        let ohms = self::ohm(ohm);
        self.add(what, Element::Resistance { a, b, ohms })
    }

    fn draw(&mut self, what: What, from: Node, to: Node, current_a: f64, least_v: f64) -> ElementId {
        let (from, to) = (self.at(from), self.at(to));
        self.add(
            what,
            Element::CurrentLoad {
                from,
                to,
                current_a,
                least_v,
            },
        )
    }
}

/// Ohms that a network can be solved with.
pub(super) fn ohm(ohm: f64) -> f64 {
    if ohm.is_finite() { ohm.max(LEAST_OHM) } else { 1e12 }
}

/// Travel of a potentiometer or sensor, 0 to 1.
fn travel(stand: Stand) -> f64 {
    match stand {
        Stand::Given(PartPosition::Travel(x)) if x.is_finite() => x.clamp(0.0, 1.0),
        _ => 0.0,
    }
}

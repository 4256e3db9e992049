//! Colours for wires that have none: from the drums in stock, by the custom of the house, no colour twice in a plug.

use super::{
    cut_m,
    drums::{Left, drums_of, from_drums},
};
use crate::{
    Book,
    book::{InOrder, natural},
    edit::{Change, Edit},
    model::{
        Cavity, ColourUse, Connector, Drum, End, Id, OutputSide, Part, PartKind, SignalKind, Wire,
        WireColour, WireUse,
    },
    signals::{Net, NetId, OriginKind, Signal, Signals},
};

/// A colour for a wire, or why there is none.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The wire.
    pub wire: Id<Wire>,
    /// What it is for; none: nothing tells.
    pub purpose: Option<WireUse>,
    /// Colour and drum; else what stands against it.
    pub colour: Result<(WireColour, Id<Drum>), String>,
}

/// What a wire is for, as far as the plan tells.
pub fn wire_use(book: &Book, signals: &Signals, wire: Id<Wire>) -> Option<WireUse> {
    let id = signals.nets.of_wire(wire)?;
    let (net, signal) = (signals.nets.get(id)?, signals.get(id)?);
    let kinds: Vec<SignalKind> = net
        .cavities()
        .filter_map(|c| book.get::<Cavity>(c)?.kind)
        .collect();
    let any = |wanted: &[SignalKind]| kinds.iter().any(|k| wanted.contains(k));
    let of_net = |kind: OriginKind| signal.origins.iter().any(|o| o.net == id && o.kind == kind);
    let pulls = [OutputSide::LowSide, OutputSide::OpenCollector];
    Some(if any(&[SignalKind::SensorReturn]) {
        WireUse::SensorReturn
    } else if signal.is_ground {
        WireUse::Ground
    } else if any(&[SignalKind::CanHigh]) {
        WireUse::CanHigh
    } else if any(&[SignalKind::CanLow]) {
        WireUse::CanLow
    } else if any(&[SignalKind::SensorSupply]) || of_net(OriginKind::Reference) {
        WireUse::SensorSupply
    } else if any(&[SignalKind::LowSideOut, SignalKind::OpenCollector])
        || pulls.iter().any(|side| of_net(OriginKind::Output(*side)))
    {
        WireUse::Drive
    } else {
        supply(book, net, signal, any)?
    })
}

/// Supply, switched or not, or a signal.
fn supply(book: &Book, net: &Net, signal: &Signal, any: impl Fn(&[SignalKind]) -> bool) -> Option<WireUse> {
    let part = |id: &Id<Part>| book.get(*id).map(|p| &p.kind);
    let power = signal.origins.iter().filter(|o| o.kind == OriginKind::Power);
    let unswitched = |o: &crate::signals::Origin| {
        let switched = |id: &Id<Part>| matches!(part(id), Some(PartKind::Contact { .. }));
        let off = matches!(part(&o.part), Some(PartKind::Source { switched: true, .. }));
        !off && !o.through.iter().any(switched)
    };
    let feeds = any(&[
        SignalKind::SupplyIn,
        SignalKind::LogicSupply,
        SignalKind::Coil,
        SignalKind::Lamp,
        SignalKind::Motor,
        SignalKind::ClampSupply,
        SignalKind::SwitchFeed,
        SignalKind::SensorFeed,
    ]);
    if power.clone().any(|o| unswitched(&o)) {
        Some(WireUse::Permanent)
    } else if any(&[SignalKind::HighSideOut]) || (power.count() > 0 && feeds) {
        Some(WireUse::Switched)
    } else if signal.has_source()
        || net
            .cavities()
            .any(|c| book.get(c).is_some_and(|c| c.kind.is_some()))
    {
        Some(WireUse::Signal)
    } else {
        None
    }
}

/// Every wire without a colour, by label, with the colour that is proposed; each takes its metres from its drum before the
/// next is looked at. `waste` is the share that is cut off or cut wrong.
pub fn propose(book: &Book, signals: &Signals, waste: f64) -> Vec<Proposal> {
    let mut desk = Desk::new(book, signals, waste);
    let mut wires: Vec<&Wire> = book
        .all::<Wire>()
        .values()
        .filter(|w| w.colour.is_none())
        .collect();
    wires.order_by(|w| natural(&w.label));
    wires.into_iter().map(|wire| desk.propose(wire)).collect()
}

/// Colours that one wire may get, the best first, as if it had none; why there is none.
///
/// # Errors
/// What stands against every drum in stock.
pub fn colours_for(
    book: &Book,
    signals: &Signals,
    wire: &Wire,
    waste: f64,
) -> Result<Vec<(WireColour, Id<Drum>)>, String> {
    Desk::new(book, signals, waste).fitting(wire, wire_use(book, signals, wire.id))
}

/// The edit that gives the proposed colours; none where nothing is proposed.
pub fn take_colours(book: &Book, proposals: &[Proposal]) -> Option<Edit> {
    let changes: Vec<Change> = proposals
        .iter()
        .filter_map(|p| {
            let before = book.get(p.wire)?.clone();
            let (colour, _) = p.colour.as_ref().ok()?;
            let after = Wire {
                colour: Some(*colour),
                ..before.clone()
            };
            Some(Change::replace(before, after))
        })
        .collect();
    let many = changes.len();
    let title = format!(
        "colours from stock for {many} wire{}",
        if many == 1 { "" } else { "s" }
    );
    (many > 0).then(|| Edit::design(title, changes))
}

struct Desk<'a> {
    book: &'a Book,
    signals: &'a Signals,
    waste: f64,
    left: Left,
    /// Colours given out on the way: plug, colour, net.
    given: Vec<(Id<Connector>, WireColour, Option<NetId>)>,
}

impl<'a> Desk<'a> {
    fn new(book: &'a Book, signals: &'a Signals, waste: f64) -> Self {
        let (_, left) = from_drums(book, waste);
        let mut given = Vec::new();
        for wire in book.all::<Wire>().values() {
            if let Some(colour) = wire.colour {
                let net = signals.nets.of_wire(wire.id);
                given.extend(plugs(book, wire).map(|plug| (plug, colour, net)));
            }
        }
        Self {
            book,
            signals,
            waste,
            left,
            given,
        }
    }

    fn propose(&mut self, wire: &Wire) -> Proposal {
        let purpose = wire_use(self.book, self.signals, wire.id);
        let colour = self
            .fitting(wire, purpose)
            .and_then(|all| all.first().copied().ok_or_else(|| "no drum".to_owned()));
        if let Ok((colour, drum)) = colour {
            let needs = cut_m(self.book, wire).unwrap_or(0.0) * (1.0 + self.waste);
            if let Some(left) = self.left.get_mut(&drum) {
                *left -= needs;
            }
            let net = self.signals.nets.of_wire(wire.id);
            self.given
                .extend(plugs(self.book, wire).map(|plug| (plug, colour, net)));
        }
        Proposal {
            wire: wire.id,
            purpose,
            colour,
        }
    }

    /// Drums that fit, best first: what the house keeps for this use, then the drum with the most left.
    fn fitting(&self, wire: &Wire, purpose: Option<WireUse>) -> Result<Vec<(WireColour, Id<Drum>)>, String> {
        let area = wire.area_mm2.ok_or("its size is not given")?;
        let length = cut_m(self.book, wire).ok_or("its length is not given")?;
        let book = self.book;
        let sized: Vec<(&Drum, WireColour)> = drums_of(book, area, wire.insulation_class_c)
            .into_iter()
            .filter_map(|d| Some((d, d.colour?)))
            .collect();
        if sized.is_empty() {
            return Err("no drum of its size is in stock".to_owned());
        }
        let mut fitting: Vec<(&Drum, WireColour, f64)> = sized
            .into_iter()
            .filter_map(|(d, c)| Some((d, c, *self.left.get(&d.id)?)))
            .filter(|(_, _, left)| *left >= length * (1.0 + self.waste))
            .collect();
        if fitting.is_empty() {
            return Err("no drum of its size has enough left".to_owned());
        }
        let custom: Vec<(WireUse, WireColour)> = book
            .all::<ColourUse>()
            .values()
            .filter_map(|c| Some((c.purpose, c.colour?)))
            .collect();
        let own: Vec<WireColour> = custom
            .iter()
            .filter(|(of, _)| Some(*of) == purpose)
            .map(|(_, c)| *c)
            .collect();
        let kept = |colour: WireColour| custom.iter().any(|(_, c)| meets(colour, *c));
        fitting.retain(|(_, colour, _)| {
            if own.is_empty() {
                !kept(*colour)
            } else {
                own.iter().any(|c| meets(*colour, *c))
            }
        });
        if fitting.is_empty() {
            let what = purpose.map_or("what nothing tells the use of", WireUse::words);
            return Err(if own.is_empty() {
                format!("the house keeps every colour in stock for something else than {what}")
            } else {
                let all: Vec<String> = own.iter().map(ToString::to_string).collect();
                format!(
                    "the house gives {what} {}, and no drum of it has enough",
                    all.join(" or ")
                )
            });
        }
        let net = self.signals.nets.of_wire(wire.id);
        let ends: Vec<Id<Connector>> = plugs(book, wire).collect();
        fitting.retain(|(_, colour, _)| {
            !self
                .given
                .iter()
                .any(|(plug, c, of)| c == colour && ends.contains(plug) && (*of != net || net.is_none()))
        });
        if fitting.is_empty() {
            return Err("every colour that would do is in its plug already".to_owned());
        }
        // Most left first; drums were in the order of their labels, which stands where two have as much.
        fitting.sort_by(|a, b| b.2.total_cmp(&a.2));
        Ok(fitting.into_iter().map(|(d, c, _)| (c, d.id)).collect())
    }
}

/// Whether a colour is what a custom says: the same, or of the base colour where the custom names no tracer.
fn meets(colour: WireColour, custom: WireColour) -> bool {
    colour == custom || (custom.tracer.is_none() && colour.base == custom.base)
}

/// The plugs a wire ends in, each once.
fn plugs<'a>(book: &'a Book, wire: &Wire) -> impl Iterator<Item = Id<Connector>> + use<'a> {
    let of = |end: End| match end {
        End::Cavity(id) => book.get(id).map(|c| c.connector),
        _ => None,
    };
    let (from, to) = (of(wire.from), of(wire.to));
    from.into_iter().chain(to.filter(|to| Some(*to) != from))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testing::Bench;
    use proptest::prelude::*;

    /// A key switch of which one side is fed, and a controller.
    fn bench() -> Bench {
        let mut bench = Bench::new();
        bench.battery();
        bench.fuse_way("F1", 10.0, "BP", "PB-A1");
        bench.wire("W1", "PB-A1", "KS-A1", 0.5, 2.0);
        bench.wire("W2", "KS-A2", "MC-A1", 0.5, 2.0);
        bench.wire("W3", "MC-A2", "BN", 0.5, 1.0);
        bench.wire("W4", "MC-A3", "SV-A1", 0.5, 1.0);
        let switch = bench.switch("KEY", &["off", "on"]);
        bench.part(
            "KEY",
            Bench::contact(
                crate::model::ContactForm::NormallyOpen,
                crate::model::Driver::Switch {
                    switch,
                    operated_in: vec!["on".to_owned()],
                },
            ),
            &["KS-A1", "KS-A2"],
        );
        for (connector, number, kind) in [
            ("KS-A", "1", SignalKind::SwitchFeed),
            ("MC-A", "1", SignalKind::LogicSupply),
            ("MC-A", "2", SignalKind::Ground),
            ("MC-A", "3", SignalKind::AnalogueIn),
        ] {
            let cavity = bench.cavity(connector, number);
            bench.edit(cavity, |c: &mut Cavity| c.kind = Some(kind));
        }
        let about = bench.named::<crate::model::About>("test bench");
        let End::Junction(post) = bench.end("BN") else {
            panic!()
        };
        bench.edit(about, |a: &mut crate::model::About| a.reference = Some(post));
        bench
    }

    fn said(bench: &Bench) -> Vec<(String, String, String)> {
        let book = bench.book();
        propose(&book, &Signals::of(&book), 0.1)
            .into_iter()
            .map(|p| {
                (
                    book.label_of(p.wire),
                    p.purpose.map_or("?", WireUse::words).to_owned(),
                    p.colour.map_or_else(|why| why, |(c, _)| c.to_string()),
                )
            })
            .collect()
    }

    fn colours(bench: &Bench) -> Vec<String> {
        said(bench).into_iter().map(|(_, _, colour)| colour).collect()
    }

    #[test]
    fn the_plan_tells_what_wires_are_for() {
        let uses: Vec<String> = said(&bench()).into_iter().map(|(_, of, _)| of).collect();
        assert_eq!(uses, ["permanent", "switched", "ground", "signal"]);
    }

    #[test]
    fn the_house_decides_and_keeps_its_colours_for_their_use() {
        let mut bench = bench();
        assert_eq!(
            colours(&bench)[0],
            "no drum of its size is in stock",
            "without a drum"
        );
        bench.drum("D1", 0.5, "RD", 50.0);
        bench.drum("D2", 0.5, "BK", 40.0);
        bench.drum("D3", 0.5, "GN", 30.0);
        bench.drum("D4", 0.5, "BK/WH", 3.0);
        for (purpose, colour) in [(WireUse::Permanent, "RD"), (WireUse::Ground, "BK")] {
            bench.colour_use(purpose, colour);
        }
        assert_eq!(
            colours(&bench),
            [
                "RD",
                "GN",
                "BK",
                "every colour that would do is in its plug already"
            ]
        );
        bench.drum("D5", 0.75, "YE", 30.0);
        bench.drum("D6", 0.5, "YE", 1.0);
        assert_eq!(
            colours(&bench)[3],
            "every colour that would do is in its plug already"
        );
        bench.drum("D7", 0.5, "YE/BU", 1.1);
        assert_eq!(colours(&bench)[3], "YE/BU", "1 m with a tenth of waste");
    }

    #[test]
    fn what_the_house_gives_and_has_not_is_said() {
        let mut bench = bench();
        bench.drum("D1", 0.5, "RD", 50.0);
        bench.colour_use(WireUse::Ground, "BN");
        bench.colour_use(WireUse::Switched, "RD");
        let all = colours(&bench);
        assert_eq!(all[2], "the house gives ground BN, and no drum of it has enough");
        assert_eq!(
            all[0],
            "the house keeps every colour in stock for something else than permanent"
        );
    }

    #[test]
    fn taking_them_changes_those_wires_only() {
        let mut bench = bench();
        bench.drum("D1", 0.5, "RD", 5.0);
        let book = bench.book();
        let all = propose(&book, &Signals::of(&book), 0.1);
        // 2.2 m each; the third wire of 1.1 m would lie beside the second one in MC-A.
        assert_eq!(all.iter().filter(|p| p.colour.is_ok()).count(), 2, "{all:?}");
        let edit = take_colours(&book, &all).unwrap();
        assert_eq!(
            (edit.changes.len(), edit.title.as_str()),
            (2, "colours from stock for 2 wires")
        );
        assert_eq!(take_colours(&book, &[]), None);
    }

    proptest! {
        /// Whatever is in stock: no colour twice in a plug but for one net, and no drum gives more than it holds.
        #[test]
        fn never_twice_in_a_plug_and_never_more_than_there_is(
            drums in proptest::collection::vec((0..6usize, 0.5..9.0_f64), 0..8),
        ) {
            let mut bench = bench();
            let letters = ["RD", "BK", "GN", "YE", "BU", "WH/RD"];
            for (n, (colour, metres)) in (1..).zip(&drums) {
                bench.drum(&format!("D{n}"), 0.5, letters[*colour], *metres);
            }
            let book = bench.book();
            let all = propose(&book, &Signals::of(&book), 0.1);
            let mut book_after = book.clone();
            if let Some(edit) = take_colours(&book, &all) {
                book_after.follow(&edit.changes);
            }
            let signals = Signals::of(&book_after);
            let wires: Vec<&Wire> = book_after.all::<Wire>().values().collect();
            for (n, one) in wires.iter().enumerate() {
                for other in wires.iter().skip(n + 1).filter(|o| o.colour.is_some() && o.colour == one.colour) {
                    let meet = plugs(&book_after, one).any(|p| plugs(&book_after, other).any(|q| p == q));
                    prop_assert!(!meet || signals.nets.of_wire(one.id) == signals.nets.of_wire(other.id));
                }
            }
            let mut given = std::collections::BTreeMap::<_, f64>::new();
            for p in &all {
                if let Ok((_, drum)) = p.colour {
                    *given.entry(drum).or_default() += book.get(p.wire).unwrap().length_m.unwrap() * 1.1;
                }
            }
            for (drum, metres) in given {
                prop_assert!(metres <= book.get(drum).unwrap().stock_m + 1e-9);
            }
        }
    }
}

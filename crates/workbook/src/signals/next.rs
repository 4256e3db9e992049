//! Signals after an edit of wires: those that the edit cannot reach are taken over.

use std::sync::Arc;

use super::{
    NetId, Nets, Signal, Signals,
    signal::{Against, carried_by},
};
use crate::{
    Book,
    model::{End, Id, Key, Kind, Terminal, Wire},
};

impl Signals {
    /// The signals of a book that differs from the one these are of, as far as nets are concerned, by these records alone.
    /// None: beside wires, splices and studs others have changed, which may be read anywhere.
    pub(crate) fn next(&self, book: &Book, changed: &[Key]) -> Option<Self> {
        let joins = |key: &Key| matches!(key.kind, Kind::Wire | Kind::Junction);
        if !changed.iter().all(joins) {
            return None;
        }
        let reached = self
            .nets
            .downstream(changed.iter().flat_map(|key| self.at(book, *key)));
        let nets = Nets::of(book);
        let former: Vec<Option<NetId>> = nets
            .all()
            .map(|(_, net)| self.nets.at(net.terminals.first()?))
            .collect();
        let mut now = vec![None; self.nets.len()];
        for (id, former) in (0..).map(NetId).zip(&former) {
            if let Some(slot) = former.and_then(|former| now.get_mut(former.0)) {
                *slot = Some(id);
            }
        }
        let grounds = nets.grounds(book);
        let mut against = Against::default();
        let taken_over = |id: NetId, former: NetId| {
            let signal = self
                .get(former)
                .filter(|_| reached.get(former.0) == Some(&false))?;
            let origins = signal.origins.renumbered(|net| *now.get(net.0)?)?;
            Some(Signal {
                net: id,
                sources: signal.sources.clone(),
                origins,
                sinks: signal.sinks.clone(),
                reference: Arc::clone(&signal.reference),
                is_ground: grounds.contains(&id),
                level_v: signal.level_v,
                release_s: signal.release_s,
                load_a: signal.load_a,
            })
        };
        let all = (0..).map(NetId).zip(&former).map(|(id, former)| {
            let signal = former.and_then(|former| taken_over(id, former));
            signal.unwrap_or_else(|| carried_by(book, &nets, id, &grounds, &mut against))
        });
        let all = all.collect();
        Some(Self { nets, all })
    }

    /// The nets that a record had a part in, or comes to have.
    fn at(&self, book: &Book, key: Key) -> impl Iterator<Item = NetId> {
        let wire: Option<Id<Wire>> = key.as_id();
        let was = wire.and_then(|id| self.nets.of_wire(id));
        let ends = wire
            .and_then(|id| book.get(id))
            .map(|wire| [wire.from, wire.to])
            .into_iter()
            .flatten()
            .filter_map(End::terminal);
        let junction = key.as_id().map(Terminal::Junction);
        let terminals: Vec<Terminal> = ends.chain(junction).collect();
        was.into_iter().chain(
            terminals
                .into_iter()
                .filter_map(|terminal| self.nets.at(&terminal)),
        )
    }
}

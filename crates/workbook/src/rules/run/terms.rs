//! How movers stand by what is read, and what expressions come to.

use super::*;

impl Run<'_> {
    /// How a mover stands by what is read; none: that is not decided here.
    pub(super) fn moved(
        &mut self,
        at: usize,
        movers: &[May],
        levels: &[Level],
        (reads, named): (&[May], &[May]),
    ) -> Option<May> {
        let plant = self.plant;
        match &plant.model.movers.get(at)?.moves {
            Moves::Switch(switch, positions) => {
                let of = self.positions.get(*switch)?.clone();
                let on = positions
                    .iter()
                    .filter_map(|p| of.get(*p))
                    .fold(FALSE, |any, p| self.diagrams.or(any, *p));
                let off = self.diagrams.without(self.domain, on);
                let on = self.diagrams.and(on, self.domain);
                Some(May { on, off })
            }
            Moves::Nobody => Some(May {
                on: self.domain,
                off: self.domain,
            }),
            Moves::Coil(read) => {
                // Between drop-out and pull-in a relay stays as it was.
                let (Level { on, between, off }, was) = (*levels.get(*read)?, *movers.get(at)?);
                let stays = self.diagrams.and(between, was.on);
                let leaves = self.diagrams.and(between, was.off);
                Some(May {
                    on: self.diagrams.or(on, stays),
                    off: self.diagrams.or(off, leaves),
                })
            }
            Moves::When(_) if reads.is_empty() => None,
            Moves::When(term) => Some(self.term(term, movers, reads, named)),
            Moves::Fuse => None,
        }
    }

    /// The named expressions, in an order in which each comes behind those it names.
    pub(in crate::rules) fn named(&mut self, movers: &[May], reads: &[May]) -> Vec<May> {
        let plant = self.plant;
        let mut all = Vec::new();
        for (_, term) in &plant.model.named {
            let may = self.term(term, movers, reads, &all);
            all.push(may);
        }
        all
    }

    /// An expression: it may hold where …, it may not hold where …
    pub(in crate::rules) fn term(
        &mut self,
        term: &Term,
        movers: &[May],
        reads: &[May],
        named: &[May],
    ) -> May {
        let unsure = May {
            on: self.domain,
            off: self.domain,
        };
        match term {
            Term::Switch(switch, position) => {
                let of = self
                    .positions
                    .get(*switch)
                    .and_then(|p| p.get(*position))
                    .copied()
                    .unwrap_or(FALSE);
                May {
                    on: self.diagrams.and(of, self.domain),
                    off: self.diagrams.without(self.domain, of),
                }
            }
            Term::Read(at) => reads.get(*at).copied().unwrap_or(unsure),
            Term::Mover(at) => movers.get(*at).copied().unwrap_or(unsure),
            Term::Named(at) => named.get(*at).copied().unwrap_or(unsure),
            Term::Not(inner) => {
                let May { on, off } = self.term(inner, movers, reads, named);
                May { on: off, off: on }
            }
            Term::And(parts) => parts.iter().fold(
                May {
                    on: self.domain,
                    off: FALSE,
                },
                |all, part| {
                    let part = self.term(part, movers, reads, named);
                    May {
                        on: self.diagrams.and(all.on, part.on),
                        off: self.diagrams.or(all.off, part.off),
                    }
                },
            ),
            Term::Or(parts) => parts.iter().fold(
                May {
                    on: FALSE,
                    off: self.domain,
                },
                |any, part| {
                    let part = self.term(part, movers, reads, named);
                    May {
                        on: self.diagrams.or(any.on, part.on),
                        off: self.diagrams.and(any.off, part.off),
                    }
                },
            ),
        }
    }
}

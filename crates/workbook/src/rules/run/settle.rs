//! From how movers stand to what is read, to how they then stand, until nothing changes.

use super::*;

impl Run<'_> {
    /// Settles with a fault. `opens`: fuses that are overloaded blow.
    pub(in crate::rules) fn settle(
        &mut self,
        case: &mut Case,
        from: From<'_>,
        stuck: Option<(usize, bool)>,
        opens: bool,
    ) -> Settled {
        let plant = self.plant;
        let off = May {
            on: FALSE,
            off: self.domain,
        };
        let mut movers = match from {
            From::Service => match (&self.wary, self.rough) {
                (Some(wary), Rough::Unsure) => wary.movers.clone(),
                _ => self.settled.movers.clone(),
            },
            From::Here(settled) => settled.movers.clone(),
            From::SwitchOn => {
                let off = vec![off; plant.model.movers.len()];
                let mut all = off.clone();
                for at in 0..all.len() {
                    // What only a switch moves stands where that is.
                    let Some(may) = self.moved(at, &off, &[], (&[], &[])) else {
                        continue;
                    };
                    if let Some(place) = all.get_mut(at) {
                        *place = may;
                    }
                }
                all
            }
        };
        force(&mut movers, stuck, self.domain);
        let mut reads: Vec<Option<Level>> = vec![None; self.needed];
        if matches!(from, From::Service) && case.touching.is_none() && self.wary.is_none() {
            for (read, place) in reads.iter_mut().enumerate() {
                if !case.reaches(self.touches.get(read)) {
                    *place = self.settled.levels.get(read).copied();
                }
            }
            if let Some((mover, _)) = stuck {
                self.forget(case, &mut reads, &[mover]);
            }
        }
        for round in 0..MOST_ROUNDS {
            if self.gave_up {
                break;
            }
            self.refit(case, &movers, &mut reads);
            for (read, place) in reads.iter_mut().enumerate() {
                if place.is_none() {
                    *place = Some(self.read(case, read, &movers));
                }
            }
            let levels: Vec<Level> = reads.iter().flatten().copied().collect();
            let known: Vec<May> = levels.iter().map(|level| self.may(*level)).collect();
            let named = self.named(&movers, &known);
            let mut next = movers.clone();
            for (at, place) in next.iter_mut().enumerate() {
                if let Some(may) = self.moved(at, &movers, &levels, (&known, &named)) {
                    *place = may;
                }
            }
            if opens {
                self.blow(case, &movers, &mut next);
            }
            force(&mut next, stuck, self.domain);
            if round >= WIDE_FROM {
                for (new, old) in next.iter_mut().zip(&movers) {
                    new.on = self.diagrams.or(new.on, old.on);
                    new.off = self.diagrams.or(new.off, old.off);
                }
            }
            let changed: Vec<usize> = (0..next.len())
                .filter(|at| next.get(*at) != movers.get(*at))
                .collect();
            movers = next;
            if changed.is_empty() {
                let each = self.each(case, &movers, &levels);
                return Settled {
                    movers,
                    reads: known,
                    levels,
                    each,
                };
            }
            self.forget(case, &mut reads, &changed);
        }
        // Widening ends it before; what is left is not sure.
        let all = self.domain;
        let unsure = Level {
            on: all,
            between: all,
            off: all,
        };
        Settled {
            movers,
            reads: vec![May { on: all, off: all }; self.needed],
            levels: vec![unsure; self.needed],
            each: None,
        }
    }

    /// Movers that are not sure as choices of their own behind those of the switches, and what is read then: a contact that may be
    /// closed and what its unit then reads go together.
    fn each(&mut self, case: &mut Case, movers: &[May], levels: &[Level]) -> Option<(Vec<May>, Vec<May>)> {
        let mut sure = movers.to_vec();
        let mut split = Vec::new();
        for (at, may) in sure.iter_mut().enumerate() {
            let both = self.diagrams.and(may.on, may.off);
            // What nobody tells is solved both ways as it is.
            if both == FALSE || self.plant.is_nobody(at) {
                continue;
            }
            let choice = self.diagrams.choice(self.plant.model.choices + at as u32);
            let taken = self.diagrams.and(both, choice);
            may.on = self.diagrams.without(may.on, both);
            may.on = self.diagrams.or(may.on, taken);
            may.off = self.diagrams.without(may.off, taken);
            split.push(at);
        }
        if split.is_empty() {
            return None;
        }
        let mut reads: Vec<Option<Level>> = levels.iter().copied().map(Some).collect();
        self.forget(case, &mut reads, &split);
        let all = reads.into_iter().enumerate();
        let all = all.map(|(read, known)| {
            let level = known.unwrap_or_else(|| self.read(case, read, &sure));
            self.may(level)
        });
        let all = all.collect();
        Some((sure, all))
    }

    /// What is between thresholds may be taken for both.
    pub(super) fn may(&mut self, level: Level) -> May {
        May {
            on: self.diagrams.or(level.on, level.between),
            off: self.diagrams.or(level.off, level.between),
        }
    }

    /// Forgets reads that rest on these movers.
    fn forget(&self, case: &Case, reads: &mut [Option<Level>], changed: &[usize]) {
        for (read, place) in reads.iter_mut().enumerate() {
            let own = case.fit.own.get(read).copied().unwrap_or(false);
            let trees = if own {
                &case.fit.trees
            } else {
                &self.healthy.fit.trees
            };
            let rests = trees
                .get(case.tree_of(read))
                .is_none_or(|tree| tree.nodes.is_empty() || tree.movers.iter().any(|m| changed.contains(m)));
            if rests {
                *place = None;
            }
        }
    }

    /// Sees to it that fuses that may be blown are told apart.
    fn refit(&mut self, case: &mut Case, movers: &[May], reads: &mut [Option<Level>]) {
        let moving: Vec<bool> = movers
            .iter()
            .enumerate()
            .map(|(at, may)| self.plant.is_fuse(at) && may.on != FALSE)
            .collect();
        if moving != case.moving {
            case.refit(self.plant, &self.healthy.fit.graph, moving);
            if case.fit.pulls.is_empty() {
                self.pull(case);
            }
            reads.fill(None);
        }
    }
}

fn force(movers: &mut [May], stuck: Option<(usize, bool)>, domain: Function) {
    if let Some((mover, on)) = stuck
        && let Some(place) = movers.get_mut(mover)
    {
        *place = if on {
            May {
                on: domain,
                off: FALSE,
            }
        } else {
            May {
                on: FALSE,
                off: domain,
            }
        };
    }
}

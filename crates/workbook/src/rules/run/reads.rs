//! What is read, with a fault and without, and the fuses that what is read shows to blow.

use super::*;

impl<'p> Run<'p> {
    /// One read in all combinations, as it may be taken.
    pub(in crate::rules) fn read_as(&mut self, case: &mut Case, read: usize, movers: &[May]) -> May {
        let level = self.read(case, read, movers);
        self.may(level)
    }

    /// One read in all combinations.
    pub(super) fn read(&mut self, case: &mut Case, read: usize, movers: &[May]) -> Level {
        let own = case.fit.own.get(read).copied().unwrap_or(false);
        if !own {
            let mut healthy = std::mem::take(
                self.healthy
                    .fit
                    .trees
                    .get_mut(read)
                    .unwrap_or(&mut Tree::default()),
            );
            let leaves = self.leaves(None, &mut healthy, read, movers);
            let reached = leaves.iter().any(|(_, leaf)| match healthy.nodes.get(*leaf) {
                Some(Branch::Leaf(leaf)) => case.touches(&leaf.points) || self.pulls(case, leaf, read),
                _ => true,
            });
            let may = if reached {
                None
            } else {
                Some(self.gathered(&mut healthy, &leaves, read))
            };
            if let Some(place) = self.healthy.fit.trees.get_mut(read) {
                *place = healthy;
            }
            if let Some(may) = may {
                return may;
            }
            if let Some(own) = case.fit.own.get_mut(read) {
                *own = true;
            }
        }
        let whose = case.tree_of(read);
        let mut tree = case
            .fit
            .trees
            .get_mut(whose)
            .map(std::mem::take)
            .unwrap_or_default();
        let leaves = self.leaves(Some(case), &mut tree, whose, movers);
        let level = self.gathered(&mut tree, &leaves, read);
        if let Some(place) = case.fit.trees.get_mut(whose) {
            *place = tree;
        }
        level
    }

    /// Whether a short pulls what holds these points so far that the read could say something else. Voltages of a passive circuit rise
    /// with those that hold it, so that the extremes of these bound it; 3 % and 0.1 V are for movers that stand otherwise (our own).
    pub(super) fn pulls(&self, case: &Case, leaf: &Leaf, read: usize) -> bool {
        if case.fit.pulls.is_empty() {
            return false;
        }
        let Some(what) = self.plant.model.reads.get(read) else {
            return true;
        };
        let graph = &self.healthy.fit.graph;
        let (mut least, mut most, mut lift_v) = (1.0f64, 1.0f64, 0.0f64);
        for point in leaf.points.iter() {
            let conductor = graph.of_node(*point);
            if !graph.is_core(conductor) {
                continue;
            }
            let volts = |of: &[Option<f64>]| of.get(*point as usize).copied().flatten();
            for Pull { before, now } in &case.fit.pulls {
                let (Some(was), Some(is)) = (volts(before), volts(now)) else {
                    return true;
                };
                if graph.ground() == Some(conductor) || was.abs() < 1.0 {
                    lift_v = lift_v.max((is - was).abs());
                } else {
                    (least, most) = (least.min(is / was), most.max(is / was));
                }
            }
        }
        let (least, most, lift_v) = (least * 0.97, most * 1.03, 2.0 * lift_v + 0.1);
        leaf.solved.iter().any(|solved| {
            let Some(v) = solved.volts.get(read).copied().flatten() else {
                return true;
            };
            // A coil or lamp counts whichever way its voltage points.
            let v = if matches!(what, Read::Across { .. }) {
                v.abs()
            } else {
                v
            };
            let (one, other) = (v * least, v * most);
            let level = what.level(Some(v));
            let low = (one.min(other) - lift_v).max(if v >= 0.0 { 0.0 } else { f64::NEG_INFINITY });
            what.level(Some(low)) != level || what.level(Some(one.max(other) + lift_v)) != level
        })
    }

    /// Whether a fuse is overloaded as all stands.
    pub(in crate::rules) fn overloads(&mut self, case: &mut Case, settled: &Settled) -> bool {
        let mut next = settled.movers.clone();
        self.blow(case, &settled.movers, &mut next);
        next != settled.movers
    }

    pub(super) fn healthy_read(&mut self, read: usize, movers: &[May]) -> (Level, Vec<bool>) {
        let mut tree = self
            .healthy
            .fit
            .trees
            .get_mut(read)
            .map(std::mem::take)
            .unwrap_or_default();
        let leaves = self.leaves(None, &mut tree, read, movers);
        let may = self.gathered(&mut tree, &leaves, read);
        let mut touched = vec![false; self.healthy.fit.graph.conductor.len()];
        for (_, leaf) in leaves.iter() {
            if let Some(Branch::Leaf(leaf)) = tree.nodes.get(*leaf) {
                for point in leaf.points.iter() {
                    if let Some(place) = touched.get_mut(*point as usize) {
                        *place = true;
                    }
                }
            }
        }
        if let Some(place) = self.healthy.fit.trees.get_mut(read) {
            *place = tree;
        }
        (may, touched)
    }

    /// What the leaves of a walk say of a read.
    pub(super) fn gathered(&mut self, tree: &mut Tree, leaves: &Leaves, read: usize) -> Level {
        let walk = tree
            .walks
            .iter()
            .position(|walk| Arc::ptr_eq(&walk.leaves, leaves));
        let levels = walk.and_then(|at| tree.walks.get(at)).map(|walk| &walk.levels);
        let known = levels.and_then(|levels| levels.iter().find(|(of, ..)| *of == read).copied());
        let (level, rough) = match known {
            Some((_, level, rough)) => (level, rough),
            None => {
                let apart = walk
                    .and_then(|at| tree.walks.get(at))
                    .is_some_and(|walk| walk.apart);
                self.said(tree, leaves, read, apart)
            }
        };
        if rough {
            self.met_rough = true;
            if let Some(place) = self.rough_reads.get_mut(read) {
                *place = true;
            }
        }
        if let (None, Some(walk)) = (known, walk.and_then(|at| tree.walks.get_mut(at))) {
            walk.levels.push((read, level, rough));
        }
        level
    }

    fn said(&mut self, tree: &Tree, leaves: &[(Function, usize)], read: usize, apart: bool) -> (Level, bool) {
        let mut planes: [Vec<Function>; 3] = Default::default();
        let (mut unsure, mut rough) = (Vec::new(), false);
        for (set, leaf) in leaves {
            let Some(Branch::Leaf(leaf)) = tree.nodes.get(*leaf) else {
                continue;
            };
            rough |= leaf.rough;
            // Of what was not solved nothing is known.
            if leaf.rough && self.rough == Rough::Unsure || leaf.solved.iter().any(|solved| solved.unknown) {
                unsure.push(*set);
                continue;
            }
            let said = |level: Reads| {
                let all = leaf.solved.iter().map(|solved| solved.reads.get(read));
                all.map(|said| said.copied().unwrap_or(Reads::Undefined))
                    .any(|said| said == level)
            };
            for (plane, level) in planes.iter_mut().zip([Reads::On, Reads::Off, Reads::Undefined]) {
                if said(level) {
                    plane.push(*set);
                }
            }
        }
        // All leaves together are all combinations: what most of them say is what the others do not, where each is by itself.
        let counts = planes.each_ref().map(Vec::len);
        let longest = counts.iter().copied().max().unwrap_or_default();
        let alone = apart && unsure.is_empty() && counts.iter().sum::<usize>() == leaves.len();
        let mut left_out = None;
        let mut sums = [FALSE; 3];
        for (at, (sum, sets)) in sums.iter_mut().zip(planes).enumerate() {
            *sum = if !sets.is_empty() && sets.len() == leaves.len() {
                self.domain
            } else if alone && left_out.is_none() && sets.len() == longest {
                left_out = Some(at);
                FALSE
            } else {
                self.diagrams.any(sets)
            };
        }
        let others = sums.iter().fold(FALSE, |any, sum| self.diagrams.or(any, *sum));
        if let Some(place) = left_out.and_then(|at| sums.get_mut(at)) {
            *place = self.diagrams.without(self.domain, others);
        }
        let unsure = self.diagrams.any(unsure);
        let [on, off, between] = sums.map(|sum| self.diagrams.or(sum, unsure));
        (Level { on, between, off }, rough)
    }

    /// Blows the fuses that the touching points overload, the worst of each position first.
    pub(super) fn blow(&mut self, case: &mut Case, movers: &[May], next: &mut [May]) {
        let Some(place) = case.touching.map(|_| self.plant.model.reads.len()) else {
            return;
        };
        let mut tree = case
            .fit
            .trees
            .get_mut(place)
            .map(std::mem::take)
            .unwrap_or_default();
        let leaves = self.leaves(Some(case), &mut tree, place, movers);
        for (set, leaf) in leaves.iter() {
            let Some(Branch::Leaf(leaf)) = tree.nodes.get(*leaf) else {
                continue;
            };
            if leaf.rough {
                self.met_rough = true;
                self.fuses_unsure |= self.rough == Rough::Unsure;
            }
            self.doubtful |= leaf.doubtful || leaf.solved.iter().any(|solved| solved.unknown);
            let (Some(before), Some(now)) = (&leaf.before, leaf.solved.first()) else {
                continue;
            };
            let opens = self.plant.opens(before, now, &[]);
            // What nobody tells may say so, too.
            let alike = |other: &Arc<Solved>| self.plant.opens(before, other, &[]) == opens;
            self.doubtful |= !leaf.rough && !leaf.solved.iter().skip(1).all(alike);
            if let Some(fuse) = opens
                && let Some(may) = next.get_mut(fuse)
            {
                may.on = self.diagrams.or(may.on, *set);
                may.off = self.diagrams.without(may.off, *set);
            }
        }
        if let Some(at) = case.fit.trees.get_mut(place) {
            *at = tree;
        }
    }
}
